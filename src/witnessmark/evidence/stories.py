"""Stories about a piece, each with its own way from the year of making to what is seen on the parts.

All of a piece: every part is of the year of making, but for the usual replaced fittings. Altered: the parts of one
place are all later. Marriage: two halves of two years. Made up: its timber is older. Later work in an earlier style:
what can be copied is of an earlier year, all of it of the same. Cut down and converted say nothing about years:
looks decide.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from witnessmark.odds import Candidate, Feature, How, Measured, Question
from witnessmark.sources import Row, rule, table

from .clues import Weight
from .features import Nature
from .styles import fashion, revival
from .years import Years, later_than, older_than

Array = Any


@dataclass(frozen=True)
class Dated:
    """One story's account of the clues: how well it explains them, and the year of making if it is true.

    `others` is the year of the later half of a marriage, `half` which half that is.
    """

    key: str
    evidence: float
    years: Array
    others: Array | None = None
    half: str = ""


@cache
def stories() -> dict[str, Row]:
    """Every story by its key."""
    return {cells.key: cells for cells in table("evidence", "stories.csv")}


@cache
def looks() -> Question:
    """The stories, and the looks that tell them apart."""
    candidates = tuple(Candidate(key, cells["name"], cells.number("prior") or 0.0) for key, cells in stories().items())
    features = []
    for cells in table("evidence", "story_looks.csv"):
        chances = {}
        for story in stories():
            yes = cells.number(story) or 0.0
            chances[story] = {"yes": yes, "no": 1 - yes}
        large = cells.number("at_large") or 0.0
        features.append(
            Feature(cells.key, cells["name"], ("yes", "no"), chances, {"yes": large, "no": 1 - large}, cells["group"],
                    cells.number("minutes") or 1.0, int(cells.number("harm") or 0))
        )  # fmt: skip
    return Question(candidates, tuple(features))


def accounts(weights: Sequence[Weight], styles: Sequence[str], years: Years) -> list[Dated]:
    """How well each story explains the clues that count, none of these last."""
    told = [_account(key, weights, styles, years) for key in stories()]
    even = np.full(len(years.line), 1 / len(years.line))
    at_large = float(np.prod([one.new.mean() for one in weights]))
    return [*told, Dated("none_of_these", at_large, even)]


def measured(told: Sequence[Dated]) -> Measured:
    """What the clues say about the stories, as one reading."""
    chances = {one.key: one.evidence for one in told[:-1]}
    return Measured("dates", "the years of the parts", chances, told[-1].evidence)


def _account(key: str, weights: Sequence[Weight], styles: Sequence[str], years: Years) -> Dated:
    if key == "marriage":
        halves = _halves(weights)
        if halves:
            return _marriage(weights, halves, fashion(styles, years), years)
    if key == "later_style":
        own = _product([one.made for one in weights if not one.feature.group.copied], years)
        return _sum(key, revival(styles, years), [own, _copied(weights, years)])
    if key == "made_up":
        return _sum(key, _either(fashion(styles, years), revival(styles, years)), _made_up(weights, years))
    places = set(stories()[key].keys_in("places"))
    later = [one for one in weights if places & {one.clue.part, one.feature.part}]
    rest = _product([one.made for one in weights if one not in later], years)
    if not later:
        return _sum(key, fashion(styles, years), [rest])
    return _sum(
        key, fashion(styles, years), [rest, later_than(np.prod([one.work for one in later], axis=0))[: len(rest)]]
    )


def _product(rows: Sequence[Array], years: Years) -> Array:
    return np.prod([np.ones(len(years.line)), *rows], axis=0)


def _sum(key: str, prior: Array, factors: Sequence[Array]) -> Dated:
    joint = np.prod([prior, *factors], axis=0)
    total = float(joint.sum())
    return Dated(key, total, joint / total if total > 0 else prior)


def _either(one: Array, other: Array) -> Array:
    return (one + other) / 2


def _before(common: Array) -> Array:
    """The chance of things from before: mean over the years at least the gap earlier."""
    gap = int(rule("evidence", "copy_gap").value)
    shifted = older_than(common)
    return np.concatenate([np.full(gap, shifted[0]), shifted[:-gap]])


def _copied(weights: Sequence[Weight], years: Years) -> Array:
    """One earlier year is copied, whole: so what can be copied must agree within itself."""
    rows = [one.new for one in weights if one.feature.group.copied]
    return _before(_product(rows, years))


def _made_up(weights: Sequence[Weight], years: Years) -> list[Array]:
    """The timber is older; the manner is of the day or an older one; the rest is of the day."""
    stuff = [one for one in weights if one.feature.group.nature is Nature.STUFF]
    manner = [one for one in weights if one.feature.group.copied]
    rest = [one.made for one in weights if one not in stuff and one not in manner]
    factors = [_product(rest, years)]
    if stuff:
        factors.append(_before(_product([one.new for one in stuff], years)))
    if manner:
        same = _product([one.new for one in manner], years)
        factors.append(_either(same, _before(same)))
    return factors


def _halves(weights: Sequence[Weight]) -> tuple[str, str] | None:
    """Both halves where clues say which they are on."""
    return ("lower", "upper") if any(one.clue.half for one in weights) else None


def _marriage(weights: Sequence[Weight], halves: tuple[str, str], prior: Array, years: Years) -> Dated:
    """Two halves of two years. Rows of the square are years of the first half, columns of the second.

    A clue is noted if the likelier half shows it. So where only one half could, which half carries it is no chance
    with two years, and even chances with one: up to twice as likely. Where both could, the halves tell nothing.
    """
    line = years.line
    gap = float(rule("evidence", "marriage_gap").value)
    apart = (np.abs(line[:, None] - line[None, :]) >= gap).astype(float)
    even = np.full(len(line), 1 / len(line))
    # The style named is that of either half; the other's year is open.
    square = apart * (prior[:, None] * even[None, :] + even[:, None] * prior[None, :]) / 2
    square /= square.sum()
    for one in weights:
        here, there = one.made[:, None], one.made[None, :]
        if one.clue.half == halves[1]:
            here, there = there, here
        if one.clue.half:
            square = square * here * 2 * np.maximum(here, there) / (here + there)
        elif one.clue.how is How.NOT_SEEN:  # missed on both
            square = square * np.minimum(here, there)
        else:
            square = square * np.maximum(here, there)
    total = float(square.sum())
    first_is_older = np.triu(square)  # the second half's year is the later one
    older = first_is_older.sum(axis=1) + np.tril(square).sum(axis=0)
    later = first_is_older.sum(axis=0) + np.tril(square).sum(axis=1)
    half = halves[1] if first_is_older.sum() >= total / 2 else halves[0]
    return Dated("marriage", total, older / older.sum(), later / later.sum(), half)
