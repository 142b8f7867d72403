"""The scale of the wall: near weeks wide and far weeks narrow, a day from opening to closing, closed days a sliver."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

_WIDE = (104.0, 64.0, 42.0, 30.0)  # px of a day in this week, the next, the one after, and all that follow
_SLIVER = 22.0  # px of a day when the shop is shut, in a wide week
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


@dataclass(frozen=True)
class Day:
    """One day on the wall: where it begins and ends, and whether the shop is shut."""

    on: date
    left: float
    right: float
    shut: bool
    week: int

    @property
    def wide(self) -> float:
        return self.right - self.left

    @property
    def word(self) -> str:
        """What is written over it: as much as fits."""
        name, number = _DAYS[self.on.weekday()], str(self.on.day)
        return f"{name} {number}" if self.wide >= 56 else number if self.wide >= 26 else ""


class Weeks:
    """Times, local and without zone or all of one zone, to places on the wall."""

    def __init__(self, now: datetime, first: date, last: date, shut: Collection[int] = (5, 6),
                 opens: time = time(8), closes: time = time(17), left: float = 230.0) -> None:  # fmt: skip
        """`shut`: days of the week, Monday 0, when nobody works. `left`: where the first day begins."""
        self.opens, self.closes = opens, closes
        begins = first - timedelta(days=first.weekday())
        this_week = (now.date() - timedelta(days=now.weekday()) - begins).days // 7
        self.days: list[Day] = []
        x = left
        for ahead in range((last - begins).days + 1):
            on = begins + timedelta(days=ahead)
            week = max(ahead // 7 - this_week, 0)
            wide = _WIDE[min(week, len(_WIDE) - 1)]
            if on.weekday() in shut:
                wide = min(_SLIVER, wide * 0.5)
            self.days.append(Day(on, x, x + wide, on.weekday() in shut, week))
            x += wide
        self.left, self.right = left, x
        self._by_date = {day.on: day for day in self.days}

    def x(self, moment: datetime) -> float:
        """Where a moment stands. Before opening it stands at the day's left edge, after closing at its right."""
        day = self._by_date.get(moment.date())
        if day is None:
            return self.left if moment.date() < self.days[0].on else self.right
        begins, ends = _minutes(self.opens), _minutes(self.closes)
        share = (_minutes(moment.time()) - begins) / (ends - begins)
        return day.left + min(max(share, 0.0), 1.0) * day.wide

    def heads(self) -> list[tuple[float, str]]:
        """Where each week begins, and its name."""
        named = ("This week", "Next week")
        found: list[tuple[float, str]] = []
        for day in self.days:
            if day.on.weekday() == 0:
                week = day.week if day.on >= self.days[0].on else 0
                known = week < 2 and not any(word == named[week] for _, word in found)
                found.append((day.left, named[week] if known else f"Week of {said(day.on)}"))
        return found


def said(day: date) -> str:
    """A day as the wall writes it: “18 Dec”."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


def _minutes(at: time) -> float:
    return at.hour * 60 + at.minute + at.second / 60
