"""A chest with its drawers open: more open is never steadier; more weight in the body is never less so."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.quantities import Length, Mass, low
from witnessmark.safety import BadStance, Pulled, stances
from witnessmark.sources import given as said

SIZE = (Length(1000), Length(500), Length(1300))
DRAWERS = st.lists(st.builds(lambda kg, deep: Pulled("D", Mass.kilograms(kg), Length(deep)), st.floats(1, 8),
                             st.floats(300, 480)), min_size=1, max_size=6)  # fmt: skip


def margins(kilograms, drawers, size=SIZE):
    return [one.margin for one in stances(said("piece.weight", Mass.kilograms(kilograms)), size, drawers)]


@given(st.floats(60, 150), DRAWERS)
def test_more_open_is_never_steadier(kilograms, drawers):
    found = [low(margin.value) for margin in margins(kilograms, drawers)[1:]]
    assert len(found) == len(drawers)
    # The one weight hangs on the deepest open front, so another drawer can only pull more.
    assert all(later <= before * (1 + 1e-9) for before, later in pairwise(found))


@given(st.floats(60, 150), st.floats(1, 50), DRAWERS)
def test_a_heavier_case_stands_better(kilograms, more, drawers):
    light, heavy = margins(kilograms, drawers)[-1], margins(kilograms + more, drawers)[-1]
    assert low(heavy.value) >= low(light.value)


def test_a_tall_chest_with_all_drawers_open_tips():
    tall = (Length(900), Length(450), Length(1500))
    drawers = [Pulled(f"DR{n}.F", Mass.kilograms(5), Length(400)) for n in range(1, 7)]
    found = stances(said("piece.weight", Mass.kilograms(55)), tall, drawers)
    assert [one.open for one in found] == list(range(7))
    assert not found[0].tips
    assert found[-1].tips


def test_shut_nothing_pulls_it_over():
    (shut,) = stances(said("piece.weight", Mass.kilograms(55)), SIZE, [])
    assert (shut.margin, shut.tips, shut.tips_empty) == (None, False, False)


def test_drawers_heavier_than_the_piece_are_refused():
    with pytest.raises(BadStance, match="weigh it again"):
        margins(5, [Pulled("D", Mass.kilograms(6), Length(400))])


def test_a_piece_shallower_than_its_feet_is_refused():
    with pytest.raises(BadStance, match="wide × deep × high"):
        margins(20, [Pulled("D", Mass.kilograms(2), Length(400))], (Length(500), Length(30), Length(500)))
