"""How long a whole area takes after a timed patch: the sums of a step, asked for one area alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from witnessmark.quantities import Area, Range, Span
from witnessmark.sources import Input, Working, given, row, rule, work

from .minutes import Minutes, NoRate, doubt_of, log_normal, over_area
from .patches import patch_weight, patched_rate

ANY_WORK = "any_work"


@dataclass(frozen=True)
class AfterTrial:
    """The minutes, the median minutes a square metre, and how far the patches decided it (0 to 1)."""

    minutes: Minutes
    rate: Working[Any]
    weight: Working[Any]


def after_trial(
    patches: Sequence[float],
    area: Area | Range[Area],
    labour: str = ANY_WORK,
    usual: float | None = None,
    spread: float | None = None,
    patch_spread: float | None = None,
) -> AfterTrial:
    """Minutes of `area` after `patches`, minutes a square metre each, the first timed first.

    Where `usual`, `spread` or `patch_spread` (of the logarithm) is given they are used as they stand: the patch's
    spread is then the job's own too, no session is set up and no first patch counts double in variance. Else the
    table's usual rate of `labour` counts, with its set-up. Raises NoRate where that work does not go by area.
    """
    cells = row("schedule", "labour_rates.csv", labour)
    as_it_stands = usual is not None or spread is not None or patch_spread is not None
    rate: Input | None = given("--usual", usual) if usual is not None else cells.figure("area_min", float)
    if rate is None:
        raise NoRate(f"“{cells['trade_name']}” does not go by area: count it by the piece or the joint.")
    known = given("--spread", spread) if spread is not None else cells.figure("spread_log", float)
    sure: Input = given("--trial-spread", patch_spread) if patch_spread else rule("schedule", "patch_spread")
    first = 1.0 if as_it_stands else float(rule("schedule", "first_patch").value)
    variances = given("how many times the variance each counts with", (first, *(1.0 for _ in patches[1:])))
    spreads: dict[str, Any] = {"spread": known, "patch_spread": sure, "variances": variances}
    timed = given("trial patches, minutes a square metre", tuple(patches))
    found = work(patched_rate, usual_rate=rate, patches=timed, **spreads)
    weight = work(patch_weight, **spreads)
    nothing = given("no set-up", Span(0))
    set_up: Input = nothing if as_it_stands else cells.figure("set_up_min", Span) or nothing
    clear_up: Input = nothing if as_it_stands else cells.figure("clear_up_min", Span) or nothing
    minutes = work(
        over_area, rate=found, area=given("--area", area), set_up=set_up, clear_up=clear_up,
        sessions=given("one session", 1.0),
    )  # fmt: skip
    doubt = spreads["spread"].value * (1 - weight.value) ** 0.5
    fixed = set_up.value + clear_up.value
    return AfterTrial(
        log_normal(minutes, doubt, fixed, doubt_of(area), "trial patch", sure if as_it_stands else None), found, weight
    )
