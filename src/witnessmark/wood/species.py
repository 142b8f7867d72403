"""The woods: what each weighs, shrinks and moves by, each figure with its standing."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from witnessmark.materials import wood as called
from witnessmark.quantities import Density, Percent, Range, high, low, usual
from witnessmark.sources import Figure, row, table, weakest


class UnknownSpecies(ValueError):
    """A key that is no wood of species.csv."""


@dataclass(frozen=True)
class Species:
    """One wood. A figure nobody has printed is None.

    `density` is at 12 % moisture content, its range what a sound air-dry piece may weigh. Shrinkage is green
    to oven-dry, of green size. A coefficient is the change of size for each 1 % of moisture content.
    """

    key: str
    name: str
    latin_name: str
    wood_type: str
    density: Figure | None
    shrinkage_radial: Figure | None
    shrinkage_tangential: Figure | None
    coefficient_radial: Figure | None
    coefficient_tangential: Figure | None
    period: str
    cites_appendix: str = ""  # I, II or III where it is listed


@cache
def species(key: str) -> Species:
    """The wood with this key. Raises UnknownSpecies; groups and shop names are resolved in `materials`."""
    try:
        wood = row("wood", "species.csv", key, key="wood_key")
    except KeyError:
        raise UnknownSpecies(f"“{key}” is no wood of species.csv; a group or a shop name is looked up first.") from None
    moves = next((cells for cells in table("wood", "change_coefficients.csv", "wood_key") if cells.key == key), None)
    density = wood.figure("density_12pct_kg_m3", Density, "density")
    ends = (wood.figure(f"density_range_{end}_kg_m3", Density, "density_range") for end in ("low", "high"))
    return Species(
        key=key,
        name=called(key).name,
        latin_name=wood["latin_name"],
        wood_type=wood["wood_type"],
        density=spread(density, ends) if density else None,
        shrinkage_radial=wood.figure("shrinkage_radial_pct", Percent, "shrinkage"),
        shrinkage_tangential=wood.figure("shrinkage_tangential_pct", Percent, "shrinkage"),
        coefficient_radial=moves.figure("radial_per_pct_mc", float) if moves else None,
        coefficient_tangential=moves.figure("tangential_per_pct_mc", float) if moves else None,
        period=wood["period_of_use"],
        cites_appendix="" if wood["cites_appendix"] == "none" else wood["cites_appendix"],
    )


def spread(chosen: Figure, others: Iterable[Figure | None]) -> Figure:
    """A figure widened to the least and most of others: for a wood that may be any of a group.

    The usual stays that of `chosen`. An answer from it is no better than the weakest of them.
    """
    figures = [chosen, *(figure for figure in others if figure is not None and figure is not chosen)]
    least, most = min(low(figure.value) for figure in figures), max(high(figure.value) for figure in figures)
    if len(figures) == 1 or least == most:
        return chosen
    sources = dict.fromkeys(key for figure in figures for key in figure.source_key.split(";") if key)
    return Figure(
        " | ".join(figure.name for figure in figures),
        Range(least, usual(chosen.value), most),
        weakest([figure.standing for figure in figures]),
        ";".join(sources),
        "the usual is that of the first named; the range runs over all",
    )
