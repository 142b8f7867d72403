"""Amounts add, scale and compare within their kind, and never beyond it."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.quantities import (
    Area,
    Currency,
    Cut,
    Film,
    Gallon,
    Length,
    Mass,
    Money,
    Percent,
    Span,
    Temperature,
    Volume,
)
from witnessmark.quantities.words import KINDS

numbers = st.floats(min_value=-1e6, max_value=1e6)
kinds = st.sampled_from(list(KINDS))
pence = st.decimals(min_value=-100_000, max_value=100_000, places=2)


@given(kinds, numbers, numbers, numbers)
def test_amounts_of_a_kind_add_in_any_order(kind, one, two, three):
    a, b, c = kind(one), kind(two), kind(three)
    assert a + b == b + a
    assert ((a + b) + c).magnitude == pytest.approx((a + (b + c)).magnitude, abs=1e-6)
    assert (a + b - b).magnitude == pytest.approx(a.magnitude, abs=1e-6)
    assert (a + -a).magnitude == 0


@given(kinds, numbers, st.floats(min_value=1e-3, max_value=1e3))
def test_dividing_undoes_scaling(kind, number, times):
    amount = kind(number)
    assert ((amount * times) / times).magnitude == pytest.approx(number)
    assert times * amount == amount * times
    if abs(number) > 1e-3:
        assert (amount * times) / amount == pytest.approx(times)


@given(kinds, numbers, numbers)
def test_amounts_of_a_kind_stand_in_the_order_of_their_numbers(kind, one, two):
    assert (kind(one) < kind(two)) == (one < two)
    assert max(kind(one), kind(two)).magnitude == max(one, two)


@given(kinds, numbers)
def test_what_is_shown_makes_the_amount_again(kind, number):
    assert kind.from_shown(kind(number).shown).magnitude == pytest.approx(number)


@pytest.mark.parametrize(
    "nonsense",
    [
        lambda: Volume(1) + Length(1),  # type: ignore[operator]
        lambda: Mass(3) - Volume(1),  # type: ignore[operator]
        lambda: Mass(3) / Volume(1),  # type: ignore[operator]
        lambda: Mass(3) * Mass(2),  # type: ignore[operator]
        lambda: Mass(3) < Volume(4),  # type: ignore[operator]
        lambda: Money(Decimal(3), Currency.GBP) * Money(Decimal(3), Currency.GBP),  # type: ignore[operator]
    ],
)
def test_amounts_of_two_kinds_never_meet(nonsense):
    with pytest.raises(TypeError):
        nonsense()


def test_an_amount_of_no_kind_cannot_be_made():
    from witnessmark.quantities import Amount

    with pytest.raises(TypeError, match="kind of amount"):
        Amount(3)


def test_an_amount_stays_as_it_was_made():
    with pytest.raises(AttributeError):
        Mass(3).grams = 4


def test_equal_numbers_of_two_kinds_are_not_equal():
    assert Cut(200) != Area(200)
    assert len({Cut(200), Area(200), Cut(200.0)}) == 2


@given(st.floats(min_value=0, max_value=1e4), st.sampled_from(Gallon))
def test_measures_of_a_gallon_nest(number, gallon):
    assert Volume.quarts(4 * number, gallon).litres == pytest.approx(Volume.gallons(number, gallon).litres)
    assert Volume.pints(2 * number, gallon).litres == pytest.approx(Volume.quarts(number, gallon).litres)
    ounces = 16 if gallon is Gallon.US else 20
    assert Volume.fluid_ounces(ounces * number, gallon).litres == pytest.approx(Volume.pints(number, gallon).litres)
    assert Cut.pounds(number, gallon).in_pounds(gallon) == pytest.approx(number)


@given(st.floats(min_value=-200, max_value=500))
def test_fahrenheit_goes_there_and_back(degrees):
    assert Temperature.fahrenheit(degrees).in_fahrenheit == pytest.approx(degrees, abs=1e-9)


@given(st.floats(min_value=0, max_value=1e4))
def test_made_from_larger_units(number):
    assert Length.metres(number).millimetres == pytest.approx(1000 * number)
    assert Length.feet(number).millimetres == pytest.approx(Length.inches(12 * number).millimetres)
    assert Film.mils(1000 * number).micrometres == pytest.approx(1000 * Length.inches(number).millimetres)
    assert Mass.kilograms(number).grams == pytest.approx(1000 * number)
    assert Mass.ounces(16 * number).grams == pytest.approx(Mass.pounds(number).grams)
    assert Span.weeks(number).in_hours == pytest.approx(7 * 24 * number)
    assert Span.days(number) / Span.seconds(1) == pytest.approx(86400 * number)


@given(st.floats(min_value=0.1, max_value=1e4), st.floats(min_value=0.1, max_value=1e4))
def test_a_rectangle_is_as_large_either_way_round(length, width):
    one, other = Length(length), Length(width)
    assert Area.rectangle(one, other) == Area.rectangle(other, one)
    assert Area.rectangle(one, other).square_metres == pytest.approx(length * width / 1e6)


# --- money ---


@given(st.lists(pence, max_size=50))
def test_a_column_of_pennies_adds_exactly(column):
    total = sum((Money(one, Currency.GBP) for one in column), Money(Decimal(0), Currency.GBP))
    assert total.amount == sum(column)


def test_a_tenth_taken_ten_times_is_a_pound():
    assert Money(Decimal("0.10"), Currency.GBP) * 10 == Money(Decimal(1), Currency.GBP)
    assert Money(Decimal(1), Currency.GBP) * 0.1 == Money(Decimal("0.1"), Currency.GBP)


@given(pence, pence)
def test_sums_of_money_stand_in_order(one, two):
    first, second = Money(one, Currency.EUR), Money(two, Currency.EUR)
    assert (first < second, first <= second, first > second) == (one < two, one <= two, one > two)
    assert first - second + second == first


def test_money_divides_by_hours_and_by_money():
    month = Money(Decimal(2200), Currency.GBP)
    assert (month / 80).amount == Decimal("27.5")
    assert month / Money(Decimal(1100), Currency.GBP) == 2


def test_half_a_penny_rounds_up_as_a_till_does():
    assert Money(Decimal("0.125"), Currency.GBP).rounded().amount == Decimal("0.13")
    assert Money(Decimal("0.115"), Currency.GBP).rounded().amount == Decimal("0.12")


def test_currencies_never_mix():
    pounds, dollars = Money(Decimal(1), Currency.GBP), Money(Decimal(1), Currency.USD)
    for meeting in (lambda: pounds + dollars, lambda: pounds - dollars, lambda: pounds < dollars):
        with pytest.raises(ValueError, match="GBP and USD don't add up or compare"):
            meeting()
    assert pounds != dollars


def test_money_is_exact_or_it_is_refused():
    with pytest.raises(TypeError, match="loses pence"):
        Money(1.10, Currency.GBP)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="no sum of money"):
        Money(Decimal("NaN"), Currency.GBP)


def test_a_percentage_is_no_ratio():
    assert Percent(4) / Percent(100) == 0.04
