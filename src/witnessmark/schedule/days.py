"""The shop's days, first pass: each job as early as it can go, in the order given, once what it waits for is over.

Labour is local working hours, one person to a job; waits are elapsed time. Recoat windows are kept by beginning a
day later where that helps, and reported where it does not. The same jobs give the same days. What this pass does
not know yet: benches, racks and cramps, dust beside wet film, two people on one job.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from graphlib import CycleError, TopologicalSorter
from heapq import heappop, heappush
from typing import TYPE_CHECKING

from witnessmark.documents import Refused
from witnessmark.quantities import Temperature, between, say
from witnessmark.sources import rule

from .hours import DAY, Bench, Warmth, instant_of, minute_of

if TYPE_CHECKING:
    from witnessmark.shop import Shop
    from witnessmark.treatment import Wait


class NobodyWorks(Refused):
    """A shop in which no person has any hours."""


class GoesRound(Refused):
    """Jobs that wait for one another in a ring."""


class NoSuchJob(ValueError):
    """A job that comes after one that is not in the list, or two jobs of one id."""


class NoZone(ValueError):
    """A time without its offset: it could be any hour of the day."""


@dataclass(frozen=True)
class Slot:
    """One stretch at the bench, UTC, whole minutes. `session` runs from 1 to `of`; a session may take several."""

    start: datetime
    end: datetime
    who: str
    session: int
    of: int


@dataclass(frozen=True)
class Job:
    """What is to be given its days. `minutes` are bench minutes over all sessions together.

    `wait` runs after the last session, before any job that comes `after` this one; `between` after each other.
    `unbroken` work does not pause. `fixed`: slots already worked or promised, kept as they are; their time is taken.
    `who`: the people it is for; anybody where none is named, or none of them has any hours. A `gate` is an instant,
    no work: it lies where what it comes after is over, in the past too, and its wait runs from there.
    """

    id: str
    minutes: float
    sessions: int = 1
    after: tuple[str, ...] = ()
    wait: "Wait | None" = None
    between: "Wait | None" = None
    unbroken: bool = False
    earliest: datetime | None = None
    latest: datetime | None = None
    fixed: tuple[Slot, ...] = ()
    who: tuple[str, ...] = ()
    gate: bool = False


@dataclass(frozen=True)
class Broken:
    """Something the days could not keep, in words."""

    job: str
    says: str


@dataclass(frozen=True)
class Days:
    """The slots of each job by its id, in time order; what could not be kept; and what was assumed on the way."""

    slots: dict[str, tuple[Slot, ...]]
    broken: tuple[Broken, ...] = ()
    notes: tuple[str, ...] = ()

    def __getitem__(self, job: str) -> tuple[Slot, ...]:
        return self.slots[job]


def days_for(jobs: Sequence[Job], shop: "Shop", start: datetime) -> Days:
    """The first days each job can have from `start` on.

    Raises NobodyWorks and GoesRound, to be mended in the documents; NoSuchJob, NoZone and Endless.
    """
    for job in jobs:
        for instant in (start, job.earliest, job.latest, *(t for slot in job.fixed for t in (slot.start, slot.end))):
            if instant is not None and instant.utcoffset() is None:
                raise NoZone(f"{job.id}: {instant.isoformat()} has no offset. Write it as 2026-11-25T08:00+00:00.")
    return _Forward(jobs, shop, start).days()


class _Forward:
    """One pass, with what is taken so far."""

    def __init__(self, jobs: Sequence[Job], shop: "Shop", start: datetime) -> None:
        self.jobs = {job.id: job for job in jobs}
        self.place = {job.id: number for number, job in enumerate(jobs)}
        if len(self.jobs) < len(jobs):
            ids = [job.id for job in jobs]
            twice = next(id_ for id_ in ids if ids.count(id_) > 1)
            raise NoSuchJob(f"Two jobs have the id “{twice}”. Each job needs its own.")
        zone = shop.shop.zone_info
        self.now = minute_of(start)
        first = min([start, *(slot.start for job in jobs for slot in job.fixed)]).astimezone(zone).date()
        self.benches = [Bench(person, shop, start.astimezone(zone).date()) for person in shop.person]
        self.benches = [bench for bench in self.benches if bench.works]
        if jobs and not self.benches:
            raise NobodyWorks(
                "Nobody in the shop has any hours. Give at least one [[person]] `hours`, such as "
                "mon-fri = \"8:00-12:30, 13:15-17:00\"."
            )  # fmt: skip
        self.warmth = Warmth(shop, first)
        self.slots: dict[str, tuple[Slot, ...]] = {}
        self.broken: list[Broken] = []
        self.notes: dict[str, None] = {}
        self.leasts: set[Temperature] = set()

    def days(self) -> Days:
        for job in self.jobs.values():
            for slot in job.fixed:
                self._take(slot)
        followers = self._followers()
        waiting = {job.id: len(set(job.after)) for job in self.jobs.values()}
        ready: list[tuple[bool, int, str]] = []
        for job in self.jobs.values():
            if not waiting[job.id]:
                heappush(ready, (True, self.place[job.id], job.id))
        while ready:
            _, _, id_ = heappop(ready)
            job = self.jobs[id_]
            self.slots[id_] = tuple(sorted(job.fixed, key=lambda s: s.start)) if job.fixed else self._placed(job)
            self._check_deadline(job)
            for follower in followers[id_]:
                waiting[follower] -= 1
                if not waiting[follower]:
                    # What must follow within a window goes first, before others take its hours.
                    tight = any(self._window(before) is not None for before in self.jobs[follower].after)
                    heappush(ready, (not tight, self.place[follower], follower))
        for id_ in self.jobs:
            self._check_window(id_, followers[id_])
        return Days({id_: self.slots[id_] for id_ in self.jobs}, tuple(self.broken), (*self._cold(), *self.notes))

    def _followers(self) -> dict[str, list[str]]:
        followers: dict[str, list[str]] = {id_: [] for id_ in self.jobs}
        for job in self.jobs.values():
            for before in set(job.after):
                if before not in followers:
                    raise NoSuchJob(f"“{job.id}” comes after “{before}”, which is not among the jobs.")
                followers[before].append(job.id)
        try:
            TopologicalSorter({job.id: job.after for job in self.jobs.values()}).prepare()
        except CycleError as ring:
            raise GoesRound(
                f"These steps wait for one another in a ring: {' → '.join(reversed(ring.args[1]))}. "
                "Take one `after` away."
            ) from None
        return followers

    def _take(self, slot: Slot) -> None:
        begin, end = minute_of(slot.start), minute_of(slot.end)
        for bench in self.benches:
            if bench.name == slot.who and end > max(begin, self.now):
                bench.take(max(begin, self.now), end)

    def _ready(self, job: Job) -> int:
        """When all that comes before is done and has waited, and the job may begin."""
        begin = self.now if job.earliest is None else max(self.now, minute_of(job.earliest))
        if job.gate and job.after:
            begin = min(minute_of(self.slots[before][-1].end) for before in job.after)
        for before in job.after:
            end = minute_of(self.slots[before][-1].end)
            begin = max(begin, self._over(end, self.jobs[before].wait))
        return begin

    def _cold(self) -> Iterator[str]:
        """What the shop's warmth does to the waits that need some, by night and by day."""
        night, day = self.warmth.night, self.warmth.day
        if night is None and self.leasts:
            yield "No night temperature is known: waits are reckoned through the night; a cold one takes longer."
        too_cold = sorted(least for least in self.leasts if night is not None and night < least)
        if night is not None and too_cold:
            needed = say(too_cold[0] if len(too_cold) == 1 else between(too_cold[0], too_cold[-1]))
            yield f"The shop falls to {say(night)} at night: what needs {needed} waits by day only."
        short = [least for least in sorted(self.leasts) if day is not None and day < least]
        if day is not None and short:
            yield f"The shop is at {say(day)} by day, and {say(short[-1])} is needed: heat it first."

    def _over(self, end: int, wait: "Wait | None") -> int:
        if wait is None or wait.usual.minutes <= 0:
            return end
        least = wait.least_temperature
        if least is not None:
            self.leasts.add(least)
        return self.warmth.over(end, math.ceil(wait.usual.minutes), least)

    def _placed(self, job: Job) -> tuple[Slot, ...]:
        """The job at the first times it can have, with the person who can begin and end it soonest."""
        ready = self._ready(job)
        if job.minutes <= 0:
            bench, plan, _ = None, self._sessions(None, job, ready)[0], 0
        else:
            bench, plan = self._best(job, ready)
        slots = []
        for number, pieces in enumerate(plan, 1):
            for begin, end in pieces:
                slots.append(Slot(instant_of(begin), instant_of(end), bench.name if bench else "", number, len(plan)))
                if bench:
                    bench.take(begin, end)
        return tuple(slots)

    def _best(self, job: Job, ready: int) -> tuple[Bench, list[list[tuple[int, int]]]]:
        """Whose first session ends soonest, ties in the shop's order; a day later where that keeps the windows."""
        benches = [bench for bench in self.benches if bench.name in job.who] or self.benches
        bench = min(benches, key=lambda b: b.first_fit(_clock(b, job), ready, job.unbroken)[-1][1])
        minutes = _clock(bench, job)
        if job.unbroken and minutes > bench.longest_day:
            self.notes[f"“{job.id}” should not be broken off, and no day is long enough for it."] = None
        first, late = self._sessions(bench, job, ready)
        for later in range(1, round(rule("schedule", "window_tries").value) + 1 if late else 1):
            other, still_late = self._sessions(bench, job, first[0][0][0] + later * DAY, give_up=True)
            if not still_late:
                return bench, other
        if late and job.between and job.between.latest:
            self.broken.append(
                Broken(job.id, f"session {late + 1} comes later than {say(job.between.latest)} after the one before")
            )
        return bench, first

    def _sessions(
        self, bench: Bench | None, job: Job, ready: int, give_up: bool = False
    ) -> tuple[list[list[tuple[int, int]]], int]:
        """The pieces of each session from `ready` on, and after which session a window is first missed (0: none).

        With `give_up` no more sessions are sought after that.
        """
        plan: list[list[tuple[int, int]]] = []
        late = 0
        for number in range(job.sessions):
            if bench is None:
                pieces = [(ready, ready)]
            else:
                pieces = bench.first_fit(_clock(bench, job), ready, job.unbroken)
            if plan and not late and job.between and job.between.latest is not None:
                over = pieces[0][0] - plan[-1][-1][1] > job.between.latest.minutes
                late = number if over else 0
                if late and give_up:
                    break
            plan.append(pieces)
            ready = self._over(pieces[-1][1], job.between)
        return plan, late

    def _window(self, id_: str) -> float | None:
        wait = self.jobs[id_].wait
        return None if wait is None or wait.latest is None else wait.latest.minutes

    def _check_window(self, id_: str, followers: Sequence[str]) -> None:
        """Whether the next job begins before the window closes; the first to follow is the one that matters."""
        window, wait = self._window(id_), self.jobs[id_].wait
        if window is None or wait is None or wait.latest is None or not followers:
            return
        end = minute_of(self.slots[id_][-1].end)
        begin, follower = min((minute_of(self.slots[f][0].start), self.place[f], f) for f in followers)[::2]
        if begin - end > window:
            self.broken.append(
                Broken(follower, f"begins later than {say(wait.latest)} after “{id_}”, when its window closes")
            )

    def _check_deadline(self, job: Job) -> None:
        end = self.slots[job.id][-1].end
        if job.latest is not None and end > job.latest:
            late = minute_of(end) - minute_of(job.latest)
            self.broken.append(Broken(job.id, f"ends {late / DAY:.1f} days after its promised day"))


def _clock(bench: Bench, job: Job) -> int:
    """Clock minutes of one session: door, phone and sharpening take the rest of the hour."""
    return max(1, math.ceil(round(job.minutes / job.sessions / bench.fraction, 6)))
