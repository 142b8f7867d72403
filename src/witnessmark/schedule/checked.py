"""Whether a calendar keeps the shop's problem: asked of any calendar, whoever or whatever made it.

It shares no arithmetic with the forward pass: hours are looked up on the wall's clock, day by day.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import Any

from witnessmark.quantities import low

from .calendar import Calendar, CalendarSlot, instant
from .forward import shop_of

_MINUTE = timedelta(minutes=1)


def faults_in(problem: Mapping[str, Any], calendar: Calendar) -> tuple[str, ...]:
    """What the calendar does not keep, one sentence each; none where it is sound.

    Kept are: nobody in two places; work within the hours of who does it; every job there with all its sessions, each
    by one person and long enough; nothing before now; order and waits; unbroken work in one stretch where one is long
    enough; a recoat window kept, or its breaking said in `broken`.
    """
    return tuple(dict.fromkeys(_Check(problem, calendar).faults()))


class _Check:
    def __init__(self, problem: Mapping[str, Any], calendar: Calendar) -> None:
        self.shop = shop_of(problem)
        self.zone = self.shop.shop.zone_info
        self.people = {person.name: person for person in self.shop.person}
        self.now, self.calendar = instant(problem["now"]), calendar
        self.jobs = {job["id"]: job for job in problem["jobs"]}
        self.slots: dict[str, list[CalendarSlot]] = {}
        for slot in sorted(calendar.slots, key=lambda slot: slot.start):
            if slot.kind != "wait":
                self.slots.setdefault(f"{slot.piece}/{slot.step}", []).append(slot)
        nights = [room.night_temperature.value for room in self.shop.room
                  if room.night_temperature and room.night_temperature.known]  # fmt: skip
        self.night = min((low(night) for night in nights), default=None)

    def faults(self) -> Iterator[str]:
        yield from self._two_places()
        for id_, job in self.jobs.items():
            if job["kind"] == "gate" or job["fixed"]:
                continue
            mine = self._of(job)
            yield from self._whole(job, mine)
            for slot in mine:
                yield from self._in_hours(slot)
                if slot.start < self.now:
                    yield f"{_named(slot)} is down for {self._when(slot.start)}, which is past."
            if mine:
                yield from self._order(id_, job, mine)
                yield from self._between(job, mine)

    def _of(self, job: Mapping[str, Any]) -> list[CalendarSlot]:
        """The slots of a job, its coats that are laid already left out."""
        mine = self.slots.get(f"{job['piece']}/{job['step']}", [])
        return [slot for slot in mine if slot.done == bool(job["fixed"])]

    def _two_places(self) -> Iterator[str]:
        by_person: dict[str, list[CalendarSlot]] = {}
        for slots in self.slots.values():
            for slot in slots:
                if slot.end > slot.start and not slot.done:
                    by_person.setdefault(slot.who, []).append(slot)
        for who, slots in by_person.items():
            for one, other in pairwise(sorted(slots, key=lambda slot: slot.start)):
                if other.start < one.end:
                    yield f"{who} is in two places at {self._when(other.start)}: {_named(one)} and {_named(other)}."

    def _in_hours(self, slot: CalendarSlot) -> Iterator[str]:
        if slot.end == slot.start:
            return
        person = self.people.get(slot.who)
        if person is None:
            yield f"{_named(slot)} is given to “{slot.who}”, who is not of the shop."
        elif not any(begin <= slot.start and slot.end <= end for begin, end in self._stretches(slot.who, slot.start)):
            when = f"{self._when(slot.start)} to {self._when(slot.end)}"
            yield f"{_named(slot)}, {when}, is not in the hours of {slot.who}."

    def _stretches(self, who: str, at: datetime) -> list[tuple[datetime, datetime]]:
        """The hours of a person on a local day, those that touch made one."""
        person, day = self.people[who], at.astimezone(self.zone).date()
        if day in (*person.days_off, *self.shop.closed):
            return []
        joined: list[tuple[datetime, datetime]] = []
        for stretch in person.week[day.weekday()]:
            begin, end = self._wall(day, stretch.start), self._wall(day, stretch.end)
            if joined and joined[-1][1] == begin:
                joined[-1] = joined[-1][0], end
            else:
                joined.append((begin, end))
        return joined

    def _wall(self, day: date, minute: int) -> datetime:
        days, rest = divmod(minute, 1440)
        return datetime.combine(day + timedelta(days=days), time(rest // 60, rest % 60), self.zone).astimezone(UTC)

    def _whole(self, job: Mapping[str, Any], mine: Sequence[CalendarSlot]) -> Iterator[str]:
        name = f"“{job['trade_name']}” ({job['id']})"
        wanted = set(range(job["first"], job["of"] + 1))
        there = {slot.session for slot in mine}
        if missing := sorted(wanted - there):
            yield f"{name} has no time for session{'s' if len(missing) > 1 else ''} {', '.join(map(str, missing))}."
        if over := sorted(there - wanted):
            yield f"{name} has session {over[0]}, and is {job['of']} in all."
        for number in sorted(wanted & there):
            pieces = [slot for slot in mine if slot.session == number]
            who = {slot.who for slot in pieces}
            if len(who) > 1:
                yield f"{name}: session {number} is given to {' and '.join(sorted(who))}; one person does it."
                continue
            person = self.people.get(pieces[0].who)
            if person is None:
                continue
            if person.name not in job["who"] and self._any_works(job["who"]):
                yield f"{name} is given to {person.name}, and {' and '.join(job['who'])} is at it."
            needs = job["minutes"]["p50"] / job["sessions"] / person.bench_fraction
            has = sum(((slot.end - slot.start) for slot in pieces), timedelta()) / _MINUTE
            if has < needs - 1e-6:
                yield f"{name}: session {number} has {has:.0f} min by the clock, and needs {needs:.0f}."
            yield from self._unbroken(job, name, pieces, math.ceil(needs - 1e-6))

    def _any_works(self, names: Sequence[str]) -> bool:
        return any(any(self.people[name].week.values()) for name in names if name in self.people)

    def _unbroken(self, job: Mapping[str, Any], name: str, pieces: Sequence[CalendarSlot], clock: int) -> Iterator[str]:
        if not job["unbroken"] or len(pieces) < 2:
            return
        longest = [stretch.end - stretch.start for day in self.people[pieces[0].who].week.values() for stretch in day]
        if clock <= max(longest, default=0):
            yield f"{name} is broken off at {self._when(pieces[0].end)}, and must not be."

    def _order(self, id_: str, job: Mapping[str, Any], mine: Sequence[CalendarSlot]) -> Iterator[str]:
        begins = mine[0].start
        earliest = job["earliest"] and instant(job["earliest"])
        if earliest and begins < earliest:
            yield f"{_named(mine[0])} begins {self._when(begins)}, and may not before {self._when(earliest)}."
        for before in job["after"]:
            ready, why = self._over(before)
            if ready is None:
                yield f"{_named(mine[0])} comes after “{before}”, which has no time."
            elif begins < ready:
                yield f"{_named(mine[0])} begins {self._when(begins)}, and {why} until {self._when(ready)}."

    def _over(self, id_: str) -> tuple[datetime | None, str]:
        """When a job is done and has waited; of a gate, when what it stands before may begin."""
        job = self.jobs[id_]
        if job["kind"] == "gate":
            over = [self._over(before) for before in job["after"]]
            ready = [at for at, _ in over if at is not None]
            return (self._waited(max(ready), job["wait"]) if len(ready) == len(over) else None), "its jar is not ready"
        mine = self._of(job)
        if not mine:
            return None, ""
        end = max(slot.end for slot in mine)
        waits = job["wait"] is not None and job["wait"]["usual"] > 0
        return self._waited(end, job["wait"]), f"“{job['trade_name']}” {'waits' if waits else 'takes'}"

    def _waited(self, end: datetime, wait: Mapping[str, Any] | None) -> datetime:
        """The end of a wait: elapsed time, or in the cold only from a day's first opening to its last closing."""
        if wait is None or wait["usual"] <= 0:
            return end
        left, least = timedelta(minutes=math.ceil(wait["usual"])), wait["least_temperature"]
        if least is None or self.night is None or self.night.celsius >= least:
            return end + left
        day = end.astimezone(self.zone).date()
        for _ in range(3650):
            hours = [stretch for who in self.people for stretch in self._stretches(who, self._wall(day, 720))]
            if hours:
                opens, closes = max(end, min(begin for begin, _ in hours)), max(stop for _, stop in hours)
                if closes - opens >= left:
                    return opens + left
                left -= max(closes - opens, timedelta())
            day += timedelta(days=1)
        return datetime.max.replace(tzinfo=UTC)

    def _between(self, job: Mapping[str, Any], mine: Sequence[CalendarSlot]) -> Iterator[str]:
        """Between sessions, and the window of the next job after this one."""
        by_session: dict[int, list[CalendarSlot]] = {}
        for slot in mine:
            by_session.setdefault(slot.session, []).append(slot)
        for number, following in pairwise(sorted(by_session)):
            end, begins = by_session[number][-1].end, by_session[following][0].start
            if begins < self._waited(end, job["between"]):
                waits = f"session {number} waits until {self._when(self._waited(end, job['between']))}"
                name = f"“{job['trade_name']}” ({job['id']})"
                yield f"{name}: session {following} begins {self._when(begins)}, and {waits}."
            latest = job["between"] and job["between"]["latest"]
            if latest is not None and latest and begins - end > timedelta(minutes=latest):
                yield from self._unless_said(job, f"session {following} comes after the window of session {number}")
        latest = job["wait"] and job["wait"]["latest"]
        following_jobs = [self._of(other) for other in self.jobs.values() if job["id"] in other["after"]]
        begin = min((slots[0].start for slots in following_jobs if slots), default=None)
        if latest and begin is not None and begin - mine[-1].end > timedelta(minutes=latest):
            yield from self._unless_said(job, "what follows comes after its window")

    def _unless_said(self, job: Mapping[str, Any], says: str) -> Iterator[str]:
        if not any(job["trade_name"] in said for said in self.calendar.broken):
            yield f"“{job['trade_name']}” ({job['id']}): {says}, and the calendar does not say so."

    def _when(self, at: datetime) -> str:
        return f"{at.astimezone(self.zone):%Y-%m-%d %H:%M}"


def _named(slot: CalendarSlot) -> str:
    session = f", session {slot.session} of {slot.of}" if slot.of > 1 else ""
    return f"“{slot.trade_name}” ({slot.piece}/{slot.step}{session})"
