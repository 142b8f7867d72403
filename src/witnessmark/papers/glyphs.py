"""Which characters the papers' own fonts can draw, read from the fonts themselves.

A character without a glyph would be lost without a word, and stops an archival PDF altogether. So each is replaced
by an empty box before anything is set: what is on paper is seen to be incomplete rather than silently wrong.
"""

import re
import struct
import unicodedata
from functools import cache
from pathlib import Path
from typing import Any

FONTS = Path(__file__).parent / "fonts"
BOX = "☐"  # U+2610, in every font of ours


@cache
def drawable() -> frozenset[int]:
    """The code points that every font of ours has a glyph for, without those that draw nothing or belong to nobody."""
    every = [_mapped(font.read_bytes()) for font in sorted(FONTS.glob("*.ttf"))]
    shared = frozenset.intersection(*every)
    # Controls, marks of writing direction and joiners draw nothing; private letters mean nothing to a reader (and are
    # forbidden in PDF/A-2a); halves of a pair are no characters. Other kinds of space are set as a plain one.
    return frozenset(
        point for point in shared
        if unicodedata.category(chr(point)) not in {"Cc", "Cf", "Co", "Cs", "Cn", "Zl", "Zp"}
    )  # fmt: skip


def _mapped(font: bytes) -> frozenset[int]:
    """The code points of a TrueType font's `cmap`: OpenType specification, formats 4 and 12."""
    count = struct.unpack_from(">H", font, 4)[0]
    tables = {font[at : at + 4]: struct.unpack_from(">I", font, at + 8)[0] for at in range(12, 12 + 16 * count, 16)}
    start = tables[b"cmap"]
    points: set[int] = set()
    for record in range(struct.unpack_from(">H", font, start + 2)[0]):
        at = start + struct.unpack_from(">I", font, start + 4 + 8 * record + 4)[0]
        match struct.unpack_from(">H", font, at)[0]:
            case 4:
                points |= _format_4(font, at)
            case 12:
                for group in range(struct.unpack_from(">I", font, at + 12)[0]):
                    first, last, glyph = struct.unpack_from(">III", font, at + 16 + 12 * group)
                    points.update(range(first + (glyph == 0), last + 1))
    return frozenset(points)


def _format_4(font: bytes, at: int) -> set[int]:
    segments = struct.unpack_from(">H", font, at + 6)[0] // 2
    ends, starts, deltas, offsets = (
        struct.unpack_from(f">{segments}H", font, at + 14 + 2 * segments * part + (2 if part else 0))
        for part in range(4)
    )
    points = set()
    for n in range(segments):
        for point in range(starts[n], ends[n] + 1):
            glyph = point
            if offsets[n]:
                here = at + 16 + 6 * segments + 2 * n
                glyph = struct.unpack_from(">H", font, here + offsets[n] + 2 * (point - starts[n]))[0]
                if glyph == 0:
                    continue
            if (glyph + deltas[n]) % 65536 and point != 0xFFFF:
                points.add(point)
    return points


@cache
def _not_drawable() -> re.Pattern[str]:
    points = sorted(drawable())
    spans: list[list[int]] = []
    for point in points:
        if spans and point == spans[-1][1] + 1:
            spans[-1][1] = point
        else:
            spans.append([point, point])
    inside = "".join(f"\\U{first:08x}-\\U{last:08x}" for first, last in spans)
    return re.compile(f"[^{inside}]")


def _replaced(found: re.Match[str]) -> str:
    kind = unicodedata.category(found[0])
    if found[0].isspace():
        return " "
    return "" if kind in {"Cf", "Mn", "Me", "Cc"} else BOX


def printable(text: str) -> str:
    """The text with every character our fonts can't draw replaced: by a box, or by nothing where it draws nothing."""
    if text.isascii() and text.isprintable():
        return text
    before, text = "", unicodedata.normalize("NFC", text)
    while text != before:  # a mark left out may let the next one join its letter, into one that can't be drawn
        before, text = text, unicodedata.normalize("NFC", _not_drawable().sub(_replaced, text))
    return text


def all_printable(data: Any) -> Any:
    """The same data with every text in it made printable."""
    match data:
        case str():
            return printable(data)
        case dict():
            return {key: all_printable(value) for key, value in data.items()}
        case list() | tuple():
            return [all_printable(item) for item in data]
    return data
