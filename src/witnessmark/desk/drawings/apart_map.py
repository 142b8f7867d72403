"""The taking-apart map: what is off is hollow and on the trestle, what is next is blue, the rest is pencilled."""

from collections.abc import Sequence
from textwrap import wrap

from .fronts import Level, MapPart, fronts
from .strokes import box, cut, hatch, line, n, sheet, struck, tape, tape_width, text

_LEFT, _WIDE, _TOP = 96.0, 356.0, 30.0  # the front of the piece
_BESIDE, _EDGE = 606.0, 872.0  # what the front does not show, the trestle; the right edge
_ALONE = 600.0  # the right edge where the front stands alone
_ROW = 38.0
_ON_TRESTLE = 6  # so many stand on it drawn; the rest are counted


def apart_map(key: str, piece: str, parts: Sequence[MapPart]) -> str:
    """The front, as far as the names of the parts give one; beside it what it does not show, and the trestle."""
    levels, unseen = fronts(parts)
    off = [part for part in parts if part.state == "off"]
    tall = sum(level.high + 8 for level in levels)
    beside = 40 + len(unseen) * _ROW if unseen else 0.0
    trestle = 190 + min(len(off), _ON_TRESTLE) * 34 if off else 0.0
    floor = max(_TOP + tall + 10, _TOP + beside + trestle, 200.0)
    edge = _EDGE if unseen or off else _ALONE
    ground = line(f"M10 {n(floor)}Q420 {n(floor - 2)} {n(edge - 10)} {n(floor + 1)}", "k-pencil")
    body = [hatch(f"{key}-v", "k-faint"), ground]
    top = floor - tall - 4
    body += _carcase(levels, top)
    for level in levels:
        body += _level(level, top + 4, f"{key}-v")
        top += level.high + 8
    body += _unseen(unseen)
    body += _trestle(off, floor) if off else []
    css = "draw mapdraw" if edge == _EDGE else "draw mapdraw alone"
    return sheet(key, (edge, floor + 14), f"Taking-apart map of piece {piece}", told(parts), body, css)


def _carcase(levels: Sequence[Level], top: float) -> list[str]:
    """The carcase that holds the fronts, where there are any."""
    edges: list[float] = []
    for level in levels:
        if level.shape == "front":
            edges += [top, top + level.high + 8]
        top += level.high + 8
    if not edges:
        return []
    high = max(edges) - min(edges)
    return [
        box(_LEFT - 16, min(edges), _WIDE + 32, high, "f-sheet"),
        struck(_LEFT - 16, min(edges), _WIDE + 32, high, "k-ink2"),
    ]


def told(parts: Sequence[MapPart]) -> str:
    """The map in words, for whoever can't see it."""
    said = []
    for state, words in (("off", "off and on the trestle"), ("next", "next off, outlined in blue"), ("on", "still on")):
        codes = [part.code for part in parts if part.state == state]
        if codes:
            said.append(f"{', '.join(codes)}: {words}.")
    said += [f"Take care at {part.code}: {part.care}." for part in parts if part.care]
    return " ".join(said) or "No part is named yet."


def _level(level: Level, top: float, hollow: str) -> list[str]:
    """A row of parts side by side, their turns at its left and right; of those between, in the parts."""
    drawn = []
    spans = _spans(level)
    for at, (part, (x, wide)) in enumerate(zip(level.parts, spans, strict=True)):
        last = at == len(spans) - 1
        drawn += _part(part, x, top, wide, level, hollow)
        middle = top + level.high / 2
        if part.order is not None and (at == 0 or last):
            right = last and at > 0
            drawn.append(_turn(part, _LEFT + _WIDE + 48 if right else 46, middle, x + wide if right else x))
        elif part.order is not None:  # a low part has room for its tape alone
            drawn.append(_ring(part, x + wide / 2, top + 18 if level.high >= 60 else top + level.high + 16))
        if part.care:
            drawn += _care(part.care, x + wide, top + level.high - 6, beside=last)
    return drawn


def _spans(level: Level) -> list[tuple[float, float]]:
    """Where each part of a row begins, and how wide it is."""
    many, gap = len(level.parts), 8.0
    if level.shape == "post":
        wide = max(64.0, max(tape_width(part.code) for part in level.parts) + 4)
        step = (_WIDE + 16 - wide) / max(many - 1, 1)
        return [(_LEFT - 8 + step * at, wide) for at in range(many)]
    left, whole = _LEFT, _WIDE
    if level.shape == "wide":
        left, whole = _LEFT - 26, _WIDE + 52
    elif level.shape == "slim":
        left, whole = _LEFT + _WIDE * 0.32, _WIDE * 0.36
    wide = (whole - gap * (many - 1)) / many
    return [(left + at * (wide + gap), wide) for at in range(many)]


def _part(part: MapPart, x: float, y: float, w: float, level: Level, hollow: str) -> list[str]:
    h = level.high
    middle, centre = x + w / 2, y + h / 2
    if part.state == "off":
        inset = min(12.0, h / 4)
        rails = (f"M{n(x)} {n(y)}l14 {n(inset)}h{n(w - 28)}l14 -{n(inset)}M{n(x)} {n(y + h)}l14 -{n(inset)}h{n(w - 28)}"
                 f"l14 {n(inset)}M{n(x + 14)} {n(y + inset)}V{n(y + h - inset)}M{n(x + w - 14)} {n(y + inset)}"
                 f"V{n(y + h - inset)}")  # fmt: skip
        ghost = tape_width(f"{part.code} off")
        return [box(x, y, w, h, "f-well"), box(x, y, w, h, "", hollow), line(rails, "k-pencil"),
                struck(x, y, w, h, "k-thin"), box(middle - ghost / 2, centre - 13, ghost, 26, "f-sheet k-pencil dash"),
                text(middle, centre + 5, f"{part.code} off", "mid p b")]  # fmt: skip
    is_next = part.state == "next"
    if level.shape == "arch":
        arch = f"M{n(x)} {n(y + h)}C{n(x)} {n(y - 12)} {n(x + w)} {n(y - 12)} {n(x + w)} {n(y + h)}Z"
        drawn = [f'<path class="{"f-bluewash k-blue" if is_next else "f-sheet k-ink"}" d="{arch}"/>']
    else:
        drawn = [box(x, y, w, h, "f-bluewash k-blue" if is_next else "f-sheet")]
        drawn += [] if is_next else [struck(x, y, w, h, "k-ink")]
    if level.shape == "front" and h >= 60:
        drawn.append(struck(x + 6, y + 6, w - 12, h - 12, "k-thin"))
        drawn += [f'<circle class="f-sheet k-ink" cx="{n(cx)}" cy="{n(centre)}" r="9"/>'
                  for cx in (x + w * 0.17, x + w * 0.83)]  # fmt: skip
    low = centre + 2 if level.shape == "post" and h >= 60 else centre - 12
    drawn.append(tape(middle, low, part.code))
    return drawn


def _turn(part: MapPart, x: float, y: float, reaches: float) -> str:
    """The ringed number beside the row: ink for off, blue for next, pencil for on."""
    start = x + 15 if reaches > x else x - 15
    css = {"off": "k-faint", "next": "k-blue", "on": "k-faint dot"}[part.state]
    word = text(x - 18, y - 22, "next", "bl b") if part.state == "next" else ""
    return line(f"M{n(start)} {n(y)}H{n(reaches)}", css) + _ring(part, x, y) + word


def _ring(part: MapPart, x: float, y: float) -> str:
    ring, number = {
        "off": ("f-ink", "mid oi"), "next": ("f-blue", "mid on"), "on": ("f-sheet k-pencil", "mid p b")
    }[part.state]  # fmt: skip
    return f'<circle class="{ring}" cx="{n(x)}" cy="{n(y)}" r="14"/>{text(x, y + 5, str(part.order), number)}'


def _care(words: str, x: float, y: float, beside: bool) -> list[str]:
    """A red cross at the part; its words beside it where nothing stands there."""
    cross = line(f"M{n(x - 6)} {n(y - 6)}l12 12m0 -12l-12 12", "k-red cap")
    if not beside:
        return [cross]
    lines = wrap(words, 16)
    lines = [*lines[:1], f"{lines[1][:15].rstrip(' ,:')}…"] if len(lines) > 2 else lines
    return [cross, *(text(x + 22, y - 2 + 18 * at, one, "r") for at, one in enumerate(lines))]


def _unseen(parts: Sequence[MapPart]) -> list[str]:
    """What the front does not show: behind, inside, or on another part."""
    if not parts:
        return []
    drawn = [text(_BESIDE, _TOP, "behind, inside, small", "sf")]
    for at, part in enumerate(parts):
        y = _TOP + 20 + at * _ROW
        if part.order is not None:
            drawn.append(_ring(part, _BESIDE + 14, y + 15))
        x, wide = _BESIDE + 40, tape_width(part.code)
        said = cut({"off": "off", "next": "next"}.get(part.state, part.name), _EDGE - x - wide - 40)
        if part.state == "off":
            drawn += [
                box(x, y + 2, wide, 26, "f-sheet k-pencil dash"),
                text(x + wide / 2, y + 20, part.code, "mid p b"),
            ]
        else:
            drawn.append(tape(x + wide / 2, y + 3, part.code))
            if part.state == "next":
                drawn.append(box(x - 4, y - 1, wide + 8, 32, "f-none k-blue"))
        drawn.append(text(x + wide + 12, y + 20, said, "bl b" if part.state == "next" else "p"))
        if part.care:
            drawn.append(line(f"M{n(_EDGE - 26)} {n(y + 9)}l12 12m0 -12l-12 12", "k-red cap"))
    return drawn


def _trestle(off: Sequence[MapPart], floor: float) -> list[str]:
    """The trestle with what is off, the last taken on top."""
    left, right = _BESIDE + 10, _EDGE - 40
    board = floor - 140
    drawn = [box(left, board, right - left, 12, "f-sheet"), struck(left, board, right - left, 12, "k-ink")]
    for leg in (left + 34, right - 40):
        legs = (
            f"M{n(leg)} {n(board + 12)}L{n(leg - 20)} {n(floor)}M{n(leg + 6)} {n(board + 12)}L{n(leg + 24)} {n(floor)}"
        )
        drawn.append(line(legs, "k-ink2 cap"))
    drawn.append(line(f"M{n(left + 20)} {n(floor - 52)}H{n(right - 22)}", "k-ink cap"))
    y = board
    for part in off[-_ON_TRESTLE:]:
        y -= 34
        drawn += [
            box(left + 40, y, right - left - 80, 32, "f-sheet"),
            struck(left + 40, y, right - left - 80, 32, "k-ink"),
            tape((left + right) / 2, y + 4, part.code),
        ]
    more = len(off) - _ON_TRESTLE
    head = "on the trestle" + (f", and {more} more" if more > 0 else "")
    return [*drawn, text((left + right) / 2, y - 10, head, "mid sf")]
