"""Into condition: flat yet?"""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pieces import chest
from witnessmark.quantities import Percent, Range, Span
from witnessmark.wood import TooFewReadings, time_to_go, trend_of, trends_in

approx = pytest.approx
START = datetime(2026, 11, 1, 8, tzinfo=UTC)
HOUSE = Range(Percent(6), Percent(9), Percent(12))


def weekly(*values):
    return [(START + timedelta(weeks=week), value) for week, value in enumerate(values)]


def test_one_reading_tells_no_trend():
    with pytest.raises(TooFewReadings, match="again in a week"):
        trend_of("TOP", "meter", weekly(14.0))
    with pytest.raises(TooFewReadings):
        trend_of("TOP", "meter", [(START, 14.0), (START, 13.0)])


def test_still_drying_then_flat_and_ready():
    drying = trend_of("TOP", "meter", weekly(16.0, 14.0), HOUSE)
    assert (drying.per_week, drying.flat, drying.near, drying.ready) == (-2.0, False, False, False)
    flat = trend_of("TOP", "meter", weekly(16.0, 11.1, 11.0), HOUSE)
    assert (flat.flat, flat.near, flat.ready) == (True, True, True)


def test_flat_but_far_from_the_house_is_not_ready():
    wet = trend_of("TOP", "meter", weekly(16.0, 15.9), HOUSE)
    assert (wet.flat, wet.near, wet.ready) == (True, False, False)


def test_two_readings_in_a_day_show_the_meter_not_the_wood():
    soon = trend_of("TOP", "meter", [(START, 11.0), (START + timedelta(hours=5), 11.0)], HOUSE)
    assert soon.flat is False


def test_a_weekly_reading_goes_before_yesterdays():
    readings = [(START, 14.0), (START + timedelta(days=7), 12.0), (START + timedelta(days=8), 12.0)]
    assert trend_of("TOP", "meter", readings, HOUSE).per_week == approx(-2 * 7 / 8)


@given(st.floats(200, 5000), st.floats(-0.05, 0.05), st.floats(0.01, 100))
def test_a_weight_in_any_unit_has_one_trend(weight, share, unit):
    one = trend_of("FOOT", "weight", weekly(weight, weight * (1 + share)))
    other = trend_of("FOOT", "weight", weekly(weight * unit, weight * (1 + share) * unit))
    assert one.per_week == approx(other.per_week, abs=1e-9)
    assert one.near is None  # a weight can't tell how near the house it is


@given(st.floats(10, 30), st.floats(0.05, 0.95))
def test_the_time_to_go_ends_near_the_target(start, share):
    last = 8 + (start - 8) * share
    time = time_to_go(start, last, Percent(8), Percent(1), Span.weeks(1))
    after = 8 + (last - 8) * share ** (time / Span.weeks(1))
    assert abs(after - 8) <= 1 + 1e-6


def test_what_comes_no_nearer_has_no_time():
    with pytest.raises(TooFewReadings, match="room's air"):
        time_to_go(12, 13, Percent(8), Percent(1), Span.weeks(1))


def test_the_chest_is_not_in_condition_yet():
    trends = {(one.part, one.by): one for one in trends_in(chest(), "UK", datetime(2026, 11, 25, tzinfo=UTC))}
    assert trends["SIDE-R", "meter"].per_week == approx(-2 * 7 / 6.72, rel=0.01)
    assert not trends["FOOT-BL", "weight"].flat
    before = trends_in(chest(), "UK", datetime(2026, 11, 20, tzinfo=UTC))
    assert before == ()  # one reading each by then
