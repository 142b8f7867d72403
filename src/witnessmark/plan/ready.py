"""What may be begun now, and what the rest still comes after or waits for: from the shop's problem."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from witnessmark.schedule import instant, waits_until
from witnessmark.shop import Shop


@dataclass(frozen=True)
class Holding:
    """Something that comes before: not done yet (`until` None), or done and waiting until then."""

    piece: str
    step: str
    trade_name: str
    until: datetime | None
    jar: bool = False


@dataclass(frozen=True)
class Waiting:
    """A wait that runs now. `kind`: “jar” while something dissolves or soaks, else “wait”."""

    piece: str
    step: str
    trade_name: str
    began: datetime
    until: datetime
    kind: str


class Readiness:
    """Asked of one problem: jobs that are done are those with `fixed` slots."""

    def __init__(self, problem: Mapping[str, Any], shop: Shop) -> None:
        self.now, self.shop = instant(problem["now"]), shop
        self.jobs: dict[str, Mapping[str, Any]] = {job["id"]: job for job in problem["jobs"]}
        self.followers: dict[str, list[Mapping[str, Any]]] = {}
        for job in self.jobs.values():
            for before in job["after"]:
                self.followers.setdefault(before, []).append(job)
        self._over: dict[str, datetime | None] = {}

    def holding(self, id_: str) -> tuple[Holding, ...]:
        """What holds a job up now; nothing where it may begin."""
        return tuple(dict.fromkeys(self._holding(id_)))

    def _holding(self, id_: str) -> Iterator[Holding]:
        for before in self.jobs[id_]["after"]:
            job, over = self.jobs[before], self.over(before)
            if over is None or over > self.now:
                yield Holding(job["piece"], job["step"], job["trade_name"], over, job["kind"] == "gate")

    def ready_at(self, id_: str) -> datetime | None:
        """Since when, or from when, a job may begin; None where something before it is still to be done."""
        earliest = self.jobs[id_]["earliest"]
        overs = [self.over(before) for before in self.jobs[id_]["after"]]
        known = [over for over in overs if over is not None]
        if len(known) < len(overs):
            return None
        return max([*known, *([instant(earliest)] if earliest else [])], default=None) or self.now

    def over(self, id_: str) -> datetime | None:
        """When a done job has waited too; of a gate, when what it stands before may begin; None while not done."""
        if id_ not in self._over:
            job = self.jobs[id_]
            end = self._ended(job)
            self._over[id_] = None if end is None else waits_until(job["wait"], end, self.shop)
        return self._over[id_]

    def _ended(self, job: Mapping[str, Any]) -> datetime | None:
        if job["kind"] == "gate":
            ends = [self.over(before) for before in job["after"]]
            return None if None in ends else max((end for end in ends if end), default=None)
        return max((instant(slot["end"]) for slot in job["fixed"]), default=None)

    def window(self, id_: str) -> datetime | None:
        """When the window of what was done before closes; None where there is none."""
        closes = []
        for before in self.jobs[id_]["after"]:
            job = self.jobs[before]
            end = self._ended(job) if job["fixed"] else None
            if end and job["wait"] and job["wait"]["latest"]:
                closes.append(end + timedelta(minutes=job["wait"]["latest"]))
        return min(closes, default=None)

    def running(self) -> tuple[Waiting, ...]:
        """Every wait that has begun and is not over, and that something still to be done waits for, soonest first."""
        found = []
        for id_, job in self.jobs.items():
            over, began = self.over(id_), self._ended(job)
            if over is None or began is None or not began <= self.now < over or not self._wanted(id_):
                continue
            if id_.startswith("before."):
                continue  # the lapse before a stirring: it is due or not, and nobody waits for it
            kind = "jar" if job["kind"] == "gate" else "wait"
            found.append(Waiting(job["piece"], job["step"], job["trade_name"], began, over, kind))
        return tuple(sorted(found, key=lambda wait: (wait.until, wait.piece, wait.step)))

    def next_after(self, piece: str, step: str) -> list[str]:
        """The trade names of what may follow a step, still to be done."""
        ids = [id_ for id_, job in self.jobs.items() if (job["piece"], job["step"]) == (piece, step)]
        names = [job["trade_name"] for id_ in ids for job in self.followers.get(id_, []) if not job["fixed"]]
        return list(dict.fromkeys(names))

    def _wanted(self, id_: str) -> bool:
        return any(not job["fixed"] for job in self.followers.get(id_, []))
