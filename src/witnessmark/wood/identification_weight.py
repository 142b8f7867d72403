"""A loose part weighed and measured: its density, how far that may be out, and what it says of the wood.

A weight inside a wood's range does not prove the wood; outside, it counts against it only as far as the part is
sound, dry and all of one wood, so a share of parts is taken to be thrown off.
"""

import math

from witnessmark.documents import Refused
from witnessmark.odds import Measured
from witnessmark.quantities import Density, Length, Mass, Percent, Volume, high, low, usual
from witnessmark.sources import Input, Working, formula, rule, work

from .species import species
from .weight import solid_volume

_WATER = 1000.0  # kg/m³


class BadDensity(Refused):
    """A density that no part of wood has: the weight or the size is a slip."""


@formula("density = mass ÷ volume")
def density_of(mass: Mass, volume: Volume) -> Density:
    """The density of a part weighed and measured."""
    return Density(mass.grams / volume.litres)


@formula("error = √(scale² + (size error ÷ length)² + (size error ÷ width)² + (size error ÷ thickness)²)")
def density_error(size: tuple[Length, Length, Length], size_error: Length, scale_error: Percent) -> Percent:
    """How far a density weighed and measured may be out, as a share of it: independent errors add by squares."""
    sides = sum((size_error.millimetres / side.millimetres) ** 2 for side in size)
    return Percent(100 * math.sqrt((scale_error.percent / 100) ** 2 + sides))


def weighed(mass: Input, size: Input) -> tuple[Working[Density], Working[Percent]]:
    """The density of a loose part and its error. `size` holds three lengths. Raises BadSize, and BadDensity."""
    density = work(density_of, mass=mass, volume=work(solid_volume, size=size))
    lightest, heaviest = _ends()
    if not lightest <= density.value <= heaviest:
        raise BadDensity(
            f"a density of {density.value.kilograms_per_cubic_metre:.3g} kg/m³, where a part of wood weighs "
            f"{lightest.kilograms_per_cubic_metre:g} to {heaviest.kilograms_per_cubic_metre:g}"
        )
    error = work(
        density_error, size=size, size_error=rule("wood", "size_error"), scale_error=rule("wood", "scale_error")
    )
    return density, error


def sinks(density: Density) -> bool:
    """Whether a part of this density sinks in water."""
    return density.kilograms_per_cubic_metre >= _WATER


def _curve(key: str) -> tuple[float, float, float] | None:
    """A wood's usual density and its deviations to either side, kg/m³; None where no density is known."""
    figure = species(key).density
    if figure is None:
        return None
    least, middle, most = (one(figure.value).kilograms_per_cubic_metre for one in (low, usual, high))
    share = float(rule("wood", "range_in_deviations").value)
    return middle, max(middle - least, 1.0) / share, max(most - middle, 1.0) / share


def chance_below(key: str, density: float) -> float | None:
    """How often a board of this wood is lighter than a density in kg/m³. Two half normal curves, joined."""
    curve = _curve(key)
    if curve is None:
        return None
    middle, below, above = curve
    side = below if density < middle else above
    tail = math.erfc(abs(density - middle) / side / math.sqrt(2)) * side / (below + above)
    return tail if density < middle else 1 - tail


def _chance_near(key: str, density: float, error: float) -> float | None:
    curve = _curve(key)
    if curve is None:
        return None
    middle, below, above = curve[0], math.hypot(curve[1], error), math.hypot(curve[2], error)
    side = below if density < middle else above
    return math.exp(-(((density - middle) / side) ** 2) / 2) * 2 / (below + above) / math.sqrt(2 * math.pi)


def density_reading(density: Density, error: Percent, woods: tuple[str, ...]) -> Measured:
    """What a weighed density says of each wood."""
    at = density.kilograms_per_cubic_metre
    near = {key: _chance_near(key, at, at * error.percent / 100) for key in woods}
    known = [chance for chance in near.values() if chance is not None]
    at_large = sum(known) / len(known)
    astray = float(rule("wood", "weight_astray").value)
    # A part thrown off may weigh anything that a part can weigh.
    lightest, heaviest = _ends()
    anything = astray / (heaviest - lightest).kilograms_per_cubic_metre
    chances = {key: (1 - astray) * (at_large if chance is None else chance) + anything for key, chance in near.items()}
    says = f"weighs {at:.0f} kg/m³ (± {error.percent:.0f} %)"
    return Measured("weight", says, chances, (1 - astray) * at_large + anything, group="weight")


def _ends() -> tuple[Density, Density]:
    lightest, heaviest = rule("wood", "lightest_part").value, rule("wood", "heaviest_part").value
    assert isinstance(lightest, Density)
    assert isinstance(heaviest, Density)
    return lightest, heaviest
