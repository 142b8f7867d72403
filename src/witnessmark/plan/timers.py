"""Clocks that somebody started at the bench: which still run, which stopped by themselves at closing time.

A clock runs from a `started` entry until its person logs that step as worked, done or stopped, or a coat of it; work
logged on the piece without a step answers for all their clocks on it, as “3 h chest” does at the end of the day.
One nobody ended stops when their day ends, and asks next morning, until it is answered.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.quantities import Span, as_json, say
from witnessmark.shop import Shop

from .logged import FINISHES
from .outside import instant_json

_ENDS = frozenset([What.WORKED, What.DONE, What.STOPPED, What.COAT])


@dataclass(frozen=True)
class Running:
    """A clock nobody has ended. `entry` is the id of the entry that started it.

    `stopped` is the closing time at which it stopped by itself, None while it runs; `ran` is from start to then, or to
    now. `asks` from the next morning on.
    """

    entry: str
    who: str
    piece: str
    part: str
    step: str
    trade_name: str
    started: datetime
    stopped: datetime | None
    ran: Span
    asks: bool

    @property
    def says(self) -> str:
        """The question, or how long it has run."""
        what = self.trade_name or self.part or "the piece"
        if self.asks:
            return f"{self.who}'s clock on “{what}” was left running and stopped at closing: was it {say(self.ran)}?"
        return f"{self.who}, {what}: {say(self.ran)}"

    def as_json(self) -> dict[str, Any]:
        return {
            "entry": self.entry, "who": self.who, "piece": self.piece, "part": self.part, "step": self.step,
            "trade_name": self.trade_name, "started": instant_json(self.started),
            "stopped": instant_json(self.stopped), "ran": as_json(self.ran), "asks": self.asks, "says": self.says,
        }  # fmt: skip


def running_in(daybook: DayBook, shop: Shop, now: datetime) -> tuple[Running, ...]:
    """Every clock started by now and not ended, the longest running first."""
    return tuple(_running(entry, shop, now) for entry in _not_ended(daybook.entries, now))


def _not_ended(entries: Iterable[Entry], now: datetime) -> list[Entry]:
    clocks: list[Entry] = []
    for entry in entries:
        if entry.happened > now:
            break
        if entry.what is What.STARTED:
            # Started again, it is the same clock.
            if not any(_same(entry, clock) for clock in clocks):
                clocks.append(entry)
        elif entry.what in _ENDS or (entry.step and entry.what in FINISHES):
            clocks = [clock for clock in clocks if not _ended(clock, entry)]
    return clocks


def _same(one: Entry, other: Entry) -> bool:
    return _of(one) == _of(other)


def _of(entry: Entry) -> tuple[str, str, str, str]:
    return entry.who, entry.piece, entry.step.id if entry.step else "", "" if entry.step else entry.part


def _ended(clock: Entry, entry: Entry) -> bool:
    """Whether an entry ends a clock of its person: it is of that step, or of the piece as a whole."""
    if (entry.who, entry.piece) != (clock.who, clock.piece):
        return False
    if entry.step is not None and clock.step is not None:
        return entry.step.id == clock.step.id
    return entry.step is None


def _running(clock: Entry, shop: Shop, now: datetime) -> Running:
    closing = closing_of(shop, clock.who, clock.happened)
    stopped = closing if closing <= now else None
    day, today = (at.astimezone(shop.shop.zone_info).date() for at in (clock.happened, now))
    return Running(
        entry=clock.id,
        who=clock.who,
        piece=clock.piece,
        part=clock.part,
        step=clock.step.id if clock.step else "",
        trade_name=clock.step.trade_name if clock.step else "",
        started=clock.happened,
        stopped=stopped,
        ran=Span(((stopped or now) - clock.happened).total_seconds() / 60),
        asks=stopped is not None and today > day,
    )


def closing_of(shop: Shop, who: str, at: datetime) -> datetime:
    """When somebody's day ends in which this instant lies, by the clock on the wall.

    Begun after hours, on a day off, or by somebody the shop does not know it ends with the day itself.
    """
    zone = shop.shop.zone_info
    day = at.astimezone(zone).date()
    for person in shop.person:
        off = day in person.days_off or day in shop.closed
        if person.name.casefold() == who.casefold() and not off:
            for stretch in person.week[day.weekday()][-1:]:
                closing = _at(day, stretch.end, zone)
                if closing > at:
                    return closing
    return _at(day, 24 * 60, zone)


def _at(day: date, minute: int, zone: Any) -> datetime:
    """A minute of a local day, as the wall clock shows it."""
    days, left = divmod(minute, 24 * 60)
    return datetime.combine(day + timedelta(days=days), time(left // 60, left % 60), zone)
