"""The strippers: how far each goes, how long it must lie, and how long the wood rests afterwards."""

from dataclasses import dataclass
from functools import cache

from witnessmark.materials import material
from witnessmark.quantities import Coverage, Span
from witnessmark.sources import Figure, table


class UnknownStripper(ValueError):
    """A key that is no stripper of strippers.csv."""


@dataclass(frozen=True)
class Stripper:
    """One stripper. What the table leaves empty is None.

    `dwell` is the time it lies wet before the finish lifts, `rest` the time the wood dries before anything
    goes on.
    """

    key: str
    name: str
    coverage: Figure | None
    dwell: Figure | None
    rest: Figure | None
    use: str
    avoid_when: str


@cache
def stripper(key: str) -> Stripper:
    """The stripper with this key. Raises UnknownStripper."""
    rows = [cells for cells in table("finish", "strippers.csv") if cells["material_key"] == key]
    working = next((cells for cells in rows if cells["what"] == "working"), None)
    if working is None:
        known = ", ".join(found.key for found in strippers())
        raise UnknownStripper(f"“{key}” is no stripper of strippers.csv. Those listed: {known}.")
    rests = (cells.figure("rest_min_h", Span.hours) for cells in rows)
    return Stripper(
        key=key,
        name=material(key).name,
        coverage=working.range_figure(("coverage_min_m2_per_l", "", "coverage_max_m2_per_l"), Coverage),
        dwell=working.range_figure(("dwell_min_min", "", "dwell_max_min"), Span),
        rest=next((rest for rest in rests if rest), None),
        use=working["use"],
        avoid_when=working["avoid_when"],
    )


def strippers() -> tuple[Stripper, ...]:
    """Every stripper, in the order of the table."""
    return tuple(
        stripper(cells["material_key"]) for cells in table("finish", "strippers.csv") if cells["what"] == "working"
    )
