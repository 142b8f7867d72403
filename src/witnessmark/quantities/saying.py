"""Saying amounts: as the jug, the scale and the rule are marked, and never closer; and as JSON.

What a tool is marked in stands in `marks.csv`. JSON keeps the exact number beside its unit.
"""

import math
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from typing import Any, TypeVar

from .amounts import (
    AirChanges,
    Airflow,
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
    Vapour,
    Volume,
)
from .ranges import Range, Unknown
from .units import Gallon, Unit, rows_of
from .words import KINDS

Marked = TypeVar("Marked", Volume, Mass, Length, Span)

_TOOLS: dict[type[Amount], str] = {Volume: "volume", Mass: "mass", Length: "length", Span: "span"}
_SIGNS = {Currency.GBP: "£", Currency.USD: "$", Currency.EUR: "€"}


# --- marks ---


@cache
def _marks(tool: str) -> tuple[tuple[float, float], ...]:
    return tuple((float(row["below"]), float(row["step"])) for row in rows_of("marks.csv") if row["kind"] == tool)


def _step(tool: str, number: float) -> float:
    """What one mark of this tool is worth there; beyond its last line the marks go on."""
    return next((step for below, step in _marks(tool) if abs(number) < below), _marks(tool)[-1][1])


def to_mark(amount: Marked) -> Marked:
    """The amount on the nearest mark of the jug, scale, rule or clock."""
    step = _step(_TOOLS[type(amount)], amount.magnitude)
    return type(amount)(round(amount.magnitude / step) * step)


def up_to_mark(amount: Marked) -> Marked:
    """The least marked amount that is not less: what to make so that it does not fall short.

    “Not less” to a thousand-millionth of a mark: 0.1 + 0.2 l is the mark at 0.3, not the one above it.
    """
    step = _step(_TOOLS[type(amount)], amount.magnitude)
    return type(amount)(math.ceil(round(amount.magnitude / step, 9)) * step)


# --- words ---


def _digits(number: float, places: int) -> str:
    text = f"{number:,.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text.replace("-", "−")


def _figures(number: float) -> str:
    """A plain number: to the thousandth, or where it is less than one, to three figures."""
    size = abs(number)
    places = 3 if size >= 1 or size == 0 else 2 - math.floor(math.log10(size))
    return _digits(number, places)


def _fraction(number: float) -> str:
    """As rules are read: `31 1/4`."""
    whole, part = divmod(Fraction(number), 1)
    return " ".join(str(piece) for piece in (whole, part) if piece) or "0"


def _in_inches(length: Length) -> tuple[str, str]:
    inches = length / Length.inches(1)
    step = _step("inches", inches)
    return _fraction(round(inches / step) * step), " in"


def _in_us_measures(volume: Volume) -> tuple[str, str]:
    """Fluid ounces, quarts, gallons. Less than an ounce is drawn up with a syringe, which is marked in ml."""
    ounces = volume / Volume.fluid_ounces(1, Gallon.US)
    step = _step("us_measure", ounces)
    marked = round(ounces / step) * step
    if ounces < 1 or volume.litres >= 1000:  # the air of a room is no liquid measure
        return _in_metric(volume)
    if marked < 32:
        return _fraction(marked), " fl oz"
    return (_fraction(marked / 32), " qt") if marked < 128 else (_fraction(marked / 128), " gal")


def _in_metric(volume: Volume) -> tuple[str, str]:
    litres = to_mark(volume).litres
    if litres < 1:
        return _digits(litres * 1000, 0), " ml"
    return (_digits(litres, 2), " l") if litres < 1000 else (_digits(litres / 1000, 1), " m³")


def _in_square_feet(area: Area) -> tuple[str, str]:
    """Square feet to the tenth under ten, to the whole above; less than a tenth of one in square inches."""
    inches = area.square_metres * 1e6 / Length.inches(1).millimetres ** 2
    feet = inches / 144
    if feet < 0.1:
        return _digits(inches, 1 if inches < 10 else 0), " sq in"
    return _digits(feet, 1 if feet < 10 else 0), " sq ft"


def _in_hours(span: Span) -> tuple[str, str]:
    marked = round(to_mark(span).minutes)
    if marked < 60:
        return str(marked), " min"
    if marked < 2 * 1440:
        hours, minutes = divmod(marked, 60)
        return (f"{hours} h {minutes} min", "") if minutes else (str(hours), " h")
    return _digits(marked / 1440, 1), " days"


# Places after the point, and the unit, of amounts that no tool here is marked in.
_PLAIN: dict[type[Amount], tuple[int, str]] = {
    Film: (0, " µm"),
    Density: (0, " kg/m³"),
    Coverage: (1, " m²/L"),
    Percent: (1, " %"),
    Temperature: (0, " °C"),
    Airflow: (0, " m³/h"),
    AirChanges: (1, " an hour"),
    Vapour: (0, " ppm"),
}


def _shown(amount: Amount, inches: bool, gallon: Gallon) -> tuple[str, str]:
    """The number and the unit of an amount of 0 or more."""
    match amount:
        case Length():
            return _in_inches(amount) if inches else (_digits(to_mark(amount).millimetres, 1), " mm")
        case Volume():
            return _in_us_measures(amount) if inches and gallon is Gallon.US else _in_metric(amount)
        case Mass():
            grams = to_mark(amount).grams
            return (_digits(grams, 1), " g") if grams < 1000 else (_digits(grams / 1000, 2), " kg")
        case Span():
            return _in_hours(amount)
        case Area() if inches and gallon is Gallon.US:
            return _in_square_feet(amount)
        case Area():
            metres = amount.square_metres
            return (_digits(metres * 1e4, 1), " cm²") if metres < 0.01 else (_digits(metres, 2), " m²")
        case Cut():
            return _digits(amount.in_pounds(gallon), 2), " lb cut"
        case Coats():
            number = _digits(amount.number, 1)
            return number, " coat" if number == "1" else " coats"
    places, unit = _PLAIN[type(amount)]
    return _digits(amount.magnitude, places), unit


def _worded(value: Any, inches: bool, gallon: Gallon) -> tuple[str, str]:
    """The number and the unit of any value, with its sign."""
    match value:
        case Temperature() if inches and gallon is Gallon.US:
            return _digits(value.in_fahrenheit, 0), " °F"
        case Amount():
            number, unit = _shown(type(value)(abs(value.magnitude)), inches, gallon)
            return ("−" if value.magnitude < 0 and number != "0" else "") + number, unit
        case Money():
            amount = value.rounded().amount
            number = f"{abs(amount):,.{0 if amount == amount.to_integral_value() else 2}f}"
            return ("−" if amount < 0 else "") + _SIGNS[value.currency] + number, ""
        case int() | float() if not isinstance(value, bool):
            return _figures(value), ""
    return str(value), ""


def _joined(low: tuple[str, str], high: tuple[str, str]) -> str:
    """One amount, or the two ends of a range, the unit said once where they share it."""
    (first, unit), (last, last_unit) = low, high
    if low == high:
        return first + unit
    if unit.removesuffix("s") != last_unit.removesuffix("s"):
        return f"{first}{unit} to {last}{last_unit}"
    plain = set(" /−").isdisjoint(first + last)  # 1 1/2–2 and −5–3 are hard on the eye
    return f"{first}{'–' if plain else ' to '}{last}{last_unit}"


def _estimated(sum_: Money) -> Money:
    """One end of a range of money: pence on an estimate of hundreds claim to know what nobody does."""
    whole = _step("money", float(sum_.amount)) >= 1
    return Money(sum_.amount.quantize(Decimal(1), ROUND_HALF_UP), sum_.currency) if whole else sum_


def say(amount: Any, inches: bool = False, gallon: Gallon = Gallon.US) -> str:
    """An amount in the words of the bench, rounded to what a tool shows.

    Ranges are said `300–400 ml`, `1 1/2 to 2 in`; not knowing is said so. A cut gives its pounds, by
    `gallon`, and always its g/L. A shop that works in `inches` and on the US gallon has US measures too:
    `9 1/2 fl oz`, `31 sq ft`, `64 °F`.
    """
    if isinstance(amount, Unknown):
        return "don't know yet"
    ends = (amount.low, amount.high) if isinstance(amount, Range) else (amount, amount)
    if isinstance(amount, Range) and isinstance(amount.usual, Money):
        ends = (_estimated(amount.low), _estimated(amount.high))
    said = _joined(*(_worded(end, inches, gallon) for end in ends))
    if isinstance(ends[0], Cut):  # “2 lb” is two things, by the gallon; 240 g/L is one
        said += f" ({_joined(*((_digits(end.grams_per_litre, 0), ' g/L') for end in ends))})"
    return said


# --- JSON ---


def as_json(value: Any) -> Any:
    """An amount as `{"value", "unit"}`, a range with `low` and `high`; UNKNOWN as None; all else as it is.

    A Density keeps kg/m3, which stands in workings only.
    """
    match value:
        case Range():
            ends = {"low": as_json(value.low), "high": as_json(value.high)}
            if isinstance(value.usual, Amount | Money):
                return {**as_json(value.usual), **{end: shown["value"] for end, shown in ends.items()}}
            return {"value": value.usual, "unit": Unit.ONE.value, **ends}
        case Amount() | Money():
            # Twelve digits: below any instrument, above the noise of a sum done in another order.
            return {"value": float(f"{value.shown:.12g}"), "unit": value.unit.value}
        case Unknown():
            return None
    return value


_FROM_UNIT: dict[Unit, Callable[[float], Any]] = {
    **{kind.unit: kind.from_shown for kind in KINDS},
    Unit.KILOGRAM: Mass.kilograms,
    Unit.LITRE: Volume,
    Unit.CUBIC_METRE: Volume.cubic_metres,
    Unit.METRE: Length.metres,
    Unit.SECOND: Span.seconds,
    Unit.HOUR: Span.hours,
    Unit.DAY: Span.days,
    Unit.YEAR: lambda number: number,  # years and ratios are plain numbers
    Unit.ONE: lambda number: number,
    **{
        Unit(currency.value): lambda number, currency=currency: Money(Decimal(str(number)), currency)  # type: ignore[misc]
        for currency in Currency
    },
}


def from_json(shown: dict[str, Any]) -> Any:
    """The amount, plain number or Range that `as_json` wrote. Raises ValueError on a unit not of `Unit`."""
    make = _FROM_UNIT[Unit(shown["unit"])]
    if "low" in shown:
        return Range(make(shown["low"]), make(shown["value"]), make(shown["high"]))
    return make(shown["value"])
