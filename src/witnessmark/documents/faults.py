"""Faults: what is wrong with an input, where, what was expected, and the nearest right word."""

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
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
        line = f"line {self.line}" if self.line else ""
        place = ", ".join(part for part in (self.where, line, self.key) if part)
        found = f"found “{self.found}”; " if self.found else ""
        hint = f" Did you mean “{self.nearest}”?" if self.nearest else ""
        return f"{place}: {found}expected {self.expected}.{hint}"

    def as_json(self) -> dict[str, str | int | None]:
        return asdict(self)


class Faulty(ValueError):
    """An input that needs mending: all its faults at once."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.says for fault in self.faults))


class Refused(ValueError):
    """An input that is understood and still not done, with the reason."""


def nearest(found: str, right: Iterable[str]) -> str | None:
    """The right word closest to what was found, or None when none is close."""
    by_form: dict[str, str] = {}
    for word in right:
        by_form.setdefault(word.casefold(), word)
    close = get_close_matches(found.casefold(), by_form, n=1, cutoff=0.6)
    return by_form[close[0]] if close else None
