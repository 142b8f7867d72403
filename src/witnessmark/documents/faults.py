"""Faults: what is wrong with an input, where, what was expected, and the nearest right word."""

from collections.abc import Sequence
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True)
class Fault:
    """One thing to mend. `line` is None when it can't be told for sure: never a wrong line."""

    where: str
    key: str
    found: str
    expected: str
    line: int | None = None
    nearest: str | None = None

    @property
    def says(self) -> str:
        """The fault as a sentence, for people."""
        place = self.where + (f", line {self.line}" if self.line else "") + (f", {self.key}" if self.key else "")
        hint = f" Did you mean “{self.nearest}”?" if self.nearest else ""
        found = f"found “{self.found}”; " if self.found else ""
        return f"{place}: {found}expected {self.expected}.{hint}"

    def as_json(self) -> dict[str, str | int | None]:
        return {
            "where": self.where,
            "line": self.line,
            "key": self.key,
            "found": self.found,
            "expected": self.expected,
            "nearest": self.nearest,
        }


class Faulty(ValueError):
    """An input that needs mending: all its faults at once."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.says for fault in self.faults))


class Refused(ValueError):
    """An input that is understood and still not done, with the reason."""


def nearest(found: str, right: Sequence[str]) -> str | None:
    """The right word closest to what was found, or None when none is close."""
    close = get_close_matches(found.lower(), [word.lower() for word in right], n=1, cutoff=0.6)
    return next((word for word in right if close and word.lower() == close[0]), None)
