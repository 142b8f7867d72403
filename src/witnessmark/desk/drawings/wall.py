"""The wall: each piece a pinned paper along the weeks. Solid is labour, hatched is waiting, ink is what happened."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Literal

from .strokes import box, cut, hatch, letters, line, n, sheet, tape, tape_width, text
from .weeks import Weeks, said

_HEAD, _PAPER, _GAP = 66.0, 82.0, 14.0  # room for the days; a pinned paper; between two
_LEAST = 5.0  # px: labour is drawn no narrower
_SIGN = {
    "mix": "M4.5 9v5c0 4.5 3.2 7 7.5 7s7.5-2.5 7.5-7V9M4.5 13h15M11.5 16.5 17.5 2.5",
    "stir": "M12 12c1.4-1.6 3.4 0 2.6 2-1 2.6-5 2.5-6-.4C7.3 9.8 10.5 6.8 14 7.4c4.3.8 6 5.6 4 9.3-2.3 4.2-8 5-12 2.2",
}


@dataclass(frozen=True)
class Bar:
    """One stretch of a paper. `hand` is the initial of who does it; `word` what it is, short."""

    kind: Literal["done", "tocome", "wait", "fit", "mix", "stir"]
    starts: datetime
    ends: datetime
    hand: str = ""
    word: str = ""


@dataclass(frozen=True)
class Promise:
    """A pennon: the day, the odds in 100, whether they are thin; `likely`, ends that 50, 80, 95 in 100 keep."""

    on: datetime
    odds: int | None = None
    thin: bool = False
    likely: tuple[datetime, ...] = ()


@dataclass(frozen=True)
class Row:
    """A pinned paper: the tape, the name, what is beneath it. Without tape it is a paper of the shop: jars, hands."""

    name: str
    tape: str = ""
    under: str = ""
    bars: tuple[Bar, ...] = ()
    promise: Promise | None = None


def wall(
    key: str, rows: Sequence[Row], now: datetime, first: date, last: date, shut: Sequence[int] = (5, 6),
    opens: time = time(8), closes: time = time(17), title: str = "The wall",
) -> str:  # fmt: skip
    """The weeks from `first` to `last`; all times local, of one zone. The list by day says the same in words."""
    weeks = Weeks(now, first, last, shut, opens, closes)
    foot = _HEAD + len(rows) * (_PAPER + _GAP)
    wide = weeks.right + 96
    body = [hatch(f"{key}-w", "k-pencil"), hatch(f"{key}-n", "k-faint", 9)]
    for at, row in enumerate(rows):
        body.append(_pinned(row, _HEAD + at * (_PAPER + _GAP), wide))
    body.append(_days(weeks, foot, now, key))
    for at, row in enumerate(rows):
        body += _bars(row, _HEAD + at * (_PAPER + _GAP), weeks, now, key)
        if row.promise:
            body += _pennon(row.promise, _HEAD + at * (_PAPER + _GAP), weeks)
    body += _plumb(weeks.x(now), foot, now)
    return sheet(key, (wide, foot + 48), title, _told(rows, now), body, "draw wall-draw", own=True)


def _pinned(row: Row, top: float, wide: float) -> str:
    """The paper, two pins, its name at the left."""
    ground = "f-sheet k-rule" if row.tape else "f-paper k-rule"
    pins = "".join(f'<circle class="f-ink" cx="{n(x)}" cy="{n(top + 8)}" r="3"/>' for x in (16, wide - 16))
    named = 24.0
    drawn = [box(8, top, wide - 16, _PAPER, ground), pins if row.tape else ""]
    if row.tape:
        drawn.append(tape(24 + tape_width(row.tape) / 2, top + 16, row.tape))
        named += tape_width(row.tape) + 8
    first, rest = _in_two(row.name, (222 - named) * 0.84)
    drawn.append(text(named, top + 34, first, "lg sf"))
    if row.under:
        drawn.append(text(24, top + 62, cut(row.under, 196), "p"))
    elif rest:
        drawn.append(text(24, top + 58, cut(rest, 196 * 0.84), "lg sf"))
    return "".join(drawn)


def _in_two(name: str, width: float) -> tuple[str, str]:
    """What of a name stands beside the tape, and what beneath it; at a space where there is one in the width."""
    if len(name) <= letters(width):
        return name, ""
    first, _, rest = name[: letters(width) + 1].rpartition(" ")
    return (first, f"{rest}{name[letters(width) + 1 :]}") if first else (cut(name, width), "")


def _days(weeks: Weeks, foot: float, now: datetime, key: str) -> str:
    drawn = []
    for x, word in weeks.heads():
        drawn += [text(x + 4, 26, word, "sf lg"), line(f"M{n(x)} 34V{n(foot)}", "k-pencil")]
    for day in weeks.days:
        if day.shut:
            drawn.append(box(day.left, _HEAD, day.wide, foot - _HEAD, "o5", f"{key}-n"))
        elif day.on.weekday():
            drawn.append(line(f"M{n(day.left)} {n(_HEAD - 4)}V{n(foot)}", "k-rule"))
        if not day.shut and day.word:
            css = "mid b" if day.on == now.date() else "mid"
            drawn.append(text((day.left + day.right) / 2, 54, day.word, css))
    return "".join(drawn)


def _bars(row: Row, top: float, weeks: Weeks, now: datetime, key: str) -> list[str]:
    """Waits thin beneath, then labour; words above where there is room, initials inside or below."""
    middle = top + 44
    drawn = []
    for bar in sorted(row.bars, key=lambda one: one.kind not in {"wait", "fit"}):
        left, right = weeks.x(bar.starts), weeks.x(bar.ends)
        if right <= weeks.left or left >= weeks.right:
            continue
        if bar.kind == "wait":
            drawn += [box(left, middle - 6, right - left, 12, "f-sheet"),
                      box(left, middle - 6, right - left, 12, "k-pencil", f"{key}-w")]  # fmt: skip
        elif bar.kind == "fit":
            drawn.append(box(left, middle - 5, max(right - left, _LEAST), 10, "f-amber"))
        elif bar.kind in _SIGN:
            drawn.append(f'<g transform="translate({n(left - 10)} {n(middle - 10)}) scale(.84)">'
                         f'<path class="f-sheet k-ink cap" d="{_SIGN[bar.kind]}"/></g>')  # fmt: skip
        else:
            if bar.kind == "tocome":  # what is still to do begins now at the soonest
                left = max(left, weeks.x(now))
            drawn.append(_labour(bar, left, max(right, left + _LEAST), middle))
    return drawn + _words(row, top, middle, weeks)


def _labour(bar: Bar, left: float, right: float, middle: float) -> str:
    """Ink when done; to come it is blue, one corner cut, and never left of the plumb line."""
    up, down, nick = middle - 14, middle + 14, min(8.0, right - left)
    if bar.kind == "done":
        shape = f'<path class="f-ink k-sheet" d="M{n(left)} {n(up)}H{n(right)}V{n(down)}H{n(left)}Z"/>'
    else:
        path = f"M{n(left)} {n(up)}H{n(right - nick)}L{n(right)} {n(up + nick)}V{n(down)}H{n(left)}Z"
        shape = f'<path class="f-blue k-sheet" d="{path}"/>'
    if not bar.hand:
        return shape
    if right - left >= 9.5 * len(bar.hand) + 9:
        inside = "mid oi" if bar.kind == "done" else "mid on"
        return shape + text((left + right) / 2, middle + 5.5, bar.hand, inside)
    return shape + text((left + right) / 2, middle + 28, bar.hand, "mid sm halo")


def _words(row: Row, top: float, middle: float, weeks: Weeks) -> list[str]:
    """What each stretch is, over it, left out where it would run into the next word."""
    worded = sorted((bar for bar in row.bars if bar.word), key=lambda bar: bar.starts)
    begins = [weeks.x(bar.starts) for bar in worded]
    drawn, free = [], 0.0
    for at, bar in enumerate(worded):
        x = begins[at]
        until = min((other for other in begins[at + 1 :] if other > x + 1), default=weeks.right)
        room = max(until - x - 4, 0.0)
        if x < free or letters(room) < min(len(bar.word), 3):
            continue
        word = cut(bar.word, room * 1.15)
        drawn.append(text(x, top + 22, word, "sm halo"))
        free = x + len(word) * 7
    return drawn


def _pennon(promise: Promise, top: float, weeks: Weeks) -> list[str]:
    """A pennon with the odds where it is on the page, an arrow at the edge where it is not; a whisker for the ends."""
    x = weeks.x(promise.on)
    odds = f"{promise.odds} %" if promise.odds is not None else "?"
    drawn = []
    if promise.likely:
        ends = [weeks.x(end) for end in promise.likely]
        y = top + _PAPER - 8
        ticks = "".join(f"M{n(end)} {n(y - 4)}v8" for end in ends)
        drawn.append(line(f"M{n(ends[0])} {n(y)}H{n(ends[-1])}{ticks}", "k-pencil"))
    if x >= weeks.right:
        edge = weeks.right + 6
        drawn += [line(f"M{n(edge - 14)} {n(top + 40)}h16m-6 -5 6 5-6 5", "k-ink cap"),
                  text(edge + 6, top + 26, said(promise.on), "sm b"),
                  text(edge + 6, top + 45, odds, "b")]  # fmt: skip
        return drawn + ([text(edge + 6, top + 63, "thin odds", "sm r b")] if promise.thin else [])
    flag = len(odds) * 8.5 + 12
    drawn += [line(f"M{n(x)} {n(top + 4)}V{n(top + _PAPER - 4)}", "k-ink2"),
              f'<path class="f-ink" d="M{n(x)} {n(top + 4)}h{n(flag + 6)}l-6 9 6 9H{n(x)}Z"/>',
              text(x + 6, top + 18.5, odds, "sm oi"), text(x + 6, top + 37, "promised", "sm halo")]  # fmt: skip
    return drawn + ([text(x + 6, top + 53, "thin odds", "sm r b halo")] if promise.thin else [])


def _plumb(x: float, foot: float, now: datetime) -> list[str]:
    """Now: a plumb line, its bob beneath the papers."""
    bob = f"M{n(x - 9)} {n(foot)}h18l-3 14-6 16-6-16z"
    return [line(f"M{n(x)} {n(_HEAD)}V{n(foot)}", "k-ink"), f'<path class="f-ink" d="{bob}"/>',
            text(x + 16, foot + 20, f"now, {now:%H:%M}", "b")]  # fmt: skip


def _told(rows: Sequence[Row], now: datetime) -> str:
    """How the wall stands, in a few sentences; the list by day says the rest."""
    told = [f"{len(rows)} papers along the weeks; now is {said(now)}, {now:%H:%M}."]
    for row in rows:
        name = f"{row.tape} {row.name}".strip()
        kinds = [bar.kind for bar in row.bars]
        promised = ""
        if row.promise:
            odds = f", {row.promise.odds} in 100" if row.promise.odds is not None else ""
            promised = f", promised {said(row.promise.on)}{odds}{', thin' if row.promise.thin else ''}"
        told.append(f"{name}: {kinds.count('done')} done, {kinds.count('tocome')} to come{promised}.")
    return " ".join(told)
