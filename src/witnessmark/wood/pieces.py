"""What the parts of a surveyed piece weigh, and which of them make its drawers.

A part that was weighed weighs that; any other is reckoned from its size and its wood. A wood nobody knows widens
the answer; a part without a size has no weight, and is said to be missing rather than nothing.
"""

import math
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from witnessmark.materials import AmbiguousName, UnknownName, members_of, wood_named
from witnessmark.quantities import Length, Mass, Range, is_unknown, mapped
from witnessmark.sources import rule

from .species import Species, species, spread

if TYPE_CHECKING:
    from witnessmark.survey import Part, Survey

_CASES = {"chest", "sideboard", "bookcase", "box", "other"}


@dataclass(frozen=True)
class Drawer:
    """One drawer, or `count` alike: its front, and whatever else of it has a part of its own."""

    front: "Part"
    others: tuple[tuple["Part", float], ...]  # with how many of each belong to this drawer
    count: int

    @property
    def part(self) -> str:
        """The code of its front."""
        return self.front.code


def woods_of(part: "Part", survey: "Survey") -> tuple[Species, ...]:
    """The wood of a part and the others it may be; none where nobody knows. A veneered ground is its own wood."""
    named = next((text for text in (part.wood, survey.piece.other_wood) if not is_unknown(text)), None)
    if part.show and is_unknown(part.wood) and not is_unknown(survey.piece.show_wood):
        named = survey.piece.show_wood
    if named is None or part.material:
        return ()
    try:
        wood = wood_named(named, survey.piece.region)
    except (UnknownName, AmbiguousName):
        return ()
    return tuple(species(key) for key in dict.fromkeys((wood.default, *members_of(wood.key))))


def weight_of_part(part: "Part", survey: "Survey") -> Mass | Range[Mass] | None:
    """What one of it weighs; None where neither weight nor size is known, or it is of no wood."""
    if part.weight and part.weight.known:
        weighed: Mass | Range[Mass] = part.weight.value
        return weighed
    sides: tuple[Length, ...] = part.size.value if part.size and part.size.known else ()
    if part.material or str(part.shape) in {"hardware", "cloth", "leather", "glass", "mirror"}:
        return None
    if str(part.shape) == "turned" and len(sides) == 2:
        litres = sides[0].millimetres * math.pi / 4 * sides[1].millimetres ** 2 / 1e6
    elif len(sides) == 3:
        litres = math.prod(side.millimetres for side in sides) / 1e6
    else:
        return None
    densities = [wood.density for wood in woods_of(part, survey) if wood.density is not None]
    density = spread(densities[0], densities[1:]).value if densities else rule("wood", "unknown_density").value
    shape = f"solid_share_{part.shape}" if str(part.shape) in {"turned", "moulding", "frame", "carved"} else None
    share = rule("wood", shape).value if shape else 1.0
    low, usual, high = (
        end_density.kilograms_per_cubic_metre * end_share * litres
        for end_density, end_share in zip(_ends(density), _ends(share), strict=True)
    )
    return Mass(usual) if low == high else Range(Mass(low), Mass(usual), Mass(high))


def weight_of_piece(survey: "Survey") -> Mass | Range[Mass] | None:
    """What the whole weighs: as weighed; a case by its bulk; else its parts, if each has a weight."""
    piece = survey.piece
    if piece.weight and piece.weight.known:
        weighed: Mass | Range[Mass] = piece.weight.value
        return weighed
    if str(piece.kind) in _CASES and piece.size and piece.size.known and len(piece.size.value) == 3:
        litres = math.prod(side.millimetres for side in piece.size.value) / 1e6
        bulk = rule("wood", "case_density").value
        whole: Mass | Range[Mass] = mapped(bulk, lambda density: Mass(density.kilograms_per_cubic_metre * litres))
        return whole
    weights = [(weight_of_part(part, survey), part.count) for part in survey.part if part.shape != "hardware"]
    if not weights or any(weight is None for weight, _ in weights):
        return None
    ends = [sum(_ends(weight)[end].grams * count for weight, count in weights) for end in range(3)]
    return Mass(ends[1]) if ends[0] == ends[2] else Range(*(Mass(end) for end in ends))


def drawers_in(survey: "Survey") -> tuple[Drawer, ...]:
    """The drawers of a piece, by their fronts; what else they are made of goes by code (DR1.S) or is shared out."""
    fronts = [part for part in survey.part if _is_front(part.name)]
    stems = {part.code.split(".")[0] for part in fronts}
    number = sum(part.count for part in fronts)
    made_of = [part for part in survey.part if part not in fronts and _is_of_a_drawer(part.name)]
    found = []
    for front in fronts:
        stem = front.code.split(".")[0]
        own = [(part, part.count / front.count) for part in made_of if part.code.split(".")[0] == stem]
        shared = [
            (part, part.count / number)
            for part in made_of
            if part.code.split(".")[0] not in stems
        ]  # fmt: skip
        found.append(Drawer(front, tuple(own + shared), front.count))
    return tuple(found)


def depth_of(drawer: Drawer, survey: "Survey") -> Length | None:
    """How deep a drawer is from front to back: its longest side, or the depth of the piece less its back."""
    sides: list[Length] = [
        part.size.value[0] for part, _ in drawer.others if _is_side(part.name) and part.size and part.size.known
    ]
    size = survey.piece.size
    if not sides and size and size.known:
        sides = [size.value[1] - rule("wood", "behind_a_drawer").value.usual]
    return max(sides, default=None)


def weight_of_drawer(drawer: Drawer, survey: "Survey") -> Mass | Range[Mass] | None:
    """What one drawer weighs, front and all. Where only its front has a size the box behind is reckoned thin.

    A part that is called a drawer, and is weighed or framed, is the whole of it.
    """
    front = weight_of_part(drawer.front, survey)
    if front is None:
        return None
    weights = [(weight_of_part(part, survey), times) for part, times in drawer.others]
    totals = [_ends(front)[end].grams for end in range(3)]
    known = [(weight, times) for weight, times in weights if weight is not None]
    if known:
        totals = [
            total + sum(_ends(weight)[end].grams * times for weight, times in known)
            for end, total in enumerate(totals)
        ]  # fmt: skip
    elif not _is_whole(drawer.front):
        box = _ends(rule("wood", "drawer_box").value)
        totals = [total * (1 + times) for total, times in zip(totals, box, strict=True)]
    return Mass(totals[1]) if totals[0] == totals[2] else Range(*(Mass(total) for total in totals))


def _is_whole(part: "Part") -> bool:
    weighed = part.weight is not None and part.weight.known
    return "front" not in part.name.lower() and (weighed or part.shape == "frame")


def _ends(value: Any) -> tuple[Any, Any, Any]:
    return (value.low, value.usual, value.high) if isinstance(value, Range) else (value, value, value)


def _is_front(name: str) -> bool:
    words = name.lower()
    return bool(re.search(r"\bdrawers?\b", words)) and (
        bool(re.search(r"\bfronts?\b", words)) or bool(re.fullmatch(r"((the )?\S+ )?(long |short )?drawers?", words))
    )


def _is_of_a_drawer(name: str) -> bool:
    return bool(re.search(r"\bdrawers?\b", name.lower())) and bool(
        re.search(r"\b(sides?|backs?|bottoms?|linings?)\b", name.lower())
    )


def _is_side(name: str) -> bool:
    return bool(re.search(r"\bsides?\b", name.lower()))
