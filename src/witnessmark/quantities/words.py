"""The unit words of each kind of amount, and what each of them makes.

They stand here as `tidied` in reading leaves them: lower case, no full stops, `m2` for m², `um` for µm,
`/` for per.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from .amounts import (
    AirChanges,
    Airflow,
    Amount,
    Area,
    Coats,
    Coverage,
    Cut,
    Density,
    Film,
    Length,
    Mass,
    Percent,
    Span,
    Temperature,
    Vapour,
    Volume,
)
from .units import Gallon


@dataclass(frozen=True)
class Measure:
    """One unit as people write it: what a number of it makes."""

    make: Callable[[float, Gallon], Any]
    on_gallon: bool = False  # of another size on the other gallon
    then: str = ""  # the unit of a bare number behind it: 3' 6 is three foot six inches


@dataclass(frozen=True)
class Kind:
    """How one kind of amount is written."""

    example: str
    words: dict[str, Measure]
    adds: bool = False  # 2 lb 3 oz is one amount
    below_nought: bool = False
    bare: str = ""  # the unit of a number that stands alone, where that is safe

    @cached_property
    def word_at(self) -> re.Pattern[str]:
        """The longest unit word that fits, not the start of a longer one: `2-lb cut`, `70°f`, `12 sq ft`."""
        longest_first = sorted(self.words, key=len, reverse=True)
        return re.compile(rf" ?-? ?({'|'.join(map(re.escape, longest_first))})(?![a-z/]) ?")


def _measured(words: str, make: Callable[[float], Any], then: str = "") -> dict[str, Measure]:
    measure = Measure(lambda number, gallon: make(number), then=then)
    return dict.fromkeys(words.split("|"), measure)


def _on_gallon(words: str, make: Callable[[float, Gallon], Any]) -> dict[str, Measure]:
    return dict.fromkeys(words.split("|"), Measure(make, on_gallon=True))


_MM = "mm|millimetre|millimetres|millimeter|millimeters"
_M = "m|metre|metres|meter|meters"
_UM = "um|micron|microns|micrometre|micrometres|micrometer|micrometers"
_L = "l|litre|litres|liter|liters"
_G = "g|gram|grams|gramme|grammes"
_LB = "lb|lbs|pound|pounds"
_GAL = "gal|gallon|gallons"


def _per(above: str, below: str) -> str:
    return "|".join(f"{one}/{other}" for one in above.split("|") for other in below.split("|"))


def _squared(short: str, long: str) -> str:
    return "|".join([f"{short}2", f"sq {short}", f"sq{short}", *(f"square {word}" for word in long.split("|"))])


def _cubed(short: str, long: str) -> str:
    return "|".join([f"{short}3", f"cu {short}", *(f"cubic {word}" for word in long.split("|"))])


_SQ_M = _squared("m", "metre|metres|meter|meters")
_SQ_FT = _squared("ft", "foot|feet")
_CU_M = _cubed("m", "metre|metres|meter|meters")
_CU_FT = _cubed("ft", "foot|feet")


def _square_feet_per_gallon(number: float, gallon: Gallon) -> Coverage:
    return Coverage(Area.square_feet(number).square_metres / Volume.gallons(1, gallon).litres)


KINDS: dict[type[Amount], Kind] = {
    Length: Kind(
        "a length, such as “900 mm”, “31 1/4 in” or “3' 6\"”",
        _measured(_MM, Length)
        | _measured("cm|centimetre|centimetres|centimeter|centimeters", lambda n: Length(n * 10))
        | _measured(_M, Length.metres)
        | _measured(_UM, lambda n: Length(n / 1000))
        | _measured('in|"|inch|inches', Length.inches)
        | _measured("ft|'|foot|feet", Length.feet, then="in")
        | _measured("yd|yds|yard|yards", lambda n: Length.feet(n * 3)),
        adds=True,
    ),
    Film: Kind(
        "a film thickness, such as “300 um” or “5 mil”",
        _measured(_UM, Film) | _measured(_MM, lambda n: Film(n * 1000)) | _measured("mil|mils|thou", Film.mils),
    ),
    Area: Kind(
        "an area, such as “3.2 m2” or “12 sq ft”",
        _measured(_SQ_M, Area)
        | _measured(_squared("cm", "centimetre|centimetres|centimeter|centimeters"), lambda n: Area(n / 1e4))
        | _measured(_squared("mm", "millimetre|millimetres|millimeter|millimeters"), lambda n: Area(n / 1e6))
        | _measured(_SQ_FT, Area.square_feet)
        | _measured(_squared("in", "inch|inches"), lambda n: Area.square_feet(n / 144)),
    ),
    Volume: Kind(
        "a volume, such as “500 ml”, “1 qt” or “1 pt 4 fl oz”",
        _measured("ml|millilitre|millilitres|milliliter|milliliters|cc", Volume.millilitres)
        | _measured("cl|centilitre|centilitres|centiliter|centiliters", lambda n: Volume(n / 100))
        | _measured(_L, Volume)
        | _measured(_CU_M, Volume.cubic_metres)
        | _measured(_CU_FT, Volume.cubic_feet)
        | _on_gallon("fl oz|floz|fluid ounce|fluid ounces", Volume.fluid_ounces)
        | _on_gallon("cup|cups", lambda n, gallon: Volume.pints(n / 2, gallon))
        | _on_gallon("pt|pts|pint|pints", Volume.pints)
        | _on_gallon("qt|qts|quart|quarts", Volume.quarts)
        | _on_gallon(_GAL, Volume.gallons),
        adds=True,
    ),
    Mass: Kind(
        "a mass, such as “60 g” or “2 lb 3 oz”",
        _measured("mg|milligram|milligrams", lambda n: Mass(n / 1000))
        | _measured(_G, Mass)
        | _measured("kg|kgs|kilo|kilos|kilogram|kilograms", Mass.kilograms)
        | _measured("oz|ounce|ounces", Mass.ounces)
        | _measured(_LB, Mass.pounds),
        adds=True,
    ),
    Cut: Kind(
        "a cut, such as “2 lb” or “240 g/L”",
        _measured(_per(_G, _L), Cut) | _on_gallon(f"{_LB}|lb cut|lbs cut|pound cut|{_per(_LB, _GAL)}", Cut.pounds),
    ),
    Density: Kind(
        "a density, such as “640 kg/m3”",
        _measured(f"kg/m3|{_per(_G, _L)}", Density)
        | _measured("g/cm3|g/ml|g/cc|kg/l", lambda n: Density(n * 1000))
        | _measured(
            f"pcf|{_per(_LB, _CU_FT)}",
            lambda n: Density(Mass.pounds(n).grams / Volume.cubic_feet(1).litres),
        ),
    ),
    Coverage: Kind(
        "a coverage, such as “10 m2/L”",
        _measured(_per(_SQ_M, _L), Coverage) | _on_gallon(_per(_SQ_FT, _GAL), _square_feet_per_gallon),
    ),
    Span: Kind(
        "a time, such as “2 h 10 min” or “3 days”",
        _measured("s|sec|secs|second|seconds", Span.seconds)
        | _measured("min|mins|minute|minutes|m", Span)
        | _measured("h|hr|hrs|hour|hours", Span.hours, then="min")
        | _measured("d|day|days", Span.days)
        | _measured("wk|wks|week|weeks", Span.weeks),
        adds=True,
    ),
    Percent: Kind(
        "a percentage, such as “55 %”",
        _measured("%|pct|percent|per cent|% rh|%rh|% mc|%mc", Percent),
        below_nought=True,
        bare="%",
    ),
    Coats: Kind(
        "a number of coats, such as “6” or “4–6 coats”",
        _measured("coats|coat|sessions|session", Coats),
        bare="coats",
    ),
    Temperature: Kind(
        "a temperature, such as “21 °C” or “70 °F”",
        _measured("°c|c|deg c|degrees c|celsius|degrees celsius|centigrade", Temperature)
        | _measured("°f|f|deg f|degrees f|fahrenheit|degrees fahrenheit", Temperature.fahrenheit),
        below_nought=True,
    ),
    Airflow: Kind(
        "an air flow, such as “400 m3/h” or “235 cfm”",
        _measured(_per(_CU_M, "h|hr|hour"), Airflow)
        | _measured("l/s", lambda n: Airflow(n * 3600 / 1000))
        | _measured(f"cfm|{_per(_CU_FT, 'min|minute')}", Airflow.cubic_feet_per_minute),
    ),
    AirChanges: Kind(
        "air changes an hour, such as “6” or “6/h”",
        _measured("/h|/hour|ach|air changes/hour|changes/hour", AirChanges),
        bare="/h",
    ),
    Vapour: Kind("vapour in air, such as “50 ppm”", _measured("ppm", Vapour)),
}
