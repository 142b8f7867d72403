"""Cautions: the rows of cautions.csv that a task calls for, and the ladder to climb before any sum of vapour.

A row binds when all it asks for is there: one of its `materials` (a key, a family or a group), another of
`with_materials` beside it, one of its `found`, each of its `needs` (dust, heat, lifting), and none of the
fuller cautions in its `unless`. Row order is the order of weight within a level. The texts are our own words;
each row names who knows better.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cache

from witnessmark.materials import fits, members_of
from witnessmark.sources import Row, table

from .caution import Caution, Level, Task
from .hazards import hazard_keys

DEFERS = "Local codes and licensed practice prevail over every caution here."
ON_A_CARD = 3  # more are not read: the rest stand once, in the plan

_LEVELS = list(Level)


class UnknownFinding(ValueError):
    """A finding that findings.csv does not have: a caution would be lost in silence."""


def cautions_for(
    task: Task, beside: Sequence[str] = (), region: str = "UK", at_most: int | None = ON_A_CARD
) -> tuple[Caution, ...]:
    """The cautions that bind this task, Stop before Mind, at most three; all of them with `at_most=None`.

    `beside`: keys of other materials about on the same bench, for what must never meet. `region` (UK, US)
    decides the words. Raises UnknownFinding, and UnknownName on a material that is in no table.
    """
    for key in task.found:
        if key not in hazard_keys():
            raise UnknownFinding(
                f"Step {task.rule}: “{key}” is no finding of safety/findings.csv: no caution would follow. "
                "Use a key that hazards_in gives."
            )
    bound = {
        row: cites
        for row in table("safety", "cautions.csv")
        if (cites := _cites(row, task, tuple(beside), region)) is not None
    }
    keys = {row.key for row in bound}
    cautions = [
        Caution(
            row.key,
            Level(row["level"]),
            _words(row, region),
            row["ask"],
            row["source_key"],
            row["as_of"],
            cites,
        )
        for row, cites in bound.items()
        if not keys & set(row.keys_in("unless"))
    ]
    return tuple(sorted(cautions, key=lambda caution: _LEVELS.index(caution.level))[:at_most])


def cautions_of_plan(tasks: Iterable[Task], beside: Sequence[str] = (), region: str = "UK") -> tuple[Caution, ...]:
    """Every caution of all the tasks, each once, Stop before Mind, heaviest first."""
    found: dict[str, Caution] = {}
    for task in tasks:
        for caution in cautions_for(task, beside, region, at_most=None):
            before = found.get(caution.key)
            cites = dict.fromkeys((*(before.cites if before else ()), *caution.cites))
            found[caution.key] = replace(caution, cites=tuple(cites))
    order = {row.key: place for place, row in enumerate(table("safety", "cautions.csv"))}
    return tuple(sorted(found.values(), key=lambda c: (_LEVELS.index(c.level), order[c.key])))


def vapour_ladder(task: Task, region: str = "UK") -> tuple[str, ...]:
    """What to do about vapour, the first rung first; empty where the task's materials let none go.

    The sum of air and limits comes beneath the ladder, never instead of it.
    """
    rungs: dict[str, str] = {}
    masked = False
    for row in table("safety", "ladder.csv"):
        if row["materials"] and not _first_fitting(row.keys_in("materials"), task.materials):
            continue
        masked = masked or bool(row["materials"])
        rungs.setdefault(row["rung"], _words(row, region))  # the strictest mask stands first
    return tuple(rungs.values()) if masked else ()


def _cites(row: Row, task: Task, beside: tuple[str, ...], region: str) -> tuple[str, ...] | None:
    """What in the task called for this row; None where it does not bind."""
    if row["region"] and row["region"] != region:
        return None
    cites: list[str] = []
    if row["materials"]:
        first = _first_fitting(row.keys_in("materials"), task.materials)
        if row["with_materials"] and not first:  # either of the pair may be the one already on the bench
            first = _first_fitting(row.keys_in("materials"), beside)
        if not first:
            return None
        cites.append(first)
        if row["with_materials"]:
            others = task.materials if first in beside else (*task.materials, *beside)
            second = _first_fitting(row.keys_in("with_materials"), others)
            if not second:
                return None
            cites.append(second)
    if row["found"]:
        seen = [key for key in row.keys_in("found") if key in task.found]
        if not seen:
            return None
        cites += seen
    flags = {"dust": task.dust, "heat": task.heat, "lifting": task.lifting}
    if not all(flags[need] for need in row.keys_in("needs")):
        return None
    return tuple(cites)


def _first_fitting(rules: Sequence[str], materials: Sequence[str]) -> str:
    return next((m for m in materials if any(_speaks_of(rule, m) for rule in rules)), "")


@cache
def _speaks_of(rule: str, material: str) -> bool:
    """A group is taken at its worst: one member is enough."""
    return any(fits(rule, member) for member in members_of(material))


def _words(row: Row, region: str) -> str:
    return row["says_us"] if region == "US" and row["says_us"] else row["says"]
