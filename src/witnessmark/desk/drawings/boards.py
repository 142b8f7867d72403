"""The struck triangle: a cabinetmaker’s mark run across seven boards, closing when the piece goes out; and tallies."""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Literal

from .strokes import line, n, sheet

_HEIGHT, _FOOT, _APEX = 80.0, 66.0, 16.0  # of one board's strip, 100 wide
_GRAIN = ((11.5, 12.4, 8.5, 10.2), (28.8, 31.4, 29.4, 29.3), (46.3, 45.6, 44.4, 47.2), (74.8, 72, 74.6, 74.1))
_HEARD = {"inked": "done", "now": "now", "tocome": "to come"}
_MARK = {"inked": "m-face", "now": "m-do", "tocome": "m-open"}
_COLOUR = {"inked": "", "now": " blue", "tocome": " gr"}


@dataclass(frozen=True)
class Board:
    """One stage of a piece: its word, where the piece stands to it, what is written under it, where it leads."""

    word: str
    state: Literal["inked", "now", "tocome"]
    when: str = ""
    address: str = ""


def boards(rows: Sequence[Board], label: str = "Order of the work") -> str:
    """The boards as a list in a nav; on a phone their marks stay and the current word stands below."""
    of = len(rows)
    made = "".join(_board(row, at, of) for at, row in enumerate(rows))
    at, current = next(
        ((at, row) for at, row in enumerate(rows) if row.state == "now"), (of - 1, rows[-1])
    )  # all done: the last says so
    under = f", {escape(current.when)}" if current.when else ""
    below = f'<p class="boards-word">{at + 1} of {of}: {escape(current.word)}{under}</p>'
    return f'<nav aria-label="{escape(label)}"><ol class="boards">{made}</ol>{below}</nav>'


def _board(row: Board, at: int, of: int) -> str:
    now = ' aria-current="step"' if row.state == "now" else ""
    opened, closed = (f'<a href="{escape(row.address)}"{now}>', "</a>") if row.address else (f"<span{now}>", "</span>")
    sign = f'<use href="#{_MARK[row.state]}"/>'
    return (
        f'<li class="{row.state}">{opened}{_struck(row.state, at, of)}<b class="st">'
        f'<svg class="m{_COLOUR[row.state]}" aria-hidden="true" focusable="false">{sign}</svg>'
        f'<span>{escape(row.word)}<span class="unseen">, {_HEARD[row.state]}</span></span></b>'
        f'<span class="when">{escape(row.when)}</span>{closed}</li>'
    )


def _struck(state: str, at: int, of: int) -> str:
    """This board's piece of the triangle: up one slope to the middle board, down the other."""
    grain = "".join(
        line(f"M0 {n(a + at % 3)}C30 {n(b)} 70 {n(c + at % 2)} 100 {n(d)}", "grain") for a, b, c, d in _GRAIN
    )
    first, last = 12.0 if at == 0 else 0.0, 88.0 if at == of - 1 else 100.0
    left, right = _slope(at + first / 100, of), _slope(at + last / 100, of)
    peak = at == of // 2
    if state == "now":  # the pencil is on this board: half struck, half still to strike
        middle = _slope(at + 0.5, of)
        strokes = (
            line(f"M{n(first)} {n(left)}L50 {n(middle)}M{n(first)} {n(_FOOT)}H50", "tri")
            + line(f"M50 {n(middle)}L{n(last)} {n(right)}M50 {n(_FOOT)}H{n(last)}", "ghost")
        )  # fmt: skip
    elif peak:
        strokes = line(f"M0 {n(left)}L50 {n(_APEX)}L100 {n(right)}", "tri") + line(f"M0 {n(_FOOT)}H100", "tri")
    else:
        bend = (left + right) / 2 - 0.3
        strokes = (
            line(f"M{n(first)} {n(left)}Q50 {n(bend)} {n(last)} {n(right)}", "tri")
            + line(f"M{n(first)} {n(_FOOT)}Q50 {n(_FOOT + 0.6)} {n(last)} {n(_FOOT)}", "tri")
        )  # fmt: skip
    return (
        f'<svg class="strike" viewBox="0 0 100 80" preserveAspectRatio="none" aria-hidden="true">{grain}{strokes}</svg>'
    )


def _slope(boards_in: float, of: int) -> float:
    """How high the triangle stands so many boards from the left."""
    half = of / 2
    return _FOOT - (_FOOT - _APEX) * (1 - abs(boards_in - half) / half)


def strip(key: str, at: int, words: str, of: int = 7) -> str:
    """The triangle small, for a job card: inked up to board `at` (1 to `of`), pencilled beyond. `words`: the stage."""
    wide, edge = 280.0, 280.0 / of
    stands = (at - 0.5) * edge if at < of else wide - 6

    def y(x: float) -> float:
        return 4 + 28 * (abs(x - wide / 2) / (wide / 2))

    def along(begins: float, ends: float) -> str:
        bends = [wide / 2] if begins < wide / 2 < ends else []
        points = [begins, *bends, ends]
        up = "M" + "L".join(f"{n(x)} {n(y(x))}" for x in points)
        return f"{up}M{n(begins)} 33H{n(ends)}"

    body = [line("".join(f"M{n(edge * board)} 0V36" for board in range(1, of)), "edge")]
    if stands < wide - 6:
        body.append(line(along(stands, wide - 6), "tocome"))
    body.append(line(along(6, max(stands, 8)), "tri"))
    view = sheet(key, (280, 36), words, f"Board {at} of {of} of the work.", body, "strip")
    return view.replace("<svg ", '<svg preserveAspectRatio="none" ', 1)


def tally(key: str, done: int, of: int, what: str) -> str:
    """Strokes in fives, the fifth across four: ink for done, dotted for to come."""
    ink: list[str] = []
    pencil: list[str] = []
    for stroke in range(of):
        five, place = divmod(stroke, 5)
        x = 4 + five * 42 + place * 7
        path = f"M{x} 4L{x - 1} 24" if place < 4 else f"M{x - 33} 21L{x - 1} 7"
        (ink if stroke < done else pencil).append(path)
    wide = 4 + (of + 4) // 5 * 42
    body = [line("".join(pencil), "k-pencil dot cap"), line("".join(ink), "k-ink2 cap")]
    return sheet(key, (wide, 28), f"{done} of {of} {what}", f"{of - done} still to do.", body, "draw tally")
