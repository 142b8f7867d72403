"""Clearance against the Wood Handbook's worked example, and the trend of a drying board against its own law."""

import math
from datetime import UTC, datetime, timedelta

import pytest

from witnessmark.quantities import Length, Percent, Span
from witnessmark.sources import given, row
from witnessmark.wood import Sawn, movement_of, species, time_to_go, trend_of

approx = pytest.approx


def test_the_white_fir_of_the_handbook():
    # Wood Handbook FPL-GTR-190, p. 13-19: flat-grained white fir, 232 mm, 8 to 11 %: swells 1.7 mm. A drawer front of
    # it fitted at 8 % needs that much to be free at 11 %.
    swells = movement_of(
        [species("fir_white")], Sawn.FLAT, given("size", Length(232)), given("now", Percent(8)),
        given("damp", Percent(11)),
    )  # fmt: skip
    assert swells.value.millimetres == approx(1.7, abs=0.05)


def test_a_house_dries_wood_as_the_handbook_recommends():
    # Fig. 13-1: interior woodwork in most of the United States averages 8 %: inside the year of our US house.
    winter, summer = (row("wood", "climate.csv", key) for key in ("us_home_winter_typical", "us_northern_summer"))
    assert winter.number("mc_low_pct") <= 8 <= summer.number("mc_high_pct")


def test_a_board_that_closes_the_same_share_each_week():
    # Newton's law of approach, m(t) = target + (m₀ − target) e^(−kt): an independent way to the time to go.
    target, start, k = 9.0, 14.0, 0.2
    weeks = [target + (start - target) * math.exp(-k * week) for week in (0, 1)]
    left = time_to_go(weeks[0], weeks[1], Percent(target), Percent(1), Span.weeks(1))
    assert left / Span.weeks(1) == approx(math.log((weeks[1] - target) / 1) / k)


def test_constant_mass():
    # Weighed at a week's distance with no change: flat by any standard of constant mass (0.1 % between weighings, as
    # the oven-dry method of ASTM D4442 asks over a day: from memory).
    start = datetime(2026, 11, 1, tzinfo=UTC)
    flat = trend_of("TOP", "weight", [(start, 1000.0), (start + timedelta(days=7), 999.5)])
    losing = trend_of("TOP", "weight", [(start, 1000.0), (start + timedelta(days=7), 990.0)])
    assert (flat.flat, losing.flat) == (True, False)
