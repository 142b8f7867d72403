"""The pen of our drawings: strokes in the page's own ink, by a hand that wavers the same way each time."""

import math
from collections.abc import Iterator
from random import Random

_FILLED = ' fill="currentColor"'


def steps(first: float, last: float, by: float) -> Iterator[float]:
    """Evenly spaced places, the last one left out."""
    while first < last:
        yield first
        first += by


def in_ink(strokes: str) -> str:
    """Strokes as the pen makes them: outlines of its usual width where a stroke does not say its own."""
    return f'<g fill="none" stroke="currentColor" stroke-width="0.9" stroke-linecap="round">{strokes}</g>'


class Pen:
    """Draws strokes, to be put `in_ink`. The hand wavers as a hand does, but the same way each time."""

    def __init__(self, seed: str) -> None:
        self.hand = Random(seed)
        self.key = seed.replace(".", "-").replace("_", "-")

    def line(self, x1: float, y1: float, x2: float, y2: float, width: float = 0.8, dash: str = "") -> str:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        return f'<path d="M{x1:.1f} {y1:.1f}L{x2:.1f} {y2:.1f}" stroke-width="{width:g}"{dashed}/>'

    def ring(self, y: float, width: float = 1.2, dash: str = "") -> str:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        return f'<path d="M0 {y + 3:.1f}Q60 {y - 3:.1f} 120 {y + 3:.1f}" stroke-width="{width:g}"{dashed}/>'

    def pore(self, x: float, y: float, size: float, ink: bool = False) -> str:
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{size:.1f}"{_FILLED if ink else ""}/>'

    def leaf(self, x: float, y: float, long: float, wide: float, ink: bool = True, upright: bool = False) -> str:
        """A pointed fleck, lying or upright."""
        d = (
            f"M{x:.1f} {y - long:.1f}Q{x + wide:.1f} {y:.1f} {x:.1f} {y + long:.1f}Q{x - wide:.1f} {y:.1f} {x:.1f} "
            f"{y - long:.1f}Z"
            if upright
            else f"M{x - long:.1f} {y:.1f}Q{x:.1f} {y - wide:.1f} {x + long:.1f} {y:.1f}Q{x:.1f} {y + wide:.1f} "
            f"{x - long:.1f} {y:.1f}Z"
        )
        return f'<path d="{d}"{_FILLED if ink else ""}/>'

    def near(self, at: float, by: float) -> float:
        return at + self.hand.uniform(-by, by)

    def lens(self, inside: str) -> str:
        """Seen through the lens."""
        return (
            f'<clipPath id="{self.key}"><circle cx="60" cy="60" r="56"/></clipPath><g clip-path="url(#{self.key})">'
            f'{inside}</g><circle cx="60" cy="60" r="56" stroke-width="2"/>'
        )

    def face(self, inside: str) -> str:
        """Seen with the bare eye, on a block or a board."""
        return (
            f'<clipPath id="{self.key}"><rect x="6" y="10" width="108" height="100"/></clipPath>'
            f'<g clip-path="url(#{self.key})">{inside}</g><rect x="6" y="10" width="108" height="100" '
            'stroke-width="1.6"/>'
        )

    def strewn(self, count: int, apart: float, least: float = 4, most: float = 116) -> Iterator[tuple[float, float]]:
        """Points strewn at least so far apart, as far as there is room."""
        put: list[tuple[float, float]] = []
        for _ in range(count * 12):
            x, y = self.hand.uniform(least, most), self.hand.uniform(least, most)
            if len(put) < count and all(math.hypot(x - a, y - b) >= apart for a, b in put):
                put.append((x, y))
                yield x, y
