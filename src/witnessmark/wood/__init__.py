"""Wood: species, size and air go in; movement, weight and the odds of a species come out."""

from .moisture import BadAir, emc, humidity_for
from .movement import (
    BadMoisture,
    NoFigure,
    Sawn,
    can_move,
    is_linear,
    movement,
    movement_by_shrinkage,
    movement_of,
    shrinkage_meant_by,
)
from .seasons import driest_and_dampest
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
    "can_move",
    "density_basis",
    "driest_and_dampest",
    "emc",
    "humidity_for",
    "is_linear",
    "mass_of",
    "movement",
    "movement_by_shrinkage",
    "movement_of",
    "shrinkage_meant_by",
    "solid_volume",
    "species",
    "spread",
    "weight_of",
]
