"""Jars over time: whatever the piece and whatever stands on the shelf, none runs dry, none is used before it is fit."""

from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pieces import NOW, PIECES, daybook, piece, shop, text_of
from small_surveys import TOP, condition, decision, finish, survey_with
from witnessmark.daybook import DayBook
from witnessmark.plan import PiecePlan, plan_piece
from witnessmark.quantities import high, say
from witnessmark.shop import shop_from

PLAIN = """schema = 1
[shop]
name = "Two Benches"
gallon = "imperial"
[[person]]
name = "Ann"
hours = { mon-fri = "8:00-12:00, 13:00-17:00" }
"""


def shelf(material: str, volume: int | None = None, mass: int | None = None, **more: str) -> str:
    lines = [f'material = "{material}"', *(f"{key} = {value}" for key, value in more.items())]
    lines += [f'volume = "{volume} ml"'] if volume else []
    lines += [f'mass = "{mass} g"'] if mass else []
    return "[[cupboard]]\n" + "\n".join(lines) + "\n"


def plan_with(cupboard: str, *tables: str) -> PiecePlan:
    return plan_piece(survey_with(TOP, *tables), shop_from(PLAIN + cupboard, "shop.toml"), DayBook(), NOW)


def overdrawn(plan: PiecePlan) -> list[str]:
    """Each instant at which a jar is drawn on beyond what is in it, or before it is fit, or after it has gone off."""
    at = {step.step.id: step for step in plan.steps}
    wrong = []
    for mix in plan.mixes:
        left = mix.make.magnitude
        for use in sorted(mix.uses, key=lambda use: at[use.step].starts):
            left -= high(use.volume).magnitude
            if left < -1e-9:
                wrong.append(f"{mix.id} is dry at {use.step}")
            if mix.ready_at and at[use.step].starts < mix.ready_at:
                wrong.append(f"{mix.id} is not ready for {use.step}")
            if mix.best_before and at[use.step].ends > mix.best_before:
                wrong.append(f"{mix.id} has gone off before {use.step} ends")
        if mix.from_shelf and mix.make.magnitude > _there(plan, mix.from_shelf):
            wrong.append(f"{mix.id}: more than stands on the shelf")
    return wrong


def _there(plan: PiecePlan, jar: str) -> float:
    return sum(shelf.volume.value.magnitude for shelf in plan.shop.cupboard if shelf.jar == jar and shelf.volume)


@pytest.mark.parametrize("name", PIECES)
def test_no_jar_of_the_demo_is_overdrawn_at_any_instant(name):
    assert overdrawn(plan_piece(piece(name), shop(), daybook(), NOW)) == []


@given(
    kind=st.sampled_from(["shellac", "oil varnish", "oil paint", "wax", "don't know"]),
    way=st.sampled_from(["revive", "strip_brush", "strip_rubber", "varnish_barrier", "keep_paint", "clean_wax"]),
    faults=st.lists(
        st.sampled_from(["split", "loss", "veneer lifting", "wear", "crack", "break", "gouge"]), max_size=5
    ),
    old=st.integers(10, 900),
    hard=st.sampled_from(["true", "false", '"don\'t know"']),
)
@settings(max_examples=25, deadline=None)
def test_no_plan_overdraws_a_jar_at_any_instant(kind, way, faults, old, hard):
    jar = shelf("shellac", old, jar='"A"', cut='"2 lb"', dried_hard=hard)
    plan = plan_with(
        jar + shelf("shellac flakes", mass=100), finish(kind), decision("way", choose=way),
        *(condition(term, "TOP") for term in faults),
    )  # fmt: skip
    assert overdrawn(plan) == []
    # what is bought and what is there covers what is taken
    for line in plan.shopping:
        if line.packs:
            assert line.need.magnitude > line.on_shelf.magnitude


def test_glue_is_soaked_anew_for_work_that_is_weeks_apart():
    plan = plan_piece(piece("chest"), shop(), DayBook(), NOW)
    pots = [mix for mix in plan.mixes if mix.id.startswith("jar.glue")]
    assert len(pots) > 1
    drawn = [use.step for mix in pots for use in mix.uses]
    assert len(drawn) == len(set(drawn))  # each use from one pot
    wanted = {s.step.id for s in plan.steps for need in s.step.needs if need.material == "hide_glue_hot"}
    assert set(drawn) == wanted
    for mix in pots:
        name = mix.id.removeprefix("jar.")
        (soak,) = [step for step in plan.steps if step.step.id == f"mix.{name}"]
        assert soak.minutes.p50 > 0  # somebody's minutes in the calendar
        assert say(mix.resin) in soak.step.trade_name
        assert mix.best_before - mix.mix_at < timedelta(days=8)


def test_an_untried_old_jar_gets_a_drop_on_glass_and_a_fresh_mix_meanwhile():
    jar = shelf("shellac", 400, jar='"A"', cut='"2 lb"')
    plan = plan_with(jar, finish("shellac"), decision("way", choose="strip_brush"))
    (drop,) = [step for step in plan.steps if step.step.rule == "glass_test"]
    assert drop.slots
    assert drop.minutes.p50 > 0
    assert drop.step.wait.least.in_hours >= 12  # overnight: trade notes
    assert all(mix.from_shelf is None for mix in plan.mixes)


def test_a_hard_old_jar_seals_and_the_top_is_laid_fresh():
    jar = shelf("shellac", 900, jar='"A"', cut='"2 lb"', dried_hard="true")
    plan = plan_with(jar, finish("shellac"), decision("way", choose="strip_brush"))
    by_id = {mix.id: mix for mix in plan.mixes}
    assert {use.step for use in by_id["jar.old"].uses} == {"seal.show"}
    assert {use.step for use in by_id["jar.shellac"].uses} == {"brush_coats.show"}
    assert "glass_test" not in {step.step.rule for step in plan.steps}


def test_an_old_jar_that_stayed_soft_is_left_alone():
    jar = shelf("shellac", 900, jar='"A"', cut='"2 lb"', dried_hard="false")
    plan = plan_with(jar, finish("shellac"), decision("way", choose="strip_brush"))
    assert [mix.id for mix in plan.mixes] == ["jar.shellac"]
    assert "glass_test" not in {step.step.rule for step in plan.steps}


def test_some_of_each_mix_is_kept_back_for_making_good():
    plan = plan_with("", finish("shellac"), decision("way", choose="strip_rubber"))
    (mix,) = [mix for mix in plan.mixes if mix.id == "jar.shellac"]
    assert mix.kept_back.magnitude > 0
    assert mix.kept_back.magnitude == pytest.approx(
        mix.make.magnitude - sum(high(use.volume).magnitude for use in mix.uses)
    )


def test_the_demo_shop_has_the_jars_the_tests_speak_of():
    assert 'jar = "B"' in text_of("shop.toml")
