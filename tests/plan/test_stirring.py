"""When a jar is stirred: a few hours after it is really mixed, and the next morning; and what comes before all jars."""

from datetime import timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pieces import NOW, PIECES, daybook, piece, shop, slope
from small_surveys import TOP, decision, finish, survey_with
from witnessmark.daybook import DayBook
from witnessmark.plan import PiecePlan, plan_piece
from witnessmark.shop import shop_from

SHOP = """schema = 1
[shop]
name = "Two Benches"
gallon = "imperial"
zone = "Europe/London"
[[person]]
name = "Ann"
hours = {{ {hours} }}
"""
WEEK = 'mon-fri = "8:00-12:00, 13:00-17:00"'
SURVEY = survey_with(TOP, finish("shellac"), decision("way", choose="strip_brush"))


def stirred(plan: PiecePlan):
    """Each jar that is stirred: when its mixing ends, when it is stirred."""
    ends = {step.step.id: step.ends for step in plan.steps}
    return [(ends[f"mix.{mix.id.removeprefix('jar.')}"], mix.stir_at, mix) for mix in plan.mixes if mix.stir_at]


def faults(plan: PiecePlan) -> list[str]:
    """What is wrong with the stirring: too soon, too close together, on the same day, after the first use."""
    starts = {step.step.id: step.starts for step in plan.steps}
    zone = plan.shop.shop.zone_info
    wrong = []
    for mixed, stirs, mix in stirred(plan):
        if len(stirs) != 2:
            wrong.append(f"{mix.id} is stirred {len(stirs)} times")
        if stirs[0] - mixed < timedelta(hours=3):
            wrong.append(f"{mix.id} is stirred {stirs[0] - mixed} after it is mixed")
        for one, other in pairwise(stirs):
            if other - one < timedelta(hours=1) or one.astimezone(zone).date() == other.astimezone(zone).date():
                wrong.append(f"{mix.id} is stirred at {one} and {other}")
        if stirs[-1] > min(starts[use.step] for use in mix.uses):
            wrong.append(f"{mix.id} is used before it is stirred")
    return wrong


@pytest.mark.parametrize("name", PIECES)
def test_the_demo_jars_are_stirred_hours_after_mixing_and_again_next_morning(name):
    assert faults(plan_piece(piece(name), shop(), daybook(), NOW)) == []


@pytest.mark.parametrize("later", range(7))
def test_whatever_day_the_work_begins_the_weekend_does_not_bring_two_stirs_together(later):
    plan = plan_piece(SURVEY, shop_from(SHOP.format(hours=WEEK), "shop.toml"), DayBook(), NOW + timedelta(days=later))
    ((mixed, stirs, _),) = stirred(plan)
    assert faults(plan) == []
    assert stirs[0].date() == mixed.date()  # mixed in the morning, it is stirred the same day
    morning = stirs[1].astimezone(plan.shop.shop.zone_info)
    assert morning.hour < 12
    gap = (stirs[1].date() - stirs[0].date()).days
    assert gap == (3 if mixed.weekday() == 4 else 1)  # over a weekend on Monday


@given(
    first=st.integers(7, 11), last=st.integers(13, 19),
    days=st.sampled_from(["mon-fri", "mon-thu", "tue-sat", "fri-sat"]), begin=st.integers(0, 6 * 24),
)  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_two_stirs_are_never_within_an_hour_of_one_another(first, last, days, begin):
    shop = shop_from(SHOP.format(hours=f'{days} = "{first}:00-{last}:00"'), "shop.toml")
    assert faults(plan_piece(SURVEY, shop, DayBook(), NOW + timedelta(hours=begin))) == []


def test_the_slope_is_photographed_before_glue_is_put_in_soak():
    plan = plan_piece(slope(), shop(), DayBook(), NOW)
    record = next(step for step in plan.steps if step.step.rule == "record")
    soak = next(step for step in plan.steps if step.step.rule == "soak")
    assert soak.starts.date() == record.starts.date() == NOW.date()  # on the first day
    assert soak.starts >= record.ends


@pytest.mark.parametrize("name", PIECES)
def test_nothing_is_mixed_soaked_or_tried_before_the_record(name):
    plan = plan_piece(piece(name), shop(), DayBook(), NOW)
    record = next(step for step in plan.steps if step.step.rule == "record")
    jars = [step for step in plan.steps if step.step.rule in {"mix", "soak", "stir", "glass_test"}]
    assert all(step.starts >= record.ends for step in jars)
