"""Saying amounts: as the jug, the scale and the rule are marked, and never closer; and as JSON.

What a tool is marked in stands in `marks.csv`. JSON keeps the exact number beside its unit.
"""

import csv
import math
from decimal import Decimal
from fractions import Fraction
from functools import cache
from importlib import resources
from typing import Any

from .amounts import (
    Amount,
    Area,
    Coats,
    Coverage,
    Currency,
    Cut,
    Density,
    Film,
    Length,
    Mass,
    Money,
    Percent,
    Span,
    Temperature,
    Volume,
)
from .ranges import Range, Unknown
from .units import Gallon, Unit, factor

_KIND_NAMES: dict[type, str] = {Volume: "volume", Mass: "mass", Length: "length", Span: "span"}
_BY_UNIT: dict[Unit, type[Amount]] = {
    kind.unit: kind
    for kind in (Length, Film, Area, Volume, Mass, Cut, Density, Coverage, Span, Percent, Coats, Temperature)
}
_SIGNS = {Currency.GBP: "£", Currency.USD: "$", Currency.EUR: "€"}


@cache
def _marks() -> dict[str, list[tuple[float, float]]]:
    text = resources.files("witnessmark.quantities").joinpath("marks.csv").read_text("utf-8")
    marks: dict[str, list[tuple[float, float]]] = {}
    for row in csv.DictReader(text.splitlines()):
        marks.setdefault(row["kind"], []).append((float(row["below"]), float(row["step"])))
    return marks


def _step(amount: Amount) -> float:
    for below, step in _marks()[_KIND_NAMES[type(amount)]]:
        if abs(amount.magnitude) < below:
            return step
    return _marks()[_KIND_NAMES[type(amount)]][-1][1]


def to_mark(amount: Any) -> Any:
    """The amount on the nearest mark of the jug, scale, rule or clock."""
    step = _step(amount)
    return type(amount)(round(amount.magnitude / step) * step)


def up_to_mark(amount: Any) -> Any:
    """The least marked amount that is not less: what to make so that it does not fall short."""
    step = _step(amount)
    return type(amount)(math.ceil(round(amount.magnitude / step, 9)) * step)


def _digits(number: float, places: int) -> str:
    text = f"{number:,.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text in {"-0", ""} else text.replace("-", "−")


def _inches(length: Length) -> str:
    """To the sixteenth, as the rule is marked: `31 1/4 in`."""
    sixteenths = round(length.millimetres / factor("inch_mm") * 16)
    whole, part = divmod(abs(sixteenths), 16)
    sign = "−" if sixteenths < 0 else ""
    fraction = str(Fraction(part, 16)) if part else ""
    return f"{sign}{' '.join(word for word in (str(whole) if whole or not part else '', fraction) if word)} in"


def say(amount: Any, inches: bool = False, gallon: Gallon = Gallon.US) -> str:
    """An amount in the words of the bench, rounded to what a tool shows.

    Ranges are said `300–400 ml`; not knowing is said so. A cut gives its pounds and, always, its g/L.
    """
    match amount:
        case Unknown():
            return "don't know yet"
        case Range():
            low, high = say(amount.low, inches, gallon), say(amount.high, inches, gallon)
            if low == high:
                return low
            number, _, unit = low.partition(" ")
            return f"{number}–{high}" if unit and high.endswith(f" {unit}") and "/" not in low else f"{low} to {high}"
        case Volume():
            marked = to_mark(amount)
            return f"{_digits(marked.litres * 1000, 0)} ml" if marked.litres < 1 else f"{_digits(marked.litres, 2)} l"
        case Mass():
            marked = to_mark(amount)
            return f"{_digits(marked.grams, 1)} g" if marked.grams < 1000 else f"{_digits(marked.grams / 1000, 2)} kg"
        case Length():
            return _inches(amount) if inches else f"{_digits(to_mark(amount).millimetres, 1)} mm"
        case Span():
            return _say_span(amount)
        case Cut():
            return f"{_digits(amount.in_pounds(gallon), 2)} lb cut ({_digits(amount.grams_per_litre, 0)} g/L)"
        case Money():
            places = "," if amount.rounded().amount == amount.amount.quantize(Decimal(1)) else ",.2f"
            text = format(amount.rounded().amount if places != "," else amount.amount.quantize(Decimal(1)), places)
            return f"{_SIGNS[amount.currency]}{text}"
        case Temperature():
            return f"{_digits(amount.celsius, 0)} °C"
        case Coats():
            return f"{_digits(amount.number, 1)} coat" + ("" if amount.number == 1 else "s")
        case Area():
            return f"{_digits(amount.square_metres, 2)} m²"
        case Film():
            return f"{_digits(amount.micrometres, 0)} µm"
        case Coverage():
            return f"{_digits(amount.square_metres_per_litre, 1)} m²/L"
        case Density():
            return f"{_digits(amount.kilograms_per_cubic_metre, 0)} kg/m³"
        case Percent():
            return f"{_digits(amount.percent, 1)} %"
        case float():
            return _digits(amount, 3)
    return str(amount)


def _say_span(span: Span) -> str:
    marked = to_mark(span).minutes
    if marked < 60:
        return f"{_digits(marked, 0)} min"
    if marked < 2 * 1440:
        hours, minutes = divmod(round(marked), 60)
        return f"{hours} h" + (f" {minutes} min" if minutes else "")
    return f"{_digits(marked / 1440, 1)} days"


def as_json(value: Any) -> Any:
    """An amount as `{"value", "unit"}`; a range adds `low` and `high`; plain numbers, texts and None as they are."""
    match value:
        case Range():
            shown = as_json(value.usual)
            if isinstance(shown, dict):
                return {**shown, "low": as_json(value.low)["value"], "high": as_json(value.high)["value"]}
            return {"value": shown, "unit": Unit.ONE.value, "low": value.low, "high": value.high}
        case Amount() | Money():
            # Twelve digits: below any instrument, above the noise of a sum done in another order.
            return {"value": float(f"{value.shown:.12g}"), "unit": value.unit.value}
        case Unknown():
            return None
    return value


def from_json(shown: dict[str, Any]) -> Any:
    """The amount that `as_json` wrote. Raises KeyError on a unit no amount leaves the program in."""
    unit = Unit(shown["unit"])
    make: Any
    if unit.value in Currency.__members__:
        def make(number: float) -> Any:
            return Money(Decimal(str(number)), Currency(unit.value))
    elif unit is Unit.ONE:
        make = float
    elif unit is Unit.KILOGRAM:
        make = Mass.kilograms
    else:
        make = _BY_UNIT[unit].from_shown
    if "low" in shown:
        return Range(make(shown["low"]), make(shown["value"]), make(shown["high"]))
    return make(shown["value"])
