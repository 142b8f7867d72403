"""How far a number can be leant on, and what its source key stands for."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.sources import Standing, bibliography, weakest

standings = st.lists(st.sampled_from(Standing), min_size=1)


@given(standings, standings)
def test_no_answer_is_better_than_its_weakest_figure(some, more):
    order = list(Standing)  # strongest first
    assert weakest(some) in some
    assert all(order.index(weakest(some)) >= order.index(one) for one in some)
    assert weakest(some + more) == weakest([weakest(some), weakest(more)])


def test_a_remembered_figure_spoils_a_published_one():
    assert weakest([Standing.PUBLISHED, Standing.FROM_MEMORY]) is Standing.FROM_MEMORY
    assert weakest([Standing.FROM_MEMORY, Standing.NOT_FOUND]) is Standing.NOT_FOUND
    assert weakest(iter([Standing.CONVENTION, Standing.PUBLISHED])) is Standing.PUBLISHED


def test_what_rests_on_nothing_but_what_was_given_is_computed():
    assert weakest([]) is Standing.COMPUTED


def test_a_standing_is_said_in_words():
    assert Standing.COMMON_PRACTICE.words == "common practice"


@pytest.mark.parametrize("key", ["nist_hb44_2024", "uk_wma_1985", "own_convention"])
def test_what_this_floor_of_the_house_rests_on_is_in_the_bibliography(key):
    source = bibliography()[key]
    assert source.key == key
    assert source.citation


def test_the_bibliography_says_what_we_read_ourselves():
    read = {source.read for source in bibliography().values()}
    assert read == {True, False}
    assert bibliography()["own_convention"].read
