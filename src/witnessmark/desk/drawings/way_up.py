"""A part lying as it was marked: which way is up, and where each of its fixings sat."""

from collections.abc import Sequence
from dataclasses import dataclass

from .strokes import box, cut, line, n, sheet, struck, text

_LONG, _HIGH, _LOW = 296.0, 150.0, 64.0  # px: the longest side, the highest, the lowest a part is drawn


@dataclass(frozen=True)
class Hole:
    """A fixing in its hole. `x`, `y`: shares from the left and the top, where known. `empty`: only the hole is left."""

    code: str
    x: float | None = None
    y: float | None = None
    empty: bool = False
    says: str = ""


def way_up(
    key: str,
    code: str,
    up: str = "",
    fixings: Sequence[Hole] = (),
    wide: float | None = None,
    high: float | None = None,
) -> str:
    """The part with its arrow, `wide` × `high` in mm where known. `up` is what tells which way up, in plain words."""
    share = max(min((high or 1.0) / (wide or 4.0), 1.2), 0.1)
    w = _LONG if share * _LONG <= _HIGH else max(_HIGH / share, 140.0)
    h = min(max(share * w, _LOW), _HIGH)
    left, top = 12 + (_LONG - w) / 2, 14.0
    body = [box(left, top, w, h, "f-sheet"), struck(left, top, w, h, "k-ink2")]
    middle, foot = left + w / 2, top + h - 12
    peak, half = top + 10, min((foot - top - 10) * 0.72, w * 0.2)
    triangle = f"M{n(middle - half)} {n(foot)}L{n(middle)} {n(peak)}L{n(middle + half)} {n(foot)}"
    base = f"M{n(middle - half)} {n(foot)}Q{n(middle)} {n(foot - 2)} {n(middle + half + 1)} {n(foot + 1)}"
    body.append(line(f"{triangle}{base}", "k-ink2 cap"))
    body.append(line(f"M{n(middle)} {n(foot - 4)}V{n(peak + 16)}m-6 8 6 -8 6 8", "k-pencil cap"))
    below = top + h + 20
    body.append(text(middle, below, "up ↑" if up else "which way up: not known", "mid p"))
    body += _holes(fixings, left, top, w, h)
    lines = 1
    listed = ", ".join(f"{one.code} {one.says or ('hole only' if one.empty else '')}".strip() for one in fixings)
    if listed:
        lines += 1
        body.append(text(12, below + 22, cut(listed, _LONG), "b"))
    return sheet(key, (_LONG + 24, below + 8 + 22 * (lines - 1)), f"{code}, as marked", _told(up, fixings), body,
                 "draw way-up")  # fmt: skip


def _holes(fixings: Sequence[Hole], left: float, top: float, w: float, h: float) -> list[str]:
    """Where it is not known where a fixing sat, they stand along the lower edge in their order, dotted."""
    drawn = []
    unplaced = [one for one in fixings if one.x is None or one.y is None]
    for one in fixings:
        known = one.x is not None and one.y is not None
        share = one.x if known else (unplaced.index(one) + 0.5) / len(unplaced)
        x = left + 14 + (share or 0.0) * (w - 28)
        y = top + 12 + (one.y or 0.0) * (h - 24) if known else top + h - 8
        css = "f-sheet k-ink" if one.empty else "f-ink"
        if not known:
            css = "f-sheet k-pencil dot" if one.empty else "f-pencil"
        drawn.append(f'<circle class="{css}" cx="{n(x)}" cy="{n(y)}" r="5"/>')
        if len(fixings) <= 8 and known:
            drawn.append(text(x, y - 9 if y > top + 30 else y + 20, one.code, "mid b halo"))
    return drawn


def _told(up: str, fixings: Sequence[Hole]) -> str:
    said = f"The triangle points up: {up}." if up else "Which way up it was is not known."
    if not fixings:
        return f"{said} No fixings are named."
    each = ", ".join(f"{one.code}{' (hole only)' if one.empty else ''}" for one in fixings)
    return f"{said} Fixings: {each}."
