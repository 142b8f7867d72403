"""Where the parts of a piece stand, seen from the front: rows from the top down, by the words of their names."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Literal

State = Literal["off", "next", "on"]
Shape = Literal["bar", "wide", "front", "post", "arch", "slim"]

# The first word found in a part's name says how far down it stands, the height of its row in px, and its shape:
# a bar across, one that stands over at the sides, a front within the carcase, a post, an arch, a slim middle piece.
_PLACES: tuple[tuple[str, float, float, Shape], ...] = (
    ("of the base", 6.5, 28, "wide"), ("cornice", 0, 30, "wide"), ("crest", 0, 30, "bar"), ("bow", 1, 46, "arch"),
    ("lid", 1, 44, "wide"), ("rack", 4, 54, "bar"), ("splat", 4, 54, "slim"), ("stick", 5, 46, "bar"),
    ("shel", 5, 34, "bar"), ("arm", 6, 34, "bar"), ("short drawer", 7, 66, "front"), ("drawer", 8, 76, "front"),
    ("flap", 8.3, 54, "front"), ("writing", 8.5, 50, "front"), ("door", 9, 130, "front"), ("seat", 10, 40, "wide"),
    ("plinth", 12, 34, "wide"), ("leg", 13, 104, "post"), ("stretcher", 13.5, 28, "bar"), ("foot", 14, 36, "post"),
    ("feet", 14, 36, "post"), ("moulding", 3, 26, "wide"), ("top", 2, 28, "wide"), ("case", 11, 90, "front"),
)  # fmt: skip
# What stands behind, inside or on another part, whatever else its name says.
_UNSEEN = re.compile(
    r"\b(back board|bottom(?! drawer)|dust|runner|guide|lock|hinge|cleat|block|stop|knob|escutcheon|mount|inside|bead"
    r"|handle|drawer\b.*\b(sides?|back)\b|rail)"
)
_SIDES = re.compile(r"[-.]?(FL|FR|BL|BR|L|R)$")


@dataclass(frozen=True)
class MapPart:
    """A part on the map: its code and name, whether it is off, next off or on, its turn, and what to take care of."""

    code: str
    name: str
    state: State
    order: int | None = None
    care: str = ""


@dataclass(frozen=True)
class Level:
    """One row of the front, its parts from left to right."""

    parts: tuple[MapPart, ...]
    high: float
    shape: Shape


def fronts(parts: Sequence[MapPart]) -> tuple[list[Level], list[MapPart]]:
    """The rows from the top down, and the parts that the front does not show."""
    codes = {part.code for part in parts}
    placed: list[tuple[tuple[float, float, Shape], MapPart]] = []
    unseen = []
    for part in parts:
        place = _place(part.name)
        if place is None or any(part.code.startswith(f"{code}.") for code in codes):
            unseen.append(part)
        else:
            placed.append((place, part))
    placed.sort(key=lambda one: (one[0], _in_order(one[1].code)))
    levels = []
    for (rank, high, shape), same in groupby(placed, key=lambda one: one[0]):
        levels += [Level(tuple(row), high, shape) for row in _rows([part for _, part in same], rank)]
    return levels, unseen


def _place(name: str) -> tuple[float, float, Shape] | None:
    low = name.lower()
    if _UNSEEN.search(low):
        return None
    return next(((rank, high, shape) for word, rank, high, shape in _PLACES if re.search(rf"\b{word}", low)), None)


def _rows(parts: list[MapPart], rank: float) -> list[list[MapPart]]:
    """Parts of one rank: left and right of a pair, legs, and short drawers share a row; long drawers do not."""
    if rank == 7:
        return [parts[at : at + 2] for at in range(0, len(parts), 2)]
    stems = groupby(parts, key=lambda part: _SIDES.sub("", part.code))
    return [sorted(row, key=_from_left) for _, row in stems]


def _from_left(part: MapPart) -> tuple[bool, str]:
    """Left before right, back beside front."""
    return "right" in part.name.lower() or part.code.endswith("R"), part.code


def _in_order(code: str) -> list[tuple[int, str]]:
    """DR2 before DR10."""
    return [(int(bit), "") if bit.isdigit() else (0, bit) for bit in re.split(r"(\d+)", code)]
