"""Damp air: the dew point, and how damp the air is where it touches colder or warmer work.

Source: the Magnus form of the saturation pressure over water, constants in rules.csv. Within a twentieth of a degree of
the tables between 0 and 50 °C; a shop's hygrometer is seldom good to three points of humidity, which is half a degree.
"""

import math

from witnessmark.quantities import Percent, Temperature
from witnessmark.sources import Figure, Standing, formula, rule

from .moisture import BadAir

_MAGNUS = Figure("Magnus form", None, Standing.FROM_MEMORY, "alduchov_eskridge_1996", "constants from memory")


def _rise(temperature: Temperature) -> float:
    """The logarithm of the saturation pressure, over that at 0 °C."""
    a, b = float(rule("wood", "magnus_a").value), float(rule("wood", "magnus_b").value.celsius)
    return a * temperature.celsius / (b + temperature.celsius)


def _where(rise: float) -> Temperature:
    """The temperature whose saturation pressure has risen so far: the other way round."""
    a, b = float(rule("wood", "magnus_a").value), rule("wood", "magnus_b").value.celsius
    return Temperature(b * rise / (a - rise))


def _checked(temperature: Temperature, humidity: Percent | None = None) -> None:
    coldest, hottest = rule("wood", "magnus_from").value, rule("wood", "magnus_to").value
    if not coldest <= temperature <= hottest:
        raise BadAir(
            f"{temperature.celsius:.4g} °C is outside what the sum of damp air is good for: "
            f"{coldest.celsius:.0f} to {hottest.celsius:.0f} °C. Give the shop's, such as 13 °C or 55 °F."
        )
    if humidity is not None and not 0 < humidity.percent <= 100:
        raise BadAir(
            f"A relative humidity of {humidity.percent:.4g} % can't be: it is more than 0 and at most 100. "
            "Write it in per cent, such as 84."
        )


@formula("dew point = b × r ÷ (a − r), r = ln(humidity) + a × temperature ÷ (b + temperature)", source=_MAGNUS)
def dew_point(temperature: Temperature, humidity: Percent) -> Temperature:
    """The temperature at which this air lets water fall: whatever is colder gets wet.

    Valid from −40 to 50 °C and above no humidity at all; raises BadAir outside.
    """
    _checked(temperature, humidity)
    return _where(math.log(humidity.percent / 100) + _rise(temperature))


@formula("humidity there = humidity × saturation pressure of the air ÷ that at the surface, 100 % at most",
         source=_MAGNUS)  # fmt: skip
def rh_at_surface(temperature: Temperature, humidity: Percent, surface: Temperature) -> Percent:
    """How damp the air is where it touches the work. At 100 % water stands on it. Raises BadAir."""
    _checked(temperature, humidity)
    _checked(surface)
    return Percent(min(100.0, humidity.percent * math.exp(_rise(temperature) - _rise(surface))))


@formula("temperature where this air is only so damp: the dew point, worked the other way", source=_MAGNUS)
def warm_enough_for(dew: Temperature, humidity: Percent) -> Temperature:
    """How far air of this dew point must be warmed for its humidity to fall to `humidity`. Raises BadAir."""
    _checked(dew, humidity)
    return _where(_rise(dew) - math.log(humidity.percent / 100))
