"""Coverage against printed examples (data/worked_examples.csv), and the rubber against the bench."""

import csv
from pathlib import Path

import pytest

from witnessmark.finish import (
    brush_volume,
    coverage_of,
    film_rate,
    rubber_charge,
    rubber_rate,
    rubber_volume,
    sessions_after_flattening,
    sessions_of,
    sessions_to_body_up,
    volume_over,
)
from witnessmark.quantities import Area, Coats, Coverage, Film, Gallon, Percent, Volume

GALLON = Volume.gallons(1, Gallon.US)
SQUARE_FOOT = Area.square_feet(1)


def feet_per_gallon(rate, transfer=1.0):
    return rate.square_metres_per_litre * GALLON.litres / SQUARE_FOOT.square_metres * transfer


def from_feet(number):
    return Coverage(number * SQUARE_FOOT.square_metres / GALLON.litres)


def area_of_a_gallon(rate, transfer):
    return Area(1 / brush_volume(Coats(1), Area(1), rate, transfer).litres * GALLON.litres) / SQUARE_FOOT


def examples():
    # id: our answer, and the last digit that print shows.
    return {
        "W13": (feet_per_gallon(film_rate(Percent(65), Film.mils(5))), 0.03),  # print takes 1604 for 1604.17
        "W14": (film_rate(Percent(65), Film(125)).square_metres_per_litre, 0.05),
        "W15": (area_of_a_gallon(film_rate(Percent(52), Film.mils(1.5)), 0.3), 0.5),
        "W16": (feet_per_gallon(film_rate(Percent(25), Film.mils(1))), 1.1),  # print rounds 1604 to 1600
        "W17": (area_of_a_gallon(film_rate(Percent(25), Film.mils(1)), 0.5), 0.6),
        "W18": (feet_per_gallon(film_rate(Percent(45), Film.mils(1))), 0.5),
        "W19": (feet_per_gallon(film_rate(Percent(45), Film.mils(2))), 0.5),
        # A wet film is one of 100 % solids: the dry one that goes as far.
        "W20": (70.4 * film_rate(Percent(88), Film.mils(70.4)) / film_rate(Percent(100), Film.mils(80)), 0.05),
        "W21": (area_of_a_gallon(from_feet(100), 0.7), 1e-6),
        "W22": (volume_over(Coats(3), Area.square_feet(400), from_feet(400)) / GALLON, 1e-6),
    }


PRINTED = {
    row["id"]: row
    for row in csv.DictReader((Path(__file__).parent / "data" / "worked_examples.csv").read_text("utf-8").splitlines())
    if row["topic"] == "coverage"
}


def test_every_coverage_example_is_worked():
    assert set(PRINTED) == set(examples())


@pytest.mark.parametrize("key", sorted(PRINTED))
def test_printed_coverage_example(key):
    ours, off = examples()[key]
    assert ours == pytest.approx(float(PRINTED[key]["printed"]), abs=off)


def test_a_gallon_of_solids_a_mil_thick_covers_1604_square_feet():
    # Industry constant: 231 in³ ÷ 0.001 in ÷ 144.
    assert feet_per_gallon(film_rate(Percent(100), Film.mils(1))) == pytest.approx(231 / 0.001 / 144)


def test_shellac_on_a_floor():
    # Better Homes Manual, Varnishing: 300 to 400 ft² a gallon for the first coat, the least of our range.
    assert coverage_of("shellac_2lb_brushed").value.low.square_metres_per_litre == pytest.approx(
        from_feet(300).square_metres_per_litre, abs=0.05
    )


def test_sessions_and_charge_as_at_the_bench():
    # Common practice: six to eight sessions to body up, four to six after flattening; 10–25 ml a square metre each.
    body, after, charge = sessions_to_body_up().value, sessions_after_flattening().value, rubber_charge().value
    assert (body.low, body.high, after.low, after.high) == (6, 8, 4, 6)
    assert (charge.low, charge.high) == (Volume.millilitres(10), Volume.millilitres(25))
    assert rubber_volume(sessions_of(7, 5), Area(2), Volume.millilitres(16)).litres == pytest.approx(0.384)
    assert rubber_rate(Volume.millilitres(16)).square_metres_per_litre == pytest.approx(62.5)
