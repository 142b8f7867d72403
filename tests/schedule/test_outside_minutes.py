"""Minutes against worked examples of others: `data/duration_examples.csv`, with the tolerance each row gives.

L1, L2: a solutions manual on learning curves (chapter 13, pages 144-145), unit model, printed and recomputed.
W1: worked by hand from the conjugate normal rule and the log-normal quantile; its inputs are invented, so it checks the
sums and no trade figure. The rows on three-point estimates, shrinkage across pieces and unknown spread wait for code.
"""

import csv
import math
from pathlib import Path

import pytest

from witnessmark.quantities import Area, Span
from witnessmark.schedule import (
    Patch,
    at_odds,
    doubt_left,
    over_area,
    over_count,
    patch_weight,
    patched_rate,
    spread_of,
)

EXAMPLES = {
    row["example_id"]: row
    for row in csv.DictReader((Path(__file__).parent / "data/duration_examples.csv").read_text().splitlines())
}
NOTHING = Span(0)


def total(first_hours: float, units: int, curve: float) -> float:
    """Hours of so many units on a curve such as 0.8: each doubling takes so much of the time."""
    learning = math.log(curve) / math.log(2)
    return over_count(Span.hours(first_hours), units, learning, 1000, NOTHING, NOTHING, 1).in_hours


# Prior median 40 min/m2 with log spread 0.5; patch spread 0.3; two patches of 62 and 55 min/m2; 2.4 m2.
RATE = patched_rate(40, 0.5, 0.3, (62, 55), (1, 1))
DOUBT = doubt_left(0.5, [Patch(62), Patch(55)], 0.3)
MEDIAN = over_area(RATE, Area(2.4), NOTHING, NOTHING, 1).minutes
SPREAD = spread_of(DOUBT, 1, 0.3, 0)

ANSWERS = {
    "L1a": lambda: total(300, 5, 0.8) - total(300, 4, 0.8),
    "L1b": lambda: total(300, 5, 0.8),
    "L1c": lambda: total(300, 18, 0.8),
    "L2a": lambda: total(9, 3, 0.7) - total(9, 2, 0.7),
    "L2b": lambda: total(9, 5, 0.7) - total(9, 4, 0.7),
    "W1a": lambda: patch_weight(0.5, 0.3, (1, 1)),
    "W1b": lambda: RATE,
    "W1c": lambda: MEDIAN,
    "W1d": lambda: at_odds(MEDIAN, SPREAD, 0.8),
    "W1e": lambda: MEDIAN * math.exp(SPREAD**2 / 2),
}


@pytest.mark.parametrize("example_id", EXAMPLES)
def test_worked_example(example_id):
    row = EXAMPLES[example_id]
    assert ANSWERS[example_id]() == pytest.approx(float(row["expected_value"]), abs=float(row["tolerance_abs"]))


def test_the_second_of_its_kind_takes_four_fifths_and_not_three():
    # Wideman, Appendix 2: at 80 % the unit model gives 0.80 of the first, the cumulative average model 0.60.
    assert total(1, 2, 0.8) - 1 == pytest.approx(0.80)


def test_two_jobs_in_three_lie_within_one_spread():
    # The normal distribution, any table: 0.8413 lies below one standard deviation.
    assert at_odds(40, 0.5, 0.8413) == pytest.approx(40 * 1.6487, rel=1e-3)


def test_the_median_of_a_rate_is_not_moved_by_a_patch_that_agrees():
    assert patched_rate(40, 0.5, 0.3, (40,), (1,)) == pytest.approx(40)
