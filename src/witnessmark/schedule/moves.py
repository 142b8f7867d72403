"""What moved against the calendar people have read, and why, in one sentence each."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from .calendar import CalendarSlot, Moved, instant
from .odds_kept import day_in_words

if TYPE_CHECKING:
    from witnessmark.shop import Shop


def moved_against(problem: Mapping[str, Any], slots: Sequence[CalendarSlot], shop: "Shop") -> tuple[Moved, ...]:
    """The sessions that are not on the day, or not with the person, that people have read. None for what is done."""
    return _Moves(problem, slots, shop).found()


class _Moves:
    def __init__(self, problem: Mapping[str, Any], slots: Sequence[CalendarSlot], shop: "Shop") -> None:
        self.now = instant(problem["now"])
        self.posted, self.shop, self.zone = problem["posted"], shop, shop.shop.zone_info
        self.pieces = {piece["id"]: piece for piece in problem["pieces"]}
        self.jobs = {job["id"]: job for job in problem["jobs"] if not job["fixed"]}
        self.all = {job["id"]: job for job in problem["jobs"]}
        self.work = [slot for slot in slots if slot.kind != "wait"]
        self.waits = {(slot.piece, slot.step): slot for slot in slots if slot.kind == "wait"}
        self.first: dict[tuple[str, str, int], CalendarSlot] = {}
        self.last: dict[tuple[str, str], CalendarSlot] = {}
        for slot in sorted(self.work, key=lambda slot: slot.start):
            self.first.setdefault(slot.key, slot)
            self.last[slot.piece, slot.step] = slot

    def found(self) -> tuple[Moved, ...]:
        read: dict[tuple[str, str, int], Mapping[str, Any]] = {}
        for row in sorted(self.posted, key=lambda row: str(row["start"])):
            read.setdefault((row["piece"], row["step"], row["session"]), row)
        moves = []
        for key, row in read.items():
            slot = self.first.get(key)
            if slot is None or slot.done:
                continue
            was = instant(row["start"])
            if self._day(was) == self._day(slot.start) and row["who"] == slot.who:
                continue
            because = self._because(slot, was, row["who"])
            moves.append(
                Moved(*key, slot.trade_name, was, row["who"], slot.start, slot.who, because, self._says(slot, because))
            )
        return tuple(sorted(moves, key=lambda moved: (moved.now, moved.piece, moved.step, moved.session)))

    def _day(self, instant_: datetime) -> date:
        return instant_.astimezone(self.zone).date()

    def _when(self, instant_: datetime) -> str:
        return f"{day_in_words(self._day(instant_))}, {instant_.astimezone(self.zone):%H:%M}"

    def _code(self, piece: str) -> str:
        known = self.pieces[piece]
        return str(known["code"] or known["title"])

    def _says(self, slot: CalendarSlot, because: str) -> str:
        session = f", {slot.session} of {slot.of}," if slot.of > 1 else ""
        where = f"{self._code(slot.piece)}: “{slot.trade_name}”{session} moved to {day_in_words(self._day(slot.start))}"
        return f"{where}, {slot.who}, because {because}."

    def _because(self, slot: CalendarSlot, was: datetime, who: str) -> str:
        job = self.jobs.get(f"{slot.piece}/{slot.step}")
        if job is not None and slot.who in job["who"]:
            return f"{slot.who} has begun it"
        if slot.start < was:
            return "there is room for it sooner"
        if holding := self._holding(slot, was):
            return holding
        person = next((one for one in self.shop.person if one.name == who), None)
        day = self._day(was)
        if person is None:
            return f"{who or 'nobody'} is not of the shop"
        if day in (*person.days_off, *self.shop.closed) or not person.week[day.weekday()]:
            return f"{who} is not in on {day_in_words(day)}"
        if was < self.now:
            return f"it was not begun on {day_in_words(day)}"
        for other in self.work:
            if other.who == who and other.start <= was < other.end and other.key != slot.key and not other.done:
                promised = self.pieces[other.piece]["promised"]
                urgent = f", promised for {day_in_words(date.fromisoformat(promised))}" if promised else ""
                return f"{who} has “{other.trade_name}” ({self._code(other.piece)}{urgent}) then"
        if slot.who != who and self._day(slot.start) == day:
            return f"{slot.who} can do it first"
        return "there is no room for it sooner"

    def _holding(self, slot: CalendarSlot, was: datetime) -> str:
        """What it comes after and waits for, where that is over only after the time it was read for."""
        before = self.first.get((slot.piece, slot.step, slot.session - 1))
        if before is not None and before.end > was - timedelta(minutes=1):
            return f"session {before.session} ends {self._when(before.end)}"
        job = self.jobs.get(f"{slot.piece}/{slot.step}")
        latest: tuple[datetime, str] | None = None
        for before_id in job["after"] if job else ():
            row = self.all.get(before_id)
            if row is None:
                continue
            wait = self.waits.get((row["piece"], row["step"])) if row["wait"] else None
            last = self.last.get((row["piece"], row["step"]))
            end = wait.end if wait else last.end if last else None
            if end is None or end <= was:
                continue
            if row["kind"] == "gate":
                says = f"its jar is not fit before {self._when(end)}"
            elif wait:
                says = f"“{row['trade_name']}” and its wait end {self._when(end)}"
            else:
                says = f"“{row['trade_name']}” ends {self._when(end)}"
            if latest is None or end > latest[0]:
                latest = end, says
        return latest[1] if latest else ""
