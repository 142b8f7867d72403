"""Amounts are said as the tools are marked, never closer, and read well."""

import re
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.quantities import (
    UNKNOWN,
    AirChanges,
    Airflow,
    Area,
    Coats,
    Coverage,
    Currency,
    Cut,
    Density,
    Film,
    Gallon,
    Length,
    Mass,
    Money,
    Percent,
    Range,
    Span,
    Temperature,
    Vapour,
    Volume,
    between,
    say,
    to_mark,
    up_to_mark,
)
from witnessmark.quantities.units import rows_of
from witnessmark.quantities.words import KINDS


def pounds(text: str) -> Money:
    return Money(Decimal(text), Currency.GBP)


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        (Volume(0.0071), "7 ml"),
        (Volume(0.272), "270 ml"),
        (Volume(0.996), "1 l"),
        (Volume(1.27), "1.25 l"),
        (Volume(60_000), "60 m³"),
        (Mass(7.26), "7.3 g"),
        (Mass(71.9), "72 g"),
        (Mass(999.7), "1 kg"),
        (Mass(1234), "1.23 kg"),
        (Mass(34_400), "34.5 kg"),
        (Length(793.75), "794 mm"),
        (Length(1105), "1,105 mm"),
        (Length(3.17), "3.2 mm"),
        (Length(-1.2), "−1.2 mm"),
        (Length(-0.01), "0 mm"),
        (Span(0.4), "0 min"),
        (Span(59.8), "1 h"),
        (Span(130), "2 h 10 min"),
        (Span.hours(36), "36 h"),
        (Span.hours(48), "2 days"),
        (Span.days(2.5), "2.5 days"),
        (Cut.pounds(2), "2 lb cut (240 g/L)"),
        (Cut.pounds(1.5), "1.5 lb cut (180 g/L)"),
        (Coats(1), "1 coat"),
        (Coats(1.0), "1 coat"),
        (Coats(2.5), "2.5 coats"),
        (Coats(0), "0 coats"),
        (Area(3.2), "3.2 m²"),
        (Area(0.0004), "4 cm²"),
        (Film(299.6), "300 µm"),
        (Coverage(10), "10 m²/L"),
        (Density(640), "640 kg/m³"),
        (Percent(5.3), "5.3 %"),
        (Percent(55), "55 %"),
        (Temperature(21), "21 °C"),
        (Temperature(-4.6), "−5 °C"),
        (Temperature(-0.2), "0 °C"),
        (Airflow(399.3), "399 m³/h"),
        (AirChanges(6), "6 an hour"),
        (Vapour(50.2), "50 ppm"),
        (pounds("120"), "£120"),
        (pounds("1200.5"), "£1,200.50"),
        (pounds("119.996"), "£120"),
        (pounds("-85.5"), "−£85.50"),
        (Money(Decimal(90), Currency.USD), "$90"),
        (Money(Decimal(90), Currency.EUR), "€90"),
        (UNKNOWN, "don't know yet"),
        (0.4, "0.4"),
        (0.00213, "0.00213"),
        (-2.5, "−2.5"),
        (8, "8"),
        (0.0, "0"),
        (1234.5678, "1,234.568"),
        ("flat-sawn", "flat-sawn"),
    ],
)
def test_amounts_read_well(amount, words):
    assert say(amount) == words


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (Volume(0.3), Volume(0.4), "300–400 ml"),
        (Volume(0.9), Volume(1.2), "900 ml to 1.2 l"),
        (Volume(0.301), Volume(0.302), "300 ml"),
        (Mass(900), Mass(1200), "900 g to 1.2 kg"),
        (Mass(0), Mass(5), "0–5 g"),
        (Coats(1), Coats(2), "1–2 coats"),
        (Coats(4), Coats(6), "4–6 coats"),
        (Span(30), Span(45), "30–45 min"),
        (Span(45), Span(130), "45 min to 2 h 10 min"),
        (Span(130), Span(160), "2 h 10 min to 2 h 40 min"),
        (Span.hours(2), Span.hours(3), "2–3 h"),
        (Span.weeks(1), Span.weeks(8), "7–56 days"),
        (Temperature(-5), Temperature(3), "−5 to 3 °C"),
        (Temperature(18), Temperature(24), "18–24 °C"),
        (Cut(180), Cut(240), "1.5–2 lb cut (180–240 g/L)"),
        (Percent(30), Percent(40), "30–40 %"),
        (pounds("300"), pounds("400"), "£300–£400"),
        (pounds("85.5"), pounds("1200"), "£85.50–£1,200"),
        (Length(-3), Length(-1), "−3 to −1 mm"),
        (0.5, 0.7, "0.5–0.7"),
    ],
)
def test_ranges_read_well(low, high, words):
    assert say(between(low, high)) == words


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        (Length.inches(31.25), "31 1/4 in"),
        (Length.inches(0.75), "3/4 in"),
        (Length.inches(12), "12 in"),
        (Length.inches(31.27), "31 1/4 in"),
        (Length.inches(3 / 64), "3/64 in"),  # movement is small: a rule's finest division
        (Length.inches(-1 / 16), "−1/16 in"),
        (Length(0), "0 in"),
        (between(Length.inches(1.5), Length.inches(2)), "1 1/2 to 2 in"),
        (between(Length.inches(12), Length.inches(18)), "12–18 in"),
        (Mass(60), "60 g"),
    ],
)
def test_lengths_as_a_rule_in_inches_is_marked(amount, words):
    assert say(amount, inches=True) == words
    assert say(amount, inches=True, gallon=Gallon.IMPERIAL) == words


@pytest.mark.parametrize(
    ("volume", "words"),
    [
        (Volume.millilitres(5), "5 ml"),
        (Volume.fluid_ounces(9.4, Gallon.US), "9 1/2 fl oz"),
        (Volume.fluid_ounces(1, Gallon.US), "1 fl oz"),
        (Volume.quarts(0.996, Gallon.US), "1 qt"),
        (Volume.quarts(1.3, Gallon.US), "1 1/4 qt"),
        (Volume.quarts(4, Gallon.US), "1 gal"),
        (Volume.gallons(2.5, Gallon.US), "2 1/2 gal"),
        (Volume(60_000), "60 m³"),
        (between(Volume.fluid_ounces(8, Gallon.US), Volume.fluid_ounces(12, Gallon.US)), "8–12 fl oz"),
        (between(Volume.fluid_ounces(30, Gallon.US), Volume.quarts(2, Gallon.US)), "30 fl oz to 2 qt"),
    ],
)
def test_a_us_shop_in_inches_pours_by_the_ounce_and_a_uk_one_by_the_millilitre(volume, words):
    assert say(volume, inches=True, gallon=Gallon.US) == words
    assert say(volume, inches=True, gallon=Gallon.IMPERIAL) == say(volume)


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        (Temperature(18), "64 °F"),
        (Temperature(-40), "−40 °F"),  # where the two scales meet
        (Temperature(0), "32 °F"),
        (between(Temperature(15), Temperature(16)), "59–61 °F"),
        (Area.square_feet(2.5), "2.5 sq ft"),
        (Area.square_feet(31.4), "31 sq ft"),
        (Area(0.0003), "0.5 sq in"),
    ],
)
def test_a_us_shop_in_inches_reads_fahrenheit_and_square_feet(amount, words):
    # A foot is 0.3048 m and 32 °F is 0 °C, both exact: NIST Handbook 44, app. C, and SP 811.
    assert say(amount, inches=True, gallon=Gallon.US) == words
    assert say(amount, inches=True, gallon=Gallon.IMPERIAL) == say(amount)


def test_a_cut_is_said_by_the_gallon_and_its_grams_stay():
    cut = Cut.pounds(2, Gallon.IMPERIAL)
    assert say(cut, gallon=Gallon.IMPERIAL) == "2 lb cut (200 g/L)"
    assert say(cut, gallon=Gallon.US) == "1.67 lb cut (200 g/L)"


@given(st.sampled_from(list(KINDS)), st.floats(-1e5, 1e5), st.booleans(), st.sampled_from(Gallon))
def test_nothing_is_said_with_idle_figures(kind, number, inches, gallon):
    text = say(kind(number), inches, gallon)
    assert not re.search(r"\d\.\d*0(?!\d)", text), text  # no 1.0, no 2.50
    assert not re.search(r"−0(?![.\d])", text), text
    assert not re.search(r"\de[-+]?\d", text), text
    assert "-" not in text, text


@given(st.sampled_from([Volume, Mass, Length, Span, Coats, Temperature]), st.floats(0, 1e4), st.floats(0, 1e4))
def test_a_range_says_its_unit_once_or_on_both_ends(kind, one, two):
    least, most = sorted([kind(one), kind(two)])
    text = say(Range(least, least, most))
    assert text in (say(least), f"{say(least)} to {say(most)}") or text.endswith(say(most).rpartition(" ")[2])


# --- marks ---

marked = st.sampled_from([Volume, Mass, Length, Span])
STEPS = {
    kind: [(float(row["below"]), float(row["step"])) for row in rows_of("marks.csv") if row["kind"] == tool]
    for kind, tool in {Volume: "volume", Mass: "mass", Length: "length", Span: "span"}.items()
}


def step_at(kind: type, number: float) -> float:
    return next((step for below, step in STEPS[kind] if number < below), STEPS[kind][-1][1])


@given(marked, st.floats(0, 1e6))
def test_what_to_make_never_falls_short_nor_by_more_than_a_mark_over(kind, number):
    step = step_at(kind, number)
    made = up_to_mark(kind(number))
    # A thousand-millionth of a mark, and the last binary place, are noise of the sum, not liquid.
    noise = 1e-9 * step + 1e-15 * number
    assert made.magnitude >= number - noise
    assert made.magnitude - number < step + noise


@given(marked, st.floats(0, 1e6))
def test_what_a_tool_shows_is_within_half_a_mark(kind, number):
    shown = to_mark(kind(number))
    step = step_at(kind, number)
    assert abs(shown.magnitude - number) <= step / 2 + 1e-12 * (1 + number)
    assert shown.magnitude / step == pytest.approx(round(shown.magnitude / step), abs=1e-6)


def test_what_stands_on_a_mark_stays_there():
    assert up_to_mark(Volume(0.1 + 0.2)).litres == pytest.approx(0.3)
    assert up_to_mark(Volume(0.3001)).litres == pytest.approx(0.31)
    assert up_to_mark(Mass(60)).grams == 60
    assert up_to_mark(Span(0)) == Span(0)


@pytest.mark.parametrize("kind", STEPS)
def test_marks_grow_coarser_upwards_and_each_line_begins_on_a_mark(kind):
    lines = STEPS[kind]
    assert lines == sorted(lines)
    for (below, step), (_, coarser) in pairwise(lines):
        assert coarser > step
        assert below / step == pytest.approx(round(below / step))
