"""What a day book holds, in a paragraph."""

from collections import Counter
from dataclasses import dataclass

from witnessmark.quantities import Span, say

from .model import DayBook


@dataclass(frozen=True)
class Outline:
    """How many entries of each kind count, over which days, and the time written down for each piece.

    Time that was for no one piece, such as mixing, stands under an empty name.
    """

    counts: dict[str, int]
    struck: int
    first: str
    last: str
    worked: dict[str, Span]

    @property
    def says(self) -> str:
        """The paragraph."""
        if not self.counts:
            return "The day book is empty: nothing has been logged yet."
        days = f"on {self.first}" if self.first == self.last else f"from {self.first} to {self.last}"
        number = sum(self.counts.values())
        kinds = ", ".join(f"{count} {kind}" for kind, count in self.counts.items())
        says = f"{number} {'entry' if number == 1 else 'entries'} {days}: {kinds}."
        if self.struck:
            says += f" {self.struck} corrected."
        if self.worked:
            pieces = len(self.worked.keys() - {""})
            total = sum(self.worked.values(), Span(0))
            says += f" {say(total)} written down, on {pieces} {'piece' if pieces == 1 else 'pieces'}."
        return says


def outline_of(daybook: DayBook) -> Outline:
    """What is in it."""
    days = [entry.happened.date().isoformat() for entry in daybook.entries]
    worked: dict[str, Span] = {}
    for entry in daybook.entries:
        if entry.minutes is not None and entry.minutes.known:
            worked[entry.piece] = worked.get(entry.piece, Span(0)) + entry.minutes.value
    return Outline(
        dict(Counter(entry.what.value for entry in daybook.entries).most_common()),
        len(daybook.struck),
        min(days, default=""),
        max(days, default=""),
        worked,
    )
