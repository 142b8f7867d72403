"""Reading amounts as people write them: `31 1/4 in`, `3' 6"`, `1 pt 4 fl oz`, `4–6 coats`, `£300–400`.

A parser of our own: general units libraries do not read carpenters' fractions, feet and inches, cuts or
ranges, and none of them asks which gallon. Tests hold its factors against such a library.
"""

import re
import unicodedata
from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction
from typing import Any, TypeVar

from .amounts import Amount, Currency, Length, Money
from .ranges import UNKNOWN, Range, Unknown, between
from .units import Gallon
from .words import KINDS, Kind, Measure

A = TypeVar("A")


class NotUnderstood(ValueError):
    """Text that is no amount of the kind wanted: what was found and expected, and what may be meant."""

    def __init__(self, found: str, expected: str, nearest: str | None = None) -> None:
        self.found, self.expected, self.nearest = found, expected, nearest
        shown = found if len(found) <= _LONGEST_SHOWN else f"{found[:_LONGEST_SHOWN]}…"
        what = f"“{shown}” is not understood" if found.strip() else "Nothing is written here"
        hint = f" Did you mean “{nearest}”?" if nearest else ""
        super().__init__(f"{what}: write {expected}.{hint}")


class WhichGallon(NotUnderstood):
    """A pint, quart, gallon, fluid ounce or pound cut with no gallon to read it by."""


class _Amiss(ValueError):
    """Why a text is no amount, in words that follow the example; and the word that stands in the way."""

    def __init__(self, why: str = "", word: str = "") -> None:
        super().__init__(why)
        self.word = word


_LONGEST_SHOWN = 60  # characters of a text that is not understood: enough to find it again
_MOST_DIGITS = 15  # of a whole number: beyond it a float drops some

# --- what people's keyboards do to an amount ---

_SIGNS = {"£": Currency.GBP, "$": Currency.USD, "€": Currency.EUR}
_SAME_SIGN = str.maketrans({
    "’": "'", "‘": "'", "′": "'", "´": "'", "”": '"', "“": '"', "″": '"',
    "−": "-", "‐": "-", "‑": "-", "—": "–", "⁄": "/", "²": "^2", "³": "^3",
    "µ": "u", "μ": "u", "º": "°", "˚": "°", "℃": "°c", "℉": "°f", "ℓ": "l", "\u200b": "",
})  # fmt: skip
_TIDYING = [
    (re.compile(r"''"), '"'),
    (re.compile(r"\s+"), " "),  # thin and no-break spaces too
    (re.compile(r"(?<=[a-z%])\."), ""),  # ft. in. fl. oz. ca.
    (re.compile(r"(?<=[a-z])\^(?=[23])"), ""),  # m², but never 10²
    (re.compile(r" ?/ ?| per (?!cent)"), "/"),
    (re.compile(r"° (?=[cf])"), "°"),
    (re.compile(r"\bminus (?=\d)"), "-"),
    # An amount said to be rough is read as it stands: every amount here is as good as its measuring.
    (re.compile(r"^(?:about|around|approximately|approx|roughly|circa|ca|c|some|~|≈) ?(?=[-\d.£$€])"), ""),
    (re.compile(r"^from (?=[-\d.£$€])"), ""),
    (re.compile(r"^between (.+) and "), r"\1 to "),
    # 3'-6" is how drawings write three foot six.
    (re.compile(r"(?<=\d)' ?- ?(?=[\d /.]+\")"), "' "),
]


def tidied(text: str) -> str:
    """The text with one spelling for every sign: lower case, `1/2` for ½, `-` for minus, single spaces."""
    spelt = re.sub("[¼-¾⅐-⅞]", lambda sign: f" {unicodedata.normalize('NFKC', sign[0])}", text)
    spelt = spelt.translate(_SAME_SIGN).lower().strip()
    for pattern, instead in _TIDYING:
        spelt = pattern.sub(instead, spelt)
    return spelt.strip()


_DONT_KNOW = frozenset({"don't know", "dont know", "don't know yet", "not known", "not sure", "unknown", "?"})


def is_unknown(text: str) -> bool:
    """Whether the text says “don't know” in one of its ways."""
    return tidied(text) in _DONT_KNOW


# --- numbers ---

# 1 105 and 1,105 are thousands; 31 1/4 and 31-1/4 are mixed fractions; 5,5 and 0,500 are neither: refused.
_WHOLE = r"(?:[1-9]\d{0,2}(?:(?:,\d{3})+|(?: \d{3})+)(?!\d)|\d+)"
_NUMBER = rf"(?:{_WHOLE}[ -]\d+/\d+|\d+/\d+|{_WHOLE}(?:\.\d+)?|\.\d+)(?!\d|[.,/]\d)"
_SIGNED = re.compile(rf"([-+]?) ?({_NUMBER})")
_TO = re.compile(r" ?(?:–|-|to) ?(?=[-+]? ?\.?\d)")
_AND = re.compile(r" ?(?:,|\band\b|&) ?(?=\d)")
_OTHER_WORD = re.compile(r" ?-? ?([^\d\s,–-][^\s,–-]*)")


def _number(text: str) -> float:
    """The worth of what `_NUMBER` found."""
    if sum(letter.isdigit() for letter in text.partition(".")[0]) > _MOST_DIGITS:
        raise _Amiss("with fewer figures: that is too large")
    if "/" not in text:
        return float(re.sub("[, ]", "", text))
    whole, _, fraction = re.sub(",", "", text).replace("-", " ").rpartition(" ")
    try:
        return float((int(whole.replace(" ", "")) if whole else 0) + Fraction(fraction))
    except ZeroDivisionError:
        raise _Amiss("and nothing over 0") from None


def _signed(found: re.Match[str]) -> float:
    return -_number(found[2]) if found[1] == "-" else _number(found[2])


def read_number(text: str) -> float:
    """A bare number: `3`, `1 105`, `-2.5`, `31 1/4`. Raises NotUnderstood, with `2.5` for `2,5`."""
    cleaned = tidied(text)
    found = _SIGNED.fullmatch(cleaned)
    try:
        if not found:
            raise _Amiss
        return _signed(found)
    except _Amiss as amiss:
        pointed = _pointed(cleaned)
        nearest = pointed if pointed != cleaned and _SIGNED.fullmatch(pointed) else None
        raise NotUnderstood(text, " ".join(["a number, such as 2.5", str(amiss)]).strip(), nearest) from None


def _pointed(text: str) -> str:
    return re.sub(r"(?<=\d),(?=\d)", ".", text)


# --- amounts ---

_End = list[tuple[float, str]]  # one end of a range: numbers with their unit words, the word empty where none stands


def _ends(text: str, kind: Kind) -> list[_End]:
    """The text taken apart: one end, or the two of a range."""
    ends: list[_End] = [[]]
    at = 0
    while at < len(text) or not ends[-1]:
        if ends[-1] and (joint := _TO.match(text, at)):
            ends.append([])
            at = joint.end()
        elif ends[-1] and (joint := _AND.match(text, at)):
            at = joint.end()
        found = _SIGNED.match(text, at)
        if not found or len(ends) > 2:
            raise _Amiss
        at = found.end()
        unit = kind.word_at.match(text, at)
        if unit:
            at = unit.end()
        elif (other := _OTHER_WORD.match(text, at)) and not _TO.match(text, at):
            raise _Amiss(f"not in “{other[1]}”", other[1])
        ends[-1].append((_signed(found), unit[1] if unit else ""))
    return ends


def _shared(ends: list[_End]) -> list[_End]:
    """Of two ends, one bare number takes the unit of the other: `4–6 coats`, `£300–400`, `2 lb to 3`."""

    def with_unit_of(end: _End, other: _End) -> _End:
        lone = len(end) == len(other) == 1 and not end[0][1]
        return [(end[0][0], other[0][1])] if lone else end

    match ends:
        case [low, high]:
            return [with_unit_of(low, high), with_unit_of(high, low)]
    return ends


def _worth(end: _End, kind: Kind, gallon: Gallon) -> Any:
    """The amount that one end says."""
    total: Any = None
    last: Measure | None = None
    for number, word in end:
        word = word or (last.then if last else kind.bare)
        if not word:
            raise _Amiss("with its unit")
        measure = kind.words[word]
        part = measure.make(number, gallon)
        if last is None:
            total = part
        elif kind.adds and measure.make(1, gallon) < last.make(1, gallon) and part < last.make(1, gallon):
            total = total + part
        else:
            raise _Amiss(
                "with the smaller unit behind, and less of it than makes one of the larger" if kind.adds else ""
            )
        last = measure
    if total.magnitude < 0 and not kind.below_nought:
        raise _Amiss("and not below 0")
    return total


def _understood(text: str, kind: Kind, gallon: Gallon) -> Any:
    amounts = [_worth(end, kind, gallon) for end in _shared(_ends(text, kind))]
    if len(amounts) == 1 or amounts[0] == amounts[1]:
        return amounts[0]
    if amounts[1] < amounts[0]:
        raise _Amiss("with the lower end of a range first")
    return between(*amounts)


def _nearest(text: str, kind: Kind, gallon: Gallon, word: str) -> str | None:
    """The likeliest slip put right, if that reads."""
    known = get_close_matches(word, kind.words, n=1, cutoff=0.75) if word else []
    mended = [_pointed(text), re.sub(r" ?\(.*\)", "", text), text.lstrip("-")]
    mended += [text.replace(word, near) for near in known]
    for candidate in mended:
        try:
            if candidate != text:
                _understood(candidate, kind, gallon)
                return candidate
        except _Amiss:
            continue
    return None


def _on_gallon(text: str, kind: Kind) -> bool:
    try:
        return any(word and kind.words[word].on_gallon for end in _ends(tidied(text), kind) for _, word in end)
    except _Amiss:
        return False


def uses_gallon(text: str, kind: type) -> bool:
    """Whether this text means one thing on the US gallon and another on the imperial."""
    return kind in KINDS and _on_gallon(text, KINDS[kind])


def read(text: str, kind: type, gallon: Gallon | None = Gallon.US) -> Any:
    """What `text` says, as an amount of `kind`, a Range of it, or UNKNOWN.

    With `gallon=None` a measure that depends on the gallon raises WhichGallon instead of guessing. Raises
    NotUnderstood for anything else, saying what was expected and, where one is near, a form that reads.
    Only temperatures, percentages and money may be below 0; 0 itself is for the caller to refuse.
    """
    if is_unknown(text):
        return UNKNOWN
    if kind is Money:
        return _read_money(text, None)
    written, cleaned = KINDS[kind], tidied(text)
    if gallon is None and _on_gallon(text, written):
        raise WhichGallon(text, f"which gallon is meant, US or imperial, or use metric: {written.example}")
    by = gallon or Gallon.US
    try:
        return _understood(cleaned, written, by)
    except _Amiss as amiss:
        expected = ", ".join(part for part in (written.example, str(amiss)) if part)
        raise NotUnderstood(text, expected, _nearest(cleaned, written, by, amiss.word)) from None


def read_exactly(text: str, kind: type[A], gallon: Gallon | None = Gallon.US) -> A:
    """As `read`, but one amount: a range or “don't know” raises NotUnderstood."""
    value = read(text, kind, gallon)
    if isinstance(value, Range | Unknown):
        raise NotUnderstood(text, f"one amount, not a range: {_example(kind)}")
    return value  # type: ignore[no-any-return]


def _example(kind: type) -> str:
    return KINDS[kind].example if kind in KINDS else _A_SUM


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


def read_size(text: str) -> tuple[Length, ...]:
    """`900 x 450 x 20 mm`, or each with its own unit; one without takes that of the next that has one.

    Raises NotUnderstood where no unit is given at all.
    """
    lengths = KINDS[Length]
    try:
        parts = [_ends(part.strip(), lengths) for part in re.split(r"[x×*]|\bby\b", tidied(text))]
        if any(len(ends) > 1 for ends in parts):
            raise _Amiss("each of them one length, not a range")
        units = [end[-1][1] for (end,) in parts if end[-1][1]]
        unit = units[0] if len(set(units)) == 1 else ""
        sizes: list[Length] = []
        for (end,) in reversed(parts):
            if len(end) == 1:
                unit = end[0][1] or unit
                end = [(end[0][0], unit)]
            else:
                unit = ""  # of 2 x 3' 6", feet or inches may be meant
            sizes.append(_worth(end, lengths, Gallon.US))
    except _Amiss as amiss:
        expected = ", ".join(part for part in ("a size, such as “900 x 450 x 20 mm”", str(amiss)) if part)
        raise NotUnderstood(text, expected) from None
    return tuple(reversed(sizes))


# --- money ---

_A_SUM = "a sum, such as “£120”, “85.50 USD” or “£300–400”"
_SIGN = r"[£$€]|gbp|usd|eur"
_SUM = rf"-? ?(?:{_SIGN})? ?-?{_WHOLE}(?:\.\d{{1,2}})?(?: ?(?:{_SIGN}))?"
_SUMS = re.compile(rf"({_SUM})(?: ?(?:–|-|to) ?({_SUM}))?")


def _currencies(text: str) -> set[Currency]:
    return {_SIGNS.get(sign) or Currency(sign.upper()) for sign in re.findall(_SIGN, text)}


def _read_money(text: str, currency: Currency | None) -> Any:
    cleaned = tidied(text)
    found = _SUMS.fullmatch(cleaned)
    named = _currencies(cleaned) or ({currency} if currency else set())
    if not found or len(named) != 1:
        pointed = _pointed(cleaned)
        nearest = pointed if pointed != cleaned and len(named) == 1 and _SUMS.fullmatch(pointed) else None
        why = {0: ", with its currency", 1: ""}.get(len(named), ", in one currency")
        raise NotUnderstood(text, _A_SUM + why, nearest)
    amounts = []
    for said in filter(None, found.groups()):
        digits = re.sub(r"[^\d.]", "", said)
        if len(digits.partition(".")[0]) > _MOST_DIGITS:
            raise NotUnderstood(text, f"{_A_SUM}, with fewer figures: that is too large")
        amounts.append(Money(Decimal(digits) * (-1 if "-" in said else 1), *named))
    if amounts[-1] < amounts[0]:
        raise NotUnderstood(text, f"{_A_SUM}, with the lower end of a range first")
    return amounts[0] if amounts[0] == amounts[-1] else between(*amounts)


def read_money(text: str, currency: Currency | None = None) -> Money:
    """One sum: `£120`, `120.50 GBP`, `USD 90`; a bare number takes `currency` where one is given."""
    value = _read_money(text, currency)
    if isinstance(value, Range):
        raise NotUnderstood(text, f"one sum, not a range: {_A_SUM}")
    return value  # type: ignore[no-any-return]
