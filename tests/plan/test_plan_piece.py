"""`plan_piece`: the rooms in order, for the demo pieces and for small ones."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pieces import NOW, PIECES, daybook, piece, shop
from small_surveys import ID, TOP, condition, finish, survey_with, wishes
from witnessmark.daybook import DayBook, daybook_from
from witnessmark.plan import plan_as_json, plan_piece
from witnessmark.quantities import high, low, usual
from witnessmark.shop import plain_shop
from witnessmark.sources import bibliography, recomputed, table, table_of


def planned(name: str):
    return plan_piece(piece(name), shop(), daybook(), NOW)


def small(*tables: str, **more):
    return plan_piece(survey_with(*tables, **more), plain_shop(), DayBook(), NOW)


def test_same_documents_and_same_now_give_the_same_bytes():
    first, second = (json.dumps(plan_as_json(planned("chest")), sort_keys=True) for _ in range(2))
    assert first == second


@pytest.mark.parametrize("name", PIECES)
def test_every_working_works_out_again_from_its_own_inputs(name):
    flat = table_of(planned(name).workings)
    assert len(flat) > 20
    for key, entry in flat.items():
        again = recomputed(flat, key)
        assert _close(again, entry["value"]), key


def _close(one, other) -> bool:
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(_close(one[key], other[key]) for key in one)
    if isinstance(one, list | tuple):
        return len(one) == len(other) and all(map(_close, one, other))
    if isinstance(one, float | int) and not isinstance(one, bool):
        return one == pytest.approx(other, rel=1e-6, abs=0.011)  # money is rounded to the penny
    return one == other


@pytest.mark.parametrize("name", PIECES)
def test_every_source_relied_on_is_in_the_bibliography(name):
    for source in plan_as_json(planned(name))["bibliography"]:
        assert source["key"] in bibliography()


@pytest.mark.parametrize("name", PIECES)
def test_steps_come_after_what_they_need_and_waits_are_kept(name):
    plan = planned(name)
    by_id = {step.step.id: step for step in plan.steps}
    for step in plan.steps:
        if step.logged and step.logged["state"] == "done":
            continue
        for before in step.step.after:
            if before in by_id and by_id[before].ends and step.starts:
                least = timedelta(minutes=by_id[before].step.wait.least.minutes)
                assert step.starts >= by_id[before].ends + least, (before, step.step.id)


@pytest.mark.parametrize("name", PIECES)
def test_no_jar_is_overdrawn_and_every_jar_is_fit_before_its_first_use(name):
    plan = planned(name)
    starts = {step.step.id: step.starts for step in plan.steps}
    for mix in plan.mixes:
        drawn = [use.volume for use in mix.uses]
        assert sum(high(volume).magnitude for volume in drawn) <= mix.make.magnitude + 1e-9, mix.id
        if mix.ready_at is None:
            assert mix.from_shelf is not None
            continue
        first = min(start for use in mix.uses if (start := starts[use.step]))
        assert mix.mix_at < mix.ready_at <= first
        assert all(mix.mix_at + timedelta(hours=3) <= at <= first for at in mix.stir_at)  # and never after its use


@pytest.mark.parametrize("name", PIECES)
def test_total_amounts_equal_the_sum_over_steps(name):
    plan = planned(name)
    drawn = {use.step for mix in plan.mixes for use in mix.uses}
    for line in plan.shopping:
        needs = [
            high(need.amount.value).magnitude
            for step in plan.steps
            if not (step.logged and step.logged["state"] == "done") and step.step.id not in drawn
            for need in step.step.needs
            if need.material == line.material
        ]
        if needs and line.material not in {"ethanol_denatured", "shellac_flakes", "hide_glue"}:
            assert line.need.magnitude == pytest.approx(sum(needs))


def test_nobody_is_in_two_places():
    plan = planned("chest")
    slots = sorted(
        (slot for step in plan.steps if not step.logged for slot in step.slots), key=lambda slot: (slot.who, slot.start)
    )
    for one, other in pairwise(slots):
        if one.who == other.who:
            assert one.end <= other.start


def test_an_unknown_finish_opens_at_least_three_branches_with_different_steps():
    plan = small(TOP, finish("don't know"), condition("crazing"), wishes(keep="nothing"))
    assert len(plan.branches) >= 3
    different = {tuple(step.id for step in branch.steps) for branch in plan.branches}
    assert len(different) >= 3


def test_entering_the_reading_closes_the_branches_and_drops_the_test():
    plan = small(TOP, finish("shellac"))
    assert plan.branches == ()
    assert "spot_tests" not in {step.step.rule for step in plan.steps}


SAID = '[[test]]\ntest = "{}"\nstate = "{}"\n'


def test_a_spot_test_entered_closes_the_branches_and_the_plan_is_one():
    asked = (TOP, finish("don't know"), condition("wear", "TOP"), wishes(keep="old surface"))
    before = small(*asked)
    after = small(*asked, SAID.format("alcohol", "softens_sticky"))
    assert len(before.branches) == 5
    assert after.branches == ()
    assert "spot_tests" not in {step.step.rule for step in after.steps}
    assert {step.step.rule for step in after.steps} - {"mix", "soak", "stir"} == {
        step.rule for step in before.branches[0].steps
    } - {"mix", "soak", "stir"}  # the branch of shellac is now the plan
    assert any(fact.key == "finish.kind" and "by its tests" in fact.said for fact in after.facts.known)
    assert "finish.kind" not in {fact.key for fact in after.facts.missing}


def test_a_spot_test_that_tells_half_leaves_half_the_branches():
    narrowed = small(TOP, finish("don't know"), SAID.format("alcohol", "no_change"))
    ifs = " ".join(branch.condition for branch in narrowed.branches)
    assert "spirit softens it" not in ifs  # the one thing this test rules out
    assert "thinner softens it" in ifs
    assert "oil varnish" in ifs
    assert "spot_tests" in {step.step.rule for step in narrowed.steps}


def test_how_it_comes_apart_and_together_is_in_the_plan():
    out = plan_as_json(planned("chest"))["takedown"]
    shut = set(out["stays_shut"])
    assert shut
    for stage in out["glue_stages"]:
        assert not shut & set(stage["joints"])
        assert stage["seconds"]["value"] <= stage["open_time"]["value"]
    assert [entry["part"] for entry in out["refit"]] == [entry["take"] for entry in reversed(out["order"])]
    opened = {joint for step in planned("chest").steps if step.step.rule == "open_joints" for joint in ["J2", "J3"]}
    assert opened & shut == set()


def test_a_ring_of_joints_is_said_and_does_not_stop_the_plan():
    ring = "".join(
        f'[[part]]\ncode = "{code}"\nname = "part {code}"\n' for code in "ABC"
    ) + "".join(
        f'[[joint]]\ncode = "J{number}"\nparts = ["{one}", "{other}"]\nheld = ["glued"]\nstate = "loose"\n'
        f'withdraw = "{way}"\n'
        for number, (one, other, way) in enumerate([("A", "B", "up"), ("B", "C", "left"), ("C", "A", "forward")], 1)
    )  # fmt: skip
    plan = small(ring, finish("shellac"))
    assert "glue_up" in {step.step.rule for step in plan.steps}
    if plan.apart.taken is None:
        assert any("A" in warning and "B" in warning for warning in plan.warnings)


def test_ten_facts_missing_still_give_a_plan():
    plan = small(piece='[piece]\nkind = "chair"\n')
    assert plan.steps
    assert plan.facts.worth is not None
    assert low(plan.total.p50) > 0


def test_what_is_most_worth_finding_out_is_missing_and_settles_something():
    plan = small(finish("don't know"), TOP)
    assert plan.facts.worth in plan.facts.missing
    assert plan.facts.worth.key in {"finish.kind", "trial"}


def entry(what: str, minute: int, step: str = "clean.show", minutes: str = "90 min") -> str:
    return json.dumps(
        {
            "id": f"0190a5b2-0000-7000-8000-0000000001{minute:02d}", "what": what, "who": "Ann",
            "happened": f"2026-11-24T15:{minute:02d}:00+00:00", "piece": ID, "minutes": minutes,
            "step": {"id": step, "trade_name": "clean with a wrung swab", "parts": ["TOP"]},
        }
    )  # fmt: skip


def with_entries(*lines: str):
    book = daybook_from("\n".join(lines) + "\n", "book.jsonl", plain_shop().context)
    return plan_piece(survey_with(TOP, finish("shellac")), plain_shop(), book, NOW)


def test_a_done_step_becomes_a_fact_and_costs_nothing_more():
    before = small(TOP, finish("shellac"))
    after = with_entries(entry("done", 10))
    (clean,) = [step for step in after.steps if step.step.id == "clean.show"]
    assert clean.logged["state"] == "done"
    assert clean.ends == datetime(2026, 11, 24, 15, 10, tzinfo=UTC)
    assert after.total.p50 < before.total.p50
    assert usual(after.cost.so_far).amount > usual(before.cost.so_far).amount


def test_a_logged_step_the_rules_no_longer_call_for_stays_as_a_fact():
    plan = with_entries(entry("done", 10, step="strip.show"))
    (strip,) = [step for step in plan.steps if step.step.id == "strip.show"]
    assert strip.step.rule == "logged"
    assert strip.logged["minutes"] == 90


def test_a_begun_step_is_not_done():
    plan = with_entries(entry("worked", 10))
    (clean,) = [step for step in plan.steps if step.step.id == "clean.show"]
    assert clean.logged["state"] == "begun"
    assert clean.starts >= NOW


def test_a_step_done_out_of_turn_lets_nothing_past_that_was_still_to_wait_for():
    piece_ = '[piece]\nkind = "chest"\ncame_from = "barn"\nsize = "1105 x 500 x 1080 mm"\n'
    survey = survey_with(TOP, finish("shellac"), piece=piece_)
    book = daybook_from(entry("done", 10) + "\n", "book.jsonl", plain_shop().context)
    plan = plan_piece(survey, plain_shop(), book, NOW)
    by_rule = {step.step.rule: step for step in plan.steps}
    assert by_rule["wax"].starts - by_rule["condition"].ends >= timedelta(hours=336)


def test_old_shellac_is_used_for_sealing_only_after_its_drop_on_glass_is_hard():
    def jars(dried: bool | None):
        shelf = shop().cupboard[1]
        assert shelf.cut is not None
        cupboard = (shelf.model_copy(update={"dried_hard": dried, "best_before": None}),)
        mine = shop().model_copy(update={"cupboard": cupboard})
        plan = plan_piece(survey_with(TOP, finish("shellac"), condition("loss", "TOP")), mine, DayBook(), NOW)
        return [mix.from_shelf for mix in plan.mixes if mix.material == "shellac"]

    assert any(jars(True))
    assert not any(jars(False))
    assert not any(jars(None))


def test_what_is_on_the_shelf_is_not_bought_again():
    empty = shop().model_copy(update={"cupboard": ()})
    bought = {line.material: line.packs for line in plan_piece(piece("chest"), empty, DayBook(), NOW).shopping}
    stocked = {line.material: line.packs for line in plan_piece(piece("chest"), shop(), DayBook(), NOW).shopping}
    assert any(stocked[key] < bought[key] for key in bought)
    assert all(stocked[key] <= bought[key] for key in bought)


def test_unknown_widens_and_never_narrows():
    known = small(TOP, finish("shellac"))
    unknown = small(TOP.replace('"1000 x 480 x 18 mm"', '"don\'t know"'), finish("shellac"))

    def width(plan):
        need = next(n.amount.value for s in plan.steps for n in s.step.needs if s.step.rule == "clean")
        return high(need).magnitude - low(need).magnitude

    assert width(unknown) > width(known)


def test_every_rule_of_the_treatment_is_heard():
    rules = {said.rule for said in planned("chest").rules}
    assert {row.key for row in table("treatment", "steps.csv", key="rule")} <= rules


KINDS = ("chest", "sideboard", "table", "chair", "box", "bookcase", "bed", "mirror")


@given(
    st.sampled_from(KINDS), st.sampled_from(["shellac", "oil paint", "don't know", "wax", "none"]), st.integers(0, 3000)
)
@settings(max_examples=15)
def test_any_piece_at_any_hour_has_a_plan(kind, old, hours):
    now = NOW + timedelta(hours=hours)
    survey = survey_with(finish(old), piece=f'[piece]\nkind = "{kind}"\n')
    plan = plan_piece(survey, plain_shop(), DayBook(), now)
    assert all(step.starts >= now for step in plan.steps if step.starts)
    assert sum(way.chosen for way in plan.ways) == 1


def test_the_plan_is_frozen():
    plan = planned("chair")
    assert replace(plan) == plan
