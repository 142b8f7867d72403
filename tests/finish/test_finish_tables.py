"""The finish tables as the code reads them: whole, joined to materials, every figure with its source."""

import dataclasses

import pytest

from witnessmark.finish import (
    PADDED,
    NoCoverage,
    UnknownAdhesive,
    UnknownCoating,
    UnknownStripper,
    adhesive,
    adhesives,
    brushed_shellac,
    coating,
    coatings,
    coatings_for,
    coverage_of,
    dissolving_temperature,
    dissolving_time,
    keeps_for,
    spot_tests,
    stirring_interval,
    stripper,
    strippers,
    usual_cut,
)
from witnessmark.materials import material
from witnessmark.quantities import Coverage, Cut, Range, Span, Temperature
from witnessmark.sources import Figure, bibliography, rule, table


def figures_of(item):
    return [
        value
        for value in (getattr(item, field.name) for field in dataclasses.fields(item))
        if isinstance(value, Figure)
    ]


@pytest.mark.parametrize("item", [*coatings(), *strippers(), *adhesives()], ids=lambda item: item.key)
def test_every_row_reads_and_every_source_is_known(item):
    assert item.name == material(item.key).name
    for figure in figures_of(item):
        assert all(key in bibliography() for key in figure.source_key.split(";") if key), figure


def test_how_many_there_are():
    assert (len(coatings()), len(strippers()), len(spot_tests())) == (32, 9, 12)
    assert len(adhesives()) == len({row["material_key"] for row in table("finish", "adhesives.csv")})


def test_a_brushed_shellac():
    shellac = coating("shellac_2lb_brushed")
    assert shellac.coverage.value == Range(Coverage(7.4), Coverage(9.8), Coverage(12.3))
    assert (shellac.touch_dry.value, shellac.recoat_min.value) == (Span.hours(0.1), Span.hours(1))
    assert shellac.recoat_max is None  # each coat melts into the last
    assert shellac.cure.value == Range(Span.days(7), Span.days(18.5), Span.days(30))
    assert (shellac.temperature_min.value, shellac.humidity_max.value.percent) == (Temperature(16), 65)
    assert (shellac.thinners, shellac.reversed_by) == (("ethanol",), ("ethanol",))


def test_touch_dry_comes_before_the_next_coat_and_that_before_cure():
    for each in coatings():
        if each.recoat_max and each.recoat_min:
            assert each.recoat_min.value <= each.recoat_max.value, each.key
        if each.cure and each.touch_dry:
            cured = each.cure.value.high if isinstance(each.cure.value, Range) else each.cure.value
            assert each.touch_dry.value <= cured, each.key


def test_padded_work_has_no_coverage():
    assert coating(PADDED).coverage is None
    with pytest.raises(NoCoverage, match=r"French polish\. Give its solids by volume"):
        coverage_of(PADDED)


def test_shellac_goes_by_the_nearest_usual_cut():
    assert usual_cut("shellac_2lb_brushed").value == Cut.pounds(2)
    assert brushed_shellac(Cut.pounds(1)).key == "shellac_wash_coat"
    assert brushed_shellac(Cut(240)).key == "shellac_2lb_brushed"
    assert brushed_shellac(Cut.pounds(3)).key == "shellac_2lb_brushed"


def test_a_family_is_laid_in_each_of_its_ways():
    keys = [each.key for each in coatings_for("shellac")]
    assert keys == ["shellac_2lb_brushed", "shellac_french_polish", "shellac_wash_coat"]
    assert [each.key for each in coatings_for("shellac_dewaxed")] == keys  # no row of its own
    assert [each.key for each in coatings_for("danish_oil")] == ["danish_oil"]


def test_what_is_not_there_is_said():
    with pytest.raises(UnknownCoating, match=r"“tar” has no row in coatings\.csv.*danish_oil"):
        coating("tar")
    with pytest.raises(UnknownCoating, match="not a coating"):
        coatings_for("hide_glue")
    with pytest.raises(UnknownStripper, match=r"“tar” is no stripper.*stripper_caustic"):
        stripper("tar")
    with pytest.raises(UnknownAdhesive, match=r"“tar” is no glue.*hide_glue_hot"):
        adhesive("tar")
    with pytest.raises(UnknownCoating, match="no usual cut"):
        usual_cut("danish_oil")


def test_a_stripper_and_its_rest():
    dcm = stripper("stripper_dcm")
    assert dcm.rest.value == Span.hours(24)
    assert dcm.dwell.value == Range(Span(15), Span(17.5), Span(20))
    assert stripper("stripper_solvent").coverage.value.low == Coverage(1.84)


def test_hot_hide_glue_takes_the_first_figure_of_its_rows():
    glue = adhesive("hide_glue_hot")
    assert glue.open_time.value == Range(Span(1), Span(5.5), Span(10))
    assert glue.full_strength.value == Span.hours(24)
    assert glue.reversed_by == ("water", "ethanol")


def test_spot_tests_run_from_the_least_harm():
    harms = [test.harm for test in spot_tests()]
    assert harms == sorted(harms)
    assert [test.key for test in spot_tests()][:3] == ["look_history", "uv_lamp", "water_drop"]
    assert spot_tests()[0].dwell is None
    assert spot_tests()[-1].harm == 5
    assert all(material(agent) for test in spot_tests() for agent in test.agents)


def test_a_mix_in_its_jar():
    assert dissolving_time().value == Span.hours(24)
    assert stirring_interval().value == Span(30)
    assert dissolving_temperature().value == Temperature(15.6)
    assert keeps_for().value.minutes == pytest.approx(Span.days(91.3).minutes, rel=0.001)


def test_a_memory_is_called_one():
    # No source was found for what a brush leaves on the wood: it must never pass for a published figure.
    assert rule("finish", "brush_transfer").standing.value == "from_memory"
