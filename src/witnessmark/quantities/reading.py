"""Reading amounts as people write them: `31 1/4 in`, `3' 6"`, `1 pt 4 fl oz`, `4–6 coats`, `don't know`.

A parser of our own: general units libraries do not read carpenters' fractions, feet-and-inches, cuts or ranges,
and none of them asks which gallon. Tests hold its factors against such a library.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
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
from .ranges import UNKNOWN, Range, Unknown, between
from .units import Gallon


class NotUnderstood(ValueError):
    """Text that is no amount of the kind wanted. Carries what was found and what was expected."""

    def __init__(self, found: str, expected: str, nearest: str | None = None) -> None:
        self.found, self.expected, self.nearest = found, expected, nearest
        hint = f" Did you mean “{nearest}”?" if nearest else ""
        super().__init__(f"“{found}” is not understood: write {expected}.{hint}")


class WhichGallon(NotUnderstood):
    """A pint, quart, gallon, fluid ounce or pound cut with no gallon to read it by."""


Maker = Callable[[float, Gallon], Any]


def _plain(make: Callable[[float], Any]) -> Maker:
    return lambda number, gallon: make(number)


@dataclass(frozen=True)
class _Kind:
    """How one kind of amount is written: its words, an example for the error, and whether parts add up."""

    example: str
    words: dict[str, Maker]
    gallon_words: frozenset[str] = frozenset()
    bare: Maker | None = None  # what a number without a unit means, where that is safe


def _words(*pairs: tuple[str, Maker]) -> dict[str, Maker]:
    return {word: make for text, make in pairs for word in text.split("|")}


_FLUID = frozenset("fl oz|floz|fl. oz.|pt|pint|pints|qt|quart|quarts|gal|gallon|gallons|cup|cups".split("|"))

_LENGTH = _words(
    ("mm|millimetre|millimetres|millimeter|millimeters", _plain(Length)),
    ("cm|centimetre|centimetres|centimeter|centimeters", _plain(lambda n: Length(n * 10))),
    ("m|metre|metres|meter|meters", _plain(Length.metres)),
    ("um|µm|μm|micron|microns", _plain(lambda n: Length(n / 1000))),
    ('in|in.|"|”|″|inch|inches', _plain(Length.inches)),
    ("ft|ft.|'|’|′|foot|feet", _plain(Length.feet)),
)
_VOLUME = _words(
    ("ml|mL|millilitre|millilitres|milliliter|milliliters|cc", _plain(Volume.millilitres)),
    ("cl", _plain(lambda n: Volume(n / 100))),
    ("l|L|litre|litres|liter|liters", _plain(Volume)),
    ("fl oz|floz|fl. oz.", Volume.fluid_ounces),
    ("pt|pint|pints", Volume.pints),
    ("qt|quart|quarts", Volume.quarts),
    ("gal|gallon|gallons", Volume.gallons),
    ("cup|cups", lambda n, gallon: Volume.pints(n / 2, gallon)),
)
_MASS = _words(
    ("g|gram|grams|gramme|grammes", _plain(Mass)),
    ("kg|kilo|kilos|kilogram|kilograms", _plain(Mass.kilograms)),
    ("lb|lbs|lb.|pound|pounds", _plain(Mass.pounds)),
    ("oz|oz.|ounce|ounces", _plain(Mass.ounces)),
)
_CUT = _words(
    ("lb|lbs|lb.|pound|pounds|lb cut|lbs cut|pound cut|-lb cut|-pound cut", Cut.pounds),
    ("g/l|g/L|g per l|g per litre|grams per litre|grams per liter", _plain(Cut)),
)
_AREA = _words(
    ("m2|m²|sq m|sqm|square metres|square metre|square meters", _plain(Area)),
    ("cm2|cm²|sq cm", _plain(lambda n: Area(n / 1e4))),
    ("mm2|mm²", _plain(lambda n: Area(n / 1e6))),
    ("ft2|ft²|sq ft|square feet|square foot", _plain(Area.square_feet)),
    ("in2|in²|sq in|square inches", _plain(lambda n: Area.square_feet(n / 144))),
)
_SPAN = _words(
    ("s|sec|secs|second|seconds", _plain(Span.seconds)),
    ("min|mins|minute|minutes", _plain(Span)),
    ("h|hr|hrs|hour|hours", _plain(Span.hours)),
    ("d|day|days", _plain(Span.days)),
    ("wk|wks|week|weeks", _plain(Span.weeks)),
)
_TEMPERATURE = _words(
    ("°C|°c|C|deg C|degrees C|celsius", _plain(Temperature)),
    ("°F|°f|F|deg F|degrees F|fahrenheit", _plain(Temperature.fahrenheit)),
)

KINDS: dict[type, _Kind] = {
    Length: _Kind("a length, such as “900 mm”, “31 1/4 in” or “3' 6\"”", _LENGTH),
    Film: _Kind(
        "a film thickness, such as “300 um” or “5 mil”",
        _words(
            ("um|µm|μm|micron|microns|micrometre|micrometres", _plain(Film)),
            ("mm", _plain(lambda n: Film(n * 1000))),
            ("mil|mils|thou", _plain(Film.mils)),
        ),
    ),
    Area: _Kind("an area, such as “3.2 m2” or “12 sq ft”", _AREA),
    Volume: _Kind("a volume, such as “500 ml”, “1 qt” or “1 pt 4 fl oz”", _VOLUME, _FLUID),
    Mass: _Kind("a mass, such as “60 g” or “2 lb 3 oz”", _MASS),
    Cut: _Kind(
        "a cut, such as “2 lb” or “240 g/L”",
        _CUT,
        frozenset(word for word in _CUT if "lb" in word or "pound" in word),
    ),
    Density: _Kind(
        "a density, such as “640 kg/m3”", _words(("kg/m3|kg/m³|g/l|g/L", _plain(Density)), ("g/cm3|g/ml", _plain(lambda n: Density(n * 1000))))
    ),
    Coverage: _Kind("a coverage, such as “10 m2/L”", _words(("m2/l|m2/L|m²/l|m²/L", _plain(Coverage)))),
    Span: _Kind("a time, such as “2 h 10 min” or “3 days”", _SPAN),
    Percent: _Kind(
        "a percentage, such as “55 %”",
        _words(("%|pct|percent|per cent|% rh|% RH", _plain(Percent))),
        bare=_plain(Percent),
    ),
    Coats: _Kind("a number of coats, such as “6” or “4–6 coats”", _words(("coat|coats|session|sessions", _plain(Coats))), bare=_plain(Coats)),
    Temperature: _Kind("a temperature, such as “21 °C” or “70 °F”", _TEMPERATURE),
}

_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}
# 1 105 and 1,105 are thousands; 31 1/4 and 31-1/4 are mixed fractions; 5,5 is neither, and is refused.
_NUMBER = r"(?:\d{1,3}(?:[  , ]\d{3})+(?!\d)(?:\.\d+)?(?!/)|\d+[ -]\d+/\d+|\d+/\d+|\d+\.\d+|\.\d+|\d+)"
_NUMBER_AT = re.compile(rf"\s*(-?{_NUMBER})(?![\d,]*\d)")
_OTHER_WORD = re.compile(r"\s*([^\d\s.,+–—-][^\d\s+–—-]*)\s*")
_RANGE = re.compile(rf"^(?P<low>.*?\S)\s*(?:–|—|\bto\b|(?<=[\w%\"'])\s*-\s*(?!{_NUMBER}/)(?=\d))\s*(?P<high>\d.*)$")
_MIXED = re.compile(r"^\d+-\d+/\d+")
_DONT_KNOW = frozenset({"don't know", "don’t know", "dont know", "not known", "unknown", "?", "don't know yet", "don’t know yet"})
_SIGNS = {"£": Currency.GBP, "$": Currency.USD, "€": Currency.EUR}


def is_unknown(text: str) -> bool:
    """Whether the text says “don't know” in one of its ways."""
    return text.strip().lower() in _DONT_KNOW


def _number(text: str) -> float:
    text = text.strip()
    sign, text = (-1, text[1:]) if text.startswith("-") else (1, text)
    if "/" in text:
        return sign * float(sum(Fraction(part) for part in re.split(r"[ -]", text) if part))
    return sign * float(re.sub(r"[  , ]", "", text))


def read_number(text: str) -> float:
    """A bare number: `3`, `1 105`, `2.5`, `31 1/4`. Raises NotUnderstood, with `2.5` for `2,5`."""
    cleaned = _expand(text)
    found = _NUMBER_AT.fullmatch(cleaned.strip())
    if not found:
        raise NotUnderstood(text, "a number, such as 2.5", _with_point(text))
    try:
        return _number(found[1])
    except ZeroDivisionError:
        raise NotUnderstood(text, "a number: nothing divides by nought") from None


def _with_point(text: str) -> str | None:
    return re.sub(r"(\d),(\d)", r"\1.\2", text) if re.search(r"\d,\d", text) else None


def _expand(text: str) -> str:
    for sign, fraction in _VULGAR.items():
        text = re.sub(rf"(?<=\d){sign}", f" {fraction}", text).replace(sign, fraction)
    return text.strip()


def uses_gallon(text: str, kind: type) -> bool:
    """Whether this text means one thing on the US gallon and another on the imperial."""
    gallon_words = KINDS[kind].gallon_words if kind in KINDS else frozenset()
    if not gallon_words:
        return False
    cleaned = _expand(text).lower()
    return any(re.search(rf"(?:^|[\d\s-]){re.escape(word)}(?:$|[\s\d,])", cleaned) for word in gallon_words)


@cache
def _unit_at(words: tuple[str, ...]) -> re.Pattern[str]:
    """The unit word at a place: the longest known one that is not the start of another word."""
    known = "|".join(re.escape(word).replace(r"\ ", r"\s+") for word in sorted(words, key=len, reverse=True))
    return re.compile(rf"\s*({known})(?:(?<=[^\w])|(?![\w²³]))\s*", re.IGNORECASE)


def _tokens(text: str, kind: _Kind, original: str) -> list[tuple[float, str]]:
    """The text as (number, unit word) pairs; the word is empty where a number stands alone."""
    position, pairs = 0, []
    while position < len(text):
        number = _NUMBER_AT.match(text, position)
        if not number:
            raise NotUnderstood(original, kind.example, _with_point(original))
        unit = _unit_at(tuple(kind.words)).match(text, number.end()) or _OTHER_WORD.match(text, number.end())
        word = " ".join(unit[1].split()) if unit else ""
        if not unit and text[number.end() :].strip():
            raise NotUnderstood(original, kind.example, _with_point(original))
        try:
            pairs.append((_number(number[1]), word))
        except ZeroDivisionError:
            raise NotUnderstood(original, f"{kind.example}; nothing divides by nought") from None
        position = unit.end() if unit else len(text)
        if position < len(text) and text[position] == ",":
            position += 1
    return pairs


def _maker(word: str, kind: _Kind, original: str) -> Maker:
    known = kind.words.get(word) or kind.words.get(word.lower())
    if known:
        return known
    near = get_close_matches(word.lower(), list(kind.words), n=1)
    raise NotUnderstood(original, kind.example, original.replace(word, near[0]) if near and word else None)


def _single(text: str, kind: _Kind, gallon: Gallon | None, original: str) -> Any:
    pairs = _tokens(text, kind, original)
    if not pairs:
        raise NotUnderstood(original, kind.example)
    total: Any = None
    for position, (number, word) in enumerate(pairs):
        if not word:
            # 3' 6 is three foot six: the last bare number after feet is inches.
            if position and "in" in kind.words and pairs[position - 1][1] in {"'", "’", "′", "ft", "feet", "foot"}:
                word = "in"
            elif kind.bare and len(pairs) == 1:
                return kind.bare(number, gallon or Gallon.US)
            else:
                raise NotUnderstood(original, f"{kind.example}: the unit is missing")
        make = _maker(word, kind, original)
        if word.lower() in kind.gallon_words and gallon is None:
            raise WhichGallon(original, f"which gallon is meant, US or imperial, or use metric: {kind.example}")
        part = make(number, gallon or Gallon.US)
        if total is not None and kind is KINDS[Temperature]:
            raise NotUnderstood(original, kind.example)
        total = part if total is None else total + part
    return total


def read(text: str, kind: type, gallon: Gallon | None = Gallon.US) -> Any:
    """What `text` says, as an amount of `kind`, a Range of it, or UNKNOWN.

    With `gallon=None` a measure that depends on the gallon raises WhichGallon instead of guessing.
    Raises NotUnderstood for anything else, saying what was expected and the nearest right form.
    """
    if is_unknown(text):
        return UNKNOWN
    if kind is Money:
        return read_money(text)
    shape = KINDS[kind]
    cleaned = _expand(text)
    if not cleaned:
        raise NotUnderstood(text, shape.example)
    ends = None if _MIXED.match(cleaned) and cleaned.count("-") == 1 else _RANGE.match(cleaned)
    if not ends:
        return _single(cleaned, shape, gallon, text)
    high = _single(ends["high"], shape, gallon, text)
    low_text = ends["low"]
    if not re.search(r"[^\d\s.,/-]", low_text):  # “4–6 coats”: the first takes the last's unit
        low_text += " " + re.sub(rf"^\s*{_NUMBER}", "", ends["high"]).strip()
    low = _single(low_text, shape, gallon, text)
    if high < low:
        raise NotUnderstood(text, "a range from low to high")
    return between(low, high)


def read_exactly(text: str, kind: type, gallon: Gallon | None = Gallon.US) -> Any:
    """As `read`, but one amount: a range or “don't know” raises NotUnderstood."""
    value = read(text, kind, gallon)
    if isinstance(value, Range | Unknown):
        example = KINDS[kind].example if kind in KINDS else "a sum, such as “£120”"
        raise NotUnderstood(text, f"one amount here, not a range: {example}")
    return value


def read_size(text: str) -> tuple[Length, ...]:
    """`900 x 450 x 20 mm`, or each with its own unit; a size without a unit takes that of the next that has one.

    Raises NotUnderstood where no unit is given at all.
    """
    parts = [part.strip() for part in re.split(r"\s*(?:\bx\b|×|(?<=\d)x(?=\d)|\bby\b)\s*", _expand(text)) if part.strip()]
    example = "a size, such as “900 x 450 x 20 mm”"
    sizes: list[Length] = []
    unit = ""
    for part in reversed(parts):
        if re.fullmatch(_NUMBER, part):
            if not unit:
                raise NotUnderstood(text, f"{example}: the unit is missing")
            part = f"{part} {unit}"
        else:
            words = _tokens(part, KINDS[Length], text)
            unit = words[-1][1] or unit
        sizes.append(_single(part, KINDS[Length], None, text))
    if not sizes:
        raise NotUnderstood(text, example)
    return tuple(reversed(sizes))


def read_money(text: str, currency: Currency | None = None) -> Money:
    """`£120`, `120.50 GBP`, `USD 90`; a bare number takes `currency` where one is given."""
    cleaned = text.strip()
    sign = next((s for s in _SIGNS if s in cleaned), None)
    code = re.search(r"\b(GBP|USD|EUR)\b", cleaned, re.IGNORECASE)
    if sign:
        currency = _SIGNS[sign]
    elif code:
        currency = Currency(code[0].upper())
    digits = re.sub(r"(?i)\b(?:GBP|USD|EUR)\b|[£$€]", "", cleaned).strip()
    if currency is None or not re.fullmatch(r"-?(?:\d{1,3}(?:[, ]\d{3})+|\d+)(?:\.\d{1,2})?", digits):
        raise NotUnderstood(text, "a sum, such as “£120” or “85.50 USD”", _with_point(text))
    return Money(Decimal(re.sub(r"[, ]", "", digits)), currency)


def read_any(text: str, kinds: tuple[type[Amount], ...], gallon: Gallon | None = Gallon.US) -> Any:
    """The first of `kinds` that understands the text; raises the last one's NotUnderstood."""
    for kind in kinds[:-1]:
        try:
            return read(text, kind, gallon)
        except WhichGallon:
            raise
        except NotUnderstood:
            continue
    return read(text, kinds[-1], gallon)
