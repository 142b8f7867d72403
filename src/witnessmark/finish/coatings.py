"""The coatings: how far each goes, how it dries, what it asks of the air, and how it comes off again."""

from dataclasses import dataclass
from functools import cache

from witnessmark.materials import family_of, fits, material
from witnessmark.quantities import Coats, Coverage, Cut, Percent, Span, Temperature
from witnessmark.sources import Figure, row, table


class UnknownCoating(ValueError):
    """A key without a row in coatings.csv."""


class NoCoverage(ValueError):
    """A coating that no printed coverage was found for, or that is not laid in coats at all."""


@dataclass(frozen=True)
class Coating:
    """One coating as it is laid. What the table leaves empty is None.

    `coverage` is for one coat. `touch_dry` is not `cure`: dust no longer sticks after the one, it may be
    rubbed out or waxed after the other. After `recoat_max` the film must be abraded first; None there means
    that it never need be.
    """

    key: str
    name: str
    family: str
    coverage: Figure | None
    solids_by_weight: Figure | None
    touch_dry: Figure | None
    recoat_min: Figure | None
    recoat_max: Figure | None
    cure: Figure | None
    coats: Figure | None
    temperature_min: Figure | None
    temperature_max: Figure | None
    humidity_max: Figure | None
    thinners: tuple[str, ...]
    reversed_by: tuple[str, ...]
    remark: str


# Laid with the rubber: reckoned in sessions and one mix, never in coats by coverage.
PADDED = "shellac_french_polish"


@cache
def coating(key: str) -> Coating:
    """The coating with this key. Raises UnknownCoating."""
    try:
        cells = row("finish", "coatings.csv", key, key="material_key")
    except KeyError:
        known = ", ".join(found.key for found in table("finish", "coatings.csv", "material_key"))
        raise UnknownCoating(f"“{key}” has no row in coatings.csv. Those that have: {known}.") from None
    known_as = material(key)
    return Coating(
        key=key,
        name=known_as.name,
        family=known_as.family,
        coverage=cells.range_figure(
            ("coverage_min_m2_per_l", "coverage_typ_m2_per_l", "coverage_max_m2_per_l"), Coverage
        ),
        solids_by_weight=cells.range_figure(("solids_min_wt_pct", "", "solids_max_wt_pct"), Percent),
        touch_dry=cells.figure("touch_dry_h", Span.hours),
        recoat_min=cells.figure("recoat_min_h", Span.hours),
        recoat_max=cells.figure("recoat_max_h", Span.hours),
        cure=cells.range_figure(("cure_min_d", "", "cure_max_d"), Span.days),
        coats=cells.figure("coats_typ", Coats),
        temperature_min=cells.figure("temp_min_c", Temperature),
        temperature_max=cells.figure("temp_max_c", Temperature),
        humidity_max=cells.figure("rh_max_pct", Percent),
        thinners=cells.keys_in("thinner_keys"),
        reversed_by=cells.keys_in("reversed_by_keys"),
        remark=cells["remark"],
    )


def coatings() -> tuple[Coating, ...]:
    """Every coating, in the order of the table."""
    return tuple(coating(cells.key) for cells in table("finish", "coatings.csv", "material_key"))


def coatings_for(key: str) -> tuple[Coating, ...]:
    """The coatings a material may be laid as: itself, else those of its family, in the order of the table.

    Raises UnknownCoating where there is none; UnknownName for a key of no material.
    """
    rows = [cells.key for cells in table("finish", "coatings.csv", "material_key")]
    for asked in (key, family_of(key)):
        if asked in rows:
            return (coating(asked),)
        if laid := tuple(coating(one) for one in rows if fits(asked, one)):
            return laid
    raise UnknownCoating(f"{material(key).name} is not a coating with a row in coatings.csv.")


def coverage_of(key: str) -> Figure:
    """How far a litre goes in one coat, as a range. Raises NoCoverage, saying what to go by instead."""
    found = coating(key)
    if found.coverage is None:
        raise NoCoverage(
            f"No coverage was found for {found.name}. Give its solids by volume and the film wanted, "
            "or try a patch and weigh the jar before and after."
        )
    return found.coverage


def usual_cut(key: str) -> Figure:
    """The cut a shellac of this key is laid at. Raises UnknownCoating where it is none of those with a usual
    cut.
    """
    for cells in table("finish", "shellac_properties.csv"):
        cut = cells.figure("typical", Cut.pounds) if cells["property"] == "cut_use" else None
        if cut and cells["material_key"] == key:
            return cut
    raise UnknownCoating(f"“{key}” has no usual cut in shellac_properties.csv.")


def brushed_shellac(cut: Cut) -> Coating:
    """The brushed shellac whose usual cut is nearest: its coverage is the one to reckon by."""
    laid = ("shellac_wash_coat", "shellac_2lb_brushed")
    return coating(min(laid, key=lambda key: abs((usual_cut(key).value - cut).grams_per_litre)))
