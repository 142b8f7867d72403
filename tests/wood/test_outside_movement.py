"""Movement and weight against printed examples and the Handbook's own relations."""

import csv
from pathlib import Path

import pytest

from witnessmark.quantities import Density, Length, Percent, Volume
from witnessmark.sources import table
from witnessmark.wood import mass_of, movement, movement_by_shrinkage, shrinkage_meant_by, solid_volume, species

EXAMPLES = {
    row["id"]: row
    for row in csv.DictReader((Path(__file__).parent / "data" / "examples.csv").read_text("utf-8").splitlines())
    if row["topic"] != "emc"
}
SATURATION = Percent(30)


def tangential(key):
    return species(key).coefficient_tangential.value


def inches(across, coefficient, start, end):
    return movement(Length.inches(across), coefficient, Percent(start), Percent(end)) / Length.inches(1)


def test_white_fir_of_the_handbook():
    # Wood Handbook p. 13-19: 232 mm (9.15 in) flat-grained, 8 to 11 %: 1.7 mm (0.067 in), ending 233.7 (9.217).
    assert tangential("fir_white") == 0.00245
    moved = movement(Length(232), 0.00245, Percent(8), Percent(11))
    assert moved.millimetres == pytest.approx(1.7, abs=0.05)
    assert (Length(232) + moved).millimetres == pytest.approx(233.7, abs=0.05)
    assert inches(9.15, 0.00245, 8, 11) == pytest.approx(0.067, abs=0.0005)
    assert 9.15 + inches(9.15, 0.00245, 8, 11) == pytest.approx(9.217, abs=0.0005)
    assert species("fir_white").coefficient_radial.value == 0.00112  # “For its thickness use …”


def test_mesquite_and_alder_as_printed():
    assert inches(5, 0.00129, 6, 9) == pytest.approx(0.019, abs=0.0005)
    # The chart rounds the coefficient of red alder up to 0.0026; ours, 0.00256, gives 0.1229.
    assert inches(8, 0.0026, 6, 12) == pytest.approx(0.1248, abs=0.00005)
    assert inches(8, tangential("alder_red"), 6, 12) == pytest.approx(0.1229, abs=0.00005)


@pytest.mark.parametrize(
    ("wood", "printed", "ours"),
    [("oak_red_northern", 11 / 64, 0.221), ("ash_white", 10 / 64, 0.164), ("cherry_black", 9 / 64, 0.149)],
)
def test_a_trade_list_is_lower_than_the_handbook(wood, printed, ours):
    # A hardwood trade body lists 12 in from 10 to 5 %. Ash and cherry agree to the 64th; its oak is a fifth lower
    # than the Handbook's coefficient gives. We follow the Handbook: the difference is pinned, not hidden.
    moved = -inches(12, tangential(wood), 10, 5)
    assert moved == pytest.approx(ours, abs=0.0005)
    assert moved - printed == pytest.approx(0.050 if "oak" in wood else 0.008, abs=0.001)


def test_white_oak_from_green():
    # Own sum with eq. 13-3 (form from memory): 100 mm, S 10.5 %, 25 to 10 %: −5.34 mm.
    assert species("oak_white_american").shrinkage_tangential.value == Percent(10.5)
    moved = movement_by_shrinkage(Length(100), Percent(10.5), Percent(25), Percent(10), SATURATION)
    assert moved.millimetres == pytest.approx(-5.34, abs=0.005)


def test_a_walnut_top():
    # Own sum: 1200 x 600 x 20 mm at 12 %, specific gravity 0.55: 8.87 kg.
    volume = solid_volume((Length(1200), Length(600), Length(20)))
    assert volume == Volume(14.4)
    assert mass_of(volume, Density(0.55 * 1120), Percent(12), Percent(12)).grams == pytest.approx(8870, abs=5)
    # Our table takes another source's direct figure for the wood, a hundredth lower.
    ours = species("walnut_black").density.value.usual
    assert mass_of(volume, ours, Percent(12), Percent(12)).grams == pytest.approx(8870, rel=0.011)


def test_every_example_is_worked():
    assert set(EXAMPLES) == {
        "move_fir_width_mm", "move_fir_width_in", "move_fir_thickness", "move_mesquite", "move_alder",
        "move_oak_12in", "move_ash_12in", "move_cherry_12in", "move_green_formula", "weight_walnut_top",
    }  # fmt: skip


# Table 13-5 pools several species for these, or rests on other shrinkage data (imported woods, in its words), or on a
# lower fibre saturation (redwood, western redcedar). Found by our own comparison; see wood/change_coefficients.csv.
APART = {
    "oak_white_american", "oak_red_northern", "hickory_shagbark", "hickory_shellbark", "apple",
    "redwood", "redcedar_western", "mahogany_honduran", "mahogany_african", "teak", "cedar_spanish",
}  # fmt: skip


@pytest.mark.parametrize("row", table("wood", "change_coefficients.csv", "wood_key"), ids=lambda row: row.key)
def test_a_coefficient_is_the_slope_of_the_shrinkage(row):
    # The printed C of a domestic wood is the slope of eq. 13-3 at 10 %: C = (S/3000) / (1 − S/150), within 0.00003.
    wood = species(row.key)
    gaps = [
        abs(meant.value.percent / 3000 / (1 - meant.value.percent / 150) - coefficient.value)
        for meant, coefficient in (
            (wood.shrinkage_radial, wood.coefficient_radial),
            (wood.shrinkage_tangential, wood.coefficient_tangential),
        )
        if meant is not None
    ]
    if row.key in APART:
        assert max(gaps) > 0.00003, "it agrees after all: take it off the list"
    else:
        assert all(gap <= 0.0000301 for gap in gaps), gaps


def test_turning_the_relation_round():
    assert shrinkage_meant_by(0.00376, Percent(10), SATURATION).percent == pytest.approx(10.5, abs=0.02)


def test_redwood_and_western_redcedar_saturate_lower():
    # They fit with 22 % in place of 30: C = (S/2200) / (1 − 12 S/2200).
    for key in ("redwood", "redcedar_western"):
        wood = species(key)
        s = wood.shrinkage_tangential.value.percent
        assert (s / 2200) / (1 - 12 * s / 2200) == pytest.approx(wood.coefficient_tangential.value, abs=0.00003)
