"""What would change a quote: each thing that is not sure, on its own, as low and as high as it may turn out."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from witnessmark.quantities import Money, Range, Span, high, low
from witnessmark.schedule import Minutes


@dataclass(frozen=True)
class Swing:
    """One thing that is not sure, and what the quote would be if it alone turned out low or high."""

    what: str
    low: Money
    high: Money

    @property
    def width(self) -> Money:
        return self.high - self.low


def swings_of(
    quote: Callable[[Span, Money, Money], Money], done: Span, to_come: Minutes, materials: Any, hour: Any
) -> tuple[Swing, ...]:
    """What would change the quote, the most first. `quote` prices hours, materials and what an hour is sold for.

    Hours run from the likely ones to those kept nineteen times in twenty; materials and the hour over their ranges.
    """
    kept = Span(done.minutes + to_come.p80)
    usual_hour = hour.usual if isinstance(hour, Range) else hour
    most = high(materials)
    unsure = {
        "hours": (
            quote(Span(done.minutes + to_come.p50), most, usual_hour),
            quote(Span(done.minutes + to_come.p95), most, usual_hour),
        ),
        "materials": (quote(kept, low(materials), usual_hour), quote(kept, most, usual_hour)),
        "what an hour costs": (quote(kept, most, low(hour)), quote(kept, most, high(hour))),
    }
    swings = [Swing(what, *ends) for what, ends in unsure.items() if ends[0] != ends[1]]
    return tuple(sorted(swings, key=lambda swing: swing.width, reverse=True))


def quote_range(
    quote: Callable[[Span, Money, Money], Money], done: Span, to_come: Minutes, materials: Any, hour: Any
) -> Range[Money]:
    """The quote, kept four times in five, between what the work likely comes to and what it does at its most.

    Low: likely hours, least materials. High: hours kept nineteen times in twenty, most materials. The hour likewise.
    """
    usual_hour = hour.usual if isinstance(hour, Range) else hour
    ends = [
        quote(Span(done.minutes + to_come.p50), low(materials), low(hour)),
        quote(Span(done.minutes + to_come.p80), high(materials), usual_hour),
        quote(Span(done.minutes + to_come.p95), high(materials), high(hour)),
    ]
    return Range(*ends)
