"""What may be promised over several pieces: the days at four times in five and nineteen in twenty, and the odds.

The hours of one piece share part of their error, those of different pieces don't; other people's waits have each
their own spread. Played through, each time every piece has its own luck. At once, all pieces are slow together, which
is safer than four in five.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from statistics import NormalDist
from typing import Any
from zoneinfo import ZoneInfo

from witnessmark.sources import rule

from .calendar import Promise
from .minutes import Minutes
from .promises import FOUR_IN_FIVE
from .totals import total_of

_NORMAL = NormalDist()
_NINETEEN_IN_TWENTY = 0.95
_ODDS = (FOUR_IN_FIVE, _NINETEEN_IN_TWENTY)

Luck = dict[str, float]  # by how much a job, or the wait after it (“ID wait”), takes longer than it likely does


def spread_in(minutes: Mapping[str, float]) -> float:
    """The log spread of a job's minutes, from its median and what is kept four times in five."""
    if minutes["p50"] <= 0 or minutes["p80"] <= minutes["p50"]:
        return 0.0
    return math.log(minutes["p80"] / minutes["p50"]) / _NORMAL.inv_cdf(FOUR_IN_FIVE)


def slow_together(problem: Mapping[str, Any]) -> Iterator[Luck]:
    """All pieces as slow as each is four times in five, then as each is nineteen times in twenty."""
    by_piece: dict[str, list[Mapping[str, Any]]] = {}
    for job in problem["jobs"]:
        if not job["fixed"]:
            by_piece.setdefault(job["piece"], []).append(job)
    totals = {piece: total_of([_minutes(job) for job in jobs]) for piece, jobs in by_piece.items()}
    for odds in _ODDS:
        luck: Luck = {}
        for piece, jobs in by_piece.items():
            total = totals[piece]
            slower = {FOUR_IN_FIVE: total.p80, _NINETEEN_IN_TWENTY: total.p95}[odds] / total.p50 if total.p50 else 1.0
            luck |= {job["id"]: slower for job in jobs}
        luck |= {f"{job['id']} wait": math.exp(_NORMAL.inv_cdf(odds) * spread) for job, spread in _on_others(problem)}
        yield luck


def _minutes(job: Mapping[str, Any]) -> Minutes:
    shared, own = _parts(spread_in(job["minutes"]))
    p50, p80, p95 = (job["minutes"][odds] for odds in ("p50", "p80", "p95"))
    return Minutes(p50, p80, p95, mu=math.log(p50) if p50 > 0 else -math.inf, sigma_shared=shared, sigma_own=own)


def _parts(spread: float) -> tuple[float, float]:
    """What the hours of one piece have in common, and what is a job's alone."""
    share: float = rule("schedule", "shared_doubt").value
    return spread * math.sqrt(share), spread * math.sqrt(1 - share)


def _on_others(problem: Mapping[str, Any]) -> Iterator[tuple[Mapping[str, Any], float]]:
    for job in problem["jobs"]:
        if job["wait"] and job["wait"]["spread"]:
            yield job, job["wait"]["spread"]


def played(problem: Mapping[str, Any], times: int) -> Iterator[Luck]:
    """The luck of so many runs, from a fixed seed."""
    import numpy as np  # heavy, and wanted here only

    chance = np.random.default_rng(round(rule("schedule", "seed").value))
    jobs = [job for job in problem["jobs"] if not job["fixed"] and job["minutes"]["p50"] > 0]
    parts = [_parts(spread_in(job["minutes"])) for job in jobs]
    others = list(_on_others(problem))
    pieces = {piece["id"]: place for place, piece in enumerate(problem["pieces"])}
    for _ in range(times):
        shared = chance.standard_normal(len(pieces))
        own, waits = chance.standard_normal(len(jobs)), chance.standard_normal(len(others))
        luck = {
            job["id"]: math.exp(in_common * shared[pieces[job["piece"]]] + alone * own[place])
            for place, (job, (in_common, alone)) in enumerate(zip(jobs, parts, strict=True))
        }
        yield luck | {f"{job['id']} wait": math.exp(spread * z) for (job, spread), z in zip(others, waits, strict=True)}


def promises_from(
    problem: Mapping[str, Any],
    likely: Mapping[str, datetime],
    ends: Sequence[Mapping[str, datetime]],
    was_played: bool,
    zone: ZoneInfo,
) -> tuple[Promise, ...]:
    """One promise a piece that has work left or done. `ends`: of each run played, or the two of `slow_together`."""
    found = []
    for piece in problem["pieces"]:
        id_ = piece["id"]
        if id_ not in likely:
            continue
        each = sorted(one[id_] for one in ends)
        if was_played:
            likely_day, safe, sure = (each[math.ceil(odds * len(each)) - 1] for odds in (0.5, *_ODDS))
        else:
            likely_day, safe, sure = likely[id_], max(likely[id_], each[0]), max(likely[id_], each[-1])
        promised = date.fromisoformat(piece["promised"]) if piece["promised"] else None
        odds = None
        if promised is not None:
            closes = datetime.combine(promised + timedelta(days=1), time(), zone)
            odds = _kept(each, closes) if was_played else _between((likely_day, safe, sure), closes)
        says = _says(promised, odds, likely_day.astimezone(zone).date(), safe.astimezone(zone).date())
        found.append(Promise(id_, likely_day, safe, sure, promised, odds, says))
    return tuple(found)


def _kept(each: Sequence[datetime], closes: datetime) -> float:
    """The share of the runs that end in time; never quite all or none of so few."""
    share = sum(end <= closes for end in each) / len(each)
    surest: float = rule("schedule", "surest_odds").value
    least = max(0.5 / len(each), 1 - surest)
    return round(min(max(share, least), 1 - least), 3)


def _between(days: Sequence[datetime], closes: datetime) -> float:
    """The odds of a day, read off the line through the three known ones on the normal's scale."""
    scale = [0.0, *(_NORMAL.inv_cdf(odds) for odds in _ODDS)]
    at = [(day - days[0]).total_seconds() for day in days]
    where = (closes - days[0]).total_seconds()
    first = 1 if where > at[1] and at[2] > at[1] else 0
    run = at[first + 1] - at[first]
    if run <= 0:
        z = math.inf if where >= 0 else -math.inf
    else:
        z = scale[first] + (where - at[first]) * (scale[first + 1] - scale[first]) / run
    surest: float = rule("schedule", "surest_odds").value
    return round(min(max(_NORMAL.cdf(z), 1 - surest), surest), 3)


def _says(promised: date | None, odds: float | None, likely: date, safe: date) -> str:
    if promised is None or odds is None:
        return f"Likely done {day_in_words(likely)}; safe to say {day_in_words(safe)}."
    if odds >= FOUR_IN_FIVE:
        return f"Promised for {day_in_words(promised)}: kept four times in five or better."
    if odds >= 0.5:
        return f"Promised for {day_in_words(promised)}: likely kept, but safe to say {day_in_words(safe)} only."
    late = f"Promised for {day_in_words(promised)}, and likely done {day_in_words(likely)}: tell the owner"
    return f"{late}. Safe to say {day_in_words(safe)}."


def day_in_words(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B}"
