"""Three-point estimates: “at best, likely, at worst”, as somebody says them of work no table and no patch knows.

Source: Malcolm, Roseboom, Clark and Fazar, Operations Research 7 (1959), from memory. The sums hold along one chain of
labour only; where chains meet, the end is later than the longest one's mean: only playing it through says how much.
"""

import math
from collections.abc import Sequence
from statistics import NormalDist

from .minutes import Minutes, at_odds

_TIMES_OF_SD = 6  # best and worst as the books take them: six standard deviations apart


def expected(best: float, likely: float, worst: float) -> float:
    """The mean of three points."""
    return (best + 4 * likely + worst) / 6


def variance(best: float, worst: float) -> float:
    """The variance of three points, as the books have it."""
    return ((worst - best) / _TIMES_OF_SD) ** 2


def chance_within(limit: float, means: Sequence[float], variances: Sequence[float]) -> float:
    """How likely a chain of work is done within `limit`: means and variances added, the sum taken as normal."""
    return NormalDist(math.fsum(means), math.sqrt(math.fsum(variances))).cdf(limit)


def minutes_from(best: float, likely: float, worst: float, odds: float = 0.05) -> Minutes:
    """Three points as minutes of labour: `likely` the median, `best` and `worst` beaten one time in twenty.

    `odds` says how often instead. People mean “rarely beaten” by best and worst, not six standard deviations. Raises
    ValueError unless they rise.
    """
    if not 0 < best <= likely <= worst:
        raise ValueError(f"{best:g}, {likely:g}, {worst:g} min: give the best, the likely and the worst, rising from 0")
    sigma = math.log(worst / best) / (-2 * NormalDist().inv_cdf(odds))
    p80, p95 = (at_odds(likely, sigma, share) for share in (0.8, 0.95))
    return Minutes(likely, p80, p95, mu=math.log(likely), sigma_own=sigma, says_from="said")
