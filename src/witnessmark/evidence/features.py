"""What can be dated: each feature with the years it was made in, and where on a piece it sits."""

import re
from dataclasses import dataclass
from enum import Enum
from functools import cache

from witnessmark.documents import Refused, nearest
from witnessmark.sources import Row, row, rule, table

CARVED_DATE = "carved_date"  # dates nothing by itself: it is read, said so, and not weighed


class NoSuchFeature(Refused):
    """A word that names nothing we can date; `near` is the nearest that does."""

    def __init__(self, found: str, near: str | None, several: tuple[str, ...] = ()) -> None:
        self.found, self.near, self.several = found, near, several
        choices = f" It could be {', '.join(several)}." if several else ""
        hint = f" Did you mean “{near}”?" if near else ""
        super().__init__(f"“{found}” is nothing that we can date.{choices or hint}")


class Nature(Enum):
    """What a clue is of: the maker's way of working, timber that may be older, or a fitting that may be later."""

    MAKING = "making"
    STUFF = "stuff"
    FITTING = "fitting"


@dataclass(frozen=True)
class Group:
    """Features of one act, counted once: where they sit, and the chance that they are older than the piece.

    `copied` is a manner that later work in an earlier style takes over. What is seen `at_a_glance` is no next look.
    """

    key: str
    name: str
    part: str
    nature: Nature
    copied: bool
    at_a_glance: bool
    older: float


@dataclass(frozen=True)
class Feature:
    """One datable feature: begins between `earliest` and `common`, goes out between `common_to` and `latest`.

    Years are None where there is no such limit, or where the one who reads it gives the date (`takes_a_year`).
    `replaced` is the chance that the part, if there, is later than the piece; `floor` that the row is wrong here.
    """

    key: str
    name: str
    region: str
    earliest: float | None
    common: float | None
    common_to: float | None
    latest: float | None
    replaced: float
    whole_piece: bool
    not_before_only: bool
    floor: float
    how_to_see: str
    group: Group
    part: str
    minutes: float
    harm: int

    @property
    def takes_a_year(self) -> bool:
        return self.key in {"lining_printed_date", "inscription_dated", CARVED_DATE}


@cache
def groups() -> dict[str, Group]:
    """Every group by its key."""
    return {
        one.key: Group(one.key, one["name"], one["part"], Nature(one["nature"]), one["copied"] == "yes",
                       one["at_a_glance"] == "yes", one.number("older") or 0.0)
        for one in table("evidence", "groups.csv")
    }  # fmt: skip


def _feature(cells: Row) -> Feature:
    return Feature(
        key=cells.key,
        name=cells["name"],
        region=cells["region"],
        earliest=cells.number("from_earliest_year"),
        common=cells.number("from_common_year"),
        common_to=cells.number("to_common_year"),
        latest=cells.number("to_latest_year"),
        replaced=cells.number("replaced") or 0.0,
        whole_piece=cells["dates"] == "whole_piece",
        not_before_only=cells["dates"] == "not_before_only",
        floor=float(rule("evidence", f"floor_{cells['confidence']}").value),
        how_to_see=cells["how_to_see"],
        group=groups()[cells["group"]],
        part=cells["part"] or groups()[cells["group"]].part,
        minutes=cells.number("look_minutes") or 1.0,
        harm=int(cells.number("look_harm") or 0),
    )


@cache
def features() -> dict[str, Feature]:
    """Every feature by its key, in table order."""
    return {cells.key: _feature(cells) for cells in table("evidence", "features.csv")}


def standings_of(key: str) -> tuple[str, str]:
    """How far the first and the last years of a feature can be leant on, in words; empty where it has none."""
    cells = row("evidence", "features.csv", key)
    return cells["from_standing"].replace("_", " "), cells["to_standing"].replace("_", " ")


def _plain(text: str) -> str:
    return re.sub(r"[^a-z0-9]+", " ", text.casefold()).strip()


def feature_named(text: str, region: str = "any") -> Feature:
    """The feature that a key, or plain words, stand for. Raises NoSuchFeature with the nearest.

    Of features that differ by region only (“fine hand-cut dovetails”), the region's own is taken.
    """
    known = features()
    key = _plain(text).replace(" ", "_")
    if key in known:
        return known[key]
    asked = set(_plain(text).split())
    by_words = [one for one in known.values() if asked and asked <= set(_plain(f"{one.key} {one.name}").split())]
    here = [one for one in by_words if one.region in {region, "any"}] or by_words
    if len(here) == 1:
        return here[0]
    if 1 < len(here) <= 6:
        raise NoSuchFeature(text, None, tuple(one.key for one in here))
    near = nearest(key, known)
    if near is None:
        named = {_plain(one.name): one.key for one in known.values()}
        found = nearest(_plain(text), named)
        near = named[found] if found else None
    raise NoSuchFeature(text, near)


def date_words() -> dict[str, tuple[str, ...]]:
    """What a survey's readings about the date may name: features (any year may stand beside), and looks, yes or no."""
    return dict.fromkeys(features(), ()) | {cells.key: ("yes", "no") for cells in table("evidence", "story_looks.csv")}
