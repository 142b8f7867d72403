"""Outside check: exact sizes of units as handbooks and laws print them.

NIST Handbook 44, appendix C (US units; exact by definition from the inch, the pound and the gallon of 231 in³); UK
Weights and Measures Act 1985, schedule 1 (imperial capacity). The digits are written here from memory; that they
are right is checked a second way, against pint's definitions, in test_outside_pint.py. All exact: the default
tolerance of a millionth would do, floating point allows a billionth.
"""

import pytest

from witnessmark.quantities import (
    Area,
    Coverage,
    Cut,
    Density,
    Film,
    Gallon,
    Length,
    Mass,
    Span,
    Temperature,
    Volume,
    read,
)

EXACT = 1e-9


@pytest.mark.parametrize(
    ("written", "kind", "number"),
    [
        # NIST Handbook 44, appendix C: length, international measure; mm, µm
        ("1 in", Length, 25.4),
        ("1 ft", Length, 304.8),
        ("1 yd", Length, 914.4),
        ("1 mil", Film, 25.4),
        ("1/64 in", Length, 0.396875),
        # ... area; m²
        ("1 sq in", Area, 0.00064516),
        ("1 sq ft", Area, 0.09290304),
        # ... avoirdupois mass; g
        ("1 lb", Mass, 453.59237),
        ("1 oz", Mass, 28.349523125),
        # ... volume, and liquid volume; l
        ("1 cu ft", Volume, 28.316846592),
        ("1 gal", Volume, 3.785411784),
        ("1 qt", Volume, 0.946352946),
        ("1 pt", Volume, 0.473176473),
        ("1 cup", Volume, 0.2365882365),
        ("1 fl oz", Volume, 0.0295735295625),
        # ... and what follows from them: pounds to the US gallon in g/l, sq ft a gallon in m²/l, lb/ft³ in kg/m³
        ("1 lb", Cut, 119.826427316897),
        ("1 sq ft/gal", Coverage, 0.0245423867471),
        ("1 lb/ft3", Density, 16.0184633739601),
    ],
)
def test_us_units(written, kind, number):
    assert read(written, kind, Gallon.US).magnitude == pytest.approx(number, rel=EXACT)


@pytest.mark.parametrize(
    ("written", "millilitres"),
    # UK Weights and Measures Act 1985, schedule 1, part IV
    [("1 gal", 4546.09), ("1 qt", 1136.5225), ("1 pt", 568.26125), ("1 fl oz", 28.4130625)],
)
def test_imperial_capacity(written, millilitres):
    volume = read(written, Volume, Gallon.IMPERIAL)
    assert volume / Volume.millilitres(1) == pytest.approx(millilitres, rel=EXACT)


def test_an_imperial_gallon_is_a_fifth_more_than_a_us_one():
    # NIST Handbook 44, appendix C, section 3: 1 British imperial gallon = 1.200 95 US gallons (from memory).
    ratio = Volume.gallons(1, Gallon.IMPERIAL) / Volume.gallons(1, Gallon.US)
    assert ratio == pytest.approx(1.20095, abs=0.000005)  # as closely as it is printed


def test_a_two_pound_cut_is_240_or_200():
    # Common practice at the bench: “2 lb” is 240 g/L on the US gallon and 200 on the imperial, to the whole ten.
    assert Cut.pounds(2, Gallon.US).grams_per_litre == pytest.approx(240, abs=0.5)
    assert Cut.pounds(2, Gallon.IMPERIAL).grams_per_litre == pytest.approx(200, abs=0.5)


@pytest.mark.parametrize(
    # NIST SP 811, appendix B: t/°C = (t/°F − 32)/1.8; the freezing and boiling points of water and where they meet.
    ("fahrenheit", "celsius"),
    [(32, 0), (212, 100), (-40, -40), (98.6, 37), (68, 20)],
)
def test_fahrenheit(fahrenheit, celsius):
    assert read(f"{fahrenheit} °F", Temperature).celsius == pytest.approx(celsius, abs=EXACT)


def test_minutes_hours_and_days():
    # The SI Brochure (BIPM), table 8, units accepted with the SI: 1 min = 60 s, 1 h = 3600 s, 1 d = 86 400 s.
    for written, seconds in (("1 min", 60), ("1 h", 3600), ("1 day", 86_400)):
        assert read(written, Span) / Span.seconds(1) == pytest.approx(seconds, rel=EXACT)
