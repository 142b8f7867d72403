"""What people write is understood, and what can't be is refused with what to mend."""

from decimal import Decimal

import pytest

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
    NotUnderstood,
    Percent,
    Span,
    Temperature,
    Vapour,
    Volume,
    WhichGallon,
    between,
    is_unknown,
    read,
    read_any,
    read_exactly,
    read_money,
    read_number,
    read_size,
    uses_gallon,
)
from witnessmark.quantities.words import KINDS

THIN, NARROW, FIXED = "\u2009", "\u202f", "\u00a0"  # the spaces that printed thousands are set with
US, IMPERIAL = Gallon.US, Gallon.IMPERIAL


def pounds(text: str) -> Money:
    return Money(Decimal(text), Currency.GBP)


@pytest.mark.parametrize(
    ("text", "length"),
    [
        ("900 mm", Length(900)),
        ("900mm", Length(900)),
        ("900 MM", Length(900)),
        ("90 cm", Length(900)),
        (".9 m", Length(900)),
        ("1 105 mm", Length(1105)),
        (f"1{THIN}105 mm", Length(1105)),
        (f"1{NARROW}105 mm", Length(1105)),
        (f"1{FIXED}105{FIXED}mm", Length(1105)),
        ("1,105.5 mm", Length(1105.5)),
        ("31 1/4 in", Length.inches(31.25)),
        ("31-1/4 in", Length.inches(31.25)),
        ("31¼ in", Length.inches(31.25)),
        ('31¼"', Length.inches(31.25)),
        ("31 1⁄4″", Length.inches(31.25)),
        ("7/8 inch", Length.inches(0.875)),
        ("⅞ in.", Length.inches(0.875)),
        ("3' 6\"", Length.inches(42)),
        ("3’ 6”", Length.inches(42)),
        ("3′ 6″", Length.inches(42)),
        ("3' 6''", Length.inches(42)),
        ("3'6", Length.inches(42)),
        ("3'-6\"", Length.inches(42)),
        ("3'-6 1/2\"", Length.inches(42.5)),
        ("3 ft. 6 in.", Length.inches(42)),
        ("3 feet and 6 inches", Length.inches(42)),
        ("2 yards", Length.feet(6)),
        ("1 m 20 cm", Length(1200)),
        ("about 900 mm", Length(900)),
        ("ca. 900 mm", Length(900)),
        ("c. 900 mm", Length(900)),
        ("approx. 900 mm", Length(900)),
        ("~900 mm", Length(900)),
    ],
)
def test_lengths(text, length):
    assert read(text, Length).millimetres == pytest.approx(length.millimetres)


@pytest.mark.parametrize(
    ("text", "kind", "amount"),
    [
        ("60 g", Mass, Mass(60)),
        ("2 lb 3 oz", Mass, Mass.ounces(35)),
        ("2 lbs, 3 oz.", Mass, Mass.ounces(35)),
        ("1.2 Kilos", Mass, Mass(1200)),
        ("500 mL", Volume, Volume(0.5)),
        ("50 cc", Volume, Volume(0.05)),
        ("60 m³", Volume, Volume(60_000)),
        ("240 g/L", Cut, Cut(240)),
        ("240 g / l", Cut, Cut(240)),
        ("240 grams per litre", Cut, Cut(240)),
        ("2 lb", Cut, Cut.pounds(2)),
        ("2 lb cut", Cut, Cut.pounds(2)),
        ("2-lb cut", Cut, Cut.pounds(2)),
        ("2 1/2 lb cut", Cut, Cut.pounds(2.5)),
        ("3.2 m2", Area, Area(3.2)),
        ("3.2 m²", Area, Area(3.2)),
        ("3.2 m^2", Area, Area(3.2)),
        ("12 sq. ft.", Area, Area.square_feet(12)),
        ("4 cm²", Area, Area(0.0004)),
        ("300 um", Film, Film(300)),
        ("300 µm", Film, Film(300)),
        ("300 μm", Film, Film(300)),
        ("5 thou", Film, Film.mils(5)),
        ("640 kg/m³", Density, Density(640)),
        ("0.64 g/cm3", Density, Density(640)),
        ("10 m²/L", Coverage, Coverage(10)),
        ("10 square metres per litre", Coverage, Coverage(10)),
        ("2 h 10 min", Span, Span(130)),
        ("2h10", Span, Span(130)),
        ("2h10m", Span, Span(130)),
        ("1 1/2 hours", Span, Span(90)),
        ("1 week 2 days", Span, Span.days(9)),
        ("45 s", Span, Span(0.75)),
        ("55 %", Percent, Percent(55)),
        ("55", Percent, Percent(55)),
        ("55 per cent", Percent, Percent(55)),
        ("55% RH", Percent, Percent(55)),
        ("-3 %", Percent, Percent(-3)),
        ("6", Coats, Coats(6)),
        ("1 coat", Coats, Coats(1)),
        ("8 sessions", Coats, Coats(8)),
        ("21 °C", Temperature, Temperature(21)),
        ("30 C", Temperature, Temperature(30)),
        ("30c", Temperature, Temperature(30)),
        ("21 ℃", Temperature, Temperature(21)),
        ("21 º C", Temperature, Temperature(21)),
        ("-5 °C", Temperature, Temperature(-5)),
        ("−5 °C", Temperature, Temperature(-5)),
        ("minus 5 °C", Temperature, Temperature(-5)),
        ("+5 °C", Temperature, Temperature(5)),
        ("50 °F", Temperature, Temperature(10)),
        ("14 f", Temperature, Temperature(-10)),
        ("400 m3/h", Airflow, Airflow(400)),
        ("6", AirChanges, AirChanges(6)),
        ("6 air changes per hour", AirChanges, AirChanges(6)),
        ("50 ppm", Vapour, Vapour(50)),
        ("£120", Money, pounds("120")),
        ("£1,200.50", Money, pounds("1200.50")),
        ("£1 200.5", Money, pounds("1200.50")),
        ("120 gbp", Money, pounds("120")),
        ("GBP 120", Money, pounds("120")),
        ("-£5", Money, pounds("-5")),
        ("$90", Money, Money(Decimal(90), Currency.USD)),
        ("90 €", Money, Money(Decimal(90), Currency.EUR)),
    ],
)
def test_amounts(text, kind, amount):
    assert read(text, kind) == amount


@pytest.mark.parametrize(
    ("text", "kind", "low", "high"),
    [
        ("4–6 coats", Coats, Coats(4), Coats(6)),
        ("4-6 coats", Coats, Coats(4), Coats(6)),
        ("4 - 6", Coats, Coats(4), Coats(6)),
        ("4to6 coats", Coats, Coats(4), Coats(6)),
        ("4 coats to 6 coats", Coats, Coats(4), Coats(6)),
        ("between 4 and 6 coats", Coats, Coats(4), Coats(6)),
        ("from 4 to 6 coats", Coats, Coats(4), Coats(6)),
        ("about 4–6 coats", Coats, Coats(4), Coats(6)),
        ("4 coats – 6", Coats, Coats(4), Coats(6)),
        ("1.5-2 l", Volume, Volume(1.5), Volume(2)),
        ("900 ml to 1.2 l", Volume, Volume(0.9), Volume(1.2)),
        ("-5 to 3 °C", Temperature, Temperature(-5), Temperature(3)),
        ("-5--2 °C", Temperature, Temperature(-5), Temperature(-2)),
        ("−5–−2 °C", Temperature, Temperature(-5), Temperature(-2)),
        ("-5 °C – 3 °C", Temperature, Temperature(-5), Temperature(3)),
        ("50–59 °F", Temperature, Temperature(10), Temperature(15)),
        ("30–40 %", Percent, Percent(30), Percent(40)),
        ("1 1/2–2 in", Length, Length.inches(1.5), Length.inches(2)),
        ("1-2 1/2 in", Length, Length.inches(1), Length.inches(2.5)),
        ("½-¾ in", Length, Length.inches(0.5), Length.inches(0.75)),
        ("3'-4'", Length, Length.feet(3), Length.feet(4)),
        ("3' 6\" to 4'", Length, Length.feet(3.5), Length.feet(4)),
        ("2 lb–2 lb 8 oz", Mass, Mass.pounds(2), Mass.pounds(2.5)),
        ("1 000–1 200 g", Mass, Mass(1000), Mass(1200)),
        ("1–1 1/2 lb cut", Cut, Cut.pounds(1), Cut.pounds(1.5)),
        ("2h10–2h40", Span, Span(130), Span(160)),
        ("1 to 8 weeks", Span, Span.weeks(1), Span.weeks(8)),
        ("£300–400", Money, pounds("300"), pounds("400")),
        ("£300 to £400", Money, pounds("300"), pounds("400")),
        ("300-400 GBP", Money, pounds("300"), pounds("400")),
    ],
)
def test_ranges(text, kind, low, high):
    assert read(text, kind) == between(low, high)


def test_a_range_of_one_amount_is_that_amount():
    assert read("4–4 coats", Coats) == Coats(4)


@pytest.mark.parametrize("text", ["don't know", "Don’t know yet", "dont know", "unknown", "not known", "?"])
def test_not_knowing_is_an_answer_to_every_question(text):
    assert is_unknown(text)
    assert all(read(text, kind) is UNKNOWN for kind in [*KINDS, Money])


# --- gallons ---


@pytest.mark.parametrize(
    ("text", "us", "imperial"),
    [
        ("1 pt 4 fl oz", Volume.fluid_ounces(20, US), Volume.fluid_ounces(24, IMPERIAL)),
        ("1 Qt.", Volume.quarts(1, US), Volume.quarts(1, IMPERIAL)),
        ("1/2 gallon", Volume.gallons(0.5, US), Volume.gallons(0.5, IMPERIAL)),
        ("2 lb cut", Cut.pounds(2, US), Cut.pounds(2, IMPERIAL)),
        ("2 lb/gal", Cut.pounds(2, US), Cut.pounds(2, IMPERIAL)),
    ],
)
def test_a_measure_of_the_gallon_goes_by_the_gallon_said(text, us, imperial):
    kind = type(us)
    assert read(text, kind, US).magnitude == pytest.approx(us.magnitude)
    assert read(text, kind, IMPERIAL).magnitude == pytest.approx(imperial.magnitude)
    assert uses_gallon(text, kind)
    with pytest.raises(WhichGallon, match="which gallon is meant, US or imperial"):
        read(text, kind, gallon=None)


def test_coverage_by_the_gallon_goes_by_the_gallon_said():
    us, imperial = (read("400 sq ft/gal", Coverage, gallon) for gallon in Gallon)
    assert us / imperial == pytest.approx(Volume.gallons(1, IMPERIAL) / Volume.gallons(1, US))


@pytest.mark.parametrize(
    ("text", "kind"),
    [("240 g/L", Cut), ("500 ml", Volume), ("2 lb", Mass), ("don't know", Volume), ("£3", Money), ("", Cut)],
)
def test_what_no_gallon_changes_needs_none(text, kind):
    assert not uses_gallon(text, kind)


def test_metric_is_read_without_a_gallon():
    assert read("500 ml", Volume, gallon=None) == Volume(0.5)
    assert read("2–3 lb", Mass, gallon=None) == between(Mass.pounds(2), Mass.pounds(3))
    with pytest.raises(WhichGallon):
        read("2–3 lb", Cut, gallon=None)


def test_eighteen_fluid_ounces_are_more_than_a_us_pint():
    # 16 fl oz make a US pint, so nobody means “1 pt 18 fl oz” there; an imperial pint has 20.
    assert read("1 pt 18 fl oz", Volume, IMPERIAL).litres == pytest.approx(Volume.fluid_ounces(38, IMPERIAL).litres)
    with pytest.raises(NotUnderstood, match="less of it than makes one of the larger"):
        read("1 pt 18 fl oz", Volume, US)


# --- what can't be read ---


@pytest.mark.parametrize(
    ("text", "kind", "says", "nearest"),
    [
        ("", Mass, "Nothing is written here: write a mass, such as “60 g”", None),
        ("   ", Money, "Nothing is written here: write a sum", None),
        ("900", Length, "with its unit", None),
        ("2 lb 3", Mass, "with its unit", None),
        ("2", Cut, "with its unit", None),
        ("1–2 ft 6 in", Length, "with its unit", None),
        ("5,5 mm", Length, "“5,5 mm” is not understood: write a length", "5.5 mm"),
        ("0,500 l", Volume, "write a volume", "0.500 l"),
        ("1.105,50 mm", Length, "write a length", None),
        ("-3 mm", Length, "not below 0", "3 mm"),
        ("-3 to -1 mm", Length, "not below 0", None),
        ("5 kg", Length, "not in “kg”", None),
        ("240 g/L", Mass, "not in “g/l”", None),
        ("3 Hourss", Span, "not in “hourss”", "3 hours"),
        ("1 qrt", Volume, "not in “qrt”", "1 qt"),
        ("2 months", Span, "not in “months”", None),  # not minutes
        ("2 lb cut (240 g/L)", Cut, "write a cut", "2 lb cut"),
        ("three inches", Length, "write a length", None),
        ("nan g", Mass, "write a mass", None),
        ("inf mm", Length, "write a length", None),
        ("1e400 g", Mass, "not in “e400”", None),
        ("9" * 400 + " g", Mass, "fewer figures: that is too large", None),
        ("9" * 30 + "/7 in", Length, "fewer figures: that is too large", None),
        ("9" * 30 + " GBP", Money, "fewer figures: that is too large", None),
        ("1/0 in", Length, "nothing over 0", None),
        ("10² mm", Length, "write a length", None),
        ("3 oz 2 lb", Mass, "the smaller unit behind", None),
        ("2 lb 20 oz", Mass, "less of it than makes one of the larger", None),
        ("2h75", Span, "less of it than makes one of the larger", None),
        ("2 lb 240 g/L", Cut, "write a cut", None),
        ("20 °C 5 °F", Temperature, "write a temperature", None),
        ("6–4 coats", Coats, "the lower end of a range first", None),
        ("4–6–8 coats", Coats, "write a number of coats", None),
        ("4–", Coats, "write a number of coats", None),
        ("20°", Temperature, "write a temperature", None),
        ("£5 USD", Money, "in one currency", None),
        ("120", Money, "with its currency", None),
        ("£0,50", Money, "write a sum", "£0.50"),
        ("£1.234", Money, "write a sum", None),
        ("£400–300", Money, "the lower end of a range first", None),
    ],
)
def test_what_is_not_understood_says_what_to_mend(text, kind, says, nearest):
    with pytest.raises(NotUnderstood) as refused:
        read(text, kind)
    assert says in str(refused.value)
    assert refused.value.found == text
    assert refused.value.nearest == nearest
    if nearest:
        assert f"Did you mean “{nearest}”?" in str(refused.value)
        read(nearest, kind)


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in (Temperature, Percent)])
def test_less_than_nothing_is_refused(kind):
    word = next(iter(KINDS[kind].words))
    with pytest.raises(NotUnderstood, match="not below 0"):
        read(f"-1 {word}", kind)
    assert read(f"0 {word}", kind).magnitude == 0  # whether nothing will do is for the asker to say


def test_a_page_of_text_is_not_said_back_whole():
    with pytest.raises(NotUnderstood) as refused:
        read("the carcase is of oak and " * 200, Length)
    assert len(str(refused.value)) < 250
    assert refused.value.found.startswith("the carcase is of oak")


def test_one_amount_where_one_is_wanted():
    assert read_exactly("4 coats", Coats) == Coats(4)
    for text in ("4–6 coats", "don't know"):
        with pytest.raises(NotUnderstood, match="one amount, not a range: a number of coats"):
            read_exactly(text, Coats)
    with pytest.raises(NotUnderstood, match="one amount, not a range: a sum"):
        read_exactly("£3–4", Money)


def test_the_first_kind_that_understands():
    assert read_any("60 g", (Mass, Volume)) == Mass(60)
    assert read_any("60 ml", (Mass, Volume)) == Volume(0.06)
    with pytest.raises(NotUnderstood, match="write a volume"):
        read_any("60 mm", (Mass, Volume))
    with pytest.raises(WhichGallon):
        read_any("1 pt", (Volume, Mass), gallon=None)


@pytest.mark.parametrize(("text", "number"), [("3", 3), ("1 105", 1105), ("-2.5", -2.5), ("31 1/4", 31.25), ("½", 0.5)])
def test_bare_numbers(text, number):
    assert read_number(text) == number


@pytest.mark.parametrize(
    ("text", "nearest"),
    [("2,5", "2.5"), ("2 mm", None), ("", None), ("1/0", None), ("nan", None), ("3–4", None)],
)
def test_what_is_no_bare_number(text, nearest):
    with pytest.raises(NotUnderstood, match=r"write a number, such as 2\.5") as refused:
        read_number(text)
    assert refused.value.nearest == nearest


# --- sizes ---


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("900 x 450 x 20 mm", (900, 450, 20)),
        ("900x450x20mm", (900, 450, 20)),
        ("900 × 450 × 20 mm", (900, 450, 20)),
        ("900 mm by 450 mm", (900, 450)),
        ("900 mm x 450", (900, 450)),
        ("1 200 x 450 mm", (1200, 450)),
        ("1 m x 45 x 20 mm", (1000, 45, 20)),
        ('36" x 18" x ⅞"', (914.4, 457.2, 22.225)),
        ("35 1/2 x 18 in", (901.7, 457.2)),
        ("3' 6\" x 18 in", (1066.8, 457.2)),
        ("18 in", (457.2,)),
    ],
)
def test_sizes(text, millimetres):
    assert [length.millimetres for length in read_size(text)] == pytest.approx(millimetres)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("900 x 450", "with its unit"),
        ("2 x 3' 6\"", "with its unit"),  # feet, or inches?
        ("900 x", "such as “900 x 450 x 20 mm”"),
        ("", "Nothing is written here"),
        ("-3 x 2 mm", "not below 0"),
        ("3–4 x 2 mm", "each of them one length, not a range"),
        ("900 x 450 kg", "not in “kg”"),
    ],
)
def test_what_is_no_size(text, says):
    with pytest.raises(NotUnderstood) as refused:
        read_size(text)
    assert says in str(refused.value)


# --- money ---


def test_a_bare_sum_takes_the_shops_currency():
    assert read_money("120.50", Currency.GBP) == pounds("120.50")
    assert read_money("$120.50", Currency.GBP) == Money(Decimal("120.50"), Currency.USD)
    with pytest.raises(NotUnderstood, match="one sum, not a range"):
        read_money("£3–4")
