"""Amounts leave as value and unit, in the contract's spellings, and come back."""

import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.quantities import (
    UNKNOWN,
    Coats,
    Currency,
    Cut,
    Density,
    Length,
    Mass,
    Money,
    Range,
    Span,
    Unit,
    Volume,
    as_json,
    from_json,
)
from witnessmark.quantities.words import KINDS

# As the contract with the outside spells them.
CONTRACT = {
    "g", "kg", "ml", "l", "g/L", "mm", "um", "m", "m2", "m3", "m3/h", "m2/L", "1/h", "%", "ppm", "°C", "s", "min", "h",
    "days", "years", "coats", "1", "GBP", "USD", "EUR",
}  # fmt: skip

kinds = st.sampled_from(list(KINDS))
numbers = st.floats(min_value=-1e9, max_value=1e9)


def test_every_unit_is_the_contracts_but_for_density():
    assert {unit.value for unit in Unit} - CONTRACT == {"kg/m3"}  # inside workings only
    leaving = {as_json(kind(1))["unit"] for kind in KINDS} | {
        as_json(Money(Decimal(1), currency))["unit"] for currency in Currency
    }
    assert leaving - CONTRACT == {as_json(Density(1))["unit"]} == {"kg/m3"}


def test_no_two_kinds_leave_in_one_unit():
    assert len({kind.unit for kind in KINDS}) == len(KINDS)


@given(kinds, numbers)
def test_an_amount_comes_back_from_json(kind, number):
    shown = json.loads(json.dumps(as_json(kind(number))))
    assert set(shown) == {"value", "unit"}
    back = from_json(shown)
    assert type(back) is kind
    assert back.magnitude == pytest.approx(number, rel=1e-11)
    assert as_json(back) == shown


@given(kinds, numbers, numbers, numbers)
def test_a_range_comes_back_from_json(kind, one, two, three):
    low, usual, high = sorted([one, two, three])
    shown = json.loads(json.dumps(as_json(Range(kind(low), kind(usual), kind(high)))))
    assert set(shown) == {"value", "unit", "low", "high"}
    back = from_json(shown)
    assert (back.low.magnitude, back.high.magnitude) == pytest.approx((low, high), rel=1e-11)
    assert as_json(back) == shown


@given(st.decimals(min_value=-999_999, max_value=999_999, places=2), st.sampled_from(Currency))
def test_money_comes_back_from_json_to_the_penny(amount, currency):
    shown = json.loads(json.dumps(as_json(Money(amount, currency))))
    assert from_json(shown) == Money(amount, currency)


def test_parts_of_a_penny_are_not_lost_between_two_sums():
    a_third = Money(Decimal(10), Currency.GBP) / 3
    assert from_json(as_json(a_third)).rounded() == a_third.rounded()
    assert (from_json(as_json(a_third)) * 3).rounded() == Money(Decimal("10.00"), Currency.GBP)


@given(numbers, numbers)
def test_a_range_of_plain_numbers_has_the_unit_1(one, two):
    low, high = sorted([one, two])
    shown = as_json(Range(low, low, high))
    assert shown == {"value": low, "unit": "1", "low": low, "high": high}
    assert from_json(shown) == Range(low, low, high)


def test_what_is_no_amount_stays_as_it_is():
    for value in (3, 0.25, "mahogany", None, True, [1, 2]):
        assert as_json(value) == value
    assert as_json(UNKNOWN) is None


@pytest.mark.parametrize(
    ("shown", "amount"),
    [
        ({"value": 1.5, "unit": "kg"}, Mass(1500)),
        ({"value": 1.5, "unit": "l"}, Volume(1.5)),
        ({"value": 270, "unit": "ml"}, Volume(0.27)),
        ({"value": 60, "unit": "m3"}, Volume(60_000)),
        ({"value": 2, "unit": "m"}, Length(2000)),
        ({"value": 90, "unit": "s"}, Span(1.5)),
        ({"value": 2, "unit": "h"}, Span(120)),
        ({"value": 2, "unit": "days"}, Span(2880)),
        ({"value": 240, "unit": "g/L"}, Cut(240)),
        ({"value": 6, "unit": "coats"}, Coats(6)),
        ({"value": 1850, "unit": "years"}, 1850),
        ({"value": 0.9, "unit": "1"}, 0.9),
        ({"value": 12.5, "unit": "GBP"}, Money(Decimal("12.5"), Currency.GBP)),
    ],
)
def test_every_spelling_of_the_contract_is_read(shown, amount):
    assert from_json(shown) == amount


@pytest.mark.parametrize("unit", Unit)
def test_no_unit_is_without_its_amount(unit):
    assert from_json({"value": 0, "unit": unit.value}) is not None


def test_a_unit_that_is_none_of_ours_is_refused():
    with pytest.raises(ValueError, match="firkin"):
        from_json({"value": 1, "unit": "firkin"})


def test_the_noise_of_another_order_of_summing_does_not_show():
    assert as_json(Mass(0.1) + Mass(0.2)) == as_json(Mass(0.3)) == {"value": 0.3, "unit": "g"}
