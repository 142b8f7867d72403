"""Clues: features as they were read on one piece, and how likely each is for a piece made in each year."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

import numpy as np

from witnessmark.documents import Refused
from witnessmark.odds import How, moved, posterior
from witnessmark.sources import rule

from .features import CARVED_DATE, Feature, features
from .years import Years, commonness, later_than, making_years, older_than, on_to_now, trapezoid

Array = Any


class BadClue(Refused):
    """A clue that can't be read: what was found and what was expected."""


class Age(Enum):
    """What the eye says of the part that carries a clue."""

    UNKNOWN = "unknown"
    UNDISTURBED = "undisturbed"
    DISTURBED = "disturbed"
    LATER = "later"
    OLDER = "older"


@dataclass(frozen=True)
class Clue:
    """One feature read. `part` is where (the feature's usual place where empty).

    `half` is “upper” or “lower” or empty. `year` is the date read on it, for features that carry one; a mark's first
    year goes there too.
    """

    feature: str
    how: How = How.SEEN
    part: str = ""
    half: str = ""
    age: Age = Age.UNKNOWN
    year: int | None = None
    reliability: float | None = None


@dataclass(frozen=True, eq=False)  # told apart by what they are, not by their arrays
class Weight:
    """A clue on the line of years.

    `work` is how likely new work of each year, on to our own, shows it, read as it was; `new` the same for the years a
    piece may be of; `made` how likely a piece made in that year does, its part perhaps later or older; `later` and
    `older` the chances of that before any other clue.
    """

    clue: Clue
    feature: Feature
    work: Array
    new: Array
    made: Array
    later: float
    older: float

    @property
    def part(self) -> str:
        half = f" of the {self.clue.half} half" if self.clue.half else ""
        return self.clue.part or f"{self.feature.part}{half}"


def chances_of_age(clue: Clue, feature: Feature) -> tuple[float, float]:
    """The chance that the part is later than the piece, and that it is older."""
    later, older = feature.replaced, feature.group.older
    match clue.age:
        case Age.LATER:
            return 1.0, 0.0
        case Age.OLDER:
            return 0.0, 1.0
        case Age.UNDISTURBED:
            share = float(rule("evidence", "undisturbed").value)
            return later * share, older * share
        case Age.DISTURBED:
            return min(0.95, later * float(rule("evidence", "disturbed").value)), older
    return later, min(older, 1.0 - later)


def weight_of(clue: Clue, years: Years | None = None) -> Weight:
    """The clue on the line of years. Raises BadClue where a date is missing or impossible."""
    years = years or making_years()
    feature = features()[clue.feature]
    work = _read_as(clue, _with_floor(_dated(clue, feature, on_to_now(years).line), feature, clue))
    later, older = chances_of_age(clue, feature)
    new = work[: len(years.line)]
    match clue.age:
        case Age.LATER:  # the piece is only no newer than the part
            made = (np.cumsum(work[::-1])[::-1] / work.sum())[: len(new)]
        case Age.OLDER:
            made = np.cumsum(new) / new.sum()
        case _:
            made = (1 - later - older) * new + later * later_than(work)[: len(new)] + older * older_than(new)
    return Weight(clue, feature, work, new, made, later, older)


def _dated(clue: Clue, feature: Feature, line: Array) -> Array:
    if clue.year is None:
        if feature.takes_a_year and clue.how is not How.NOT_SEEN:
            raise BadClue(f"{feature.key}: found no date, expected the year read on it, such as {feature.key}=1871.")
        return commonness(feature, line)
    if not 1000 <= clue.year <= int(rule("evidence", "this_year").value):
        raise BadClue(f"{feature.key}: found the year {clue.year}, expected one from 1000 on that has been.")
    if feature.not_before_only:
        return trapezoid(line, clue.year, clue.year, None, None)
    if clue.year < line[0]:
        raise BadClue(f"{feature.key}: found the year {clue.year}; our line of years begins in {line[0]}.")
    spread = float(rule("evidence", "dated_spread").value)
    return trapezoid(line, clue.year - spread, clue.year, clue.year, clue.year + spread)


def _with_floor(common: Array, feature: Feature, clue: Clue) -> Array:
    """No row is so sure that it could rule a year out; a date read on the part itself comes from no row."""
    floor = 0.0 if clue.year is not None else feature.floor
    return floor + (1 - floor) * common


def _read_as(clue: Clue, common: Array) -> Array:
    """Seen, looked for and missed, or unsure. An error names the feature as often as it is met at large."""
    right = clue.how.reliability if clue.reliability is None else clue.reliability
    named = right * common + (1 - right) * common.mean()
    if clue.how is How.NOT_SEEN:
        return 1 - float(rule("evidence", "met_in_its_time").value) * named
    return named


def counted(weights: Sequence[Weight], prior: Array) -> tuple[list[Weight], dict[int, int]]:
    """The clues that count, and for each that does not, by its place, the place of the one that counts for it.

    Clues of one act on one part (all screws of one kind; plate, bail and post of one pull) count once: the one
    that by itself moves the date most.
    """
    best: dict[tuple[str, str, str], int] = {}
    force = [moved(posterior(prior, one.made), prior) for one in weights]
    acts = [_act(one) for one in weights]
    for at, act in enumerate(acts):
        if act not in best or force[at] > force[best[act]]:
            best[act] = at
    stands = set(best.values())
    return [one for at, one in enumerate(weights) if at in stands], {
        at: best[act] for at, act in enumerate(acts) if at not in stands
    }


def _act(weight: Weight) -> tuple[str, str, str]:
    """What makes two clues one: group, part and half. Secondary woods and things missed are each a choice apart."""
    absent = weight.clue.feature if weight.clue.how is How.NOT_SEEN else ""
    return weight.feature.group.key, weight.part + absent, weight.clue.half


def is_weighed(clue: Clue) -> bool:
    """Whether a clue says anything about years: a carved date does not."""
    return clue.feature != CARVED_DATE
