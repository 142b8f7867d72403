"""How a shop's papers say things: UK or US words, dates and clock of its zone, amounts as its tools are marked."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from typing import Any
from zoneinfo import ZoneInfo

from witnessmark.quantities import Gallon, Money, Range, Span, mapped, say
from witnessmark.shop import Settings, Units, Vocabulary
from witnessmark.sources import Working, table

_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_LONG_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_LONG_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
                "November", "December")  # fmt: skip
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@cache
def _american() -> tuple[re.Pattern[str], dict[str, str]]:
    pairs = {row["uk"]: row["us"] for row in table("papers", "words.csv", key="uk")}
    longest_first = sorted(pairs, key=len, reverse=True)
    return re.compile(rf"\b({'|'.join(map(re.escape, longest_first))})\b", re.IGNORECASE), pairs


def in_american(text: str) -> str:
    """A text of ours, written in UK words, in US ones. Capitals stay where they were."""
    pattern, pairs = _american()

    def changed(found: re.Match[str]) -> str:
        word = pairs[found[0].lower()]
        return word[0].upper() + word[1:] if found[0][0].isupper() else word

    return pattern.sub(changed, text)


@dataclass(frozen=True)
class Voice:
    """The words, units, zone and year a paper speaks in."""

    american: bool
    inches: bool
    gallon: Gallon
    zone: ZoneInfo
    this_year: int

    @classmethod
    def of(cls, settings: Settings, now: datetime) -> "Voice":
        zone = settings.zone_info
        return cls(
            settings.words is Vocabulary.US,
            settings.units is Units.INCHES,
            settings.gallon,
            zone,
            now.astimezone(zone).year,
        )

    @property
    def region(self) -> str:
        return "US" if self.american else "GB"

    @property
    def paper(self) -> str:
        return "us-letter" if self.american else "a4"

    def ours(self, text: str) -> str:
        """A text the program wrote, in the shop's words. What people wrote themselves is never put through this."""
        return in_american(text) if self.american else text

    def amount(self, value: Any) -> str:
        """An amount, its Working or a range of it as the jug shows it; nothing where there is none."""
        if isinstance(value, Working):
            value = value.value
        if isinstance(value, Range):
            value = mapped(value, _whole)
        return "" if value is None else say(value, self.inches, self.gallon)

    def bracketed(self, value: Any) -> tuple[str, str]:
        """The usual of an amount, and its range in brackets where it is one: `£612`, `(£540–£700)`."""
        if isinstance(value, Working):
            value = value.value
        if not isinstance(value, Range):
            return self.amount(value), ""
        ends, middle = self.amount(value), self.amount(_whole(value.usual))
        return middle, "" if ends == middle else f"({ends})"

    def minutes(self, minutes: float) -> str:
        return say(Span(minutes))

    def hours(self, minutes: float) -> str:
        """Bench hours: to the quarter under four, to the half under ten, to the whole above."""
        hours = minutes / 60
        step = 0.25 if hours < 4 else 0.5 if hours < 10 else 1
        return f"{round(hours / step) * step:,g} h"

    # ---- days and the clock, local ----

    def local(self, instant: datetime) -> datetime:
        return instant.astimezone(self.zone)

    def date(self, day: date, long: bool = False) -> str:
        """`Tue 10 Nov`, in the US `Tue Nov 10`; the year where it is another."""
        names = _LONG_DAYS if long else _DAYS
        month = (_LONG_MONTHS if long else _MONTHS)[day.month - 1]
        year = "" if day.year == self.this_year and not long else f" {day.year}"
        named = names[day.weekday()]
        if self.american:
            return f"{named}{',' if long else ''} {month} {day.day}{',' if year else ''}{year}"
        return f"{named} {day.day} {month}{year}"

    def day(self, instant: datetime) -> str:
        return self.date(self.local(instant).date())

    def clock(self, instant: datetime) -> str:
        """`14:30`, in the US `2:30 pm`."""
        at = self.local(instant)
        if not self.american:
            return f"{at.hour:02}:{at.minute:02}"
        return f"{(at.hour - 1) % 12 + 1}:{at.minute:02} {'am' if at.hour < 12 else 'pm'}"

    def moment(self, instant: datetime | None) -> str:
        return "" if instant is None else f"{self.day(instant)}, {self.clock(instant)}"

    def stretch(self, start: datetime, end: datetime) -> str:
        """`09:30–11:10`; with the second day where it ends on another."""
        if self.local(start).date() == self.local(end).date():
            return f"{self.clock(start)}–{self.clock(end)}"
        return f"{self.clock(start)} to {self.day(end)}, {self.clock(end)}"


def _whole(value: Any) -> Any:
    """A sum that is only known to within a range is said without its pence."""
    return Money(value.amount.quantize(Decimal(1)), value.currency) if isinstance(value, Money) else value


def sentence(text: str) -> str:
    """The text with its first letter a capital and a full stop at its end."""
    text = text.strip()
    if not text:
        return ""
    text = text[0].upper() + text[1:]
    return text if text[-1] in ".!?…" else text + "."


def shortened(text: str, letters: int) -> str:
    """The text, cut at a word with an ellipsis where it is longer than so many letters."""
    text = " ".join(text.split())
    if len(text) <= letters:
        return text
    cut = text[: letters - 1]
    return (cut.rsplit(" ", 1)[0] if " " in cut[letters // 2 :] else cut) + "…"


def fitting(text: str, *steps: tuple[float, int]) -> float:
    """The largest type the words fit in: the first size whose letters they don't exceed; the last is for any."""
    return next((size for size, letters in steps if len(text) <= letters), steps[-1][0])


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def listed(numbers: Sequence[int]) -> str:
    """`3, 8–11, 14`."""
    spans: list[list[int]] = []
    for number in sorted(set(numbers)):
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    return ", ".join(f"{a}" if a == b else f"{a}, {b}" if b == a + 1 else f"{a}–{b}" for a, b in spans)
