"""The hours of a whole piece: its steps share part of their error, so their spreads don't cancel out."""

import math
from collections.abc import Sequence
from statistics import NormalDist

from witnessmark.quantities import Span
from witnessmark.sources import formula, given, rule, work

from .minutes import Minutes


@formula("total played through: each step e^(median's log + shared doubt × piece + own doubt × step), added up")
def played_through(
    mus: tuple[float, ...], shared: tuple[float, ...], own: tuple[float, ...], draws: float, seed: float
) -> tuple[Span, ...]:
    """The 50, 80 and 95 % of the sum of log-normal steps. One draw of the piece's own luck serves all its steps."""
    import numpy as np  # heavy, and wanted here only

    chance = np.random.default_rng(round(seed))
    piece = chance.standard_normal((round(draws), 1))
    step = chance.standard_normal((round(draws), len(mus)))
    totals = np.exp(np.array(mus) + piece * np.array(shared) + step * np.array(own)).sum(axis=1)
    return tuple(Span(float(minutes)) for minutes in np.quantile(totals, (0.5, 0.8, 0.95)))


def total_of(minutes: Sequence[Minutes], seed: int | None = None) -> Minutes:
    """The minutes of one piece: its steps' times played through many times from a fixed seed.

    Steps of no minutes add nothing. A single step is its own total.
    """
    some = [step for step in minutes if step.p50 > 0]
    if not some:
        return Minutes(0.0, 0.0, 0.0, mu=-math.inf)
    if len(some) == 1:
        return some[0]
    working = work(
        played_through,
        mus=given("logarithms of the medians", tuple(step.mu for step in some)),
        shared=given("doubt shared by the piece's hours", tuple(step.sigma_shared for step in some)),
        own=given("doubt of each step alone", tuple(step.sigma_own for step in some)),
        draws=rule("schedule", "draws"),
        seed=rule("schedule", "seed") if seed is None else given("seed", float(seed)),
    )
    p50, p80, p95 = (span.minutes for span in working.value)
    says = {step.says_from for step in some}
    # Hours of several pieces are played through anew from their steps, so one log spread is enough here.
    spread = math.log(p80 / p50) / NormalDist().inv_cdf(0.8)
    return Minutes(p50, p80, p95, working, math.log(p50), spread, 0.0, says.pop() if len(says) == 1 else "table")
