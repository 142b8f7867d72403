"""The day's air: go, heat first, not today."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.quantities import Percent, Temperature
from witnessmark.schedule import AirWanted, Verdict, air_of_the_day, air_wanted
from witnessmark.wood import dew_point


def verdict(air, humidity, surface, wanted=None):
    return air_of_the_day(Temperature(air), Percent(humidity), Temperature(surface), wanted)


def test_warm_dry_work_goes():
    found = verdict(20, 50, 19)
    assert (found.verdict, found.because, found.says) == (Verdict.GO, (), "Go.")


def test_a_cold_piece_from_the_van_is_warmed_first():
    found = verdict(13, 84, 6)
    assert found.verdict is Verdict.HEAT
    assert "colder than the dew point" in found.because[0]
    assert found.surface_to.celsius == pytest.approx(10.36 + 3, abs=0.02)
    assert found.room_to is None
    assert "the work itself to 14 °C" in found.says


def test_three_degrees_above_the_dew_point_and_not_a_hair_less():
    # ISO 8502-4, from memory: a surface at least 3 °C above the dew point.
    dew = dew_point(Temperature(20), Percent(60)).celsius
    assert verdict(20, 60, dew + 3.001).verdict is Verdict.GO
    assert verdict(20, 60, dew + 2.99).verdict is Verdict.HEAT


def test_a_muggy_day_is_not_for_it():
    found = verdict(30, 95, 29)
    assert found.verdict is Verdict.NOT_TODAY
    assert "end of heating" in found.says


def test_a_coating_asks_more_than_the_dew_point_does():
    polish = air_wanted(["shellac_french_polish"])
    # finish/coatings.csv: French polish, 16 to 25 °C and at most 65 %.
    assert (polish.least.celsius, polish.most.celsius, polish.dampest.percent) == (16, 25, 65)
    assert verdict(13, 60, 13).verdict is Verdict.GO
    cold = verdict(13, 60, 13, polish)
    assert (cold.verdict, cold.room_to.celsius) == (Verdict.HEAT, 16)
    damp = verdict(18, 80, 18, polish)
    assert damp.verdict is Verdict.HEAT
    assert damp.room_to.celsius == pytest.approx(21.3, abs=0.2)
    assert "the room to 22 °C" in damp.says
    assert verdict(28, 50, 27, polish).verdict is Verdict.NOT_TODAY


def test_air_no_heating_dries_enough_waits_for_another_day():
    assert verdict(22, 95, 22, AirWanted(None, Temperature(25), Percent(65))).verdict is Verdict.NOT_TODAY


def test_of_several_coatings_the_strictest_counts():
    both = air_wanted(["shellac_french_polish", "polyurethane_oil"])
    assert both.least.celsius == 16
    assert both.most.celsius == 25
    assert both.dampest.percent == 65
    assert both.says == "16 to 25 °C, at most 65 % humidity, the work itself 3 °C above the dew point"


def test_what_is_no_coating_asks_nothing():
    assert air_wanted(["water", "no such thing"]) is None


@settings(max_examples=80)
@given(st.floats(1, 35), st.floats(20, 100), st.floats(1, 35))
def test_heating_as_told_mends_it(air, humidity, surface):
    """What “heat first” tells to do is enough: do it, and the verdict is go."""
    polish = air_wanted(["shellac_french_polish"])
    found = verdict(air, humidity, surface, polish)
    if found.verdict is not Verdict.HEAT:
        return
    warmer = Temperature(max(air, found.room_to.celsius if found.room_to else air) + 1e-6)
    work = Temperature(max(surface, found.surface_to.celsius if found.surface_to else surface) + 1e-6)
    dew = found.dew_point.value
    # The same water in warmer air.
    from witnessmark.wood import rh_at_surface

    drier = rh_at_surface(Temperature(air), Percent(humidity), warmer)
    again = air_of_the_day(warmer, drier, work, polish)
    assert again.verdict is Verdict.GO, again.because
    assert again.dew_point.value.celsius == pytest.approx(dew.celsius, abs=1e-3)
