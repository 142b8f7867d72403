"""Mouldings: a profile in words, “fillet 5 mm + ovolo 20 x 15 mm”, goes in; its developed length comes out.

The developed length is what a tape pressed into every hollow would read. Sizes are across × deep: the first
along the face the moulding sits on, the second out from it. Names and the curves they stand for are in
`profiles.csv`.
"""

import math
import re
from dataclasses import dataclass
from functools import cache

from witnessmark.documents import nearest
from witnessmark.quantities import Length, NotUnderstood, is_unknown, read_size
from witnessmark.sources import Input, Working, formula, given, rule, table, work

from .faces import BadPart, within_reason


def _quarter(a: float, b: float) -> float:
    """A quarter of the ellipse with these half-axes, by the arithmetic-geometric mean: exact to rounding."""
    a, b = max(a, b), min(a, b)
    if b <= 0:
        return a
    squares, weight = a * a - (a * a - b * b) / 2, 0.5
    while abs(a - b) > 1e-15 * a:
        weight *= 2
        squares -= weight * ((a - b) / 2) ** 2
        a, b = (a + b) / 2, math.sqrt(a * b)
    return math.pi / 2 / a * squares


@formula("length = across + deep")
def flat_length(across: Length, deep: Length) -> Length:
    """A fillet and the return beside it."""
    return across + deep


@formula("length = √(across² + deep²)")
def slope_length(across: Length, deep: Length) -> Length:
    """A chamfer."""
    return Length(math.hypot(across.millimetres, deep.millimetres))


@formula("length = a quarter of the ellipse with half-axes across and deep")
def quarter_length(across: Length, deep: Length) -> Length:
    """An ovolo or a cavetto: π ÷ 2 × radius where the two are equal."""
    return Length(_quarter(across.millimetres, deep.millimetres))


@formula("length = half the ellipse with half-axes across ÷ 2 and deep")
def half_length(across: Length, deep: Length) -> Length:
    """A bead, astragal or torus: π ÷ 2 × across where it is half a circle."""
    return Length(2 * _quarter(across.millimetres / 2, deep.millimetres))


@formula("length = two quarters of the ellipse with half-axes across ÷ 2 and deep ÷ 2")
def ogee_length(across: Length, deep: Length) -> Length:
    """An ogee, upright or reversed: one quarter hollow, one round."""
    return Length(2 * _quarter(across.millimetres / 2, deep.millimetres / 2))


@formula("length = π ÷ 2 × (upper radius + lower radius)")
def scotia_length(across: Length, deep: Length) -> Length:
    """A scotia: its two radii make up its height and differ by `deep`, which leaves the length as it is."""
    wide, narrow = (across + deep) / 2, (across - deep) / 2
    return (wide + narrow) * (math.pi / 2)


@formula("length = 3 × π ÷ 4 × across")
def roll_length(across: Length) -> Length:
    """Three quarters of a circle."""
    return across * (0.75 * math.pi)


@formula("length = number × π ÷ 2 × width of one")
def reeds_length(number: float, width: Length) -> Length:
    """Reeds, or flutes: so many half circles."""
    return width * (number * math.pi / 2)


@formula("length = all of these together")
def developed_length(**elements: Length) -> Length:
    """The elements of a profile, one after the other."""
    return sum(elements.values(), Length(0.0))


@formula("length = slope + fullness × (across + deep − slope)")
def unknown_profile_length(across: Length, deep: Length, fullness: float) -> Length:
    """A profile from corner to corner that never turns back: between the straight slope and the square."""
    slope = math.hypot(across.millimetres, deep.millimetres)
    return Length(slope + fullness * (across.millimetres + deep.millimetres - slope))


@dataclass(frozen=True)
class Profile:
    """A profile understood: its developed length with the working, and how wide it is across its face."""

    developed: Working[Length]
    across: Length


_LENGTH_OF = {
    "flat": flat_length, "slope": slope_length, "quarter": quarter_length, "half": half_length,
    "ogee": ogee_length, "scotia": scotia_length, "roll": roll_length,
}  # fmt: skip
_ELEMENT = re.compile(r"([^\d.¼½¾⅛⅜⅝⅞⅓⅔]*)(.*)")
_REEDS = re.compile(r"(\d+)\s*(?:x|×|of)\s*(.+)")
_EXAMPLE = "a profile, such as “ovolo 20 x 15 mm” or “fillet 5 mm + ogee 25 mm”"


@cache
def _curves() -> dict[str, str]:
    return {
        name: row["curve"]
        for row in table("survey", "profiles.csv", key="name")
        for name in (row.key, *row.keys_in("aliases"))
    }


def profile_names() -> tuple[str, ...]:
    """The names of mouldings that are understood, without their synonyms."""
    return tuple(row.key for row in table("survey", "profiles.csv", key="name"))


def _sizes(text: str, element: str) -> tuple[Length, ...]:
    try:
        sizes = read_size(text)
    except NotUnderstood as error:
        raise BadPart("profile", element, f"{_EXAMPLE}: {error.expected}", error.nearest) from None
    if len(sizes) > 2 or any(size.millimetres <= 0 for size in sizes):
        raise BadPart("profile", element, "one size, or across × deep, each more than nothing")
    within_reason("profile", element, sizes)
    return sizes


def _element(text: str, section: tuple[Length, ...], place: str) -> tuple[Working[Length], Length] | None:
    """One element's length and how wide it is; None where it has no size and `section` has none for it."""
    split = _ELEMENT.fullmatch(text)
    assert split is not None  # every text is a name, perhaps empty, and a size, perhaps empty
    name, size = split[1].lower().strip(), split[2]
    curve = _curves().get(name) if name else "flat" if size else None
    if curve is None:
        near = nearest(name, tuple(_curves()))
        raise BadPart("profile", text, f"one of {', '.join(profile_names())}, with its size", near)
    if curve == "reeds":
        reeds = _REEDS.fullmatch(size)
        if not reeds or int(reeds[1]) < 1:
            raise BadPart("profile", text, f"how many and how wide, such as “{name} 5 x 6 mm”")
        width = _sizes(reeds[2], text)[0]
        number = int(reeds[1])
        within_reason("profile", text, [width * number])
        return work(reeds_length, number=given(place, number), width=given(place, width)), width * number
    sizes = _sizes(size, text) if size else section
    if not sizes:
        return None
    across = sizes[0]
    inputs: dict[str, Input] = {"across": given(place, across)}
    if curve != "roll":
        alone = {"flat": Length(0.0), "half": across / 2, "scotia": Length(0.0)}.get(curve, across)
        inputs["deep"] = given(place, sizes[1] if len(sizes) > 1 else alone)
        if curve == "scotia" and inputs["deep"].value > across:
            raise BadPart("profile", text, "a scotia at least as high as one end stands out beyond the other")
    return work(_LENGTH_OF[curve], **inputs), across


def profile_of(text: str, section: tuple[Length, ...] = (), place: str = "profile") -> Profile | None:
    """The profile that `text` says, or None where it says nothing, “don't know”, or a name without a size.

    `section` is the part's own across and deep: it serves where one element stands alone without a size.
    Raises BadPart for a name or a size that is not understood.
    """
    if not text.strip() or is_unknown(text):
        return None
    elements = [" ".join(element.split()) for element in text.split("+")]
    if len(elements) > 1:
        section = ()
    understood = [_element(element, section, place) for element in elements]
    known = [element for element in understood if element is not None]
    if len(known) < len(elements):
        return None
    across = sum((wide for _, wide in known), Length(0.0))
    if len(known) == 1:
        return Profile(known[0][0], across)
    named = {f"{number} {element}": known[number - 1][0] for number, element in enumerate(elements, 1)}
    return Profile(work(developed_length, **named), across)


def unknown_profile(across: Input, deep: Input) -> Working[Length]:
    """The developed length of a moulding of this section whose profile nobody gave, as a range."""
    return work(unknown_profile_length, across=across, deep=deep, fullness=rule("survey", "moulding_fullness"))
