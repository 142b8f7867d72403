"""The old finish: what each test says, what counts once, what wax hides, and where surfaces or layers differ."""

import pytest

from trials import best_next, finish_walks, in_order
from witnessmark.finish import (
    Tried,
    by_finish,
    finish_question,
    finish_words,
    old_finishes,
    spot_tests,
    survey_words,
    tell_finish,
    told,
    tried_in,
)
from witnessmark.odds import BadReading, How
from witnessmark.sources import table
from witnessmark.survey import OldFinish
from witnessmark.survey import Test as Noted

STATES = [(test.key, state) for test in spot_tests() for state in test.states]


def row(test, state, part=None):
    """A survey's own test."""
    return Noted(test=test, state=state, part=part)


# --- the tables -------------------------------------------------------------------------------------------------------


def test_every_test_tells_something_of_every_finish():
    named = {(cells["test"], cells["finish_key"]) for cells in table("finish", "finish_tests.csv")}
    assert named == {(test.key, key) for test in spot_tests() for key in old_finishes()}
    assert {(cells["test"], cells["state"]) for cells in table("finish", "test_states.csv")} == set(STATES)


@pytest.mark.parametrize("test", spot_tests(), ids=lambda test: test.key)
def test_chances_of_a_test_and_finish_add_up_to_one(test):
    sums = dict.fromkeys(old_finishes(), 0.0)
    for cells in table("finish", "finish_tests.csv"):
        if cells["test"] == test.key:
            assert cells["state"] in test.states
            assert cells.number("probability") > 0
            sums[cells["finish_key"]] += cells.number("probability")
    # Four places in the table, five states at most but one: a rounding of 0.0005 is all there can be.
    assert list(sums.values()) == pytest.approx([1] * len(sums), abs=5e-4)


def test_each_finish_has_its_word_in_the_survey():
    words = {word.value for word in OldFinish}
    assert set(survey_words()) == set(old_finishes())
    assert set(survey_words().values()) <= words
    assert survey_words()["lacquer_nitrocellulose"] == OldFinish.LACQUER
    without = {key for key, word in survey_words().items() if word == OldFinish.UNKNOWN}
    assert without == {"waterborne_film", "japanning", "lacquer_catalysed"}


def test_tests_stand_from_the_mildest_to_the_harshest():
    harms = [test.harm for test in spot_tests()]
    assert harms == sorted(harms)


# --- one surface ------------------------------------------------------------------------------------------------------


def test_what_spirit_melts_is_shellac():
    layer = tell_finish([Tried("look_history", "thin_clear_orange"), Tried("alcohol", "softens_sticky")]).layer
    assert layer.told == "shellac"
    assert layer.readings[1].ratio > 5
    assert "speaks strongly for shellac" in layer.readings[1].says


def test_what_only_thinners_melt_is_lacquer():
    layer = tell_finish(
        [Tried("wax_scrape_spirits", "no_change"), Tried("alcohol", "no_change"), Tried("acetone", "dissolves_quickly")]
    ).layer
    assert layer.told == "lacquer_nitrocellulose"


def test_solvents_speak_of_one_solubility_and_count_once():
    once = tell_finish([Tried("acetone", "dissolves_quickly")]).layer
    thrice = tell_finish(
        [Tried("acetone", "dissolves_quickly"), Tried("lacquer_thinner", "dissolves"), Tried("mek_rub", "comes_off")]
    ).layer
    assert thrice.probabilities["lacquer_nitrocellulose"] == pytest.approx(
        once.probabilities["lacquer_nitrocellulose"], abs=0.02
    )
    assert sum("counts in its place" in one.says for one in thrice.readings) == 2


def test_a_look_alone_is_believed_less_than_a_swab():
    look = tell_finish([Tried("look_history", "even_sprayed_cold_checks")]).layer
    assert look.told is None


def test_the_mildest_test_that_may_settle_it_comes_first():
    layer = tell_finish([Tried("look_history", "thin_clear_orange")]).layer
    harms = [look.harm for look in layer.next_looks]
    assert harms[0] <= 1
    assert "stripper_spot" not in [look.key for look in layer.next_looks]


def test_tests_at_odds_are_named():
    layer = tell_finish(
        [Tried("acetone", "no_change"), Tried("oil_drop", "soaks_in"), Tried("ammonia", "liquefies"),
         Tried("alcohol", "softens_sticky")]
    ).layer  # fmt: skip
    assert [one.key for one in layer.conflicts] == ["alcohol"]
    assert "milk or casein paint" in layer.conflicts[0].says


def test_unsure_and_not_seen_are_weighed():
    sure, unsure, absent = (tell_finish([Tried("alcohol", "softens_sticky", how=how)]).layer.probabilities["shellac"]
                            for how in (How.SEEN, How.UNSURE, How.NOT_SEEN))  # fmt: skip
    assert sure > unsure > finish_question().prior[0] > absent


# --- wax --------------------------------------------------------------------------------------------------------------


def test_wax_hides_what_lies_beneath():
    layer = tell_finish([Tried("wax_scrape_spirits", "scrapes_dissolves_waxy"), Tried("water_drop", "no_change_beads")])
    top = layer.layer
    assert top.told is None
    assert top.waxed + top.probabilities["wax"] > 0.8


def test_beneath_the_wax_spirit_finds_the_shellac():
    top = tell_finish(
        [Tried("wax_scrape_spirits", "scrapes_dissolves_waxy"), Tried("look_history", "thin_clear_orange"),
         Tried("alcohol", "softens_sticky")]
    ).layer  # fmt: skip
    assert top.told == "shellac"
    assert top.waxed > 0.8


def test_wax_and_nothing_beneath_it():
    top = tell_finish([Tried("look_history", "soft_low_sheen"), Tried("wax_scrape_spirits", "scrapes_dissolves_waxy"),
                       Tried("lacquer_thinner", "dissolves"), Tried("alcohol", "dulls_smears")]).layer  # fmt: skip
    assert next(iter(top.probabilities)) == "wax"


# --- surfaces and layers ----------------------------------------------------------------------------------------------


def test_a_later_coat_on_the_top_only():
    found = tell_finish(
        [Tried("look_history", "thick_plastic_amber", "TOP"), Tried("alcohol", "no_change", "TOP"),
         Tried("acetone", "no_change", "TOP"), Tried("look_history", "thin_clear_orange", "SIDE"),
         Tried("alcohol", "softens_sticky", "SIDE")]
    )  # fmt: skip
    assert found.same < 0.1
    top, side = (next(iter(surface.layers[0].probabilities)) for surface in found.surfaces)
    assert (top, side) == ("polyurethane_oil", "shellac")


def test_one_finish_throughout():
    tests = [Tried(test, state, part) for part in ("TOP", "SIDE")
             for test, state in (("look_history", "thin_clear_orange"), ("alcohol", "softens_sticky"))]  # fmt: skip
    found = tell_finish(tests)
    assert found.same > 0.9
    assert found.layer.told == "shellac"


def test_a_test_of_no_part_speaks_of_every_surface():
    found = tell_finish([Tried("uv_lamp", "fluoresces_orange"), Tried("alcohol", "softens_sticky", "TOP")])
    assert [surface.part for surface in found.surfaces] == ["TOP"]
    assert len(found.surfaces[0].layers[0].readings) == 2


def test_another_answer_to_the_same_test_is_the_layer_beneath():
    found = tell_finish(
        [Tried("alcohol", "no_change", "TOP"), Tried("stripper_spot", "wrinkles_slowly", "TOP"),
         Tried("alcohol", "softens_sticky", "TOP")]
    )  # fmt: skip
    above, beneath = found.surfaces[0].layers
    assert next(iter(above.probabilities)) in {"polyurethane_oil", "lacquer_catalysed", "oil_varnish"}
    assert next(iter(beneath.probabilities)) == "shellac"


def test_the_same_answer_twice_is_one_layer():
    found = tell_finish([Tried("alcohol", "no_change", "TOP"), Tried("alcohol", "no_change", "TOP")])
    assert len(found.surfaces[0].layers) == 1


# --- for the survey ---------------------------------------------------------------------------------------------------


def test_told_in_the_surveys_words():
    chances = told([row("alcohol", "softens_sticky", "TOP"), row("uv_lamp", "fluoresces_orange", "TOP")])
    assert sum(chances.values()) == pytest.approx(1)
    assert set(chances) <= {word.value for word in OldFinish}
    assert chances[OldFinish.SHELLAC] > 0.9


def test_without_a_test_nothing_is_told():
    assert told([]) == {OldFinish.UNKNOWN: 1}
    assert told([row("alcohol", "softens_sticky", "TOP")], part="SIDE") == {OldFinish.UNKNOWN: 1}


def test_told_of_one_part():
    tests = [row("alcohol", "softens_sticky", "SIDE"), row("alcohol", "no_change", "TOP")]
    assert told(tests, part="SIDE")[OldFinish.SHELLAC] > 0.7
    assert told(tests, part="TOP")[OldFinish.SHELLAC] < 0.1


def test_surfaces_that_differ_count_alike():
    tests = [row("look_history", "thin_clear_orange", "SIDE"), row("alcohol", "softens_sticky", "SIDE"),
             row("look_history", "thick_plastic_amber", "TOP"), row("alcohol", "no_change", "TOP"),
             row("acetone", "no_change", "TOP")]  # fmt: skip
    chances = told(tests)
    assert chances[OldFinish.SHELLAC] == pytest.approx(0.5, abs=0.1)
    assert chances[OldFinish.POLYURETHANE] > 0.2


def test_words_of_the_bench_are_understood():
    assert tried_in(row("meths", "softens and turns sticky within seconds")) == Tried("alcohol", "softens_sticky")
    assert tried_in(row("UV", "orange")) == Tried("uv_lamp", "fluoresces_orange")


@pytest.mark.parametrize("state", STATES, ids=".".join)
def test_every_state_is_understood_by_key_and_by_its_words(state):
    test, key = state
    assert finish_words().reading(test, key) == state
    assert finish_words().reading(test, finish_words().states[test][key]) == state


def test_a_test_nobody_knows():
    with pytest.raises(BadReading, match="Did you mean “acetone”"):
        told([row("aceton", "no_change")])
    with pytest.raises(BadReading, match="of acetone one of gummy_slow"):
        told([row("acetone", "explodes")])


# --- how often it is told right ---------------------------------------------------------------------------------------


def test_each_finish_is_told_by_its_tests_in_few_and_mild_ones():
    best, order = (list(finish_walks(choose, 8)) for choose in (best_next, in_order(finish_question(), 5)))
    right = [next(iter(by_finish(walk.found))) == walk.key for walk in best]
    assert sum(right) / len(right) >= 0.85
    assert sum(len(walk.looks) for walk in best) < sum(len(walk.looks) for walk in order)
    assert sum(walk.harm for walk in best) / len(best) < 2.5
    assert max(walk.harm for walk in best if walk.key == "shellac") <= 3
