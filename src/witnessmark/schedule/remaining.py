"""What is left of a step that is begun: never “planned less spent”, which says nothing is left of what runs over.

The whole time is log-normal; that it has taken so long already says that it is one of the longer ones.
"""

import math
from dataclasses import replace
from statistics import NormalDist

from witnessmark.quantities import Span
from witnessmark.sources import formula, given, work

from .minutes import Minutes

_NORMAL = NormalDist()
_NEVER = 1e-9  # below it the quantiles of the tail are noise of the sum


@formula("left at odds p = quantile (1 − (1 − p) × chance of taking longer than spent) of the whole − spent")
def left_of(mu: float, sigma: float, spent: Span) -> tuple[Span, ...]:
    """What is left, likely, four times in five and nineteen times in twenty, of a log-normal time after `spent`."""
    if spent.minutes <= 0:
        return tuple(Span(math.exp(mu + _NORMAL.inv_cdf(odds) * sigma)) for odds in (0.5, 0.8, 0.95))
    longer = 1 - _NORMAL.cdf((math.log(spent.minutes) - mu) / sigma) if sigma else 0.0
    if longer < _NEVER:
        # Off the end of what was thought possible: it is taken to be as good as done.
        return (Span(0), Span(0), Span(0))
    quantiles = (1 - (1 - odds) * longer for odds in (0.5, 0.8, 0.95))
    return tuple(Span(max(0.0, math.exp(mu + _NORMAL.inv_cdf(q) * sigma) - spent.minutes)) for q in quantiles)


def still_to_come(minutes: Minutes, spent: Span) -> Minutes:
    """The minutes left of a step on which `spent` was logged. Untouched work is left as it is."""
    if spent.minutes <= 0 or minutes.p50 <= 0:
        return minutes
    working = work(
        left_of,
        mu=given("logarithm of the median", minutes.mu),
        sigma=given("spread of the whole", minutes.sigma),
        spent=given("spent already", spent),
    )
    p50, p80, p95 = (left.minutes for left in working.value)
    if p50 <= 0:
        return Minutes(0.0, 0.0, 0.0, working, -math.inf, says_from=minutes.says_from)
    spread = math.log(p80 / p50) / _NORMAL.inv_cdf(0.8)
    shared = minutes.sigma_shared / minutes.sigma if minutes.sigma else 0.0
    return replace(
        minutes, p50=p50, p80=p80, p95=p95, working=working, mu=math.log(p50), sigma_shared=spread * shared,
        sigma_own=spread * math.sqrt(1 - shared**2), spread=None,
    )  # fmt: skip
