"""Damp air against CoolProp 8 (humid air after the ASHRAE research project 1485; MIT): an independent library.

The Magnus form is good to about a twentieth of a degree of dew point between 0 and 50 °C; a shop's hygrometer to three
points of humidity, half a degree. Below freezing the library gives the frost point, which is not asked for here.
"""

import pytest
from CoolProp.HumidAirProp import HAPropsSI

from witnessmark.quantities import Percent, Temperature
from witnessmark.wood import dew_point, rh_at_surface, warm_enough_for

KELVIN = 273.15
SEA_LEVEL = 101325  # Pa; height above the sea moves a dew point by less than the tolerance


def theirs(celsius, humidity):
    return HAPropsSI("D", "T", celsius + KELVIN, "P", SEA_LEVEL, "R", humidity / 100) - KELVIN


AIRS = [(t, h) for t in (2, 8, 13, 16, 20, 25, 30, 40) for h in (35, 50, 65, 84, 95, 100) if theirs(t, h) > 0]


@pytest.mark.parametrize(("celsius", "humidity"), AIRS)
def test_the_dew_point_of_a_reference_library(celsius, humidity):
    assert dew_point(Temperature(celsius), Percent(humidity)).celsius == pytest.approx(
        theirs(celsius, humidity), abs=0.06
    )


@pytest.mark.parametrize(("air", "humidity", "surface"), [(20, 50, 15), (13, 60, 8), (25, 40, 16), (8, 50, 20)])
def test_the_humidity_at_the_surface_of_a_reference_library(air, humidity, surface):
    water = HAPropsSI("W", "T", air + KELVIN, "P", SEA_LEVEL, "R", humidity / 100)
    damp = HAPropsSI("R", "T", surface + KELVIN, "P", SEA_LEVEL, "W", water) * 100
    found = rh_at_surface(Temperature(air), Percent(humidity), Temperature(surface))
    assert found.percent == pytest.approx(damp, abs=0.3)


@pytest.mark.parametrize(("air", "humidity", "wanted"), [(13, 84, 65), (10, 90, 55), (16, 70, 60)])
def test_how_far_to_warm_the_air_by_a_reference_library(air, humidity, wanted):
    dew = dew_point(Temperature(air), Percent(humidity))
    warmed = warm_enough_for(dew, Percent(wanted)).celsius
    water = HAPropsSI("W", "T", air + KELVIN, "P", SEA_LEVEL, "R", humidity / 100)
    assert HAPropsSI("R", "T", warmed + KELVIN, "P", SEA_LEVEL, "W", water) * 100 == pytest.approx(wanted, abs=0.3)
