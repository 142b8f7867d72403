"""How far wood moves across the grain as its moisture content changes.

Two sums of the Wood Handbook, chapter 13: from 6 to 14 % the printed coefficient (eq. 13-2), and where either
end lies outside, the total shrinkage (eq. 13-3). Boards are seldom quite flat- or quarter-sawn, so the width
of a flat-sawn board is over-stated and that of a quartered one under-stated. Shrinking is negative.
"""

from collections.abc import Sequence
from enum import Enum

from witnessmark.quantities import Length, Percent, Range, high, low
from witnessmark.sources import Figure, Input, Standing, Working, formula, rule, work

from .species import Species, spread


class Sawn(Enum):
    """How a board was cut from the log: its rings lie flat in it, or stand across its thickness."""

    FLAT = "flat"  # moves by the tangential figure
    QUARTER = "quarter"  # moves by the radial


class BadMoisture(ValueError):
    """A moisture content that wood in a piece can't have, or above which it no longer moves."""


class NoFigure(ValueError):
    """A wood for which nobody has printed the figure a sum needs."""


@formula(
    "movement = across × coefficient × (to − from)",
    source=Figure("eq. 13-2", None, Standing.PUBLISHED, "wood_handbook_2010", "within 6–14 %"),
)
def movement(across: Length, coefficient: float, from_mc: Percent, to_mc: Percent) -> Length:
    """Change in size across the grain, from 6 to 14 %. `coefficient` is the change for each 1 %."""
    return across * (coefficient * (to_mc - from_mc).percent)


@formula(
    "movement = across × (to − from) ÷ (saturation × 100 ÷ shrinkage − saturation + from)",
    source=Figure("eq. 13-3", None, Standing.FROM_MEMORY, "wood_handbook_2010", "outside 6–14 %"),
)
def movement_by_shrinkage(
    across: Length, shrinkage: Percent, from_mc: Percent, to_mc: Percent, saturation: Percent
) -> Length:
    """The same where either moisture content lies outside 6–14 %.

    `shrinkage` is green to oven-dry, of green size, taken as spread evenly from `saturation` down to nothing.
    Raises BadMoisture above saturation.
    """
    for moisture in (from_mc, to_mc):
        if not 0 <= moisture.percent <= saturation.percent:
            raise BadMoisture(
                f"A moisture content of {moisture.percent:.4g} % is outside 0 to {saturation.percent:.0f} %. "
                f"Wood swells no further above that: give {saturation.percent:.0f} for green wood."
            )
    basis = saturation.percent * 100 / shrinkage.percent - saturation.percent + from_mc.percent
    return across * ((to_mc - from_mc).percent / basis)


@formula("shrinkage = saturation × 100 ÷ (1 ÷ coefficient + saturation − basis)")
def shrinkage_meant_by(coefficient: float, basis: Percent, saturation: Percent) -> Percent:
    """The total shrinkage whose slope at `basis` is this coefficient: eq. 13-3 turned round."""
    return Percent(saturation.percent * 100 / (1 / coefficient + (saturation - basis).percent))


def can_move(wood: Species) -> bool:
    """Whether there is any figure to reckon this wood's movement by."""
    return wood.coefficient_tangential is not None or wood.shrinkage_tangential is not None


def _coefficient(wood: Species, sawn: Sawn) -> Figure | None:
    return wood.coefficient_tangential if sawn is Sawn.FLAT else wood.coefficient_radial


def _shrinkage(wood: Species, sawn: Sawn) -> Figure | None:
    """The printed shrinkage, widened to the one its coefficient stands for.

    For most woods the two agree. For imported ones they rest on different tests and are far apart; without
    this the answer would jump where one sum takes over from the other.
    """
    printed = wood.shrinkage_tangential if sawn is Sawn.FLAT else wood.shrinkage_radial
    coefficient = _coefficient(wood, sawn)
    if coefficient is None:
        return printed
    meant = work(
        shrinkage_meant_by,
        coefficient=coefficient,
        basis=rule("wood", "coefficient_basis"),
        saturation=rule("wood", "fibre_saturation"),
    )
    implied = Figure(f"{meant.formula.key}:{coefficient.name}", meant.value, meant.standing, coefficient.source_key)
    return spread(printed, [implied]) if printed else implied


def is_linear(*moistures: Percent | Range[Percent]) -> bool:
    """Whether all of these lie where the printed coefficients hold."""
    least, most = rule("wood", "linear_from").value, rule("wood", "linear_to").value
    return all(least <= low(moisture) and high(moisture) <= most for moisture in moistures)


def movement_of(woods: Sequence[Species], sawn: Sawn, across: Input, from_mc: Input, to_mc: Input) -> Working[Length]:
    """The movement of a board of the first of `woods`, as a range where it may be any of the others too.

    Picks the sum that holds for these moisture contents. Raises NoFigure where the first wood has no figure
    for it; one of the others without a figure is left out.
    """
    linear = is_linear(from_mc.value, to_mc.value)
    figure_of = _coefficient if linear else _shrinkage
    own = figure_of(woods[0], sawn)
    if own is None:
        asked = "figure for its movement" if linear else "shrinkage"
        raise NoFigure(
            f"No {asked} was found for {woods[0].name} ({woods[0].latin_name}). "
            "Name a wood that moves alike, or measure an offcut dry and damp."
        )
    rate = spread(own, (figure_of(wood, sawn) for wood in woods[1:]))
    if linear:
        return work(movement, across=across, coefficient=rate, from_mc=from_mc, to_mc=to_mc)
    return work(
        movement_by_shrinkage, across=across, shrinkage=rate, from_mc=from_mc, to_mc=to_mc,
        saturation=rule("wood", "fibre_saturation"),
    )  # fmt: skip
