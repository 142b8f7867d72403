"""The demo shop, kept in an empty record: its pieces at every stage, with months of work behind them.

The documents of the invented shop come from its folder (`demo/`): its own document, a survey a piece, a week of its
day book, what was told by hand (`stock/told.csv`) and which pieces were worked on from when (`stock/worked.csv`).
The work itself is played: each of those pieces is planned, and its steps are done one after the other in the hours
its people keep, a little quicker or slower than planned, always the same way.
"""

import csv
import hashlib
import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from typing import Any

from witnessmark.daybook import DayBook, daybook_from
from witnessmark.documents import json_of, uuid7
from witnessmark.plan import PiecePlan, PlannedStep, plan_piece, step_as_logged
from witnessmark.quantities import Mass, Volume, say, usual
from witnessmark.record import keep_photograph, keep_shop, keep_survey, post_entries
from witnessmark.shop import Person, Shop, shop_from
from witnessmark.survey import Survey, survey_from

PLAYED_TO = datetime(2026, 11, 14, tzinfo=UTC)  # the week after is told in the demo's own day book
SPREAD = 0.2  # of the logarithm: how unlike its plan a day turns out
LONGEST = 180.0  # minutes at one thing before a pause


def keep_demo(folder: Path, now: datetime) -> int:
    """The demo shop kept in this record; how many pieces it holds. Keeping it again adds nothing."""
    shop = shop_from((folder / "shop.toml").read_text("utf-8"), "shop.toml")
    owner = shop.person[0].name
    keep_shop(shop, owner, _morning(shop, "2026-09-01"))
    for picture in sorted((folder / "pictures").glob("*.png")):
        keep_photograph(picture.read_bytes(), owner, now)
    surveys = {
        file.stem: survey_from(file.read_text("utf-8"), file.name, shop.context)
        for file in [*sorted(folder.glob("*.toml")), *sorted((folder / "stock").glob("*.toml"))]
        if file.name != "shop.toml"
    }
    for survey in surveys.values():
        came = survey.piece.came_on.isoformat() if survey.piece.came_on else "2026-11-20"
        keep_survey(survey, owner, _morning(shop, came), "as it came in")
    told = list(_told(folder / "stock" / "told.csv", surveys, shop))
    played = list(_played(folder / "stock" / "worked.csv", surveys, shop))
    week = daybook_from((folder / "daybook.jsonl").read_text("utf-8"), "daybook.jsonl", shop.context)
    entries = [*told, *played, *(json_of(entry) for entry in (*week.entries, *week.struck))]
    post_entries([entry for entry in sorted(entries, key=_happened) if _happened(entry) <= now], now)
    return len(surveys)


def _happened(entry: Mapping[str, Any]) -> datetime:
    return datetime.fromisoformat(str(entry["happened"]))


def _morning(shop: Shop, day: str) -> datetime:
    return datetime.combine(datetime.fromisoformat(day), time(9), shop.shop.zone_info).astimezone(UTC)


def _rows(file: Path) -> list[dict[str, str]]:
    with file.open(newline="", encoding="utf-8") as text:
        return list(csv.DictReader(text))


def _entry(at: datetime, what: str, who: str, **said: Any) -> dict[str, Any]:
    """An entry, its id made from what it says: the same again is the same entry."""
    table = {"what": what, "who": who, **{key: value for key, value in said.items() if value}}
    table["happened"] = at.astimezone(UTC).isoformat()
    table["id"] = uuid7(at, hashlib.sha256(repr(sorted(table.items())).encode()).digest()[:10])
    return table


def _told(file: Path, surveys: Mapping[str, Survey], shop: Shop) -> Iterator[dict[str, Any]]:
    for row in _rows(file):
        at = datetime.fromisoformat(row.pop("at")).replace(tzinfo=shop.shop.zone_info)
        piece = surveys[row.pop("piece")].id
        yield _entry(at, row.pop("what"), row.pop("who"), piece=piece, **row)


@dataclass
class _Work:
    """A piece on the bench: what is left of its plan, and from when the next step may go."""

    piece: str
    steps: list[PlannedStep]
    ready: datetime
    left: float = 0.0
    spent: float = 0.0
    rng: random.Random = field(default_factory=random.Random)

    def begin(self) -> None:
        self.left = max(5.0, self.steps[0].minutes.p50 * self.rng.lognormvariate(0, SPREAD)) if self.steps else 0.0
        self.spent = 0.0


def _played(file: Path, surveys: Mapping[str, Survey], shop: Shop) -> Iterator[dict[str, Any]]:
    works = [_work(row, surveys[row["piece"]], shop) for row in _rows(file)]
    day = min(work.ready for work in works)
    while day < PLAYED_TO:
        for person in shop.person:
            yield from _days_work(person, day, works, shop)
        day += timedelta(days=1)


def _work(row: Mapping[str, str], survey: Survey, shop: Shop) -> _Work:
    start = _morning(shop, row["from"])
    plan: PiecePlan = plan_piece(survey, shop, DayBook(), start)
    steps = [step for step in plan.steps if step.step.labour != "wait"]
    if row["steps"].startswith("all but"):
        steps = steps[: -int(row["steps"].rpartition(" ")[2])]
    elif row["steps"] != "all":
        steps = steps[: int(row["steps"])]
    work = _Work(survey.id, steps, start, rng=random.Random(row["piece"]))
    work.begin()
    return work


def _days_work(person: Person, day: datetime, works: Sequence[_Work], shop: Shop) -> Iterator[dict[str, Any]]:
    """One person's day: each stretch at whatever is ready, until the share of the day that is bench work is used up."""
    local = day.astimezone(shop.shop.zone_info).date()
    stretches = () if local in person.days_off else person.week[local.weekday()]
    room = sum(stretch.end - stretch.start for stretch in stretches) * person.bench_fraction
    for stretch in stretches:
        at = datetime.combine(local, time(), shop.shop.zone_info) + timedelta(minutes=stretch.start)
        ends = at + timedelta(minutes=stretch.end - stretch.start)
        while room > 5 and (work := next((one for one in works if one.steps and one.ready <= at), None)):
            minutes = round(min(work.left, LONGEST, room, (ends - at) / timedelta(minutes=1)))
            if minutes < 5:
                break
            at += timedelta(minutes=minutes)
            room -= minutes
            yield from _stretch(work, person.name, at, minutes)


def _stretch(work: _Work, who: str, at: datetime, minutes: int) -> Iterator[dict[str, Any]]:
    """So many minutes at the step a piece is at, and, where it ends with them, that it is done."""
    planned = work.steps[0]
    work.left -= minutes
    said = {"piece": work.piece, "step": step_as_logged(planned)}
    done = work.left < 5
    yield _entry(at, "worked", who, minutes=f"{minutes} min", **said, amounts=_amounts(planned) if done else ())
    work.ready = at
    if done:
        yield _entry(at + timedelta(minutes=1), "done", who, **said)
        work.steps.pop(0)
        work.ready = at + timedelta(hours=planned.step.wait.usual.in_hours)
        work.begin()


def _amounts(planned: PlannedStep) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = []
    for need in planned.step.needs:
        amount = usual(need.amount.value)
        if isinstance(amount, Volume | Mass):
            found.append({"material": need.name, "volume" if isinstance(amount, Volume) else "mass": say(amount)})
    return found
