"""Low, usual and high stay in that order; not knowing is an answer."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.quantities import UNKNOWN, Coats, Length, Range, between, high, low, mapped, usual

lengths = st.floats(min_value=0, max_value=1e5).map(Length)


@given(lengths, lengths, lengths)
def test_a_range_is_in_order_or_is_refused(one, two, three):
    in_order = one <= two <= three
    if in_order:
        assert Range(one, two, three).usual == two
    else:
        with pytest.raises(ValueError, match="low, usual, high"):
            Range(one, two, three)


def test_a_range_refuses_what_has_no_order():
    with pytest.raises(ValueError, match="low, usual, high"):
        Range(1.0, float("nan"), 2.0)


@given(lengths, lengths)
def test_the_usual_of_two_ends_is_their_middle(one, two):
    least, most = sorted([one, two])
    found = between(least, most)
    assert found.low == least
    assert found.high == most
    rise, fall = found.usual - least, most - found.usual
    assert rise.millimetres == pytest.approx(fall.millimetres, abs=1e-9)


@given(lengths, lengths)
def test_doubling_a_range_doubles_its_ends(one, two):
    least, most = sorted([one, two])
    doubled = mapped(between(least, most), lambda length: length * 2)
    assert (doubled.low, doubled.high) == (least * 2, most * 2)


def test_one_amount_is_its_own_low_usual_and_high():
    assert low(Coats(4)) == usual(Coats(4)) == high(Coats(4)) == Coats(4)
    assert mapped(Coats(4), lambda coats: coats * 2) == Coats(8)
    both = between(Coats(4), Coats(6))
    assert (low(both), usual(both), high(both)) == (Coats(4), Coats(5), Coats(6))


def test_not_knowing_counts_as_nothing_said():
    assert not UNKNOWN
    assert UNKNOWN.value == "don't know"
