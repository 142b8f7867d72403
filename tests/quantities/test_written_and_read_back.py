"""Whatever is written is read, and read again as it was said; whatever can't be is refused, never a crash."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.quantities import (
    AirChanges,
    Currency,
    Cut,
    Gallon,
    Length,
    Mass,
    Money,
    NotUnderstood,
    Range,
    Span,
    Volume,
    read,
    read_money,
    read_number,
    read_size,
    say,
    uses_gallon,
)
from witnessmark.quantities.words import KINDS

words = st.sampled_from([(kind, word) for kind in KINDS for word in KINDS[kind].words])
decimals = st.decimals(min_value=0, max_value=99_999, places=3)


@given(words, decimals, st.sampled_from(Gallon))
def test_every_unit_word_is_read_in_any_case_with_or_without_a_space(unit, number, gallon):
    kind, word = unit
    amount = KINDS[kind].words[word].make(float(number), gallon)
    for text in (f"{number} {word}", f"{number}{word}", f"{number} {word.upper()}", f"{number:,} {word}"):
        assert read(text, kind, gallon) == amount


@given(words, decimals, decimals)
def test_a_range_has_its_unit_on_either_end(unit, one, two):
    kind, word = unit
    least, most = sorted([one, two])
    both = read(f"{least} {word} to {most} {word}", kind)
    for text in (f"{least}–{most} {word}", f"{least} {word}–{most}"):
        assert read(text, kind) == both
    assert isinstance(both, Range) == (least != most)


@given(st.integers(0, 5000), st.integers(0, 15))
def test_sixteenths_come_back_as_they_were_written(whole, sixteenths):
    text = f"{whole} {sixteenths}/16 in"
    length = read(text, Length)
    assert length.millimetres == pytest.approx(Length.inches(whole + sixteenths / 16).millimetres)
    assert read(say(length, inches=True), Length).millimetres == pytest.approx(length.millimetres)
    assert say(read(say(length, inches=True), Length), inches=True) == say(length, inches=True)


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in (Cut, AirChanges)])
@given(number=st.floats(min_value=0, max_value=9e5))
def test_what_is_said_reads_as_what_was_said(kind, number):
    text = say(kind(number))
    assert say(read(text, kind)) == text


@given(st.floats(min_value=0, max_value=700), st.sampled_from(Gallon))
def test_a_cut_said_reads_by_its_pounds_or_by_its_grams(grams, gallon):
    by_pounds, _, by_grams = say(Cut(grams), gallon=gallon).removesuffix(")").partition(" (")
    assert read(by_grams, Cut).grams_per_litre == pytest.approx(grams, abs=0.5)
    # Pounds are said to the hundredth, which is 1.2 g/L on the US gallon.
    assert read(by_pounds, Cut, gallon).in_pounds(gallon) == pytest.approx(Cut(grams).in_pounds(gallon), abs=0.00501)


@given(st.sampled_from([Length, Volume, Mass, Span]), st.floats(0, 1e5), st.floats(0, 1e5))
def test_a_range_said_reads_as_what_was_said(kind, one, two):
    least, most = sorted([kind(one), kind(two)])
    text = say(Range(least, least, most))
    found = read(text, kind)
    assert say(found) == text
    assert isinstance(found, Range) == (say(least) != say(most))


def read_or_refused(reader, text):
    """What is read, or the refusal; a nearest form that is offered must read."""
    try:
        return reader(text)
    except NotUnderstood as refused:
        if refused.nearest:
            reader(refused.nearest)
        return refused


texts = st.text(max_size=30) | st.text(alphabet="0123456789 ./-–'\"xlbgminofz½%£to,()", max_size=14)


@given(texts, st.sampled_from([*KINDS, Money]))
def test_any_scribble_is_read_or_refused(text, kind):
    for reader in (lambda said: read(said, kind), read_size, read_number):
        found = read_or_refused(reader, text)
        assert getattr(found, "found", text) == text
    assert uses_gallon(text, kind) in (True, False)


@given(st.decimals(min_value=0, max_value=1_000_000, places=2), st.sampled_from(Currency))
def test_pennies_come_through_reading_exactly(amount, currency):
    for text in (f"{amount} {currency.value}", f"{currency.value} {amount:,}"):
        assert read_money(text) == Money(amount, currency)
    assert read_money(say(Money(amount, currency))) == Money(amount, currency)
