"""Lifting: farther, higher, rounder, oftener never allows more; and how many hands a piece wants."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.quantities import Length, Mass, Range
from witnessmark.safety import BadLift, Grip, Lift, Units, close_lift, hands_for, index_of, limit_of
from witnessmark.sources import given as said

LENGTHS = st.floats(0, 1700).map(Length)


@given(LENGTHS, LENGTHS, LENGTHS, st.floats(0, 135), st.floats(0, 6), st.floats(0.1, 8), st.sampled_from(Units))
def test_a_limit_is_never_more_than_the_constant(reach, height, travel, twist, often, hours, units):
    limit = limit_of(Lift(reach, height, travel, twist, often, hours, Grip.GOOD, units)).value
    assert Mass(0) <= limit <= units.mass(51 if units is Units.US else 23)


@given(LENGTHS, LENGTHS, st.floats(0, 6), st.floats(0, 6))
def test_farther_out_and_oftener_never_allows_more(near, far, seldom, often):
    near, far = sorted((near, far))
    seldom, often = sorted((seldom, often))
    easy = limit_of(Lift(near, Length(700), Length(300), per_minute=seldom)).value
    hard = limit_of(Lift(far, Length(700), Length(300), per_minute=often)).value
    assert hard <= easy


@pytest.mark.parametrize(
    ("per_minute", "hours"), [(7, 1), (1, 9), (1, 0), (-1, 1), (float("nan"), 1), (1, float("nan"))]
)
def test_off_the_table_is_refused(per_minute, hours):
    with pytest.raises(BadLift, match="off the table"):
        limit_of(Lift(Length(250), Length(750), Length(250), per_minute=per_minute, hours=hours))


def test_no_load_where_none_may_be_lifted():
    with pytest.raises(BadLift, match="Come closer"):
        index_of(said("load", Mass(1)), limit_of(Lift(Length(700), Length(750), Length(250))))


@pytest.mark.parametrize(
    ("kilograms", "people"),
    [(24, 1), (25, 1), (26, 2), (33, 2), (34, 3), (37, 3), (38, 4), (140, 4)],
)
def test_hands_by_what_a_team_shares(kilograms, people):
    # 25 kg held close at the elbow: HSE L23 (published). Two share two thirds, three half: from memory.
    assert hands_for(Mass.kilograms(kilograms)) == people


def test_the_heavier_end_counts():
    assert hands_for(Range(Mass.kilograms(20), Mass.kilograms(24), Mass.kilograms(30))) == 2


def test_a_deeper_load_is_held_farther_out():
    assert limit_of(close_lift(Length(500))).value < limit_of(close_lift(Length(200))).value
