"""The record against the checklists of its trade.

Object ID: Thornes, Dorrell and Lie, Introduction to Object ID (Getty, 1999): ten headings beside photographs, and five
more recommended. Guidelines 24 to 28: American Institute for Conservation, Guidelines for Practice with Commentaries.
EN 16095:2012 is from memory: its clauses were not seen.
"""

from dataclasses import replace

import pytest

from papers.chest import chest, survey
from papers.reading import words
from papers.work_done import book, plan, seen, single
from witnessmark.daybook import DayBook
from witnessmark.papers.checklist import _ANSWERS, LOOKING, State, lines_of
from witnessmark.sources import table

# The headings of the Object ID checklist, clauses 1.1 to 1.11 of the Introduction.
HEADINGS = {
    "1.1": "id_photos", "1.2": "id_object_type", "1.3": "id_measurements", "1.4": "id_materials",
    "1.5": "id_inscriptions", "1.6": "id_date", "1.7": "id_maker", "1.8": "id_subject", "1.9": "id_title",
    "1.10": "id_features", "1.11": "id_description",
}  # fmt: skip


def test_every_heading_of_object_id_is_on_the_list():
    rows = {row.key: row for row in table("papers", "record_checklist.csv")}
    assert {clause: key for clause, key in HEADINGS.items() if rows[key]["clause"] != clause} == {}
    recommended = [row for row in rows.values() if row["clause"] == "additional recommended"]
    assert len(recommended) == 5


@pytest.mark.parametrize(("guideline", "lines"), [("24", 6), ("25", 6), ("26", 12), ("27", 11), ("28", 4)])
def test_every_line_of_the_guidelines_is_on_the_list(guideline, lines):
    named = [row for row in table("papers", "record_checklist.csv")
             if row["standard"] == "Guideline" and row["clause"].startswith(guideline)]  # fmt: skip
    assert len(named) == lines


def test_every_line_has_an_answer_and_every_answer_its_line():
    assert {row.key for row in table("papers", "record_checklist.csv")} == set(_ANSWERS)


def state_of(key, of=None, daybook=None, pictures=0, **changed):
    lines = lines_of(chest(of=of, **changed), daybook or DayBook(), pictures)
    return next(line.state for line in lines if line.key == key)


@pytest.mark.parametrize(
    ("key", "extra", "before", "after"),
    [
        ("id_features", '[[condition]]\nterm = "split"\npart = "TOP"', State.MISSING, State.HERE),
        ("exam_methods", '[[test]]\ntest = "alcohol"\nstate = "softens_sticky"', State.MISSING, State.HERE),
        ("exam_past_treatment", '[finish]\nwaxed_over = "yes"', State.MISSING, State.HERE),
        ("en_assessment", '[[condition]]\nterm = "split"\nseverity = "major"', State.MISSING, State.HERE),
    ],
)
def test_writing_it_down_takes_it_off_the_list(key, extra, before, after):
    assert state_of(key) is before
    assert state_of(key, of=survey(extra=extra)) is after


def test_photographs_and_the_log_are_asked_for():
    assert state_of("id_photos") is State.MISSING
    assert state_of("id_photos", pictures=2) is State.HERE
    assert state_of("treat_log", of=seen()) is State.MISSING
    assert state_of("treat_log", of=seen(), daybook=book()) is State.HERE


def test_consent_is_asked_of_an_owner_and_not_of_the_shop():
    assert state_of("plan_consent") is State.BY_HAND
    ours = survey()
    ours = ours.model_copy(update={"piece": ours.piece.model_copy(update={"came": type(ours.piece.came)("bought")})})
    assert state_of("plan_consent", of=ours) is State.NOT_ASKED


def test_work_in_hand_has_no_last_photograph():
    assert state_of("treat_after_photos") is State.MISSING
    one = chest()
    done = tuple(replace(p, logged={"state": "done", "minutes": 5, "who": ["Ellen"]}) for p in one.steps)
    assert state_of("treat_changes", steps=done) is State.HERE


def test_what_is_missing_stands_on_the_record_with_who_asks_for_it():
    said = words(single()["condition-report.pdf"])
    missing = [line for line in lines_of(plan(), book(), 0, LOOKING) if line.state is State.MISSING]
    assert missing
    for line in missing:
        assert line.item[0].upper() + line.item[1:] in said
        assert line.standard.split(",")[0] in said
    assert "This record is not complete" in said


def test_a_record_never_calls_itself_complete_while_something_is_wanted():
    must = [line for line in lines_of(plan(), book(), 0) if line.state is State.MISSING and line.required != "rec"]
    assert f"{len(must)} things it must hold are still missing" in words(single()["treatment-record.pdf"])
