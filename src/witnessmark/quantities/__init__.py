"""Amounts with their units.

What people write comes in; frozen types come out; they leave again in bench words or as JSON.
"""

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
from .ranges import UNKNOWN, Range, Unknown, between, high, low, mapped, usual
from .reading import (
    NotUnderstood,
    WhichGallon,
    is_unknown,
    read,
    read_any,
    read_exactly,
    read_money,
    read_number,
    read_size,
    uses_gallon,
)
from .saying import as_json, from_json, say, to_mark, up_to_mark
from .units import Gallon, Unit, factor

__all__ = [
    "UNKNOWN", "AirChanges", "Airflow", "Amount", "Area", "Coats", "Coverage", "Currency", "Cut",
    "Density", "Film", "Gallon", "Length", "Mass", "Money", "NotUnderstood", "Percent", "Range", "Span",
    "Temperature", "Unit", "Unknown", "Vapour", "Volume", "WhichGallon", "as_json", "between", "factor",
    "from_json", "high", "is_unknown", "low", "mapped", "read", "read_any", "read_exactly", "read_money",
    "read_number", "read_size", "say", "to_mark", "up_to_mark", "uses_gallon", "usual",
]  # fmt: skip
