"""Minutes against worked examples of others: `data/duration_examples.csv`, with the tolerance each row gives.

L1, L2: a solutions manual on learning curves (chapter 13, pages 144-145), unit model, printed and recomputed.
W1: worked by hand from the conjugate normal rule and the log-normal quantile; its inputs are invented, so it checks the
sums and no trade figure.
P1, P2: three-point estimates of a management textbook and of a quiz page, printed and recomputed.
S1: Efron and Morris, Stein's paradox in statistics, Scientific American 236(5), 1977. B1: Hoff, A First Course in
Bayesian Statistical Methods, 2009, chapter 5, the midge wing lengths.

Left out on purpose, the cumulative average model of the learning curve (Wright; totals of 4, 8, 16 units of 100 h at
80 % and the second unit at 0.60): it is the other convention, ours is the unit model, and the two must never be mixed.
"""

import csv
import math
from pathlib import Path

import pytest

from witnessmark.quantities import Area, Span
from witnessmark.schedule import (
    Patch,
    at_odds,
    chance_within,
    doubt_left,
    expected,
    over_area,
    over_count,
    patch_weight,
    patched_rate,
    shrunk,
    spread_of,
    variance,
    with_unknown_spread,
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

# Best, likely and worst of activities 1, 3, 5 and 7, in weeks.
PATH = [(5, 8, 17), (3, 5, 7), (4, 6, 8), (3, 4, 5)]
MEANS = [expected(*points) for points in PATH]
VARIANCES = [variance(best, worst) for best, _, worst in PATH]

# Averages of 18 players after 45 at bats; their binomial variance about the common mean.
AVERAGES = [0.400, 0.378, 0.356, 0.333, 0.311, 0.311, 0.289, 0.267, 0.244, 0.244, *[0.222] * 5, 0.200, 0.178, 0.156]
MIDDLE = math.fsum(AVERAGES) / len(AVERAGES)
FACTOR, DRAWN = shrunk(AVERAGES, MIDDLE * (1 - MIDDLE) / 45)

WINGS = [1.64, 1.70, 1.72, 1.74, 1.82, 1.82, 1.82, 1.90, 2.08]
WING_MEAN, WORTH, DEGREES, WING_VARIANCE = with_unknown_spread((1.9, 1, 1, 0.01), WINGS)

ANSWERS = {
    "P1a": lambda: MEANS[0],
    "P1b": lambda: sum(MEANS),
    "P1c": lambda: sum(VARIANCES),
    "P1d": lambda: chance_within(28, MEANS, VARIANCES),
    "P2a": lambda: chance_within(20, (3, 8, 6), (1, 4, 4)),
    "S1a": lambda: FACTOR,
    "S1b": lambda: DRAWN[0],
    "S1c": lambda: DRAWN[-1],
    "B1a": lambda: WING_MEAN,
    "B1b": lambda: WING_VARIANCE,
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


def test_nine_wings_and_a_prior_worth_one_are_worth_ten():
    # Hoff, as above: kappa_n = nu_n = 10.
    assert (WORTH, DEGREES) == (10, 10)


def test_the_second_of_its_kind_takes_four_fifths_and_not_three():
    # Wideman, Appendix 2: at 80 % the unit model gives 0.80 of the first, the cumulative average model 0.60.
    assert total(1, 2, 0.8) - 1 == pytest.approx(0.80)


def test_two_jobs_in_three_lie_within_one_spread():
    # The normal distribution, any table: 0.8413 lies below one standard deviation.
    assert at_odds(40, 0.5, 0.8413) == pytest.approx(40 * 1.6487, rel=1e-3)


def test_the_median_of_a_rate_is_not_moved_by_a_patch_that_agrees():
    assert patched_rate(40, 0.5, 0.3, (40,), (1,)) == pytest.approx(40)
