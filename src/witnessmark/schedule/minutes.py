"""Minutes a person works on a step: from what somebody said, a timed trial patch, or the table of usual rates.

Waiting is not labour. Times are log-normal: doubts are in proportion, so a median of 40 min with a spread of 0.5
means that two jobs in three lie between 40 ÷ 1.65 and 40 × 1.65. The rate is updated by the normal-normal
conjugate rule on logarithms; docs/workings/minutes-of-a-step.md has the sums. No published rates or spreads were
found for this work: the table is from memory, and the shop's own patches soon outweigh it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING, Any

from witnessmark.quantities import Area, Range, Span, high, low, usual
from witnessmark.sources import Figure, Input, Row, Working, formula, given, row, rule, table, work

from .own_past import OwnPace, PastWork, at_own_pace, pace_of
from .patches import doubt_left, patches_for, rate_with_patches

if TYPE_CHECKING:
    from witnessmark.survey import Trial
    from witnessmark.treatment import Step

_LOG = NormalDist()


@dataclass(frozen=True)
class Minutes:
    """Minutes of labour: the median, what is kept four times in five, and nineteen times in twenty.

    `mu`, `sigma_shared` and `sigma_own` are of the logarithm: what all hours of one piece have in common, and
    what is this step's alone. `says_from` is “table”, “own past”, “trial patch” or “said”. `working` is that of the
    median (a Range where the area is one), `spread` that of the whole log spread.
    """

    p50: float
    p80: float
    p95: float
    working: Working[Any] | None = None
    mu: float = 0.0
    sigma_shared: float = 0.0
    sigma_own: float = 0.0
    says_from: str = "table"
    spread: Working[Any] | None = None

    @property
    def sigma(self) -> float:
        return math.hypot(self.sigma_shared, self.sigma_own)

    @property
    def set_up(self) -> float:
        """Minutes of setting up that each session takes, as its working has them; none where somebody said the time."""
        inputs = dict(self.working.inputs) if self.working else {}
        return float(inputs["set_up"].value.minutes) if "set_up" in inputs else 0.0


class NoRate(ValueError):
    """A kind of labour, or a basis of it, that labour_rates.csv has no minutes for."""


@formula("minutes = sessions × (setting up + clearing up + minutes a square metre × area)")
def over_area(rate: float, area: Area, set_up: Span, clear_up: Span, sessions: float) -> Span:
    """Work that goes by area. `rate`: minutes a square metre and session."""
    return (set_up + clear_up + Span(rate * area.square_metres)) * sessions


@formula("minutes = sessions × (setting up + clearing up + first one × Σ n^learning)")
def over_count(
    first: Span, count: float, learning: float, learning_until: float, set_up: Span, clear_up: Span, sessions: float
) -> Span:
    """Work that goes by the joint or the patch; each alike goes a little faster than the one before.

    The unit model of the learning curve: the n-th takes first × n^learning (not the average of n, as Wright has
    it), and stays as it is after `learning_until`.
    """
    return (set_up + clear_up + first * _ones(round(count), learning, learning_until)) * sessions


@formula("minutes = sessions × (setting up + clearing up + minutes a piece)")
def over_piece(each: Span, set_up: Span, clear_up: Span, sessions: float) -> Span:
    """Work that goes by the piece."""
    return (set_up + clear_up + each) * sessions


@formula("spread = √((doubt of the rate × its share of the minutes)² + spread of a job² + doubt of the area²)")
def spread_of(rate_doubt: float, rate_share: float, job_spread: float, area_doubt: float) -> float:
    """The log spread of a step's minutes. Setting up does not share the doubt of the rate."""
    return math.sqrt((rate_doubt * rate_share) ** 2 + job_spread**2 + area_doubt**2)


def _ones(count: int, learning: float, until: float) -> float:
    """The time of `count` alike, in times of the first."""
    rising = min(count, round(until))
    later: float = (count - rising) * until**learning
    return math.fsum(n**learning for n in range(1, rising + 1)) + later


def minutes_of(step: "Step", trials: Sequence["Trial"] = (), own_past: Sequence[PastWork] = ()) -> Minutes:
    """The minutes of one step over all its sessions.

    What the decision said comes first, then trial patches of the same work, then the shop's own finished work, then
    the table. An area nobody measured is taken wide and widens the answer. Raises NoRate where the table has no such
    labour or basis.
    """
    if step.minutes_said is not None:
        return _said(step)
    cells = _rates(step.labour)
    sessions = given(f"step.{step.id}.sessions", float(step.sessions))
    doubt, area_doubt, says_from = cells.number("spread_log") or 0.0, 0.0, "table"
    pace = pace_of(step.labour, own_past, doubt)
    if pace:
        doubt, says_from = pace.doubt, "own past"

    def figure(column: str, kind: Any = Span) -> Input:
        return _here(_figure(cells, column, kind, step), pace)

    times: dict[str, Input] = {
        "set_up": figure("set_up_min"), "clear_up": figure("clear_up_min"), "sessions": sessions,
    }  # fmt: skip
    match step.basis:
        case "area":
            patches, bounds = patches_for(step.labour, trials)
            rate = figure("area_min", float)
            if patches or bounds:
                rate, says_from = rate_with_patches(rate, doubt, patches, bounds), "trial patch"
                doubt = doubt_left(doubt, patches)
            area: Input = step.area if step.area is not None else rule("schedule", "area_not_known")
            area_doubt = doubt_of(area.value)
            working = work(over_area, rate=rate, area=area, **times)
        case "count":
            working = work(
                over_count, first=figure("each_min"),
                count=given(f"step.{step.id}.count", float(step.count or 1)),
                learning=rule("schedule", "learning"), learning_until=rule("schedule", "learning_until"), **times,
            )  # fmt: skip
        case _:
            working = work(over_piece, each=figure("piece_min"), **times)
    fixed = (times["set_up"].value + times["clear_up"].value) * float(step.sessions)
    return log_normal(working, doubt, fixed, area_doubt, says_from)


def log_normal(
    working: Working[Any], rate_doubt: float, fixed: Span, area_doubt: float, says_from: str,
    job_spread: Input | None = None,
) -> Minutes:  # fmt: skip
    """The minutes whose median `working` gives. `fixed`: what of them does not go by the rate.

    `job_spread` is that of rules.csv unless given.
    """
    middle = usual(working.value)
    share = 1 - fixed / middle if middle.minutes else 0.0
    spread = work(
        spread_of,
        rate_doubt=given("doubt of the rate", rate_doubt),
        rate_share=given("share of the minutes that goes by the rate", share),
        job_spread=job_spread or rule("schedule", "job_spread"),
        area_doubt=given("doubt of the area", area_doubt),
    )
    shared = math.sqrt(rule("schedule", "shared_doubt").value) * rate_doubt * share
    own = math.sqrt(max(0.0, spread.value**2 - shared**2))
    p50 = usual(working.value).minutes
    return Minutes(
        p50, at_odds(p50, spread.value, 0.8), at_odds(p50, spread.value, 0.95), working,
        math.log(p50) if p50 > 0 else -math.inf, shared, own, says_from, spread,
    )  # fmt: skip


def at_odds(p50: float, spread: float, odds: float) -> float:
    """The minutes that are kept with these odds: median × e^(z × spread)."""
    return p50 * math.exp(_LOG.inv_cdf(odds) * spread)


def _said(step: "Step") -> Minutes:
    """What somebody said, over all sessions; a range they gave is their own doubt."""
    said: Any = step.minutes_said
    working = work(as_said, said=given(f"step.{step.id}.minutes", said))
    return log_normal(working, 0.0, Span(0), doubt_of(said), "said")


@formula("minutes = as said")
def as_said(said: Span) -> Span:
    """Minutes somebody gave by hand."""
    return said


def ratio_to_table(
    labour: str, basis: str, minutes: float, area: Area | None, count: int, sessions: int
) -> float | None:
    """What a finished step took over what the table says for as much of that work, set-up and all.

    None where the table has no such work, or the area of work that goes by area is not known.
    """
    try:
        cells = _rates(labour)
    except NoRate:
        return None
    set_up, clear_up = (Span(cells.number(column) or 0.0) for column in ("set_up_min", "clear_up_min"))
    each = cells.number({"area": "area_min", "count": "each_min"}.get(basis, "piece_min"))
    if each is None or (basis == "area" and area is None):
        return None
    match basis:
        case "area":
            says = over_area(each, area or Area(0), set_up, clear_up, sessions)
        case "count":
            learning, until = (rule("schedule", key).value for key in ("learning", "learning_until"))
            says = over_count(Span(each), count, learning, until, set_up, clear_up, sessions)
        case _:
            says = over_piece(Span(each), set_up, clear_up, sessions)
    return minutes / says.minutes if minutes > 0 and says.minutes > 0 else None


def doubt_of(value: Any) -> float:
    """The log spread a range stands for: one time in ten the truth lies below it, one in ten above."""
    if not isinstance(value, Range) or low(value).magnitude <= 0:
        return 0.0
    z = -_LOG.inv_cdf(rule("schedule", "range_odds").value)
    return math.log(high(value) / low(value)) / (2 * z)


def _rates(labour: str) -> Row:
    try:
        return row("schedule", "labour_rates.csv", labour)
    except KeyError:
        keys = ", ".join(cells.key for cells in table("schedule", "labour_rates.csv"))
        raise NoRate(f"schedule/labour_rates.csv has no labour “{labour}”. It has: {keys}.") from None


def _figure(cells: Row, column: str, kind: Any, step: "Step") -> Figure:
    figure = cells.figure(column, kind)
    if figure is None:
        raise _no_basis(cells, step)
    return figure


def _here(figure: Figure, pace: OwnPace | None) -> Input:
    """A figure of the table, at the shop's own pace where its past shows one."""
    return work(at_own_pace, usual=figure, pace=pace.working) if pace else figure


def _no_basis(cells: Row, step: "Step") -> NoRate:
    return NoRate(
        f"Step {step.id}: {cells.table}, line {cells.line} gives “{cells.key}” no minutes by {step.basis}. "
        "Fill the cell, or count the step another way."
    )
