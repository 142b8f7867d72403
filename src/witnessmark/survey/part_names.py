"""What parts of a piece are called as they come off, and the short codes their tags get."""

import re
from collections.abc import Collection
from dataclasses import dataclass
from functools import cache

from witnessmark.sources import table

from .words import PieceKind

UNNAMED = "P"  # the stem of a part that nobody has named yet
LONGEST = 12  # signs of a code, as the survey has it


@dataclass(frozen=True)
class PartName:
    """A name in trade words and the stem of its code: a code is the stem where that is free, else counted up.

    `main` is the body that others come off from, such as the carcase.
    """

    name: str
    stem: str
    main: bool = False


@cache
def part_names_for(kind: PieceKind) -> tuple[PartName, ...]:
    """The names of the parts that such a piece usually has, largest first, its main body last."""
    return tuple(
        PartName(row["name"], row["stem"], row["main"] == "yes")
        for row in table("survey", "part_names.csv", "name")
        if kind.value in row.keys_in("kinds")
    )


def main_body_of(kind: PieceKind) -> PartName:
    """What the other parts of such a piece come off from."""
    return next(one for one in part_names_for(kind) if one.main)


def stem_for(kind: PieceKind, name: str) -> str:
    """The stem of a code for a part of this name: of the list, else the beginning of the name's first word."""
    said = " ".join(name.casefold().split())
    for one in part_names_for(kind):
        if one.name == said:
            return one.stem
    first = re.sub(r"[^A-Z0-9 ]", "", name.upper()).split()
    return first[0][:5] if first else UNNAMED


def free_code(stem: str, taken: Collection[str]) -> str:
    """A code from the stem that nothing has or ever had: `taken` are all those that were ever used on the piece.

    A stem that counts (D, P) begins with 1; a word (TOP) stands bare while it is free.
    """
    if len(stem) > 2 and stem not in taken:
        return stem
    number = 1 if len(stem) <= 2 else 2
    while (code := f"{stem[: LONGEST - len(str(number))]}{number}") in taken:
        number += 1
    return code
