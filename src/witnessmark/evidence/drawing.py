"""The evidence as a drawing: one hatched trapezoid a clue on one line of years, the result an ink hill beneath.

Slopes are doubt. What disagrees is broken red, crossed, with its reason. Colours are those of the shop's look; a
print in black loses nothing, as every state is a shape and a word too.
"""

from html import escape
from textwrap import wrap

import numpy as np

from witnessmark.odds import How
from witnessmark.sources import rule

from .clues import Weight
from .dating import Dating
from .styles import styles
from .wording import ticket
from .years import Years

INK, PENCIL, FAINT, RULE, RED, SHEET = "#1a2330", "#50565c", "#73787d", "#c6c5bb", "#a1231b", "#f9f8f4"
SERIF = "'Source Serif 4', 'Source Serif Pro', Georgia, 'Liberation Serif', serif"
SANS = "'Source Sans 3', 'Source Sans Pro', 'Noto Sans', 'Liberation Sans', Arial, sans-serif"

_WIDTH, _LEFT, _RIGHT = 960, 262, 24  # the page, the words at its left, its right edge
_HEAD, _ROW, _BAR, _HILL = 62, 50, 24, 116  # years above, a clue's row, its trapezoid, the hill
_BESIDE, _STEPS = 70, (10, 25, 50, 100)  # years shown beside the range; years between ticks
_LINE, _BELOW, _LETTERS = 34, 84, 15  # letters in a line at the left and below, and their size


class _Sheet:
    """The line of years on the page."""

    def __init__(self, dating: Dating) -> None:
        begins, ends = dating.range90
        firsts = [one.clue.year or one.feature.earliest or begins for one in dating.weights]
        self.first = max(dating.years.first, int(min([begins, *firsts])) // 10 * 10, begins // 10 * 10 - _BESIDE)
        late = [year + 15 for year in firsts if year > ends]  # what disagrees must be on the page
        self.last = -(-int(max(min(ends + _BESIDE, dating.years.last), *late, self.first + 50)) // 10) * 10
        self.scale = (_WIDTH - _LEFT - _RIGHT) / (self.last - self.first)

    def x(self, year: float) -> float:
        return _LEFT + (min(max(year, self.first), self.last) - self.first) * self.scale

    @property
    def ticks(self) -> list[int]:
        step = next((size for size in _STEPS if size * self.scale >= 52), _STEPS[-1])
        return [year for year in range(self.first, self.last + 1) if year % step == 0]


def picture(dating: Dating) -> str:
    """The drawing as SVG text, with title and desc; 960 wide, as high as it has clues."""
    sheet = _Sheet(dating)
    said = {one.key: one.why for one in dating.conflicts}
    rows = [_style(key, _HEAD + at * _ROW, sheet) for at, key in enumerate(dating.styles)]
    for one in dating.weights:
        rows.append(_clue(one, said.get(one.feature.key, ""), _HEAD + len(rows) * _ROW, sheet))
    foot = _HEAD + len(rows) * _ROW
    words = ticket(dating)
    title = f"{words[:1].upper()}{words[1:]}."
    below = wrap(title, _BELOW)
    height = foot + _HILL + 62 + 24 * len(below)
    return "\n".join([
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {height}" width="{_WIDTH}" height="{height}"'
        f' role="img" aria-labelledby="evidence-title evidence-desc" font-family="{escape(SANS)}"'
        f' font-size="{_LETTERS}" fill="{INK}">',
        f'<title id="evidence-title">{escape(title)}</title>',
        f'<desc id="evidence-desc">{escape(told(dating))}</desc>',
        "<defs>", _hatch("hatch", PENCIL), _hatch("hatch-red", RED), "</defs>",
        f'<rect width="{_WIDTH}" height="{height}" fill="{SHEET}"/>',
        _years(sheet, foot + _HILL),
        *rows,
        _hill(dating, sheet, foot),
            *(
                _text(24, foot + _HILL + 74 + at * 24, line, size=17, family=SERIF, weight=600)
                for at, line in enumerate(below)
            ),
        "</svg>", "",
    ])  # fmt: skip


def told(dating: Dating) -> str:
    """The drawing in words, for whoever can't see it."""
    half, wide = ("–".join(map(str, span)) for span in (dating.range50, dating.range90))
    clues = "; ".join(one.says for one in dating.readings)
    against = "; ".join(one.says for one in dating.conflicts)
    return (f"All together: {half} as likely as not, {wide} nine times in ten. Clues: {clues or 'none'}. "
            f"What disagrees: {against or 'nothing'}.")  # fmt: skip


def _hatch(key: str, colour: str) -> str:
    return (f'<pattern id="{key}" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
            f'<line x1="0" y1="0" x2="0" y2="6" stroke="{colour}" stroke-width="1.6"/></pattern>')  # fmt: skip


def _text(
    x: float, y: float, words: str, size: int = _LETTERS, colour: str = INK, anchor: str = "start",
    family: str = SANS, weight: int = 400,
) -> str:  # fmt: skip
    return (f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" fill="{colour}" text-anchor="{anchor}"'
            f' font-family="{escape(family)}" font-weight="{weight}">{escape(words)}</text>')  # fmt: skip


def _years(sheet: _Sheet, foot: float) -> str:
    """The line of years above, its ticks let down to the hill."""
    drawn = [f'<line x1="{_LEFT}" y1="42" x2="{_WIDTH - _RIGHT}" y2="42" stroke="{INK}" stroke-width="1.5"/>']
    for year in sheet.ticks:
        x = sheet.x(year)
        drawn.append(f'<line x1="{x:.1f}" y1="42" x2="{x:.1f}" y2="{foot:.1f}" stroke="{RULE}" stroke-width="1"/>')
        drawn.append(f'<line x1="{x:.1f}" y1="36" x2="{x:.1f}" y2="48" stroke="{INK}" stroke-width="1.5"/>')
        drawn.append(_text(x, 28, str(year), anchor="middle"))
    return "".join(drawn)


def _outline(one: Weight, sheet: _Sheet, top: float) -> tuple[str, bool, bool]:
    """The trapezoid's corners; and whether it runs on beyond the left and the right of the page."""
    foot = top + _BAR
    feature, year = one.feature, one.clue.year
    begins = feature.earliest if year is None else year
    full = feature.common if year is None else year
    begins, full = begins if begins is not None else full, full if full is not None else begins
    begins, full = begins or sheet.first - 1, full or sheet.first - 1
    open_end = feature.not_before_only or (feature.latest is None and year is None)
    last = year if year is not None else feature.latest
    fading = year if year is not None else feature.common_to or feature.latest
    ends = sheet.last + 1 if open_end or last is None else last
    fades = sheet.last + 1 if open_end or fading is None else fading
    corners = [(begins, foot), (full, top), (fades, top), (ends, foot)]
    if year is not None and not open_end:  # one year is drawn as the stroke it is
        corners = [(year - 1, foot), (year - 1, top), (year + 1, top), (year + 1, foot)]
    points = " ".join(f"{sheet.x(at):.1f},{y:.1f}" for at, y in corners)
    return points, begins < sheet.first, ends > sheet.last


def _style(key: str, top: float, sheet: _Sheet) -> str:
    """The style named: its fashion as a dashed outline, for a style is no more than a hint."""
    cells = styles()[key]
    begins, ends = cells.number("from_year") or sheet.first, cells.number("to_year") or sheet.last
    ramp = float(rule("evidence", "style_ramp").value)
    corners = ((begins - ramp, top + 8 + _BAR), (begins, top + 8), (ends, top + 8), (ends + ramp, top + 8 + _BAR))
    points = " ".join(f"{sheet.x(at):.1f},{y:.1f}" for at, y in corners)
    middle = top + 8 + _BAR / 2
    return (
        _text(_LEFT - 14, middle + 5, f"style: {cells['name']}", size=14, anchor="end")
        + f'<polygon points="{points}" fill="none" stroke="{PENCIL}" stroke-width="1.5" stroke-dasharray="7 5"/>'
    )


def _clue(one: Weight, why: str, top: float, sheet: _Sheet) -> str:
    """One row: the words at the left, the trapezoid, and what is amiss with it."""
    colour, hatch = (RED, "hatch-red") if why else (PENCIL, "hatch")
    points, _, runs_on = _outline(one, sheet, top + 8)
    absent, unsure = one.clue.how is How.NOT_SEEN, one.clue.how is How.UNSURE
    prefix = "not: " if absent else "unsure: " if unsure else ""
    half = f"{one.clue.half}: " if one.clue.half else ""
    lines = wrap(f"{half}{prefix}{one.feature.name}{f', {one.clue.year}' if one.clue.year else ''}", _LINE)
    if len(lines) > 2:
        lines = [lines[0], f"{lines[1][: _LINE - 1].rstrip(' ,')}…"]
    middle = top + 8 + _BAR / 2
    drawn = ["".join(_text(_LEFT - 14, middle + 5 + (at - (len(lines) - 1) / 2) * 17, line, size=14, anchor="end",
                           colour=INK) for at, line in enumerate(lines))]  # fmt: skip
    dashes = ' stroke-dasharray="7 5"' if why or unsure else ' stroke-dasharray="2 4"' if absent else ""
    fill = "none" if absent else f"url(#{hatch})"
    drawn.append(f'<polygon points="{points}" fill="{fill}" stroke="{colour}" stroke-width="1.5"{dashes}/>')
    xs = [float(point.split(",")[0]) for point in points.split()]
    if runs_on and not why:
        tip = _WIDTH - _RIGHT + 12
        drawn.append(f'<path d="M{tip - 7} {middle - 5} L{tip} {middle} L{tip - 7} {middle + 5}" fill="none"'
                     f' stroke="{colour}" stroke-width="1.5"/>')  # fmt: skip
    if why:
        left, right = min(xs), max(xs)
        at = (left + right) / 2
        drawn.append(f'<path d="M{at - 11:.1f} {middle - 11} l22 22 m0 -22 l-22 22" stroke="{RED}"'
                     ' stroke-width="3" fill="none"/>')  # fmt: skip
        drawn.append(_reason(why, left, right, middle))
    return f"<g>{''.join(drawn)}</g>"


def _reason(why: str, left: float, right: float, middle: float) -> str:
    """Why a clue is crossed, beside its trapezoid where there is room, else on it."""
    words = why.replace("_", " ")
    room = 7.2 * len(words) + 16
    if left - _LEFT > room:
        return _text(left - 10, middle + 5, words, size=14, colour=RED, anchor="end")
    if _WIDTH - _RIGHT - right > room:
        return _text(right + 10, middle + 5, words, size=14, colour=RED)
    at = (left + right) / 2 + 22
    return (f'<rect x="{at - 6:.1f}" y="{middle - 10}" width="{room:.0f}" height="20" fill="{SHEET}"/>'
            + _text(at, middle + 5, words, size=14, colour=RED))  # fmt: skip


def _hill(dating: Dating, sheet: _Sheet, top: float) -> str:
    """All together: the chances of the years as one ink hill, its spans beneath."""
    years: Years = dating.years
    foot = top + _HILL
    inside = list(range(sheet.first, min(sheet.last, years.last) + 1))
    heights = np.array([dating.chances[year - years.first] for year in inside])
    heights = heights / heights.max() * (_HILL - 22)
    line = " ".join(f"L{sheet.x(year):.1f} {foot - height:.1f}" for year, height in zip(inside, heights, strict=True))
    (a, b), (c, d) = dating.range50, dating.range90
    drawn = [
        _text(_LEFT - 14, foot - 34, "All together", size=17, anchor="end", family=SERIF, weight=600),
        f'<path d="M{sheet.x(inside[0]):.1f} {foot} {line} L{sheet.x(inside[-1]):.1f} {foot} Z" fill="{INK}"/>',
        f'<line x1="{_LEFT}" y1="{foot}" x2="{_WIDTH - _RIGHT}" y2="{foot}" stroke="{INK}" stroke-width="1.5"/>',
        f'<path d="M{sheet.x(c):.1f} {foot + 8} v10 m0 -5 H{sheet.x(d):.1f} m0 -5 v10" fill="none" stroke="{INK}"'
        ' stroke-width="1.5"/>',
        f'<rect x="{sheet.x(a):.1f}" y="{foot + 9}" width="{max(sheet.x(b) - sheet.x(a), 3):.1f}" height="8"'
        f' fill="{INK}"/>',
    ]  # fmt: skip
    middle = (sheet.x(a) + sheet.x(b)) / 2
    drawn.append(_text(middle, foot + 36, f"{a}–{b}", size=17, anchor="middle", weight=600))
    drawn.append(_text(_LEFT - 14, foot + 18, "thick: as likely as not", size=14, colour=PENCIL, anchor="end"))
    drawn.append(_text(_LEFT - 14, foot + 36, f"thin: nine in ten, {c}–{d}", size=14, colour=PENCIL, anchor="end"))
    return f"<g>{''.join(drawn)}</g>"
