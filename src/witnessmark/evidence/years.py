"""Years: how common a feature was in each, the shortest span that holds a share, and how two spans stand."""

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from witnessmark.sources import rule

from .features import Feature

Array = Any  # one number a year


@dataclass(frozen=True)
class Years:
    """A line of years, both ends included."""

    first: int
    last: int

    @property
    def line(self) -> Array:
        return np.arange(self.first, self.last + 1)

    def at(self, year: float) -> int:
        """The place of a year on the line; years off its ends are the ends."""
        return int(min(max(year, self.first), self.last)) - self.first


@cache
def making_years() -> Years:
    """The years a piece may have been made in."""
    return Years(int(rule("evidence", "first_year").value), int(rule("evidence", "last_year").value))


@cache
def on_to_now(years: Years) -> Years:
    """The years a part of such a piece may have been made in: on to our own."""
    return Years(years.first, max(years.last, int(rule("evidence", "this_year").value)))


def trapezoid(line: Array, a: float | None, b: float | None, c: float | None, d: float | None) -> Array:
    """1 from `b` to `c`, rising from `a`, falling to `d`; a limit that is None is none.

    Source: the method of section 1, dating by trapezoids (convention).
    """
    height = np.ones(len(line))
    if a is not None or b is not None:
        rise, full = b if a is None else a, a if b is None else b
        height = np.minimum(height, _ramp(line, float(rise or 0), float(full or 0)))
    if d is not None:
        fall = d if c is None else c
        height = np.minimum(height, _ramp(-line, -float(d), -float(fall)))
    return height


def _ramp(line: Array, start: float, full: float) -> Array:
    if start == full:
        return (line >= start).astype(float)
    return np.clip((line - start) / (full - start), 0.0, 1.0)


def commonness(feature: Feature, line: Array) -> Array:
    """How common new work of each year shows the feature, from 0 to 1, without any allowance for error."""
    last = (None, None) if feature.not_before_only else (feature.common_to, feature.latest)
    return trapezoid(line, feature.earliest, feature.common, *last)


def later_than(common: Array) -> Array:
    """The chance that a part fitted at an unknown time after each year shows the feature: mean of the years on."""
    return np.cumsum(common[::-1])[::-1] / np.arange(len(common), 0, -1)


def older_than(common: Array) -> Array:
    """The same for a part older than each year: mean of the years back."""
    return np.cumsum(common) / np.arange(1, len(common) + 1)


def shortest_span(chances: Array, share: float, years: Years) -> tuple[int, int]:
    """The shortest run of years that holds at least `share`; of two as short, the one that holds more."""
    total = np.concatenate([[0.0], np.cumsum(chances / chances.sum())])
    best, found = (len(chances) + 1, 0.0), (years.first, years.last)
    for start in range(len(chances)):
        end = int(np.searchsorted(total, total[start] + share - 1e-12))
        if end >= len(total):
            break
        size, held = end - start, total[end] - total[start]
        if (size, -held) < best:
            best, found = (size, -held), (years.first + start, years.first + end - 1)
    return found


def densest_years(chances: Array, share: float, years: Years) -> list[int]:
    """The fewest years that hold `share`, maybe in pieces; equal years broken toward the earlier."""
    order = np.argsort(-chances, kind="stable")
    held = np.cumsum(chances[order] / chances.sum())
    count = int(np.searchsorted(held, share - 1e-12)) + 1
    return sorted(int(year) for year in years.first + order[:count])


def middle_year(chances: Array, years: Years) -> int:
    """The median year."""
    return years.first + int(np.searchsorted(np.cumsum(chances) / chances.sum(), 0.5))


Span = tuple[float | None, float | None]


def common_span(spans: list[Span]) -> Span | None:
    """The years that all spans share, open ends None; None where there are none."""
    starts = [start for start, _ in spans if start is not None]
    ends = [end for _, end in spans if end is not None]
    start, end = max(starts, default=None), min(ends, default=None)
    return None if start is not None and end is not None and start > end else (start, end)


def not_before(firsts: list[float]) -> float:
    """A thing is no older than the newest thing in it."""
    return max(firsts)


def relation(one: tuple[float, float], other: tuple[float, float]) -> str:
    """How two spans stand, by Allen's thirteen relations (Comm. ACM 26 (1983) 832)."""
    (a, b), (c, d) = one, other
    if b < c:
        return "before"
    if a > d:
        return "after"
    if b == c:
        return "meets"
    if a == d:
        return "met by"
    if (a, b) == (c, d):
        return "equals"
    if a == c:
        return "starts" if b < d else "started by"
    if b == d:
        return "finishes" if a > c else "finished by"
    if c < a and b < d:
        return "during"
    if a < c and d < b:
        return "contains"
    return "overlaps" if a < c else "overlapped by"
