"""What holds of any mix, and what is said when one can't be made."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.finish import (
    BadAmount,
    BadCut,
    BadSample,
    brush_volume,
    coats_from,
    cut_from_sample,
    film_rate,
    flakes_for,
    flakes_to_make,
    resin_density,
    rubber_volume,
    short_by,
    solvent_for,
    solvent_in,
    thinned_volume,
    to_thin,
    volume_of,
    whole_coats,
)
from witnessmark.quantities import (
    Area,
    Coats,
    Coverage,
    Cut,
    Density,
    Film,
    Mass,
    Percent,
    Range,
    Volume,
)


def between(least, most):
    return st.floats(least, most, allow_nan=False)


cuts = between(5, 700).map(Cut)
volumes = between(0.005, 50).map(Volume)
masses = between(0.5, 5000).map(Mass)
densities = between(1100, 1250).map(Density)
areas = between(0.01, 60).map(Area)
coverages = between(1, 60).map(Coverage)
shares = between(0.2, 1)


@given(masses, cuts)
def test_flakes_come_back_out_of_the_jar(flakes, cut):
    assert flakes_for(solvent_for(flakes, cut), cut).grams == pytest.approx(flakes.grams)


@given(volumes, cuts, densities)
def test_what_is_made_is_what_was_asked(volume, cut, density):
    flakes, solvent = flakes_to_make(volume, cut, density), solvent_in(volume, cut, density)
    assert volume_of(solvent, flakes, density).litres == pytest.approx(volume.litres)
    assert flakes.grams / solvent.litres == pytest.approx(cut.grams_per_litre)


@given(masses, masses, volumes, volumes, densities)
def test_yields_add(one, other, here, there, density):
    apart = volume_of(here, one, density) + volume_of(there, other, density)
    assert volume_of(here + there, one + other, density).litres == pytest.approx(apart.litres)


@given(volumes, cuts, cuts, densities)
def test_thinning_keeps_the_resin(have, one, other, density):
    thick, thin = max(one, other), min(one, other)
    thinned = thinned_volume(have, to_thin(have, thick, thin, density))
    assert thinned >= have
    assert flakes_to_make(thinned, thin, density).grams == pytest.approx(flakes_to_make(have, thick, density).grams)


@given(masses, cuts, cuts, densities)
def test_mixing_then_thinning_is_mixing_thin(flakes, one, other, density):
    thick, thin = max(one, other), min(one, other)
    mixed = volume_of(solvent_for(flakes, thick), flakes, density)
    thinned = thinned_volume(mixed, to_thin(mixed, thick, thin, density))
    assert thinned.litres == pytest.approx(volume_of(solvent_for(flakes, thin), flakes, density).litres)


@given(masses, cuts, between(700, 900).map(Density))
def test_a_dried_sample_gives_back_its_cut(dry, cut, solvent_density):
    wet = Mass(dry.grams + solvent_for(dry, cut).litres * solvent_density.kilograms_per_cubic_metre)
    assert cut_from_sample(wet, dry, solvent_density).grams_per_litre == pytest.approx(cut.grams_per_litre)


@given(volumes, areas, coverages, shares)
def test_a_jar_is_never_overdrawn(have, area, coverage, transfer):
    whole = whole_coats(coats_from(have, area, coverage, transfer))
    if whole.number:
        assert brush_volume(whole, area, coverage, transfer).litres <= have.litres * (1 + 1e-12)
    more = brush_volume(whole + Coats(1), area, coverage, transfer)
    assert short_by(more, have).litres == pytest.approx(more.litres - have.litres, abs=1e-9)
    assert short_by(have, have + more) == Volume(0)


@given(areas, coverages, shares, between(1, 20).map(Coats))
def test_a_mix_for_so_many_coats_lays_them(area, coverage, transfer, coats):
    made = brush_volume(coats, area, coverage, transfer)
    assert coats_from(made, area, coverage, transfer).number == pytest.approx(coats.number)


def test_the_resin_has_a_range_about_what_charts_take():
    density = resin_density()
    assert density.value == Range(Density(1140), Density(1170), Density(1210))
    assert density.source_key


def test_nothing_to_add_where_the_cut_is_right():
    assert to_thin(Volume(1), Cut(240), Cut(240), Density(1170)) == Volume(0)


@pytest.mark.parametrize("cut", [Cut(0), Cut(-120)])
def test_a_cut_of_nothing(cut):
    with pytest.raises(BadCut, match=r"can't be mixed\. A cut is more than 0: .*240 g/L"):
        solvent_for(Mass(60), cut)


def test_a_cut_too_strong_to_dissolve():
    assert flakes_for(Volume(1), Cut.pounds(6)).grams == pytest.approx(719, abs=0.1)
    with pytest.raises(BadCut, match=r"A 20 lb cut \(2,397 g/L\) can't be mixed: above 719 g/L .*Check the unit"):
        flakes_for(Volume(1), Cut.pounds(20))


def test_thinning_upward_says_what_to_add():
    # 1 l of 1 lb cut at 1170 holds 0.907 l of solvent; a pound cut more wants 119.8 g a litre of it: 108.7 g.
    with pytest.raises(BadCut, match=r"is not thinning\. To make it stronger add flakes: 109 g to the 1 l"):
        to_thin(Volume(1), Cut.pounds(1), Cut.pounds(2), Density(1170))


@pytest.mark.parametrize(("wet", "dry"), [(2.0, 10.0), (5.0, 5.0)])
def test_a_sample_that_gained(wet, dry):
    with pytest.raises(BadSample, match=r"it should lose weight.*which is which"):
        cut_from_sample(Mass(wet), Mass(dry), Density(790))


def test_a_sample_still_in_its_dish():
    with pytest.raises(BadSample, match=r"more than a jar holds\. Take the dish off"):
        cut_from_sample(Mass(30), Mass(25), Density(790))


@pytest.mark.parametrize(
    ("work", "says"),
    [
        (lambda: flakes_for(Volume(0), Cut(240)), r"Solvent: 0 ml won't do\. Give more than nothing"),
        (lambda: solvent_for(Mass(-5), Cut(240)), r"Flakes: -5 g won't do"),
        (lambda: brush_volume(Coats(2), Area(0), Coverage(10), 0.9), r"Area: 0 m2 won't do"),
        (lambda: brush_volume(Coats(2), Area(1), Coverage(10), 1.2), r"Transfer: 1\.2 won't do\. It is a share"),
        (lambda: film_rate(Percent(120), Film(300)), r"Solids: 120 % won't do\. Volume solids"),
        (lambda: film_rate(Percent(88), Film(0)), r"Film: 0 um won't do"),
        (lambda: rubber_volume(0, Area(1), Volume(0.016)), r"Sessions: 0 won't do"),
    ],
)
def test_amounts_of_nothing_are_refused_in_words(work, says):
    with pytest.raises(BadAmount, match=says):
        work()
