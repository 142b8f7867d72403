"""A number someone else measured, and how far it can be leant on."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
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


def weakest(standings: Iterable[Standing]) -> Standing:
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
