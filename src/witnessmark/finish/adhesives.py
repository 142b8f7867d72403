"""The glues: open and cramping times, how much a face takes, and how each comes apart again."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from witnessmark.materials import material
from witnessmark.quantities import Mass, Span, Temperature
from witnessmark.sources import Figure, table


class UnknownAdhesive(ValueError):
    """A key that is no glue of adhesives.csv."""


@dataclass(frozen=True)
class Adhesive:
    """One glue. What no source gives is None.

    `open_time` runs from spreading until the parts must be home; `cramped` until the cramps may come off,
    which is not yet `full_strength`. `spread` is the mass laid on one square metre of joint.
    """

    key: str
    name: str
    mix_ratio: str
    temperature: Figure | None
    open_time: Figure | None
    cramped: Figure | None
    full_strength: Figure | None
    spread: Figure | None
    gap_filling: str
    reversed_by: tuple[str, ...]
    reversal: str


@cache
def adhesive(key: str) -> Adhesive:
    """The glue with this key. Raises UnknownAdhesive.

    Sources speak of one glue in several rows, none of them of everything: each figure is that of the first
    row that has it.
    """
    rows = [cells for cells in table("finish", "adhesives.csv") if cells["material_key"] == key]
    if not rows:
        known = ", ".join(dict.fromkeys(cells["material_key"] for cells in table("finish", "adhesives.csv")))
        raise UnknownAdhesive(f"“{key}” is no glue of adhesives.csv. Those listed: {known}.")

    def figure(least: str, most: str, kind: Callable[[float], Any]) -> Figure | None:
        found = (cells.range_figure((least, "", most), kind) for cells in rows)
        return next((one for one in found if one), None)

    def words(column: str) -> str:
        return next((cells[column] for cells in rows if cells[column]), "")

    return Adhesive(
        key=key,
        name=material(key).name,
        mix_ratio=words("mix_ratio_dry_to_water"),
        temperature=figure("working_temp_min_c", "working_temp_max_c", Temperature),
        open_time=figure("open_time_min_min", "open_time_max_min", Span),
        cramped=figure("clamp_min_h", "clamp_max_h", Span.hours),
        full_strength=figure("full_strength_h", "full_strength_h", Span.hours),
        spread=figure("spread_min_g_per_m2", "spread_max_g_per_m2", Mass),
        gap_filling=words("gap_filling"),
        reversed_by=next((cells.keys_in("reversed_by_keys") for cells in rows if cells["reversed_by_keys"]), ()),
        reversal=words("reversal"),
    )


def adhesives() -> tuple[Adhesive, ...]:
    """Every glue, in the order of the table."""
    return tuple(
        adhesive(key) for key in dict.fromkeys(cells["material_key"] for cells in table("finish", "adhesives.csv"))
    )
