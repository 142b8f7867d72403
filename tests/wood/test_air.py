"""Damp air: what must hold whatever the figures, and what is refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.quantities import Percent, Temperature
from witnessmark.wood import BadAir, dew_point, rh_at_surface, warm_enough_for

shop_air = st.floats(0, 45).map(Temperature)
humidities = st.floats(1, 100).map(Percent)


@settings(max_examples=60)
@given(shop_air, humidities)
def test_the_dew_point_is_never_above_the_air(air, humidity):
    assert dew_point(air, humidity).celsius <= air.celsius + 1e-9


@settings(max_examples=60)
@given(shop_air, st.floats(20, 100).map(Percent))
def test_at_the_dew_point_the_air_is_full(air, humidity):
    assert rh_at_surface(air, humidity, dew_point(air, humidity)).percent == pytest.approx(100)
    assert rh_at_surface(air, humidity, air).percent == pytest.approx(humidity.percent)


@settings(max_examples=60)
@given(shop_air, st.floats(20, 100).map(Percent))
def test_air_warmed_to_its_own_humidity_stays_where_it_is(air, humidity):
    assert warm_enough_for(dew_point(air, humidity), humidity).celsius == pytest.approx(air.celsius, abs=1e-6)


def test_air_that_is_full_drops_its_water_where_it_is():
    assert dew_point(Temperature(15), Percent(100)).celsius == pytest.approx(15)


@pytest.mark.parametrize("humidity", [0, -5, 101, 840])
def test_a_humidity_that_cannot_be_is_refused(humidity):
    with pytest.raises(BadAir, match="more than 0 and at most 100"):
        dew_point(Temperature(15), Percent(humidity))


@pytest.mark.parametrize(("air", "surface"), [(70, 20), (20, -60)])
def test_temperatures_outside_the_sum_are_refused(air, surface):
    with pytest.raises(BadAir, match="-40 to 50 °C"):
        rh_at_surface(Temperature(air), Percent(50), Temperature(surface))
