"""When a piece was made, as far as safety and law may lean on it: its words and its readings together.

The words are those of `piece.made`, the readings the features that date it. Where there are both, the wider of the
two counts: neither alone rules a danger out or an exemption in.
"""

import re
from typing import TYPE_CHECKING

from witnessmark import evidence  # by its name, so that numpy waits until a date is asked for
from witnessmark.sources import rule

if TYPE_CHECKING:
    from witnessmark.survey import Survey


def first_year(survey: "Survey") -> tuple[float | None, tuple[str, ...]]:
    """The first year it may be from, None where none is known, and the facts that year rests on.

    Readings alone will do here where the words set no bound: a danger is then weighed by the first year of their
    90 % range. Raises Faulty with every reading that can't be read.
    """
    said, read = years_in(survey.piece.made)[0], evidence.years_read(survey)
    if read is None:
        return said, ("piece.made",)
    (first, _), cites = read
    return (first, cites) if said is None else (min(float(said), first), ("piece.made", *cites))


def years_vouched(survey: "Survey") -> tuple[int | None, int | None]:
    """The first and last year for the law: what the words say, wider where the readings are.

    No exemption rests on readings alone: a bound that the words don't set stays open.
    Raises Faulty with every reading that can't be read.
    """
    (first, last), read = years_in(survey.piece.made), evidence.years_read(survey)
    if read is None:
        return first, last
    start, end = (int(year) for year in read[0])
    return (None if first is None else min(first, start)), (None if last is None else max(last, end))


def years_in(text: str) -> tuple[int | None, int | None]:
    """The first and last year that a wording of “made” allows; None where it sets no bound.

    “about 1865” is ten years out either way, “1860s” runs to 1869; older timber or doubt sets no first year.
    """
    words = text.lower()
    years = [int(year) for year in re.findall(r"(?<!\d)(1\d\d\d|20\d\d)(?!\d)", words)]
    if not years:
        return None, None
    first, last = min(years), max(years)
    if re.search(r"\b\d{4}s\b", words):
        last += 9
    if re.search(r"\b(about|circa|around)\b|\bca?\.? ?\d", words):
        out = int(rule("safety", "about_years").value)
        first, last = first - out, last + out
    if re.search(r"\b(before|by|until)\b", words) or re.search(r"\b(old|older|reclaimed)\b", words):
        return None, last
    return (first, None) if re.search(r"\b(after|since|from)\b", words) and len(years) == 1 else (first, last)
