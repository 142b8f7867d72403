"""The safe day to say, beside the likely one: the same days, with every hour and every wait on others as slow as it is
four times in five.

The hours of a piece share part of their error, so they are slowed together by what the whole piece takes four times in
five over what it likely takes; slowing each on its own would say too much. Other people's waits are slowed each by its
own spread. Both at once is a little safer than four in five.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from witnessmark.quantities import Span
from witnessmark.sources import table

from .minutes import Minutes, at_odds
from .totals import total_of

if TYPE_CHECKING:
    from witnessmark.treatment import Step

FOUR_IN_FIVE = 0.8


def slowed(minutes: Mapping[str, Minutes], total: Minutes | None = None) -> dict[str, Minutes]:
    """The minutes of each step when the whole piece is as slow as it is four times in five; in `p50`, for the days."""
    whole = total or total_of(list(minutes.values()))
    slower = whole.p80 / whole.p50 if whole.p50 > 0 else 1.0
    return {step: replace(one, p50=one.p50 * slower) for step, one in minutes.items()}


def wait_spread(labour: str) -> float:
    """The log spread of the wait after this work, where it hangs on others or on the wood; 0 for a drying film."""
    for cells in table("schedule", "other_hands.csv", key="labour"):
        if cells.key == labour:
            return cells.number("spread_log") or 0.0
    return 0.0


def waiting_longer(steps: Sequence["Step"], odds: float = FOUR_IN_FIVE) -> "tuple[Step, ...]":
    """The steps with other people's waits as long as they are at these odds."""
    return tuple(_waiting(step, odds) for step in steps)


def _waiting(step: "Step", odds: float) -> "Step":
    spread = wait_spread(step.labour)
    if not spread or step.wait.usual.minutes <= 0:
        return step
    longer = at_odds(step.wait.usual.minutes, spread, odds)
    return replace(step, wait=replace(step.wait, usual=Span(longer)))
