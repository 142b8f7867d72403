"""Styles: the weakest evidence. The years of their fashion, and of their known revivals."""

from collections.abc import Sequence
from functools import cache
from typing import Any

import numpy as np

from witnessmark.documents import Refused, nearest
from witnessmark.sources import Row, rule, table

from .years import Years, trapezoid

Array = Any


class NoSuchStyle(Refused):
    """A word that names no style; `near` is the nearest that does, `several` those it could be."""

    def __init__(self, found: str, near: str | None, several: tuple[str, ...] = ()) -> None:
        self.found, self.near, self.several = found, near, several
        hint = f" Did you mean “{near}”?" if near else ""
        choices = f" It could be {', '.join(several)}." if several else ""
        super().__init__(f"“{found}” is no style that we know.{choices or hint}")


@cache
def styles() -> dict[str, Row]:
    """Every style by its key."""
    return {cells.key: cells for cells in table("evidence", "styles.csv")}


def style_named(text: str, region: str = "any") -> str:
    """The key of a style by its key or its name. Raises NoSuchStyle with the nearest."""
    known = styles()
    key = text.strip().casefold().replace(" ", "_").replace("-", "_")
    if key in known:
        return key
    asked = text.strip().casefold().replace("_", " ")
    found = [one for one, cells in known.items() if asked and asked in f"{one} {cells['name']}".casefold()]
    exact = [one for one in found if known[one]["name"].casefold() == asked] or found
    here = [one for one in exact if known[one]["region"] == region] or exact
    if len(here) == 1:
        return here[0]
    if 1 < len(here) <= 6:
        raise NoSuchStyle(text, None, tuple(here))
    near = nearest(key, known)
    if near is None:
        names = {cells["name"]: one for one, cells in known.items()}
        name = nearest(text, names)
        near = names[name] if name else None
    raise NoSuchStyle(text, near)


def fashion(keys: Sequence[str], years: Years) -> Array:
    """Chances of the years of making, the piece being of its time: the styles' own years. Even where none is named."""
    if not keys:
        return np.full(len(years.line), 1 / len(years.line))
    ramp = float(rule("evidence", "style_ramp").value)
    spans = [(styles()[key].number("from_year") or years.first, styles()[key].number("to_year") or years.last)
             for key in keys]  # fmt: skip
    height = np.max([trapezoid(years.line, a - ramp, a, b, b + ramp) for a, b in spans], axis=0)
    height = np.maximum(height, float(rule("evidence", "style_floor").value))
    return height / height.sum()


def revival(keys: Sequence[str], years: Years) -> Array:
    """Chances of the years of making, the piece being later work in the style: known revivals, and any later year."""
    if not keys:
        return np.full(len(years.line), 1 / len(years.line))
    ramp = float(rule("evidence", "style_ramp").value)
    gap = float(rule("evidence", "copy_gap").value)
    known = [(styles()[key].number("revival_from_year"), styles()[key].number("revival_to_year")) for key in keys]
    there = [(a, b) for a, b in known if a is not None and b is not None]
    end = min(styles()[key].number("to_year") or years.first for key in keys)
    later = (years.line >= min(end + gap, years.last)).astype(float)
    later /= later.sum()
    if not there:
        return later
    height = np.max([trapezoid(years.line, a - ramp, a, b, b + ramp) for a, b in there], axis=0)
    if height.sum() <= 0:  # the revivals lie off the line of years
        return later
    share = float(rule("evidence", "revival_share").value)
    return share * height / height.sum() + (1 - share) * later
