"""Lifting against NIOSH 94-110 (rev. 2021), Applications Manual, through a public transcription.

The manual rounds its multipliers to two places and its limits to one; ours are worked in full, so they may differ in
the last digit. A tenth of a pound is what the manual prints to.
"""

import pytest

from witnessmark.quantities import Length, Mass
from witnessmark.safety import Grip, Lift, Units, index_of, limit_of
from witnessmark.sources import given

approx = pytest.approx


def inches(reach, height, travel, **more):
    return Lift(Length.inches(reach), Length.inches(height), Length.inches(travel), units=Units.US, **more)


def pounds(lift):
    return limit_of(lift).value / Mass.pounds(1)


# Example 4, package inspection, p. 46: 51 × 1.0 × 0.94 × 0.87 × 1.0 × 0.88 × 0.95 = 34.9 lb at the start. The factors
# say reach 10 in, hands at 22 in, 37 in up, three a minute within the hour, fair grip.
def test_example_4_at_the_start():
    assert pounds(inches(10, 22, 37, per_minute=3)) == approx(34.9, abs=0.15)


# The same at its end: 51 × 0.50 × 0.78 × 0.87 × 1.0 × 0.88 × 1.0 = 15.2 lb; up there a fair grip costs nothing.
def test_example_4_at_the_end():
    assert pounds(inches(20, 59, 37, per_minute=3)) == approx(15.2, abs=0.15)


def test_example_4_indices():
    # Load 26 lb, indices 0.7 and 1.7: from memory, to the one place printed.
    for lift, printed in ((inches(10, 22, 37, per_minute=3), 0.7), (inches(20, 59, 37, per_minute=3), 1.7)):
        assert round(index_of(given("load", Mass.pounds(26)), limit_of(lift)).value, 1) == printed


def test_a_forty_four_pound_reel():
    # Example 1 of the manual, from memory: 44 lb, index 2.7. Its limit is printed 16.3 lb with a reach factor from a
    # table, 0.44; 10 ÷ 23 is 0.435, and the full sum 16.0.
    lift = inches(23, 15, 48)
    assert round(index_of(given("load", Mass.pounds(44)), limit_of(lift)).value, 1) == 2.7
    assert pounds(lift) == approx(51 * (10 / 23) * (1 - 0.0075 * 15) * (0.82 + 1.8 / 48) * 0.95)


def test_the_best_lift_there_is_takes_the_whole_constant():
    # 23 kg and 51 lb are each the constant of their own unit set; they are no conversion of each other.
    assert limit_of(Lift(Length(250), Length(750), Length(250))).value == Mass.kilograms(23)
    assert pounds(inches(10, 30, 10)) == approx(51)


@pytest.mark.parametrize(
    ("lift", "limit"),
    [
        (Lift(Length(640), Length(750), Length(250)), 0),  # beyond 63 cm
        (Lift(Length(250), Length(1800), Length(250)), 0),  # above 175 cm
        (Lift(Length(250), Length(750), Length(250), twist=140), 0),  # beyond 135 degrees
        (Lift(Length(250), Length(750), Length(250), grip=Grip.POOR), 23 * 0.9),
        (Lift(Length(500), Length(750), Length(250)), 11.5),
    ],
)
def test_bounds_of_the_equation(lift, limit):
    assert limit_of(lift).value.grams == approx(limit * 1000)
