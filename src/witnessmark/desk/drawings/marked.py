"""A photograph with the marks that were put on it: where parts and fixings sat, which way their tops point, and damage.

Damage is a number on a light disc, as on the receipt; a part is a ring or a triangle with its code on tape.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from math import cos, radians, sin

from .strokes import n, tape, tape_width, text

_WIDE = 1000.0  # units across a picture, whatever its pixels
_RING, _TRIANGLE = 17.0, 38.0
_READ = 420.0  # units across, at which letters are as on any drawing
_NEAR = 420.0  # units across the part of a picture that a close look shows


@dataclass(frozen=True)
class Spot:
    """A mark: shares of the picture's width and height, and the degrees clockwise its top points, where known.

    Of damage `says` is what is amiss there, and `code` its number.
    """

    code: str
    x: float
    y: float
    up: float | None = None
    says: str = ""


def marked(
    key: str, address: str, size: tuple[int, int], says: str, spots: Sequence[Spot] = (), near: bool = False
) -> str:
    """The picture of `size` pixels with its marks over it. `near`: only as much as lies around the first of them."""
    wide, high = size
    tall = _WIDE * high / wide
    look = _around(spots[0], tall) if near and spots else (0.0, 0.0, _WIDE, tall)
    scale = look[2] / _READ  # so that a code can be read where a phone shows the picture
    body = [
        f'<image href="{escape(address)}" width="{n(_WIDE)}" height="{n(tall)}" preserveAspectRatio="none"/>',
        *(_spot(spot, tall, look, scale) for spot in spots),
    ]
    box = " ".join(n(each) for each in look)
    return (
        f'<svg class="draw marked" viewBox="{box}" role="img" aria-labelledby="{key}-t {key}-d">'
        f'<title id="{key}-t">{escape(says)}</title><desc id="{key}-d">{escape(told(spots))}</desc>'
        f"{''.join(body)}</svg>"
    )


def told(spots: Sequence[Spot]) -> str:
    """The marks in words, for whoever can't see them."""
    return " ".join(f"{spot.code}{_says(spot)}: {place_in_words(spot.x, spot.y)}{_up(spot)}." for spot in spots) or (
        "No mark on it."
    )


def _says(spot: Spot) -> str:
    return f", {spot.says}" if spot.says else ""


def place_in_words(x: float, y: float) -> str:
    """Where on a picture a mark is, by its ninths."""
    down = ("upper", "middle", "lower")[min(int(y * 3), 2)]
    across = ("left", "centre", "right")[min(int(x * 3), 2)]
    return "centre" if (down, across) == ("middle", "centre") else f"{down} {across}"


def _up(spot: Spot) -> str:
    return "" if spot.up is None else f", its top points {way_in_words(spot.up)}"


def way_in_words(degrees: float) -> str:
    """The way the top of a part points on its picture: up, or up and to the right, …"""
    ways = ("up", "up and to the right", "to the right", "down and to the right", "down", "down and to the left",
            "to the left", "up and to the left")  # fmt: skip
    return ways[round(degrees / 45) % 8]


def _around(spot: Spot, tall: float) -> tuple[float, float, float, float]:
    wide, high = min(_NEAR, _WIDE), min(_NEAR * 0.75, tall)
    x = min(max(spot.x * _WIDE - wide / 2, 0.0), _WIDE - wide)
    y = min(max(spot.y * tall - high / 2, 0.0), tall - high)
    return x, y, wide, high


def _spot(spot: Spot, tall: float, look: tuple[float, float, float, float], scale: float) -> str:
    """A dot where it sat, in a ring, or in the triangle whose tip points to its top; each with a light edge."""
    x, y = spot.x * _WIDE, spot.y * tall
    if spot.says:
        return _damage(spot.code, x, y, scale)
    reach = _RING * scale if spot.up is None else _TRIANGLE * scale
    drawn = [
        _twice(f'<circle class="f-none {{}}" cx="{n(x)}" cy="{n(y)}" r="{n(reach)}"/>')
        if spot.up is None
        else _triangle(x, y, spot.up, reach),
        _twice(f'<circle class="f-none {{}}" cx="{n(x)}" cy="{n(y)}" r="{n(scale)}"/>'),
    ]
    wide, high = tape_width(spot.code) * scale, 26 * scale
    left = min(max(x - wide / 2, look[0] + 2), look[0] + look[2] - wide - 2)
    top = y + reach + 5 * scale
    if top + high > look[1] + look[3]:  # no room beneath it
        top = y - reach - high - 5 * scale
    drawn.append(
        f'<g transform="translate({n(left + wide / 2)} {n(top)}) scale({scale:.3g})">{tape(0, 0, spot.code)}</g>'
    )
    return "".join(drawn)


def _damage(number: str, x: float, y: float, scale: float) -> str:
    """Its number on a light disc."""
    return (
        f'<g transform="translate({n(x)} {n(y)}) scale({scale:.3g})">'
        f'<circle class="f-sheet k-ink2" r="{n(_RING * 0.8)}"/>{text(0, 5.2, number, "mid")}</g>'
    )


def _triangle(x: float, y: float, degrees: float, reach: float) -> str:
    """The cabinetmaker's triangle: two long sides and a short foot."""
    corners = [
        (x + sin(radians(degrees + turn)) * reach * far, y - cos(radians(degrees + turn)) * reach * far)
        for turn, far in ((0, 1.0), (142, 0.78), (218, 0.78))
    ]
    path = "L".join(f"{n(across)} {n(down)}" for across, down in corners)
    return _twice(f'<path class="f-none cap {{}}" d="M{path}Z"/>')


def _twice(shape: str) -> str:
    return shape.format("k-edge") + shape.format("k-mark")
