"""Writing back changes what was asked and nothing else."""

import re
import tomllib
from datetime import UTC, date, datetime

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from pieces import PIECES, text_of
from toml_texts import SCALARS, at, paths_in, tables_of, toml_texts
from witnessmark.documents import Faulty, Refused, set_in, toml_text

TEXT = """\
# The chest.
schema = 1   # the first

[piece]
kind = "chest"          # what it is
loose = ["a key"]       # count them

# What is amiss.
[[condition]]
term = "split"          # long
at = { side = "left" }  # as you face it

[[joint]]
code = "J1"
  [[joint.fixing]]
  code = "S1"           # its own hole

[[joint]]
code = "J2"
"""


def changed_lines(before: str, after: str) -> tuple[set[str], set[str]]:
    """The lines that went and the lines that came."""
    old, new = before.split("\n"), after.split("\n")
    return set(old) - set(new), set(new) - set(old)


KIND = 'kind = "chest"          # what it is'
LOOSE = 'loose = ["a key"]       # count them'
AT = 'at = { side = "left" }  # as you face it'


@pytest.mark.parametrize(
    ("path", "value", "went", "came"),
    [
        (("schema",), 2, "schema = 1   # the first", "schema = 2   # the first"),
        (("came_on",), date(2026, 11, 25), None, "came_on = 2026-11-25"),
        (("piece", "kind"), "box", KIND, 'kind = "box"          # what it is'),
        (("piece", "title"), "Chest", None, 'title = "Chest"'),
        (("piece", "loose"), [], LOOSE, "loose = []       # count them"),
        (("piece", "loose", 0), "keys", LOOSE, 'loose = ["keys"]       # count them'),
        (("piece", "loose", 1), "peg", LOOSE, 'loose = ["a key", "peg"]       # count them'),
        (("condition", 0, "at", "side"), "right", AT, 'at = { side = "right" }  # as you face it'),
        (("condition", 0, "at", "end"), "top", AT, 'at = { side = "left", end = "top" }  # as you face it'),
        (("condition", 0, "term"), None, 'term = "split"          # long', None),
        (("joint", 0, "fixing", 0, "ends"), "back", None, 'ends = "back"'),
    ],
)
def test_one_line_changes(path, value, went, came):
    assert changed_lines(TEXT, set_in(TEXT, path, value)) == ({went} - {None}, {came} - {None})


def test_a_new_key_goes_below_the_last_of_its_own_table():
    lines = set_in(TEXT, ("piece", "title"), "Chest").split("\n")
    assert lines[lines.index('title = "Chest"') - 1].startswith("loose =")
    lines = set_in(TEXT, ("joint", 0, "state"), "loose").split("\n")
    assert lines[lines.index('state = "loose"') - 1] == 'code = "J1"'


def test_a_new_element_goes_below_its_sisters():
    after = set_in(TEXT, ("joint", 0, "fixing", 1), {"code": "S2", "kind": "screw"})
    assert after.index("S1") < after.index('[[joint.fixing]]\ncode = "S2"') < after.index("J2")
    after = set_in(TEXT, ("condition", 1), {"term": "dent"})
    assert after.index("as you face it") < after.index('[[condition]]\nterm = "dent"') < after.index("J1")


def test_a_decision_is_added_to_a_survey_that_has_none():
    decision = {"about": "way", "choose": "revive", "who": "Ines", "on": date(2026, 11, 25), "why": "sound film"}
    after = set_in(text_of("chair.toml"), ("decision", 0), decision)
    assert after.startswith(text_of("chair.toml"))
    assert after.endswith(
        '\n[[decision]]\nabout = "way"\nchoose = "revive"\nwho = "Ines"\non = 2026-11-25\nwhy = "sound film"\n'
    )


def test_tables_on_the_way_are_made():
    assert set_in("", ("finish", "kind"), "wax") == '[finish]\nkind = "wax"\n'
    after = set_in("a = 1", ("joint", 0, "fixing", 0, "code"), "S1")
    assert tomllib.loads(after) == {"a": 1, "joint": [{"fixing": [{"code": "S1"}]}]}


def test_an_element_goes_with_all_that_is_under_it():
    after = set_in(TEXT, ("joint", 0), None)
    assert tomllib.loads(after)["joint"] == [{"code": "J2"}]
    assert "S1" not in after


def test_a_long_list_of_tables_is_cut_short():
    text = "".join(f"[[row]]\nnumber = {number}\n" for number in range(13))
    after = set_in(text, ("row",), [{"number": 0}, {"number": 7}])
    assert after == "[[row]]\nnumber = 0\n[[row]]\nnumber = 7\n"


def test_a_text_that_is_not_toml_is_told():
    with pytest.raises(Faulty, match="the text to change, line 1"):
        set_in("a = b\n", ("a",), 1)


def test_text_of_several_lines_stays_readable():
    after = set_in("", ("note",), 'first\nsecond "so" \\ and\n')
    assert "\nsecond" in after
    assert tomllib.loads(after)["note"] == 'first\nsecond "so" \\ and\n'


def test_line_ends_stay_those_of_the_text():
    after = set_in(TEXT.replace("\n", "\r\n"), ("piece", "title"), "Chest")
    assert after.count("\n") == after.count("\r\n")


@pytest.mark.parametrize("path", [(), ("piece", 0), ("condition", 7), ("joint", "code"), ("schema", "x")])
def test_a_path_that_leads_nowhere_is_refused(path):
    with pytest.raises(Refused, match=r"no |needs the key"):
        set_in(TEXT, path, 1)


VALUES = st.one_of(
    SCALARS,
    st.floats(allow_nan=False, allow_infinity=False),
    st.dates(),
    st.datetimes(timezones=st.just(UTC)).map(lambda moment: moment.replace(microsecond=0)),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cs"], exclude_characters="\r"), max_size=20),
    st.lists(SCALARS, max_size=3),
    tables_of(1),
    st.lists(tables_of(1), min_size=1, max_size=2),
)


def comments_of(text: str) -> list[str]:
    whole = [line.strip() for line in text.split("\n") if line.strip().startswith("#")]
    return whole + re.findall(r"# aside \d+;", text)


@settings(max_examples=150)
@given(toml_texts(), VALUES, st.data())
def test_it_then_says_exactly_what_was_wanted(texts, value, data):
    text, tables = texts
    paths = paths_in(tables)
    tables_there = [()] + [path for path in paths if isinstance(at(tables, path), dict)]
    fresh = st.sampled_from(tables_there).map(lambda path: (*path, "quite new"))
    path = data.draw(st.one_of(st.sampled_from(paths), fresh) if paths else fresh)
    if isinstance(path[-1], int) and path in paths and isinstance(at(tables, path), dict):
        assume(isinstance(value, dict))  # a [[table]] stays one
    after = set_in(text, path, value)  # which reads it again and compares; a refusal fails the test
    assert at(tomllib.loads(after), path) == value
    # A comment may only go with the value it stands in or the table it stands under.
    old = at(tables, path) if path in paths else None
    if not isinstance(old, dict | list):
        assert comments_of(after) == comments_of(text)


@settings(max_examples=80)
@given(toml_texts(), st.data())
def test_taking_out_takes_out_only_that(texts, data):
    text, tables = texts
    paths = paths_in(tables)
    if paths:
        path = data.draw(st.sampled_from(paths))
        set_in(text, path, None)  # compares by itself


@pytest.mark.parametrize("name", PIECES)
def test_every_value_of_the_demo_can_be_changed_where_it_stands(name):
    text = text_of(f"{name}.toml")
    tables = tomllib.loads(text)
    for path in paths_in(tables)[:: 1 if name == "chair" else 17]:
        if isinstance(at(tables, path), str):
            after = set_in(text, path, "changed")
            assert len(after.split("\n")) <= len(text.split("\n"))
            assert comments_of(after) == comments_of(text)


@settings(max_examples=80)
@given(tables_of(2))
def test_a_fresh_text_says_its_tables(tables):
    assert tomllib.loads(toml_text(tables)) == tables


def test_what_is_none_is_not_said():
    moment = datetime(2026, 11, 25, 8, tzinfo=UTC)
    assert toml_text({"b": {"c": None, "d": 1}, "a": None, "at": moment}) == "at = 2026-11-25T08:00:00Z\n\n[b]\nd = 1\n"
