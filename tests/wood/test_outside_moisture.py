"""Moisture of wood in steady air against the Wood Handbook's whole table and other printed values."""

import csv
import re
from pathlib import Path

import pytest

from witnessmark.quantities import Percent, Temperature
from witnessmark.sources import table
from witnessmark.wood import emc

TABLE = table("wood", "emc.csv")
EXAMPLES = {
    row["id"]: row
    for row in csv.DictReader((Path(__file__).parent / "data" / "examples.csv").read_text("utf-8").splitlines())
    if row["topic"] == "emc"
}


def at(fahrenheit, humidity):
    return emc(Temperature.fahrenheit(fahrenheit), Percent(humidity)).percent


def test_the_table_is_whole():
    # 18 temperatures from 30 to 200 °F, 19 humidities from 5 to 95 %.
    assert len(TABLE) == 18 * 19
    assert {row.number("temp_f") for row in TABLE} == set(range(30, 201, 10))


def test_every_cell_of_table_4_2():
    # Wood Handbook FPL-GTR-190 (2010), Table 4-2. Printed to 0.1, so 0.05 by rounding; 0.07 is the most found.
    off = {row.key: abs(at(row.number("temp_f"), row.number("rh_pct")) - row.number("emc_pct")) for row in TABLE}
    assert max(off.values()) <= 0.0701, max(off, key=off.get)


def test_the_celsius_constants_agree():
    # The Handbook's °C set, from memory: W, K, K1, K2 as quadratics in °C. It agrees within 0.013 points.
    def celsius(temp, humidity):
        h = humidity / 100
        w = 349 + 1.29 * temp + 0.0135 * temp**2
        k = 0.805 + 0.000736 * temp - 0.00000273 * temp**2
        k1 = 6.27 - 0.00938 * temp - 0.000303 * temp**2
        k2 = 1.91 + 0.0407 * temp - 0.000293 * temp**2
        first = k * h / (1 - k * h)
        second = (k1 * k * h + 2 * k1 * k2 * k**2 * h**2) / (1 + k1 * k * h + k1 * k2 * k**2 * h**2)
        return 1800 / w * (first + second)

    for row in TABLE:
        temp = Temperature.fahrenheit(row.number("temp_f"))
        humidity = row.number("rh_pct")
        assert emc(temp, Percent(humidity)).percent == pytest.approx(celsius(temp.celsius, humidity), abs=0.014)


def test_every_example_is_worked():
    assert len(EXAMPLES) == 12


@pytest.mark.parametrize("key", EXAMPLES)
def test_printed_moisture_content(key):
    row = EXAMPLES[key]
    found = re.match(r"(?:(\d+) F|room temperature).*?(\d+) % RH", row["given"])
    fahrenheit, humidity = float(found[1] or 70), float(found[2])
    printed = float(re.match(r"[\d.]+", row["printed"])[0])
    # Other tables differ from the Handbook's by up to half a point; rules of thumb are whole numbers.
    assert at(fahrenheit, humidity) == pytest.approx(printed, abs=0.26)
    # And the same sum done elsewhere gives the same answer to the digits it shows.
    assert at(fahrenheit, humidity) == pytest.approx(float(re.match(r"[\d.]+", row["reference_sum"])[0]), abs=0.0051)
