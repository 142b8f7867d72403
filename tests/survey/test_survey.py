"""A survey in and out: what may be left out, what comes back word for word, what is known of it."""

import csv
import json
import tomllib
from copy import deepcopy
from functools import cache
from importlib import resources
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pieces import PIECES, chair, chest, photographs, piece, text_of
from toml_texts import at, paths_in
from witnessmark.documents import Faulty, Refused, json_of, json_text, set_in, toml_text
from witnessmark.finish import spot_tests
from witnessmark.sources import bibliography
from witnessmark.survey import (
    KINDS,
    Came,
    PieceKind,
    Region,
    Words,
    areas_of,
    condition_named,
    condition_terms,
    outline_of,
    starter,
    survey_from,
    survey_in,
    survey_schema,
    survey_text,
    with_decision,
)
from witnessmark.survey.model import Survey

ID = "01a1e4e3-d960-7450-88ee-021dbeb0fc2a"
TESTS = Words(tests={test.key: test.states for test in spot_tests()})


def sample(name: str) -> str:
    """A demo survey or a starter, by its name."""
    return starter(name.removeprefix("new "), ID) if name.startswith("new ") else text_of(f"{name}.toml")


SAMPLES = [*PIECES, *(f"new {kind}" for kind in KINDS)]


# --- starters and the demo ---


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_passes_its_own_check_with_the_rooms_words(name):
    survey = survey_from(sample(name), name, words=TESTS)
    assert areas_of(survey).total.value


@pytest.mark.parametrize("kind", KINDS)
def test_a_starter_says_dont_know_of_all_it_can_not_know(kind):
    survey = survey_from(starter(kind, ID), kind)
    assert survey.id == ID
    assert survey.piece.kind == PieceKind(kind)
    outline = outline_of(survey)
    assert outline.counts["part"] >= 8
    assert outline.counts["joint"] >= 3
    for fact in ("its size", "show wood", "old finish", "when it was made", "what is amiss", "a photograph"):
        assert fact in outline.dont_know


@pytest.mark.parametrize("kind", KINDS)
def test_a_starter_s_lines_in_comments_are_right_once_uncommented(kind):
    # Every commented “key = value” and [[table]] is an example somebody will uncomment as it stands.
    text = starter(kind, ID)
    examples = text[text.index("# A test of the old finish") : text.index("# A photograph, by")]
    lines = [
        line.removeprefix("# ")
        for line in examples.split("\n")
        if line.startswith(("# [[", "# ")) and ("=" in line or "[[" in line)
    ]
    part = survey_from(text, kind).part[0].code
    added = "\n".join(lines).replace('"TOP"', f'"{part}"')
    survey = survey_from(f"{text}\n{added}\n", kind, words=TESTS)
    assert len(survey.test) == 1
    assert len(survey.trial) == 1


def test_a_starter_lists_the_words_that_are_allowed():
    text = starter("table", ID)
    assert "# bought, customer's, shop's own\n" in text
    assert "$" not in text


def test_no_starter_of_what_we_have_none():
    with pytest.raises(KeyError):
        starter("sofa", ID)


@pytest.mark.parametrize("name", PIECES)
def test_the_pictures_of_the_demo_are_the_pictures_it_names(name):
    kept = photographs()
    assert piece(name).photograph
    for photograph in piece(name).photograph:
        assert photograph.sha256 in kept
        assert (resources.files("witnessmark").joinpath("../../demo", photograph.file)).read_bytes() == kept[
            photograph.sha256
        ]


def test_the_demo_chest_is_a_full_survey():
    survey = chest()
    assert len(survey.part) >= 25
    assert len(survey.joint) >= 20
    assert all(joint.withdraw != "don't know" and joint.made != "don't know" for joint in survey.joint)
    assert all(part.size for part in survey.part)
    assert outline_of(survey).dont_know == ()
    assert chest().parts_by_code()["FOOT-BL"].turning


def test_the_demo_ids_are_all_different():
    assert len({piece(name).id for name in PIECES}) == len(PIECES)


# --- the schema, against a reference library ---


@cache
def validator() -> jsonschema.Draft202012Validator:
    schema = survey_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def as_json(text: str) -> Any:
    return json.loads(json_text(tomllib.loads(text)))


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_is_right_by_the_published_schema(name):
    validator().validate(as_json(sample(name)))


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("piece", "kind"), "sofa"),
        (("piece", "size"), 3),
        (("part", 0, "code"), "top left"),
        (("part", 0, "count"), 0),
        (("part", 0, "cod"), "TOP"),
        (("joint", 0, "parts"), ["TOP"]),
        (("joint", 0, "state"), "wobbly"),
        (("photograph", 0, "sha256"), "abc"),
        (("id",), None),
    ],
)
def test_a_broken_survey_is_wrong_by_the_published_schema_too(path, value):
    broken = as_json(set_in(text_of("chest.toml"), path, value))
    assert not validator().is_valid(broken)
    with pytest.raises(Faulty):
        survey_in(broken, "broken")


# --- not knowing widens, it never blocks ---


def required(path: tuple[Any, ...]) -> bool:
    """Whether a key must be there: an id, a code, what a test was and did."""
    kind: Any = Survey
    for step in path[:-1]:
        if isinstance(step, str):
            annotation = kind.model_fields[step].annotation
            inside = [annotation, *getattr(annotation, "__args__", ())]
            kind = next((one for one in inside if hasattr(one, "model_fields")), kind)
    return path[-1] in kind.model_fields and kind.model_fields[path[-1]].is_required()


TABLES = tomllib.loads(text_of("chest.toml"))
OPTIONAL = [
    path
    for path in paths_in(TABLES)
    if isinstance(path[-1], str)
    and len(path) > 1
    and not required(path)
    and path[-1] != "why"  # which a fixing that is not going back must have
]


@settings(max_examples=12)
@given(st.lists(st.sampled_from(OPTIONAL), min_size=1, max_size=6, unique=True))
def test_a_survey_with_anything_optional_left_out_still_checks(paths):
    tables = deepcopy(TABLES)
    for path in sorted(paths, key=len, reverse=True):
        del at(tables, path[:-1])[path[-1]]
    survey = survey_from(toml_text(tables), "less")
    areas_of(survey)
    outline_of(survey)


@pytest.mark.parametrize(
    "path",
    [
        ("piece", "came"), ("piece", "came_on"), ("piece", "promised"), ("piece", "price_paid"), ("piece", "made"),
        ("piece", "region"), ("piece", "size"), ("piece", "weight"), ("piece", "show_wood"), ("piece", "veneered"),
        ("piece", "veneer_thickness"), ("finish", "kind"), ("wishes", "keep"), ("wishes", "sells_for"),
        ("part", 0, "wood"), ("part", 0, "shape"), ("part", 0, "size"), ("part", 0, "sawn"),
        ("part", 2, "carving"),
        ("part", 2, "profile"), ("part", 2, "finish"), ("joint", 0, "state"), ("joint", 0, "withdraw"),
        ("joint", 0, "slack"), ("joint", 0, "fixing", 0, "kind"), ("condition", 0, "severity"),
        ("condition", 0, "part"),
        ("condition", 0, "length"), ("test", 0, "on"), ("test", 0, "part"), ("moisture", 0, "mc"),
        ("photograph", 0, "taken"),
    ],
)  # fmt: skip
def test_dont_know_is_an_answer_everywhere(path):
    survey_from(set_in(text_of("chest.toml"), path, "don't know"), "less")


def test_a_region_nobody_knows_is_any():
    assert survey_from(set_in(text_of("chair.toml"), ("piece", "region"), "?"), "c").piece.region is Region.ANY


# --- in and out ---


@pytest.mark.parametrize("name", SAMPLES)
def test_toml_and_json_both_bring_back_the_same_survey(name):
    survey = survey_from(sample(name), name)
    assert survey_from(survey_text(survey), "again") == survey
    assert survey_in(json_of(survey), "again") == survey
    assert survey_in(json.loads(json.dumps(json_of(survey))), "again") == survey


def test_amounts_go_out_in_the_words_they_came_in():
    survey = survey_from(set_in(text_of("chair.toml"), ("piece", "size"), "23 1/2 x 22 x 41 in"), "c")
    assert 'size = "23 1/2 x 22 x 41 in"' in survey_text(survey)


TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"], exclude_characters="\r\0"), max_size=60)


@settings(max_examples=20)
@given(note=TEXTS, title=TEXTS, came=st.sampled_from(Came), on=st.dates() | st.none(), count=st.integers(1, 500))
def test_any_value_written_back_is_read_again(note, title, came, on, count):
    text = text_of("chair.toml")
    for path, value in {
        ("piece", "note"): note, ("piece", "title"): title, ("piece", "came"): came.value, ("piece", "came_on"): on,
        ("piece", "promised"): None, ("part", 3, "count"): count,
    }.items():  # fmt: skip
        text = set_in(text, path, value)
    survey = survey_from(text, "c")
    assert (survey.piece.note, survey.piece.title, survey.piece.came, survey.piece.came_on, survey.part[3].count) == (
        note,
        title,
        came,
        on,
        count,
    )
    assert survey_from(survey_text(survey), "again") == survey


def test_a_survey_does_not_change_after_reading():
    with pytest.raises(ValueError, match="frozen"):
        chest().piece.title = "another"


# --- condition terms ---


def test_the_terms_table_is_whole():
    rows = list(
        csv.DictReader(
            resources.files("witnessmark.survey").joinpath("condition_terms.csv").read_text("utf-8").splitlines()
        )
    )
    assert len(rows) == 64
    assert len({row["key"] for row in rows}) == len(rows)
    for row in rows:
        assert row["definition"]
        assert all(key in bibliography() for key in row["source_key"].split(";") if key)
    assert len(condition_terms()) == len(rows)


@pytest.mark.parametrize(
    ("said", "term"),
    [("Split", "split"), ("through crack", "split"), ("woodworm", None), ("active woodworm", "flight holes, active"),
     ("ring_mark", "ring mark"), ("cup mark", "ring mark"), ("worn runner", "worn runner")],
)  # fmt: skip
def test_a_synonym_means_its_term(said, term):
    if term is None:
        with pytest.raises(KeyError):
            condition_named(said)
    else:
        assert condition_named(said).term == term


# --- what it knows, in a paragraph ---


def test_the_paragraph_of_the_chair():
    assert outline_of(chair()).says == (
        "Ash and elm Windsor armchair: 18 parts, 8 joints, 4 things amiss, 1 finish test and 1 photograph. Still don't "
        "know: old finish, the size of 2 parts (ARM-L, ARM-R), the shape of 2 parts (ARM-L, ARM-R) and the state of 1 "
        "joint (J8). It widens the plan, it blocks nothing."
    )


def test_the_paragraph_of_a_survey_that_says_nothing():
    survey = survey_from(f'id = "{ID}"\n[piece]\nkind = "other"\n', "c")
    assert outline_of(survey).says.startswith(
        "A piece without a title: no part listed yet. Still don't know: its size,"
    )


def test_a_change_by_hand_is_asked_for_where_it_can_not_be_spliced():
    with pytest.raises(Refused, match="change it by hand"):
        set_in(text_of("chair.toml"), ("part", 0), "not a table")


def test_a_decision_is_written_below_the_others_and_read_again():
    decision = chest().decision[0].model_copy(update={"choose": "leave the ring marks", "part": "TOP"})
    text = with_decision(text_of("chest.toml"), decision)
    assert text.startswith(text_of("chest.toml"))
    assert survey_from(text, "c").decision == (*chest().decision, decision)
    assert survey_from(
        with_decision(text_of("chair.toml"), chest().decision[0].model_copy(update={"part": "SEAT"})), "c"
    )
