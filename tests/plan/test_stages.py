"""In, looked over, quoted, apart, on the bench, together, out: where a piece stands, by what was done to it."""

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from entries import STEP, book, entries, off, refit, stage, worked
from pieces import NOW
from small_surveys import CHEST, TOP, condition, decision, survey_with
from witnessmark.daybook import DayBook, Stage
from witnessmark.plan import stage_of, what_holds

JOINT = """
[[joint]]
code = "J1"
parts = ["TOP", "SIDE"]
held = ["screwed"]
state = "loose"
withdraw = "up"
[[joint.fixing]]
code = "S1"
hole = "left, back"
kept = "tin 3"
ends = "{ends}"
{more}
"""


def screwed(ends: str = "open", more: str = ""):
    return survey_with(TOP, JOINT.format(ends=ends, more=more))


def at(survey, *said):
    return stage_of(survey, book(*said)).stage


# --- in, looked over, quoted ---


def test_a_piece_nobody_looked_at_is_in_since_the_day_it_came():
    standing = stage_of(survey_with(piece=CHEST + "came_on = 2026-11-20\n"), DayBook())
    assert standing.stage is Stage.IN
    assert standing.since.isoformat() == "2026-11-20T00:00:00+00:00"
    assert stage_of(survey_with(), DayBook()).since is None


@pytest.mark.parametrize(
    "table",
    [
        condition("split", "TOP"),
        '[[test]]\ntest = "alcohol"\nstate = "softens_sticky"\n',
        '[[reading]]\nabout = "date"\nfeature = "saw_marks"\n',
        '[[trial]]\nstep = "clean"\narea = "0.1 m2"\nminutes = "12 min"\n',
    ],
)
def test_what_was_found_on_it_means_it_was_looked_over(table):
    assert at(survey_with(TOP, table)) is Stage.LOOKED_OVER


def test_a_dated_finish_test_says_since_when():
    survey = survey_with(TOP, '[[test]]\ntest = "alcohol"\nstate = "no_effect"\non = 2026-11-21\n')
    assert stage_of(survey, DayBook()).since.date().isoformat() == "2026-11-21"


def test_photographing_it_is_looking_and_no_work():
    assert at(survey_with(TOP), worked("record.piece")) is Stage.LOOKED_OVER
    assert at(survey_with(TOP), worked("photograph.unplanned")) is Stage.LOOKED_OVER


def test_a_price_decided_or_said_on_the_job_card_is_a_quote():
    assert at(survey_with(TOP, decision("price", price="£400"))) is Stage.QUOTED
    assert at(survey_with(piece=CHEST + 'job = "one loose foot"\nprice_said = "£45"\n')) is Stage.QUOTED
    assert at(survey_with(piece=CHEST + 'price_said = "don\'t know"\n')) is Stage.IN
    assert at(survey_with(TOP, decision("way", choose="clean_wax"))) is Stage.IN


def test_a_new_price_does_not_take_it_off_the_bench():
    survey = survey_with(TOP, decision("price", price="£400").replace("2026-11-20", "2026-12-20"))
    standing = stage_of(survey, book(worked()))
    assert standing.stage is Stage.ON_THE_BENCH
    assert [one.stage for one in standing.reached] == [Stage.IN, Stage.QUOTED, Stage.ON_THE_BENCH]


# --- apart, on the bench, together ---


def test_it_is_apart_until_work_is_logged():
    assert at(screwed(), off("TOP")) is Stage.APART
    assert at(screwed(), off("TOP"), worked("open_joints.joints")) is Stage.APART
    assert at(screwed(), off("TOP"), worked()) is Stage.ON_THE_BENCH
    assert at(screwed(), worked(), off("TOP")) is Stage.APART


@pytest.mark.parametrize("what", ["worked", "coat", "done", "started", "used"])
def test_every_kind_of_work_puts_it_on_the_bench(what):
    said = {"step": STEP}
    said |= {"minutes": "1 h"} if what == "worked" else {}
    said |= {"amounts": [{"material": "white spirit", "volume": "60 ml"}]} if what == "used" else {}
    assert at(survey_with(TOP), (what, said)) is Stage.ON_THE_BENCH


@pytest.mark.parametrize("step", ["mix.shellac", "stir.shellac.1", "condition.piece", "isolate.piece"])
def test_mixing_and_waiting_are_no_work_on_it(step):
    assert at(survey_with(TOP), worked(step)) is Stage.IN


def test_money_notes_and_cautions_move_nothing():
    said = [
        ("paid", {"sum": "£50"}), ("acknowledged", {"to": "lead_no_dust", "step": STEP}), ("note", {"note": "odd"}),
        ("signed", {"photograph": "a" * 64, "to": "handing-in receipt"}), ("sent", {"to": "the caner"}),
    ]  # fmt: skip
    assert at(survey_with(TOP), *said) is Stage.IN


def test_it_is_together_when_all_that_came_off_is_back_and_every_fixing_has_its_ending():
    assert at(screwed("back"), off("TOP"), refit("TOP")) is Stage.TOGETHER
    assert at(screwed("not going back", 'why = "a later botch"'), off("TOP"), refit("TOP")) is Stage.TOGETHER
    assert at(screwed("back"), off("TOP"), off("SIDE"), refit("TOP")) is Stage.APART


def test_it_is_not_called_together_while_one_fixing_is_open_and_it_says_which():
    standing = stage_of(screwed(), book(off("TOP"), refit("TOP")))
    assert standing.stage is Stage.APART
    assert standing.holds == ("S1 of TOP (left, back), kept in tin 3: still open",)
    assert not standing.refused


def test_called_together_by_hand_it_is_refused_with_the_list():
    standing = stage_of(screwed(), book(off("TOP"), stage("together")))
    assert (standing.stage, standing.refused) == (Stage.APART, True)
    assert standing.holds == ("TOP, top: still off", "S1 of TOP (left, back), kept in tin 3: still open")


def test_once_the_fixing_has_its_ending_what_was_called_together_is():
    said = book(off("TOP"), refit("TOP"), stage("together"))
    assert stage_of(screwed(), said).refused
    standing = stage_of(screwed("back"), said)
    assert (standing.stage, standing.refused, standing.holds) == (Stage.TOGETHER, False, ())


def test_a_fixing_that_lies_by_holds_a_piece_that_never_came_apart():
    assert what_holds(screwed(), DayBook()) == ("S1 of TOP (left, back), kept in tin 3: still open",)
    assert stage_of(screwed(), book(stage("together"))).refused
    assert what_holds(screwed("back"), DayBook()) == ()


def test_putting_together_does_not_undo_together_but_other_work_does():
    back = (off("TOP"), refit("TOP"))
    assert at(screwed("back"), *back, worked("glue_up.1")) is Stage.TOGETHER
    assert at(screwed("back"), *back, worked("hardware_back.hardware")) is Stage.TOGETHER
    assert at(screwed("back"), *back, worked("photograph_after.piece")) is Stage.TOGETHER
    assert at(screwed("back"), *back, worked("wax.show")) is Stage.ON_THE_BENCH


def test_gluing_up_is_work_while_it_is_apart():
    assert at(screwed("back"), off("TOP"), worked("glue_up.1")) is Stage.ON_THE_BENCH


def test_what_never_came_off_is_not_together_by_being_put_back():
    assert at(screwed("back"), worked(), refit("TOP")) is Stage.ON_THE_BENCH


# --- by hand ---


def test_a_stage_set_by_hand_holds_until_a_later_fact_moves_it_on():
    assert at(survey_with(TOP), worked(), stage("looked over")) is Stage.LOOKED_OVER
    assert at(survey_with(TOP), worked(), stage("looked over"), worked()) is Stage.ON_THE_BENCH
    assert at(survey_with(TOP), stage("quoted")) is Stage.QUOTED


def test_it_goes_out_by_hand_only_and_comes_back_by_hand_only():
    assert at(screwed("back"), off("TOP"), refit("TOP"), stage("out")) is Stage.OUT
    assert at(survey_with(TOP), stage("out"), worked()) is Stage.OUT
    assert at(survey_with(TOP), stage("out"), stage("in")) is Stage.IN
    assert at(survey_with(TOP), stage("out"), stage("in"), worked()) is Stage.ON_THE_BENCH


def test_a_move_struck_out_never_was():
    moved = entries(worked(), stage("out"))
    undo = entries(worked(), stage("out"), ("corrects", {"corrects": moved[1].id}))[2]
    assert stage_of(survey_with(TOP), DayBook.of([*moved, undo])).stage is Stage.ON_THE_BENCH


def test_another_piece_s_work_moves_nothing():
    assert at(survey_with(TOP), ("worked", {"minutes": "1 h", "piece": "C9"})) is Stage.IN


# --- whatever order it arrives in ---

_SAID = st.sampled_from([
    off("TOP"), refit("TOP"), off("SIDE"), refit("SIDE"), worked(), worked("record.piece"), worked("glue_up.1"),
    *(stage(one.value) for one in Stage),
])  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(st.lists(_SAID, max_size=6), st.randoms(use_true_random=False), st.sampled_from(["open", "back"]))
def test_the_order_of_arrival_and_sending_twice_change_nothing(said, random, ends):
    survey, once = screwed(ends), entries(*said)
    shuffled = [*once, *once]
    random.shuffle(shuffled)
    assert stage_of(survey, DayBook.of(shuffled)) == stage_of(survey, DayBook.of(once))


@settings(max_examples=60, deadline=None)
@given(st.lists(_SAID, max_size=8), st.sampled_from(["open", "back"]))
def test_together_is_never_said_of_what_is_not(said, ends):
    survey, log = screwed(ends), book(*said)
    standing = stage_of(survey, log)
    still_off = {code for kind, code in _last_moves(said) if kind == "off"}
    if standing.stage is Stage.TOGETHER:
        assert not standing.holds
        assert not still_off
        assert ends == "back"
    assert bool(standing.holds) == (bool(still_off) or ends == "open")
    assert standing.since is None or standing.since >= NOW
    assert standing.as_json()["stage"] in list(Stage)


def _last_moves(said):
    last = {}
    for kind, more in said:
        if kind == "off" or (kind == "refit" and more["part"] in last):
            last[more["part"]] = kind
    return [(kind, part) for part, kind in last.items()]


def test_every_order_of_three_facts_gives_one_standing():
    made = entries(off("TOP"), worked(), refit("TOP"))
    assert {stage_of(screwed("back"), DayBook.of(order)).stage for order in permutations(made)} == {Stage.TOGETHER}
