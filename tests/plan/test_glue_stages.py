"""Gluing up in the calendar: a step a stage, each with its own joints, glue, hands and time in the cramps."""

from datetime import UTC, datetime
from itertools import pairwise

import pytest

from pieces import NOW, chair, chest, shop
from small_surveys import decision, finish, survey_with
from witnessmark.daybook import DayBook, daybook_from
from witnessmark.finish import adhesive
from witnessmark.plan import PiecePlan, plan_piece, steps_meant
from witnessmark.quantities import high, usual

CHAIR = '[piece]\nkind = "chair"\nshow_wood = "beech"\n'
PARTS = """
[[part]]
code = "SEAT"
name = "seat"
wood = "elm"
[[part]]
code = "LEG"
name = "leg"
wood = "beech"
[[part]]
code = "RUNG"
name = "rungs"
wood = "beech"
count = 8
[[joint]]
code = "J1"
parts = ["RUNG", "LEG"]
held = ["glued"]
state = "loose"
withdraw = "right"
"""
# Each holds the other: A can't leave before B, nor B before A.
RING = """
[[part]]
code = "A"
name = "left cheek"
[[part]]
code = "B"
name = "right cheek"
[[part]]
code = "C"
name = "tongue"
[[joint]]
code = "J1"
parts = ["A", "B"]
held = ["glued"]
state = "loose"
withdraw = "up"
[[joint]]
code = "J2"
parts = ["A", "B"]
held = ["glued"]
state = "loose"
withdraw = "left"
"""


def glued(plan: PiecePlan):
    return [planned for planned in plan.steps if planned.step.rule == "glue_up"]


def planned(survey, book: DayBook | None = None) -> PiecePlan:
    return plan_piece(survey, shop(), book or DayBook(), NOW)


def test_the_chest_is_glued_a_stage_at_a_time_in_the_order_of_its_takedown():
    plan = planned(chest())
    steps = [each.step for each in glued(plan)]
    assert [step.id for step in steps] == [f"glue_up.{number}" for number in range(1, len(steps) + 1)]
    assert len(steps) > 2
    assert "dry_fit.joints" in steps[0].after  # a dry run before the first
    for before, step in pairwise(steps):
        assert step.after == (before.id,)
    later = [each.step for each in plan.steps if set(each.step.after) & {step.id for step in steps}]
    assert {one for step in later if step.rule != "glue_up" for one in step.after if one.startswith("glue_up")} == {
        steps[-1].id
    }


def test_a_stage_stays_in_its_cramps_for_as_long_as_the_glues_table_says():
    # Hot hide glue: 10 to 90 min in the cramps, adhesives.csv (a retailer's page and a page on natural glues).
    cramped = adhesive("hide_glue_hot").cramped.value
    stages = glued(planned(chest()))
    for before, after in pairwise(stages):
        assert before.step.wait.usual == high(cramped)
        assert (after.starts - before.ends).total_seconds() / 60 >= high(cramped).minutes - 1
    assert stages[-1].step.wait.least.in_hours >= 12  # before any load: common practice


def test_each_stage_takes_glue_for_its_own_joints_from_the_pot():
    plan = planned(chest())
    drawn = {use.step: use.volume for mix in plan.mixes for use in mix.uses}
    each = None
    for one in glued(plan):
        (need,) = one.step.needs
        assert one.step.id in drawn
        share = usual(need.amount.value).grams / one.step.count
        assert each is None or share == pytest.approx(each)
        each = share
        assert one.minutes.p50 > 0
    ten, two = (next(one for one in glued(plan) if one.step.count == count) for count in (10, 2))
    assert ten.minutes.p50 > two.minutes.p50  # minutes by joints


def test_hands_and_cramps_stand_with_the_stage():
    (stage,) = glued(planned(chair()))
    assert "5 cramps" in stage.step.tools
    assert any("stays open" in why.says for why in stage.step.why)


def test_eight_rungs_on_one_row_are_eight_joints():
    (stage,) = glued(planned(survey_with(PARTS, finish("wax"), piece=CHAIR)))
    assert stage.step.count == 8
    (one,) = glued(planned(survey_with(PARTS.replace("count = 8", "count = 1"), finish("wax"), piece=CHAIR)))
    assert one.step.count == 1
    assert stage.minutes.p50 > 2 * one.minutes.p50
    assert usual(stage.step.needs[0].amount.value).grams == pytest.approx(
        8 * usual(one.step.needs[0].amount.value).grams
    )
    opened = next(
        step.step
        for step in planned(survey_with(PARTS, finish("wax"), piece=CHAIR)).steps
        if step.step.rule == "open_joints"
    )
    assert opened.count == 8
    assert any("part.RUNG.count" in why.cites for why in opened.why)


def test_where_no_order_apart_is_found_the_glue_up_stays_one_step():
    plan = planned(survey_with(RING, finish("wax"), piece=CHAIR))
    assert plan.apart.taken is None
    assert plan.warnings
    assert [one.step.id for one in glued(plan)] == ["glue_up.joints"]


def test_a_step_of_ones_own_after_gluing_comes_after_the_last_stage():
    own = decision("add", choose="weigh it", after="glue up by stages")
    survey = chest()
    with_own = survey.model_copy(update={"decision": (*survey.decision, *survey_with(own).decision)})
    plan = planned(with_own)
    (mine,) = [each.step for each in plan.steps if each.step.rule == "by_hand" and each.step.trade_name == "weigh it"]
    assert mine.after == (glued(plan)[-1].step.id,)


def logged(step: str, name: str) -> DayBook:
    entry = (
        '{"id": "0190a5b2-0000-7000-8000-0000000000aa", "happened": "2026-11-24T10:00:00+00:00", "who": "Ines", '
        f'"what": "done", "piece": "{chest().id}", "step": {{"id": "{step}", "trade_name": "{name}"}}, '
        '"minutes": "90 min"}\n'
    )
    return daybook_from(entry, "daybook.jsonl", shop().context)


def test_a_glue_up_logged_as_one_step_stays_a_fact_and_is_not_asked_for_again():
    plan = planned(chest(), logged("glue_up.joints", "glue up by stages"))
    (one,) = glued(plan)
    assert one.step.id == "glue_up.joints"
    assert one.logged["state"] == "done"
    assert one.slots[0].end == datetime(2026, 11, 24, 10, tzinfo=UTC)


def test_a_logged_stage_is_done_and_the_words_mean_the_next():
    plan = planned(chest(), logged("glue_up.1", "glue up, stage 1 of 4"))
    assert [one.logged is not None for one in glued(plan)][:2] == [True, False]
    assert [step.step.id for step in steps_meant("glue up", plan)] == ["glue_up.2"]
    assert "glue_up.1" not in {use.step for mix in plan.mixes for use in mix.uses}
