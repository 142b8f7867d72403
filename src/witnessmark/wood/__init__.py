"""Wood: species, size and air go in; movement, weight and the odds of a species come out."""

from .moisture import BadAir, emc, humidity_for
from .movement import BadMoisture, NoFigure, Sawn, is_linear, movement, movement_by_shrinkage, movement_of
from .species import Species, UnknownSpecies, species, spread
from .weight import BadSize, density_basis, mass_of, solid_volume, weight_of

__all__ = [
    "BadAir",
    "BadMoisture",
    "BadSize",
    "NoFigure",
    "Sawn",
    "Species",
    "UnknownSpecies",
    "density_basis",
    "emc",
    "humidity_for",
    "is_linear",
    "mass_of",
    "movement",
    "movement_by_shrinkage",
    "movement_of",
    "solid_volume",
    "species",
    "spread",
    "weight_of",
]
