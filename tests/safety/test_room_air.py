"""The air of one room: more fan never means more vapour, and nothing that is wanting is made up."""

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from witnessmark.quantities import Airflow, Span, Vapour, Volume
from witnessmark.safety import BadRoom, NoVapourFigures, Poured, air_of_room, decay, flow_for_health, solvent_named
from witnessmark.sources import given as said
from witnessmark.sources import recomputed, table, table_of

approx = pytest.approx

KNOWN = [
    row.key for row in table("safety", "solvents.csv", "material_key") if row["density_g_ml"] and row["fire_lel_pct"]
]  # fmt: skip
LITRES = st.floats(0.01, 5)
MINUTES = st.floats(5, 600)
ROOMS = st.floats(10, 500)
FANS = st.floats(0, 5000)


def room(*poured, over=45, size=60, fan=None, after=None, mixing=None):
    return air_of_room(
        poured, said("over", Span(over)), said("room", Volume.cubic_metres(size)),
        said("mixing", mixing) if mixing else None, said("fan", Airflow(fan)) if fan is not None else None,
        said("after", Span(after)) if after is not None else None,
    )  # fmt: skip


def spirit(litres=0.5, limit=None, solvent="ethanol"):
    return Poured(solvent, Volume(litres), Vapour(limit) if limit else None)


@given(st.sampled_from(KNOWN), LITRES, MINUTES, ROOMS, FANS, FANS)
def test_more_fan_never_means_more_vapour(solvent, litres, minutes, size, one, other):
    less, more = sorted((one, other))
    weak = room(spirit(litres, solvent=solvent), over=minutes, size=size, fan=less, after=60)
    strong = room(spirit(litres, solvent=solvent), over=minutes, size=size, fan=more, after=60)
    assert strong.peak.value <= weak.peak.value * (1 + 1e-9)
    assert strong.left.value <= weak.left.value * (1 + 1e-9)
    assert strong.peak.value <= strong.shut.value * (1 + 1e-9)


@given(LITRES, MINUTES, ROOMS, st.floats(3, 10))
def test_with_the_air_asked_for_the_room_keeps_to_what_is_aimed_at(litres, minutes, size, mixing):
    found = room(spirit(litres, 500), over=minutes, size=size, mixing=mixing)
    assert found.peak.value.parts_per_million <= 500 * (1 + 1e-9)
    assert found.changes.value.per_hour == approx(found.health.value.cubic_metres_per_hour / size)


@given(LITRES, LITRES)
def test_two_solvents_need_the_air_of_both(litres, other):
    both = room(spirit(litres, 500), spirit(other, 100, "acetone"))
    alone = room(spirit(litres, 500)), room(spirit(other, 100, "acetone"))
    assert both.health.value.cubic_metres_per_hour == approx(
        sum(one.health.value.cubic_metres_per_hour for one in alone)
    )
    assert both.fire.value.cubic_metres_per_hour == approx(sum(one.fire.value.cubic_metres_per_hour for one in alone))


def test_at_the_air_for_both_the_mixture_index_is_at_most_one():
    # 29 CFR 1910.1000(d)(2): Σ C/L may not exceed 1.
    found = room(spirit(0.5, 500), spirit(0.5, 100, "acetone"), over=6000)
    assert found.index.value == approx(1, abs=1e-6)


def test_the_closed_winter_shop_with_half_a_litre_of_spirit_on_a_top():
    # 0.5 l × 790 g/l ÷ 46.07 × 24.06 = 206 l of vapour in 60 m³: 3,440 ppm, past NIOSH's 3,300 ppm (IDLH).
    found = room(spirit())
    assert found.shut.value.parts_per_million == approx(0.5 * 790 / 46.07 * 24.06 / 60000 * 1e6, rel=1e-6)
    assert {caution.key for caution in found.cautions} == {"deadly_when_shut", "fire_when_shut"}
    assert any("no window or small fan" in line for line in found.warnings)
    assert any("aimed at 50 %" in line for line in found.warnings)


def test_a_little_spirit_in_a_big_room_stops_nobody():
    assert room(spirit(0.02), size=200).cautions == ()


def test_a_limit_somebody_gives_is_taken_as_it_stands():
    assert room(spirit(0.5, 200)).aims == (Vapour(200),)
    assert room(spirit(0.5)).aims == (Vapour(500),)  # half of the lowest printed, 1000 ppm


def test_without_a_printed_limit_no_air_for_health_is_made_up():
    without = [key for key in KNOWN if not solvent_named(key)[0].limits]
    assert without
    found = room(spirit(0.5, solvent=without[0]))
    assert found.health is None
    assert found.fire is not None
    assert any("no limit was found" in line for line in found.warnings)


@pytest.mark.parametrize("key", ["sodium_hydroxide", "oxalic_acid", "linseed_oil"])
def test_what_gives_no_vapour_gets_no_sum(key):
    with pytest.raises(NoVapourFigures, match="no vapour to speak of"):
        solvent_named(key)


def test_toluene_wants_more_than_a_window():
    found = room(spirit(0.1, solvent="toluene"))
    assert any("draw it off where it arises" in line for line in found.warnings)


def test_meths_is_reckoned_as_spirit_and_says_so():
    found = room(Poured("ethanol_denatured", Volume(0.5)))
    assert found.shut.value == room(spirit()).shut.value
    assert any("reckoned by the vapour figures of ethanol" in line for line in found.warnings)


def test_a_solvent_nobody_has_figures_for_is_refused_with_a_way_on():
    with pytest.raises(NoVapourFigures, match="supplier's sheet"):
        solvent_named("dimethyl_sulfoxide")


def test_no_room_and_no_limit_are_refused():
    with pytest.raises(BadRoom, match="length × width × height"):
        decay(Vapour(100), Airflow(100), 5, Volume(0), Span(10))
    with pytest.raises(BadRoom, match="more than 0 ppm"):
        flow_for_health(Airflow(1), Vapour(0), 5)


@given(st.sampled_from(KNOWN), LITRES, FANS)
def test_every_sum_can_be_done_again(solvent, litres, fan):
    found = room(spirit(litres, solvent=solvent), fan=fan, after=60)
    workings = [one for one in (found.peak, found.left, found.shut, found.health, found.fire) if one]
    flat = table_of(workings)
    for working in workings:
        assert recomputed(flat, working.id)["value"] == approx(flat[working.id]["value"]["value"], rel=1e-9)


@given(LITRES, st.floats(1, 5000))
def test_it_clears_in_the_time_it_says(litres, fan):
    found = room(spirit(litres), fan=fan)
    assume(found.clear is not None and found.clear.value.minutes > 0)
    left = decay(
        found.peak.value, Airflow(fan), found.mixing, Volume.cubic_metres(60), found.clear.value
    ).parts_per_million  # fmt: skip
    assert left == approx(50, rel=1e-6)  # a tenth of the 500 ppm aimed at
