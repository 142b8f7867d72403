"""Marks on photographs, and a small job that is one line."""

import pytest

from pieces import NOW, daybook, shop
from small_surveys import TOP, survey_with
from witnessmark.documents import Faulty, json_of
from witnessmark.plan import plan_piece
from witnessmark.survey import outline_of, survey_from, survey_in, survey_text

SHA = "b" * 64
JOINT = """
[[joint]]
code = "J1"
parts = ["TOP", "SIDE"]
[[joint.fixing]]
code = "S1"
"""


def photograph(*marks: str) -> str:
    return f'[[photograph]]\nsha256 = "{SHA}"\n' + "".join(f"[[photograph.mark]]\n{mark}\n" for mark in marks)


def fault(*tables: str):
    with pytest.raises(Faulty) as caught:
        survey_with(*tables)
    (found,) = caught.value.faults
    return found


def test_a_mark_says_where_a_part_or_a_fixing_sat_and_which_way_its_top_points():
    survey = survey_with(
        TOP, JOINT, photograph('code = "TOP"\nx = 0.5\ny = 0\nup = 90', 'code = "S1"\nx = 1\ny = 0.25')
    )
    top, screw = survey.photograph[0].mark
    assert (top.code, top.x, top.y, top.up) == ("TOP", 0.5, 0, 90)
    assert (screw.code, screw.up) == ("S1", None)
    assert survey_in(json_of(survey), "again") == survey
    assert survey_from(survey_text(survey), "again") == survey


def test_a_mark_of_nothing_in_the_survey_has_its_nearest():
    found = fault(TOP, photograph('code = "TIP"\nx = 0.5\ny = 0.5'))
    assert (found.key, found.nearest) == ("photograph[1].mark[1].code", "TOP")
    assert "a part or a fixing" in found.expected


def test_a_part_is_marked_once_on_one_photograph():
    mark = 'code = "TOP"\nx = 0.5\ny = 0.5'
    assert fault(TOP, photograph(mark, mark)).key == "photograph[1].mark[2].code"


@pytest.mark.parametrize(("key", "number"), [("x", "1.01"), ("y", "-0.1"), ("up", "360"), ("up", "-1")])
def test_a_mark_stays_on_its_picture(key, number):
    said = {"x": "0.5", "y": "0.5", key: number}
    lines = "\n".join(f"{name} = {value}" for name, value in said.items())
    assert fault(TOP, photograph(f'code = "TOP"\n{lines}')).key == f"photograph[1].mark[1].{key}"


def test_a_job_card_is_one_line_and_a_price_and_plans_as_any_piece_does():
    card = survey_with(
        piece='[piece]\nkind = "chair"\nowner = "Aldous"\njob = "glue one loose leg"\nprice_said = "£45"\n'
    )
    assert card.piece.job == "glue one loose leg"
    assert card.piece.price_said.text == "£45"
    assert "no part listed yet" in outline_of(card).says
    assert plan_piece(card, shop(), daybook(), NOW).steps


# ---- damage ----


def test_a_mark_may_say_what_is_amiss_in_place_of_a_part():
    survey = survey_with(TOP, photograph('says = "scratch: front edge"\nx = 0.2\ny = 0.9'))
    (mark,) = survey.photograph[0].mark
    assert (mark.code, mark.says) == (None, "scratch: front edge")
    assert survey_in(json_of(survey), "again") == survey
    assert survey_from(survey_text(survey), "again") == survey


@pytest.mark.parametrize(
    ("said", "key", "expected"),
    [
        ("", "code", "`says`"),
        ('code = "TOP"\nsays = "scratch"', "says", "not both"),
        ('says = "scratch"\nup = 90', "up", "only a part has a top"),
        ('says = ""', "says", ""),
    ],
)
def test_a_mark_is_of_a_part_or_of_damage_and_of_one_only(said, key, expected):
    found = fault(TOP, photograph(f"{said}\nx = 0.5\ny = 0.5"))
    assert found.key == f"photograph[1].mark[1].{key}"
    assert expected in found.expected


def test_damage_may_be_marked_as_often_as_it_is_seen():
    scratch = 'says = "scratch"\nx = 0.5\ny = 0.5'
    assert len(survey_with(TOP, photograph(scratch, scratch)).photograph[0].mark) == 2


def test_a_mark_has_the_number_of_what_it_says_on_the_list_or_one_after_it():
    seen = ('term = "stain"', 'term = "split"\nnote = "Seat, front"', 'term = "dirt"')
    amiss = "".join(f"[[condition]]\n{one}\n" for one in seen)
    said = ("knob loose", "split: seat, front", "Stain", "stain", "dirt: legs")
    marks = [f'says = "{words}"\nx = 0.5\ny = 0.5' for words in said]
    survey = survey_with(TOP, amiss, photograph('code = "TOP"\nx = 0\ny = 0', *marks))
    assert [(number, mark.says) for number, _, mark in survey.damage_marks()] == [
        (4, "knob loose"), (2, "split: seat, front"), (1, "Stain"), (5, "stain"), (6, "dirt: legs"),
    ]  # fmt: skip
    assert {sha256 for _, sha256, _ in survey.damage_marks()} == {SHA}
