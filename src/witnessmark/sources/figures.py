"""A number someone else measured, and where to look it up."""

import csv
from dataclasses import dataclass
from enum import Enum
from functools import cache
from importlib import resources
from typing import Any


class Standing(Enum):
    """How far a number can be leant on. Listed strongest first."""

    CONVENTION = "convention"
    PUBLISHED = "published"
    OWN_TEST = "own_test"
    COMPUTED = "computed"
    COMMON_PRACTICE = "common_practice"
    FROM_MEMORY = "from_memory"
    NOT_FOUND = "not_found"

    @property
    def words(self) -> str:
        return self.value.replace("_", " ")


_STRENGTH = list(Standing)


def weakest(standings: "list[Standing]") -> Standing:
    """An answer is no better than its weakest figure. With none it is computed from what was given."""
    return max(standings, key=_STRENGTH.index, default=Standing.COMPUTED)


@dataclass(frozen=True)
class Figure:
    """One number, or range, someone else measured.

    `value` is an amount, a Range of amounts or a plain number; `source_key` may be several, `;` between,
    each a key of `bibliography.csv`; the edition is part of the key.
    """

    name: str
    value: Any
    standing: Standing
    source_key: str
    note: str = ""


@dataclass(frozen=True)
class Source:
    """One line of the bibliography."""

    key: str
    citation: str
    year: str
    kind: str
    place: str
    read: bool


@cache
def bibliography() -> dict[str, Source]:
    """Every source by its key."""
    text = resources.files("witnessmark.sources").joinpath("bibliography.csv").read_text("utf-8")
    return {
        row["key"]: Source(row["key"], row["citation"], row["year"], row["kind"], row["place"], row["read"] == "yes")
        for row in csv.DictReader(text.splitlines())
    }
