"""The jar on a mixing card: of the right size, with bands that add up and words that can be told apart."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from papers.chest import chest, mixes
from witnessmark.papers.jars import _LINE_MM, STAYS, drawn, jar_for
from witnessmark.papers.voice import Voice
from witnessmark.plan import Use
from witnessmark.quantities import Mass, Range, Volume

VOICE = Voice.of(chest().shop.shop, chest().now)
SHELLAC = mixes()[0]


def jar_of(litres: float, uses: list[float]):
    mix = replace(SHELLAC, make=Volume(litres), uses=tuple(Use(f"s{n}", Volume(use)) for n, use in enumerate(uses)))
    return drawn(mix, "Jar 1", {f"s{n}": n + 1 for n in range(len(uses))}, VOICE)


@pytest.mark.parametrize(("litres", "capacity"), [(0.1, 0.125), (0.25, 0.35), (0.42, 0.5), (2.0, 3.0), (0.0, 0.125)])
def test_a_jar_has_room_to_be_shaken(litres, capacity):
    assert jar_for(litres) == capacity


def test_more_than_the_largest_jar_is_drawn_all_the_same():
    assert jar_for(20.0) == pytest.approx(20 / 0.85)


def test_twice_as_wide_holds_eight_times_as_much():
    # Similar solids: volume goes as the cube of the side. 0.5 l and 4 l lie eightfold apart; the card caps the taller.
    assert (jar_of(0.8, [])["scale"] / jar_of(0.4, [])["scale"]) == pytest.approx(2 ** (1 / 3))


@given(st.floats(0.02, 4), st.lists(st.floats(0.001, 0.5), max_size=14))
def test_bands_stand_below_each_other_and_words_apart(litres, uses):
    jar = jar_of(litres, uses)
    level = jar["content"]
    assert 0 < level <= 1
    for band in jar["bands"]:
        assert band["top"] == pytest.approx(level)
        assert 0 <= band["bottom"] <= band["top"]
        level = band["bottom"]
    heights = [label["at"] for label in jar["labels"]]
    line = _LINE_MM / (60 * jar["scale"])
    assert all(above - below > line * 0.999 for above, below in pairwise(heights))
    assert all(height > 0 for height in heights)


def test_each_coat_takes_what_it_usually_takes():
    jar = jar_of(0.4, [0.1, 0.1])
    assert [round(band["top"] - band["bottom"], 6) for band in jar["bands"]] == [round(0.1 / 0.5, 6)] * 2
    assert [label["words"] for label in jar["labels"]] == ["steps 1, 2: 100 ml each", STAYS]
    assert jar["alt"] == "Jar 1, drawn to its size: filled to 400 ml. steps 1, 2: 100 ml each. stays in the jar."


def test_a_mix_taken_wide_is_drawn_at_its_usual_and_filled_to_its_high_end():
    mix = replace(SHELLAC, make=Range(Volume(0.2), Volume(0.3), Volume(0.4)), uses=())
    assert drawn(mix, "Jar 1", {}, VOICE)["content"] == pytest.approx(0.4 / 0.5)


def test_glue_by_weight_fills_its_jar_as_water_would():
    mix = replace(mixes()[1], make=Mass(100))
    assert drawn(mix, "Jar 2", {}, VOICE)["content"] == pytest.approx(0.1 / 0.125)
