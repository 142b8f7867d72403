"""Damp air and wood: the moisture content wood comes to in steady air, and the air that keeps it so.

Source: the sorption equation of the Wood Handbook, chapter 4 (Hailwood and Horrobin, two hydrates); constants
in sorption.csv. It is an average over woods and over wetting and drying: take it as half a point to a point
wide for real furniture, and finished, oily or very old wood as sitting a little lower.
"""

from witnessmark.quantities import Percent, Temperature
from witnessmark.sources import Figure, Standing, formula, row, rule


class BadAir(ValueError):
    """Air or moisture content outside what the sorption equation is known for."""


_EQUATION = Figure("Wood Handbook, ch. 4", None, Standing.PUBLISHED, "wood_handbook_2010", "sorption equation")


def _constant(key: str, fahrenheit: float) -> float:
    cells = row("wood", "sorption.csv", key)
    a, b, c = (cells.number(column) or 0.0 for column in "abc")
    return a + b * fahrenheit + c * fahrenheit**2


def _known(temperature: Temperature) -> Temperature:
    coldest, hottest = rule("wood", "coldest_air").value, rule("wood", "hottest_air").value
    if not coldest <= temperature <= hottest:
        raise BadAir(
            f"Air at {temperature.celsius:.4g} °C is outside the table of moisture contents: "
            f"{coldest.celsius:.0f} to {hottest.celsius:.0f} °C. Give the room's, such as 21 °C or 70 °F."
        )
    return temperature


@formula(
    "EMC = 1800/W × (K h/(1 − K h) + (K₁ K h + 2 K₁ K₂ K² h²)/(1 + K₁ K h + K₁ K₂ K² h²)); h = humidity, "
    "W, K, K₁, K₂ from the temperature",
    source=_EQUATION,
)
def emc(temperature: Temperature, humidity: Percent) -> Percent:
    """The moisture content wood comes to in steady air: the equilibrium moisture content.

    Valid from 30 to 200 °F and up to 97 % humidity; raises BadAir outside.
    """
    dampest = rule("wood", "dampest_air").value
    if not 0 <= humidity.percent <= dampest.percent:
        raise BadAir(
            f"A relative humidity of {humidity.percent:.4g} % is outside 0 to {dampest.percent:.0f} %. "
            "Write it in per cent, such as 55: wetter air than that has no steady moisture content."
        )
    fahrenheit, h = _known(temperature).in_fahrenheit, humidity.percent / 100
    w, k, k1, k2 = (_constant(key, fahrenheit) for key in ("w", "k", "k1", "k2"))
    kh, hydrates = k * h, k1 * k * h + k1 * k2 * (k * h) ** 2
    return Percent(1800 / w * (kh / (1 - kh) + (hydrates + k1 * k2 * kh**2) / (1 + hydrates)))


@formula("the humidity whose EMC this is, by halving", source=_EQUATION)
def humidity_for(temperature: Temperature, moisture: Percent) -> Percent:
    """The relative humidity that keeps wood at this moisture content. Raises BadAir where none does."""
    low, high = 0.0, rule("wood", "dampest_air").value.percent
    if not 0 <= moisture.percent <= emc(temperature, Percent(high)).percent:
        raise BadAir(
            f"No air in the table keeps wood at {moisture.percent:.4g} % at {temperature.celsius:.4g} °C. "
            f"It reaches {emc(temperature, Percent(high)).percent:.0f} % in air of {high:.0f} % humidity."
        )
    while high - low > 1e-9:  # EMC only rises with humidity
        middle = (low + high) / 2
        if emc(temperature, Percent(middle)) < moisture:
            low = middle
        else:
            high = middle
    return Percent((low + high) / 2)
