"""Units: how each is spelt, what it measures, and its exact size in the base unit of its kind.

Exact factors: the inch is 25.4 mm, the avoirdupois pound 453.59237 g and the US gallon 231 cubic inches (NIST
Handbook 44, appendix C); the imperial gallon is 4.54609 l (Weights and Measures Act 1985). Each of these four
stands once, in `factors.csv` beside this module; every other factor in this room is derived from them.
"""

import csv
import io
from enum import Enum
from functools import cache
from pathlib import Path


class Unit(Enum):
    """The spellings that leave the program. One a thing; text only at the door."""

    GRAM = "g"
    KILOGRAM = "kg"
    MILLILITRE = "ml"
    LITRE = "l"
    GRAMS_PER_LITRE = "g/L"
    KILOGRAMS_PER_CUBIC_METRE = "kg/m3"  # inside workings only: no answer is a density
    MILLIMETRE = "mm"
    MICROMETRE = "um"
    METRE = "m"
    SQUARE_METRE = "m2"
    CUBIC_METRE = "m3"
    CUBIC_METRES_PER_HOUR = "m3/h"
    SQUARE_METRES_PER_LITRE = "m2/L"
    PER_HOUR = "1/h"
    PERCENT = "%"
    PARTS_PER_MILLION = "ppm"
    CELSIUS = "°C"
    SECOND = "s"
    MINUTE = "min"
    HOUR = "h"
    DAY = "days"
    YEAR = "years"
    COAT = "coats"
    ONE = "1"
    POUND_STERLING = "GBP"
    US_DOLLAR = "USD"
    EURO = "EUR"


class Gallon(Enum):
    """Which gallon a pint, a quart, a fluid ounce or a pound cut is read by. Never guessed in silence."""

    US = "us"
    IMPERIAL = "imperial"


def rows_of(name: str) -> list[dict[str, str]]:
    """The rows of a table of this room. Other rooms' tables are read by `sources`, the room above."""
    text = Path(__file__).with_name(name).read_text("utf-8")
    return list(csv.DictReader(io.StringIO(text, newline="")))


@cache
def _factors() -> dict[str, float]:
    return {row["key"]: float(row["value"]) for row in rows_of("factors.csv")}


def factor(key: str) -> float:
    """One exact factor of `factors.csv`, such as `inch_mm`. Raises KeyError on an unknown key."""
    return _factors()[key]


def gallon_litres(gallon: Gallon) -> float:
    """Litres in a gallon of that kind: 231 in³ (US) or 4.54609 l (imperial)."""
    if gallon is Gallon.IMPERIAL:
        return factor("imperial_gallon_l")
    return factor("us_gallon_in3") * factor("inch_mm") ** 3 / 1e6
