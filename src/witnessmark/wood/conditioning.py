"""Into condition: whether a piece has gone flat yet, from its meter readings or the weight of a loose part.

A piece from a barn or a cold van waits before gluing and fitting until the readings stop changing near what the
house will make of it. Finished furniture takes months, bare end grain weeks (`conditioning.csv`): nothing here
scales those by thickness.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from witnessmark.quantities import Percent, Range, Span, high, low
from witnessmark.sources import formula, rule


class TooFewReadings(ValueError):
    """One reading tells where it is, not where it is going."""


@dataclass(frozen=True)
class Trend:
    """Where the readings of one part are going.

    `per_week` is points of moisture, or per cent of its weight, by the last two readings; `flat` says that it has
    stopped; `near` that it is close to `target` (None where a weight can't tell). `to_go` is how long at this pace.
    """

    part: str
    by: str  # "meter" or "weight"
    readings: int
    latest: float
    per_week: float
    flat: bool
    near: bool | None
    to_go: Span | None

    @property
    def ready(self) -> bool:
        """Fit to glue and to fit: flat, and where a meter says so near its target."""
        return self.flat and self.near is not False


@formula("change a week = (last − one before) ÷ time between × 7 days")
def change_a_week(before: float, last: float, between: Span) -> float:
    """How fast it changes. Raises TooFewReadings where both were taken at one time."""
    if between.minutes <= 0:
        raise TooFewReadings("Two readings at one time tell no trend. Take the next one in a week.")
    return (last - before) / (between / Span.weeks(1))


@formula("time to go = time between × ln(distance left ÷ near) ÷ ln(distance before ÷ distance left)")
def time_to_go(before: float, last: float, target: Percent, near: Percent, between: Span) -> Span:
    """How long until a meter reads `near` its target, if it goes on closing the same share of the way.

    Nothing where it is there. Raises TooFewReadings where it does not come nearer.
    """
    was, left = abs(before - target.percent), abs(last - target.percent)
    if left <= near.percent:
        return Span(0)
    if left >= was:
        raise TooFewReadings("It comes no nearer to its target: look at the room's air, not at the clock.")
    return between * (math.log(left / near.percent) / math.log(was / left))


def trend_of(
    part: str, by: str, readings: Sequence[tuple[datetime, float]], target: Range[Percent] | Percent | None = None
) -> Trend:
    """The trend of one part by its last two readings a few days apart; `by` is “meter” (%) or “weight” (any unit).

    Raises TooFewReadings where there are not two at different times.
    """
    ordered = sorted(readings)
    last_at, last = ordered[-1] if ordered else (None, 0.0)
    earlier = [(at, value) for at, value in ordered if last_at and at < last_at]
    if last_at is None or not earlier:
        raise TooFewReadings(f"{part} was read once. Read it again in a week: one reading tells no trend.")
    # A week apart where there is one: two readings in a day show the meter, not the wood.
    enough: Span = rule("wood", "readings_apart").value
    apart = [one for one in earlier if (last_at - one[0]).total_seconds() / 60 >= enough.minutes] or earlier[:1]
    at, before = apart[-1]
    between = Span((last_at - at).total_seconds() / 60)
    change = change_a_week(before, last, between)
    if by == "weight":
        change = change / before * 100
    steady: Percent = rule("wood", "flat_weight" if by == "weight" else "flat_moisture").value
    near, to_go = None, None
    if by == "meter" and target is not None:
        close: Percent = rule("wood", "near_target").value
        aim = min(max(last, low(target).percent), high(target).percent)
        near = abs(last - aim) <= close.percent
        try:
            to_go = time_to_go(before, last, Percent(aim), close, between)
        except TooFewReadings:
            to_go = None
    long_enough = between >= enough
    return Trend(part, by, len(ordered), last, change, long_enough and abs(change) <= steady.percent, near, to_go)
