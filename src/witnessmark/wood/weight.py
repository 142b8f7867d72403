"""What a piece of wood weighs, from its size and its moisture content.

Source: Wood Handbook, chapter 4 (from memory): mass = volume × specific gravity × (1 + moisture). The
specific gravity is kept at its figure for 12 %, so the volume should be that of the dry piece in hand; from 6
to 14 % this is out by less than about 2 %, well inside the spread between boards of one wood.
"""

from collections.abc import Sequence

from witnessmark.quantities import Density, Length, Mass, Percent, Volume
from witnessmark.sources import Figure, Input, Standing, Working, formula, rule, work

from .movement import BadMoisture, NoFigure
from .species import Species, spread


class BadSize(ValueError):
    """A size with a side of nothing."""


@formula("volume = length × width × thickness")
def solid_volume(size: tuple[Length, Length, Length]) -> Volume:
    """The volume of a solid piece, in litres as all volumes are."""
    volume = 1.0
    for side in size:
        if side.millimetres <= 0:
            raise BadSize(f"A side of {side.millimetres:.6g} mm is no size. Give length, width and thickness.")
        volume *= side.millimetres
    return Volume(volume / 1e6)


@formula(
    "mass = volume × density × (1 + moisture) ÷ (1 + moisture of the density)",
    source=Figure("Wood Handbook, ch. 4", None, Standing.FROM_MEMORY, "wood_handbook_2010", "density relation"),
)
def mass_of(volume: Volume, density: Density, moisture: Percent, density_basis: Percent) -> Mass:
    """The mass of solid wood whose `density` is that at the moisture content `density_basis`."""
    if moisture.percent < 0:
        raise BadMoisture(f"A moisture content of {moisture.percent:.4g} % can't be: it starts at 0, bone dry.")
    dry = volume.litres * density.kilograms_per_cubic_metre / (1 + density_basis.percent / 100)
    return Mass(dry * (1 + moisture.percent / 100))


def density_basis() -> Figure:
    """The moisture content that densities are given at, and that a piece is taken to have unless said."""
    return rule("wood", "density_basis")


def weight_of(woods: Sequence[Species], size: Input, moisture: Input) -> Working[Mass]:
    """The mass of a piece of the first of `woods`, or of any of the others, as boards of them differ.

    `size` holds three lengths. Raises NoFigure where the first wood has no density.
    """
    if woods[0].density is None:
        raise NoFigure(f"No density was found for {woods[0].name} ({woods[0].latin_name}). Name one as heavy.")
    density = spread(woods[0].density, (wood.density for wood in woods[1:]))
    return work(
        mass_of,
        volume=work(solid_volume, size=size),
        density=density,
        moisture=moisture,
        density_basis=density_basis(),
    )
