"""Outside check: the size of every unit word, against pint, a general units library with definitions of its own.

Both rest on NIST Handbook 44, appendix C (inch, pound, US gallon), and on the UK Weights and Measures Act 1985
(imperial gallon). All these are exact definitions, so the tolerance is that of floating point alone.
"""

import re

import pint
import pytest

from witnessmark.quantities import (
    AirChanges,
    Airflow,
    Area,
    Coats,
    Coverage,
    Cut,
    Density,
    Film,
    Gallon,
    Length,
    Mass,
    Percent,
    Span,
    Temperature,
    Vapour,
    Volume,
    read,
)
from witnessmark.quantities.words import KINDS

UNITS = pint.UnitRegistry()
BASE = {
    Length: "millimetre", Film: "micrometre", Area: "metre**2", Volume: "litre", Mass: "gram", Cut: "gram/litre",
    Density: "kilogram/metre**3", Coverage: "metre**2/litre", Span: "minute", Percent: "percent",
    Temperature: "degC", Airflow: "metre**3/hour", AirChanges: "1/hour", Vapour: "ppm",
}  # fmt: skip
# Our words that pint does not know, or knows as something else (its mil is an angle, its c the speed of light).
SPELT = {
    '"': "inch", "'": "foot", "yds": "yard", "mil": "thou", "mils": "thou", "lbs": "pound",
    "cc": "cm**3", "kgs": "kg", "kilo": "kg", "kilos": "kg", "gramme": "gram", "grammes": "gram",
    "m": "metre", "secs": "second", "mins": "minute", "hrs": "hour", "wk": "week", "wks": "week", "d": "day",
    "lb cut": "lb/gallon", "lbs cut": "lb/gallon", "pound cut": "lb/gallon", "pcf": "pound/foot**3",
    "cfm": "foot**3/minute", "gal": "gallon", "pts": "pint", "pt": "pint", "qt": "quart", "qts": "quart",
    "fl oz": "fluid_ounce", "floz": "fluid_ounce", "fluid ounce": "fluid_ounce", "fluid ounces": "fluid_ounce",
    "pct": "percent", "per cent": "percent", "% rh": "percent", "%rh": "percent", "% mc": "percent", "%mc": "percent",
    "%": "percent", "/h": "1/hour", "/hour": "1/hour", "ach": "1/hour", "air changes/hour": "1/hour",
    "changes/hour": "1/hour",
}  # fmt: skip
CUT_WORDS = {"lb", "lbs", "pound", "pounds"}  # of a cut: pounds to the gallon
FLUID = {"gallon", "gallons", "quart", "quarts", "pint", "pints", "fluid_ounce", "cup", "cups"}


def in_pint(kind: type, word: str, gallon: Gallon) -> str:
    """Our word as pint spells it."""
    if kind is Span and word == "m":
        return "minute"
    if kind is Cut and word in CUT_WORDS:
        word += "/gallon"
    return "/".join(piece_in_pint(piece, gallon) for piece in SPELT.get(word, word).split("/"))


def piece_in_pint(piece: str, gallon: Gallon) -> str:
    spelt = SPELT.get(piece, piece)
    if spelt in FLUID:
        return f"imperial_{spelt.removesuffix('s')}" if gallon is Gallon.IMPERIAL else spelt
    powered = re.fullmatch(r"(?:(sq|cu|square|cubic) ?)?([a-z]+?)([23])?", piece)
    if powered and (powered[1] or powered[3]):
        power = powered[3] or {"sq": 2, "square": 2, "cu": 3, "cubic": 3}[powered[1]]
        return f"{SPELT.get(powered[2], powered[2])}**{power}"
    return spelt


@pytest.mark.parametrize("gallon", Gallon)
@pytest.mark.parametrize("kind", [kind for kind in BASE if kind is not Temperature], ids=lambda kind: kind.__name__)
def test_every_unit_word_is_as_large_as_pint_has_it(kind, gallon):
    ours, theirs = {}, {}
    for word in KINDS[kind].words:
        ours[word] = read(f"1 3/4 {word}", kind, gallon).magnitude
        theirs[word] = UNITS.Quantity(1.75, in_pint(kind, word, gallon)).to(BASE[kind]).magnitude
    assert ours == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize("word", KINDS[Temperature].words)
@pytest.mark.parametrize("degrees", [-40, -3.5, 0, 21, 98.6, 212])
def test_a_temperature_is_as_warm_as_pint_has_it(word, degrees):
    theirs = UNITS.Quantity(degrees, "degF" if "f" in word.removeprefix("deg") else "degC").to("degC").magnitude
    assert read(f"{degrees} {word}", Temperature).celsius == pytest.approx(theirs, abs=1e-9)


def test_coats_alone_have_no_outside_measure():
    assert set(KINDS) - set(BASE) == {Coats}
