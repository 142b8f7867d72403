"""Drawers through the seasons: free at their dampest, and no wider a gap than that asks for."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pieces import chest, dresser
from small_surveys import survey_with
from witnessmark.quantities import Length, Mass, Percent, Range, high, low, usual
from witnessmark.sources import given as said
from witnessmark.wood import (
    Sawn,
    clearance_of,
    dampest_month,
    drawer_clearances,
    drawers_in,
    driest_month,
    fixed_across,
    moisture_in,
    moisture_now,
    movement_of,
    species,
    weight_of_drawer,
    weight_of_part,
    weight_of_piece,
)

approx = pytest.approx
NOW = datetime(2026, 11, 25, 8, tzinfo=UTC)
PINE = [species("pine_scots")]
DRAWER = """
[[part]]
code = "DR1.F"
name = "top drawer front"
wood = "Scots pine"
size = "900 x 180 x 20 mm"
sawn = "{sawn}"
"""


@given(st.floats(5, 14), st.floats(50, 400), st.sampled_from(Sawn), st.sampled_from(["UK", "US"]))
def test_a_drawer_left_its_clearance_is_just_free_at_its_dampest(moisture, height, sawn, region):
    across, now = said("size", Length(height)), said("mc", Percent(moisture))
    found = clearance_of(PINE, sawn, across, now, region)
    assert low(found.least.value) >= Length(0)
    damp = said("damp", high(moisture_in(dampest_month(region), region).value))
    swelling = movement_of(PINE, sawn, across, now, damp).value
    assert high(found.least.value).millimetres == approx(max(high(swelling).millimetres, 0), abs=1e-9)


@given(st.floats(5, 13), st.floats(5, 13))
def test_the_drier_it_is_fitted_the_more_is_left(one, other):
    dry, damp = sorted((one, other))

    def left(moisture):
        found = clearance_of(PINE, Sawn.FLAT, said("size", Length(200)), said("mc", Percent(moisture)), "UK")
        return high(found.least.value)

    assert left(dry) >= left(damp)


def test_quartered_fronts_need_less():
    def left(sawn):
        return high(
            clearance_of(PINE, sawn, said("size", Length(200)), said("mc", Percent(8)), "UK").least.value
        )  # fmt: skip

    assert left(Sawn.QUARTER) < left(Sawn.FLAT)


@pytest.mark.parametrize("region", ["UK", "US", "DE"])
def test_the_year_runs_from_the_dry_end_to_the_damp_end_and_back(region):
    dry, damp = driest_month(region), dampest_month(region)
    assert (dry, damp) == (2, 8)
    year = [usual(moisture_in(month, region).value) for month in range(1, 13)]
    assert year[dry - 1] == min(year)
    assert year[damp - 1] == max(year)
    up, down = year[dry - 1 : damp], [*year[damp - 1 :], *year[:dry]]
    assert up == sorted(up)
    assert down == sorted(down, reverse=True)
    for month in range(1, 13):
        value = moisture_in(month, region).value
        assert value.low <= value.usual <= value.high


def test_no_month_is_no_month():
    with pytest.raises(ValueError, match="1 to 12"):
        moisture_in(13, "UK")


def test_the_chest_has_five_drawers_each_with_its_sides_back_and_bottom():
    drawers = drawers_in(chest())
    assert [one.part for one in drawers] == ["DR1.F", "DR2.F", "DR3.F", "DR4.F", "DR5.F"]
    assert {part.code for part, _ in drawers[0].others} == {"DR1.S", "DR1.K", "DR1.B"}


def test_runners_stops_and_rails_are_no_drawers():
    parts = "".join(
        f'[[part]]\ncode = "P{number}"\nname = "{name}"\n'
        for number, name in enumerate(["drawer runners", "drawer stops", "rails between the drawers", "left side"])
    )
    assert drawers_in(survey_with(parts)) == ()


def test_three_drawers_alike_are_three():
    (front,) = drawers_in(dresser())
    assert (front.part, front.count) == ("DR.F", 3)


def test_the_meter_goes_before_the_air_and_the_air_before_the_season():
    metered = '[[moisture]]\nat = 2026-11-20T08:00:00Z\npart = "{}"\nmc = "{} %"\n'
    air = '[[air]]\nat = 2026-11-21T08:00:00Z\ntemperature = "18 °C"\nrh = "50 %"\n'
    drawer = DRAWER.format(sawn="flat")
    both = survey_with(drawer, metered.format("DR1.F", 10), metered.format("DR1.F", 11).replace("20T", "22T"), air)
    assert moisture_now(both, "DR1.F", "UK", NOW)[0].value == Percent(11)
    from_air, why = moisture_now(survey_with(drawer, air), "DR1.F", "UK", NOW)
    assert 8 < from_air.value.percent < 10
    assert "air" in why
    from_season, why = moisture_now(survey_with(drawer), "DR1.F", "UK", NOW)
    assert isinstance(from_season.value, Range)
    assert "nothing was measured" in why


def test_a_reading_from_tomorrow_is_not_today():
    late = '[[moisture]]\nat = 2026-12-20T08:00:00Z\npart = "DR1.F"\nmc = "5 %"\n'
    assert isinstance(moisture_now(survey_with(DRAWER.format(sawn="flat"), late), "DR1.F", "UK", NOW)[0].value, Range)


def test_a_front_without_size_or_wood_says_so_and_blocks_nothing():
    survey = survey_with('[[part]]\ncode = "DR1.F"\nname = "drawer front"\n')
    assert drawer_clearances(survey, "UK", NOW) == {"DR1.F": "its size is not known"}


def test_the_top_that_split_is_bound_at_its_cleats():
    bound = {one.joint: one.bound for one in fixed_across(chest(), "UK")}
    assert bound["J1"] is True
    assert bound["J14"] is False  # its runner has a millimetre, and moves less


def test_weights():
    # A part weighed weighs that; another is size by density; the whole of the demo chest was put on the scale.
    assert weight_of_piece(chest()) == Mass.kilograms(58)
    top = chest().parts_by_code()["TOP"]
    litres = 1.080 * 0.510 * 0.022 * 1000
    density = species("mahogany_honduran").density.value
    weight = weight_of_part(top, chest())
    assert usual(weight).grams == approx(litres * usual(density).kilograms_per_cubic_metre)
    assert weight.low < weight.usual < weight.high
    lock = chest().parts_by_code()["LOCK"]
    assert weight_of_part(lock, chest()) is None


def test_a_drawer_weighs_more_than_its_front():
    for survey in (chest(), dresser()):
        for drawer in drawers_in(survey):
            assert low(weight_of_drawer(drawer, survey)) > low(weight_of_part(drawer.front, survey))


def test_a_chest_nobody_weighed_is_reckoned_by_its_bulk():
    weight = weight_of_piece(survey_with(piece='[piece]\nkind = "chest"\nsize = "1000 x 500 x 1000 mm"'))
    assert (weight.low, weight.high) == (Mass.kilograms(30), Mass.kilograms(75))
    assert weight_of_piece(survey_with(piece='[piece]\nkind = "chair"')) is None
