"""What the shop's own past says of its pace: finished work of its day book, held against the table of usual rates.

Every finished step gives one ratio: what it took ÷ what the table says for as much of that work. Ratios of one piece
hang together; pieces differ; the shop differs from the table. So the pace is pooled in part: the first pieces move it a
little, many pieces decide it. The spread between pieces stays the table's until there are pieces enough to know it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from witnessmark.sources import Working, formula, given, rule, work

if TYPE_CHECKING:
    from witnessmark.quantities import Span


@dataclass(frozen=True)
class PastWork:
    """One finished step: its labour, the piece it was done on, and what it took over what the table says.

    `weight` is 1 for work just finished and less for old work: see `fading`.
    """

    labour: str
    piece: str
    ratio: float
    weight: float = 1.0


@dataclass(frozen=True)
class OwnPace:
    """The pace as a multiple of the table's minutes, with its working; the log spread left; of how many pieces."""

    working: Working[Any]
    doubt: float
    pieces: int


def fading(finished: datetime, now: datetime) -> float:
    """What work finished then still counts for now: half after each half-life: a new method is soon believed."""
    half: timedelta = timedelta(minutes=rule("schedule", "half_life").value.minutes)
    age = max(now - finished, timedelta(0))
    return float(0.5 ** (age / half))


@formula(
    "pace = e^(Σ weight × mean ln ratio of a piece ÷ (between² + within² ÷ its jobs) "
    "÷ (1 ÷ shop's spread² + Σ weight ÷ (between² + within² ÷ its jobs)))"
)
def own_pace(
    ratios: tuple[float, ...],
    pieces: tuple[float, ...],
    weights: tuple[float, ...],
    spread: float,
    shop_share: float,
    job_spread: float,
    pieces_enough: float,
) -> float:
    """How the shop's minutes stand to the table's: 1 where nothing is known of it, 0.8 where it is a fifth quicker.

    One ratio a job; `pieces` numbers the piece of each, `weights` says what each still counts for. `spread` is the
    table's log spread, of which `shop_share` (of the variance) is the shop's own and the rest lies between pieces;
    with `pieces_enough` the ratios themselves say how far pieces lie apart (method of moments, empirical Bayes).
    """
    return math.exp(_pooled(ratios, pieces, weights, spread, shop_share, job_spread, pieces_enough)[0])


def doubt_of_pace(
    ratios: tuple[float, ...],
    pieces: tuple[float, ...],
    weights: tuple[float, ...],
    spread: float,
    shop_share: float,
    job_spread: float,
    pieces_enough: float,
) -> float:
    """The log spread of the next piece about that pace: of the shop's mean and of pieces about it."""
    _, mean_doubt, between = _pooled(ratios, pieces, weights, spread, shop_share, job_spread, pieces_enough)
    return math.hypot(mean_doubt, between)


def _pooled(
    ratios: Sequence[float], pieces: Sequence[float], weights: Sequence[float], spread: float, shop_share: float,
    job_spread: float, enough: float,
) -> tuple[float, float, float]:  # fmt: skip
    """Mean log ratio, its doubt, and the spread between pieces."""
    jobs: dict[float, list[tuple[float, float]]] = {}
    for ratio, piece, weight in zip(ratios, pieces, weights, strict=True):
        jobs.setdefault(piece, []).append((math.log(ratio), weight))
    means = {piece: math.fsum(log for log, _ in some) / len(some) for piece, some in jobs.items()}
    within, between = job_spread**2, spread**2 * (1 - shop_share)
    if len(jobs) >= enough:
        degrees = sum(len(some) - 1 for some in jobs.values())
        if degrees >= enough:
            within = math.fsum((log - means[piece]) ** 2 for piece, some in jobs.items() for log, _ in some) / degrees
        between = between_pieces(list(means.values()), [within / len(some) for some in jobs.values()])
    known = 1 / (spread**2 * shop_share)
    counts = {piece: max(weight for _, weight in some) / (between + within / len(some)) for piece, some in jobs.items()}
    sure = known + math.fsum(counts.values())
    mean = math.fsum(counts[piece] * means[piece] for piece in jobs) / sure
    return mean, math.sqrt(1 / sure), math.sqrt(between)


def between_pieces(means: Sequence[float], errors: Sequence[float]) -> float:
    """Variance between pieces by the method of moments: that of their means less their mean error, or nothing."""
    middle = math.fsum(means) / len(means)
    apart = math.fsum((mean - middle) ** 2 for mean in means) / (len(means) - 1)
    return max(0.0, apart - math.fsum(errors) / len(errors))


def shrunk(values: Sequence[float], variance: float) -> tuple[float, tuple[float, ...]]:
    """James and Stein: values of one variance drawn towards their mean; how far (1 not at all), and the drawn values.

    Raises ValueError for fewer than four: there is nothing to learn the spread from.
    """
    if len(values) < 4:
        raise ValueError(f"{len(values)} values are too few to draw together: it takes four")
    middle = math.fsum(values) / len(values)
    factor = 1 - (len(values) - 3) * variance / math.fsum((value - middle) ** 2 for value in values)
    return factor, tuple(middle + factor * (value - middle) for value in values)


def with_unknown_spread(
    prior: tuple[float, float, float, float], values: Sequence[float]
) -> tuple[float, float, float, float]:
    """Mean, how many values it is worth, degrees of freedom and variance, once `values` are counted in with `prior`.

    `prior` is the same four. The conjugate rule where neither mean nor spread is known: normal, inverse gamma.
    """
    mean, worth, degrees, variance = prior
    count = len(values)
    middle = math.fsum(values) / count
    own = math.fsum((value - middle) ** 2 for value in values)
    together = worth + count
    pull = worth * count / together * (middle - mean) ** 2
    after = degrees + count
    return (worth * mean + count * middle) / together, together, after, (degrees * variance + own + pull) / after


@formula("minutes here = usual minutes × own pace")
def at_own_pace(usual: "float | Span", pace: float) -> "float | Span":
    """A figure of the table as this shop works."""
    return usual * pace


def pace_of(labour: str, own_past: Sequence[PastWork], spread: float) -> OwnPace | None:
    """The shop's pace at this work; None where its past holds none. `spread`: the table's log spread for it."""
    some = [done for done in own_past if done.labour == labour and done.ratio > 0 and done.weight > 0]
    if not some:
        return None
    names = list(dict.fromkeys(done.piece for done in some))
    inputs: dict[str, Any] = {
        "ratios": given("own past, minutes taken ÷ minutes by the table", tuple(done.ratio for done in some)),
        "pieces": given("the piece of each", tuple(float(names.index(done.piece) + 1) for done in some)),
        "weights": given("what each still counts for", tuple(done.weight for done in some)),
        "spread": given("spread of the usual rate", spread),
        "shop_share": rule("schedule", "shop_share"),
        "job_spread": rule("schedule", "job_spread"),
        "pieces_enough": rule("schedule", "pieces_enough"),
    }
    values = {name: item.value for name, item in inputs.items()}
    return OwnPace(work(own_pace, **inputs), doubt_of_pace(**values), len(names))
