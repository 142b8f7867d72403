"""What was gone through as a piece was handed in: keys and shelves counted, contents found, who may say yes."""

from dataclasses import replace
from datetime import date

import pytest

import pieces
from small_surveys import survey_with
from witnessmark.documents import Faulty, json_of
from witnessmark.plan import plan_piece
from witnessmark.survey import HandedIn, survey_from, survey_in, survey_text

ALL = """
[handed_in]
keys = 2
shelves = 0
may_say_yes = "her brother, by telephone"
on = 2026-11-16
who = "Mx Penwhistle"
[[handed_in.contents]]
what = "a letter"
returned = "yes"
[[handed_in.contents]]
what = "three buttons"
"""


def test_all_of_it_is_kept_as_it_was_said():
    survey = survey_with(ALL)
    handed = survey.handed_in
    assert (handed.keys, handed.shelves, handed.on) == (2, 0, date(2026, 11, 16))
    assert [(one.what, one.returned) for one in handed.contents] == [
        ("a letter", "yes"),
        ("three buttons", "don't know"),
    ]
    assert survey_in(json_of(survey), "again") == survey
    assert survey_from(survey_text(survey), "again") == survey


def test_none_is_a_count_and_dont_know_is_not_one():
    survey = survey_with('[handed_in]\nkeys = "don\'t know"\nshelves = 0\non = "don\'t know"\n')
    assert (survey.handed_in.keys, survey.handed_in.shelves, survey.handed_in.on) == (None, 0, None)
    assert survey_with().handed_in == HandedIn()
    assert survey_in(json_of(survey), "again") == survey


@pytest.mark.parametrize(
    ("said", "key"),
    [
        ("keys = -1", "handed_in.keys"),
        ('shelves = "a few"', "handed_in.shelves"),
        ("up_to = 3", "handed_in.up_to"),  # that is what the wishes say
        ('[[handed_in.contents]]\nwhat = ""', "handed_in.contents[1].what"),
        ('[[handed_in.contents]]\nwhat = "a letter"\nreturned = "perhaps"', "handed_in.contents[1].returned"),
    ],
)
def test_what_is_wrong_is_told_where_it_stands(said, key):
    with pytest.raises(Faulty) as caught:
        survey_with(f"[handed_in]\n{said}\n")
    assert caught.value.faults[0].key == key


@pytest.mark.parametrize("name", pieces.PIECES)
def test_it_changes_papers_and_not_the_plan(name):
    plain = pieces.piece(name)
    tables = json_of(plain)
    tables["handed_in"] = {"keys": 2, "may_say_yes": "a brother", "contents": [{"what": "a letter"}]}
    for photograph in tables.get("photograph", ()):
        photograph["mark"] = [{"says": "scratch", "x": 0.5, "y": 0.5}]
    said = survey_in(tables, name)
    before, after = (plan_piece(one, pieces.shop(), pieces.daybook(), pieces.NOW) for one in (plain, said))
    assert replace(after, survey=plain) == before
