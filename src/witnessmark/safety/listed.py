"""Listed materials of a surveyed piece, and what the law makes of it where it is sold or sent.

A material is found by what a part is said to be of, by its wood, its cloth, its old paint, or by a word somebody
wrote that is not denied just before it. “Bone or ivory” counts as ivory until somebody has looked.
"""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from witnessmark.materials import AmbiguousName, UnknownName, material_named, wood_named
from witnessmark.quantities import Mass, Range, is_unknown, usual
from witnessmark.sources import table
from witnessmark.wood import weight_of_part

from .conditions import Facts
from .hazards import hazards_in, says_so, texts_of
from .law import Law, is_listed, law_of, law_of_any_piece
from .when_made import years_vouched

if TYPE_CHECKING:
    from witnessmark.survey import Survey

_FOUND_BY_HAZARD = {"old_lead_paint": "lead_paint", "asbestos_board": "asbestos", "radium_dial": "radium_paint"}


def listed_in(survey: "Survey") -> dict[str, tuple[str, ...]]:
    """The listed materials of a piece by key, each with the codes of its parts; no codes where it is the whole."""
    found: dict[str, dict[str, None]] = {}
    for key, code in _named(survey):
        if is_listed(key):
            found.setdefault(key, {})
            if code:
                found[key][code] = None
    return {key: tuple(codes) for key, codes in found.items()}


def laws_of(survey: "Survey", start: str, end: str, on: date, given: Facts | None = None) -> tuple[Law, ...]:
    """The law on each listed material of the piece, then on the piece as such.

    `given` facts win over what the survey says: years from `piece.made` and its readings, mass from the parts, value
    from the wishes. Raises UnknownPlace, and Faulty with every reading of the date that can't be read.
    """
    facts = given or Facts()
    if facts.made == (None, None):
        facts = replace(facts, made=years_vouched(survey))
    if facts.value is None and survey.wishes.sells_for and survey.wishes.sells_for.known:
        facts = replace(facts, value=usual(survey.wishes.sells_for.value))
    laws = []
    for key, codes in listed_in(survey).items():
        mass = facts.mass or _mass(survey, codes)
        law = law_of(key, replace(facts, mass=mass), start, end, on)
        laws.append(replace(law, rulings=tuple(replace(one, parts=codes) for one in law.rulings)))
    return (*laws, law_of_any_piece(facts, start, end, on))


def _named(survey: "Survey") -> Iterator[tuple[str, str]]:
    for part in survey.part:
        for key in _materials(part.material):
            yield key, part.code
        for key in _woods(part.wood):
            yield key, part.code
        if part.shape == "cloth":
            yield "upholstery_filled", part.code
    for text in (survey.piece.show_wood, survey.piece.other_wood):
        for key in _woods(text):
            yield key, ""
    for row in table("safety", "instead.csv", "material_key"):
        for _, code, text in texts_of(survey):
            if any(says_so(text, phrase) for phrase in row.keys_in("words")):
                yield row.key, code
    for hazard in hazards_in(survey):
        if hazard.key in _FOUND_BY_HAZARD:
            for code in hazard.parts or ("",):
                yield _FOUND_BY_HAZARD[hazard.key], code


def _materials(text: str) -> list[str]:
    """Every material a wording may mean: “bone or ivory” is both."""
    keys = []
    for one in re.split(r"\bor\b|\band\b|[,;/+]", text):
        try:
            keys.append(material_named(one.strip()).key)
        except (UnknownName, AmbiguousName):
            continue
    return keys


def _woods(text: str) -> list[str]:
    if is_unknown(text):
        return []
    try:
        return [wood_named(text).key]
    except (UnknownName, AmbiguousName):
        return []


def _mass(survey: "Survey", codes: tuple[str, ...]) -> Mass | Range[Mass] | None:
    """What those parts weigh together; None where one of them can't be told, or it is the whole piece."""
    parts = [part for part in survey.part if part.code in codes]
    weights = [(weight_of_part(part, survey), part) for part in parts]
    if not parts or any(weight is None for weight, _ in weights):
        return None
    low, middle, high = (sum(_ends(weight)[end] * part.count for weight, part in weights) for end in range(3))
    return Mass(middle) if low == high else Range(Mass(low), Mass(middle), Mass(high))


def _ends(weight: Mass | Range[Mass] | None) -> tuple[float, float, float]:
    if isinstance(weight, Range):
        return weight.low.grams, weight.usual.grams, weight.high.grams
    return (weight.grams,) * 3 if weight else (0.0, 0.0, 0.0)
