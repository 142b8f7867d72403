"""Marks: what a patent or design number, a lozenge, a country's name, a lock's monogram or dated paper dates.

A mark dates the right or the law behind it, so the part that carries it is of that year or later; it reaches the
piece only as far as the part belongs to it.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache

from witnessmark.documents import Refused, nearest
from witnessmark.sources import Row, Standing, row, table

from .features import features


class BadMark(Refused):
    """A mark that can't be read: what was found and what was expected."""


@dataclass(frozen=True)
class Mark:
    """What a mark says. `not_before` is a year, or a day as ISO text; `not_after` a year where the mark went out.

    `feature` is the clue it makes on a piece, if any.
    """

    kind: str
    not_before: int | str
    not_after: int | None
    reads: str
    standing: Standing
    source_key: str
    feature: str = ""

    @property
    def year(self) -> int:
        return int(str(self.not_before)[:4])


_SERIES = {
    "us_utility_patent": "US patent",
    "us_design_patent": "US design patent",
    "uk_registered_design": "UK registered design",
}
_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
           "November", "December")  # fmt: skip
_LATE = {"lock_mark_gr_early": "lock_mark_gr_late"}  # the letters GR stood for two pairs of kings


def mark(text: str) -> Mark:
    """What a mark, as it is written on the piece, dates. Raises BadMark where it is none we know.

    “Pat. No. 1,234,567”, “Des. Pat. 12,345”, “Rd No 123456”, “Pat. June 5, 1883”, “Made in Japan”, “VR”,
    “lining 1931”. For a lozenge see `lozenge`.
    """
    said = re.sub(r"\s+", " ", text.strip().casefold().replace("’", "'").replace("pat'd", "patd"))
    for words in table("evidence", "mark_words.csv"):
        found = re.search(words["pattern"], said)
        if found is None:
            continue
        parts = found.groupdict()
        if words["scheme"]:
            # Of several numbers the newest rules: the part can't be older than that.
            numbers = [int(re.sub(r"\D", "", one)) for one in re.split(r";|&| and ", parts["number"])]
            return _numbered(words["scheme"], max(numbers), words["feature"])
        if parts.get("date"):
            return _patent_day(text, parts["date"])
        if parts.get("year"):
            return _dated_paper(int(parts["year"]))
        return _named(words["feature"])
    raise BadMark(
        f"“{text}”: found no mark that we know, expected one such as “Pat. No. 1,234,567”, “Des. Pat. 12,345”, "
        "“Rd No 123456”, “Pat. June 5, 1883”, “Made in Japan”, “VR” or “lining 1931”; a lozenge goes with --lozenge."
    )


# --- numbers ---


@cache
def _firsts(scheme: str) -> tuple[tuple[int, Row], ...]:
    """The first numbers of a series by year, rising."""
    numbered = [(int(one.number("first_number") or 0), one) for one in table("evidence", "marks.csv")
                if one["scheme"] == scheme and one["first_number"] and one["from_year"]]  # fmt: skip
    return tuple(sorted(numbered, key=lambda item: (item[0], item[1].number("from_year") or 0)))


def _numbered(scheme: str, number: int, feature: str) -> Mark:
    firsts = _firsts(scheme)
    name = _SERIES[scheme]
    if number < firsts[0][0]:
        raise BadMark(f"{name}: found number {number}, expected one from {firsts[0][0]} on.")
    first, known = max((item for item in firsts if item[0] <= number), key=lambda item: item[0])
    year = int(known.number("from_year") or 0)
    standing, source = known.standing()
    last = first == firsts[-1][0]
    months = _months_of(number) if scheme == "us_utility_patent" else ""
    when = f"{months} {year}" if months else f"{year}"
    if last:
        when += " or later: the table ends there"
    reads = f"{name} {number:,}: {'granted' if scheme.startswith('us') else 'registered'} {when}"
    reads += "; the part is of that year or later" if not last else ""
    if scheme == "uk_registered_design":
        reads += "; near the turn of a year the table may be a year out"
    return Mark(name, year, None, reads, standing, source, feature)


def _months_of(number: int) -> str:
    """The months of a US patent from the Gazette's volumes, where they say; empty where they don't."""
    found = [one for one in table("evidence", "us_patents.csv")
             if (one.number("first_number") or 0) <= number <= (one.number("last_number") or 0)
             and one["month_from"] and one["month_to"]]  # fmt: skip
    if not found:
        return ""
    tightest = min(found, key=lambda one: (one.number("last_number") or 0) - (one.number("first_number") or 0))
    begins, ends = (_MONTHS[int(tightest[column]) - 1] for column in ("month_from", "month_to"))
    return begins if begins == ends else f"{begins} to {ends}"


# --- words and days ---


def _month_named(word: str) -> int | None:
    near = [at for at, name in enumerate(_MONTHS, 1) if name.casefold().startswith(word.rstrip(".")[:3])]
    return near[0] if len(near) == 1 else None


def _patent_day(text: str, said: str) -> Mark:
    word = re.search(r"[a-z]{3,9}", said)
    numbers = [int(one) for one in re.findall(r"\d+", said)]
    month = _month_named(word[0]) if word else None
    try:
        day = date(numbers[1], month or 0, numbers[0])
    except ValueError:
        raise BadMark(f"“{text}”: found “{said}”, expected a day such as June 5, 1883.") from None
    standing, source = row("evidence", "features.csv", "mark_us_patent_date").standing()
    return Mark("patent date", day.isoformat(), None,
                f"patented {day.day} {_MONTHS[day.month - 1]} {day.year}; the part is of that day or later",
                standing, source, "mark_us_patent_date")  # fmt: skip


def _dated_paper(year: int) -> Mark:
    return Mark("dated paper", year, None, f"paper printed {year} or later; it dates the lining, not the piece",
                Standing.CONVENTION, "", "lining_printed_date")  # fmt: skip


def _named(key: str) -> Mark:
    feature = features()[key]
    cells = row("evidence", "features.csv", key)
    standing, source = cells.standing()
    begins = int(feature.earliest or 0)
    late = _LATE.get(key)
    ends = features()[late].latest if late else None if feature.not_before_only else feature.latest
    until = f" to {int(ends)}" if ends else " or later"
    reads = f"{feature.name}: {begins}{until}"
    if late:
        again = features()[late]
        reads += f", or {again.name}: {int(again.earliest or 0)} to {int(again.latest or 0)}"
    return Mark("monogrammed lock" if key.startswith("lock") else "mark", begins, int(ends) if ends else None,
                f"{reads}; it dates the part that carries it", standing, source, key)  # fmt: skip


# --- the lozenge ---


def _cell(scheme: str, letter: str) -> Row | None:
    return next((one for one in table("evidence", "marks.csv") if one["scheme"] == scheme and one["mark"] == letter),
                None)  # fmt: skip


def _known(scheme: str) -> str:
    return " ".join(one["mark"] for one in table("evidence", "marks.csv") if one["scheme"] == scheme)


def corners_of(text: str) -> dict[str, str]:
    """“class II, top A, left D, right 12, bottom 3” by corner. Raises BadMark with the nearest word."""
    wanted = ("class", "top", "left", "right", "bottom")
    found: dict[str, str] = {}
    for part in re.split(r"[,;]", text):
        if not part.strip():
            continue
        said = re.fullmatch(r"\s*(\w+)\s*[:=]?\s+(\w+)\s*", part)
        word = said[1].casefold() if said else part.strip()
        if not said or word not in wanted:
            near = nearest(word, wanted)
            hint = f" Did you mean “{near}”?" if near else ""
            raise BadMark(f"lozenge: found “{part.strip()}”, expected a corner and what stands in it, such as "
                          f"“top A”; corners are {', '.join(wanted)}.{hint}")  # fmt: skip
        found[word] = said[2].upper()
    return found


def lozenge(corners: Mapping[str, str]) -> Mark:
    """The day a UK design was registered, from its lozenge (1842 to 1883).

    A letter at the top is a year of the first series: clockwise year, day, parcel, month. A number there is a day of
    the second: clockwise day, year, month, parcel. Raises BadMark on a letter or day that can't be.
    """
    if not corners.get("top"):
        raise BadMark("lozenge: found no top corner, expected a letter (1842–1867) or a number (1868–1883) there.")
    first = corners["top"].isalpha()
    places = ("top", "right", "bottom", "left") if first else ("right", "top", "left", "bottom")
    year_letter, day_text, parcel, month_letter = (corners.get(place, "") for place in places)
    scheme = "uk_diamond_series1_year" if first else "uk_diamond_series2_year"
    if not first and not corners["top"].isdigit():
        raise BadMark(f"lozenge, top: found “{corners['top']}”, expected a letter (1842–1867) or a number (1868–1883).")
    if not year_letter:
        raise BadMark(f"lozenge: found nothing at the {places[0]} corner, expected the year's letter there.")
    year_row = _cell(scheme, year_letter)
    # 1 to 6 March 1878 had its own pair of letters.
    swapped = not first and year_letter == "W" and month_letter == "G"
    if year_row is None and not swapped:
        raise BadMark(f"lozenge, {places[0]}: found “{year_letter}”, expected one of {_known(scheme)}.")
    year = 1878 if swapped or year_row is None else int(year_row.number("from_year") or 0)
    source = year_row or row("evidence", "marks.csv", "uk_diamond_exc_1878")
    standing, source_key = source.standing()
    material = _material_of(corners.get("class", ""))
    series = f"UK registered-design lozenge, {'first' if first else 'second'} series"
    tail = "; a design lasted three years, so the part is of that day or soon after"
    if not month_letter:
        return Mark(series, year, None, f"{series}{material}: registered {year}{tail}", standing, source_key,
                    "mark_uk_diamond")  # fmt: skip
    month_row = _cell("uk_diamond_month", month_letter)
    if month_row is None:
        raise BadMark(f"lozenge, {places[3]}: found “{month_letter}”, expected one of {_known('uk_diamond_month')}.")
    month = 3 if swapped else int(month_row.number("month") or 0)
    aside = _exception(year, month_letter)
    day = _day_of(year, month, day_text, places[1])
    said = f"{day} {_MONTHS[month - 1]} {year}" if day_text else f"{_MONTHS[month - 1]} {year}"
    parcel_said = f", parcel {parcel}" if parcel else ""
    return Mark(series, date(year, month, day).isoformat(), None,
                f"{series}{material}: registered {said}{parcel_said}{aside}{tail}", standing, source_key,
                "mark_uk_diamond")  # fmt: skip


def _material_of(roman: str) -> str:
    if not roman:
        return ""
    cells = _cell("uk_diamond_class", roman)
    if cells is None:
        raise BadMark(f"lozenge, class: found “{roman}”, expected one of {_known('uk_diamond_class')}.")
    return f", class {roman} ({cells['means']})"


def _exception(year: int, month_letter: str) -> str:
    """Years in which a month's letter stood for another month too (from memory)."""
    again = {(1857, "R"): "or 1 to 19 September", (1860, "K"): "or December"}.get((year, month_letter))
    return f" ({again} {year}: the letter {month_letter} served twice, from memory)" if again else ""


def _day_of(year: int, month: int, text: str, corner: str) -> int:
    if not text:
        return 1
    try:
        return date(year, month, int(text)).day
    except ValueError:
        raise BadMark(f"lozenge, {corner}: found “{text}”, expected a day of {_MONTHS[month - 1]} {year}.") from None
