"""Odds: what the engine promises whatever the question."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.odds import (
    NONE_OF_THESE,
    BadOdds,
    Candidate,
    Feature,
    How,
    Measured,
    Question,
    Reading,
    strength_of,
)

OAK, ASH, ELM = (
    Candidate("oak", "oak", 1, ("ring-porous",)), Candidate("ash", "ash", 1, ("ring-porous",)), Candidate("elm", "elm"),
)  # fmt: skip


def feature(key: str, oak: float, ash: float, elm: float, **more) -> Feature:
    chances = {name: {"yes": p, "no": 1 - p} for name, p in (("oak", oak), ("ash", ash), ("elm", elm))}
    return Feature(key, key, ("yes", "no"), chances, **more)


RAYS = feature("rays", 0.98, 0.02, 0.05)
WAVY = feature("wavy", 0.02, 0.05, 0.95)
PALE = feature("pale", 0.1, 0.9, 0.2)


def woods(*features: Feature) -> Question:
    return Question((OAK, ASH, ELM), features)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["rays", "wavy", "pale"]), st.sampled_from(list(How)), st.floats(0, 1))))
def test_chances_add_up_to_one_and_the_order_of_reading_does_not_matter(said):
    readings = [Reading(key, "yes", how, right) for key, how, right in said]
    question = woods(RAYS, WAVY, PALE)
    there, back = question.weigh(readings), question.weigh(readings[::-1])
    assert sum(there.probabilities.values()) + there.none_of_these == pytest.approx(1)
    assert there.probabilities == pytest.approx(back.probabilities)


def test_a_reading_nobody_can_trust_changes_nothing():
    question = woods(RAYS)
    before, after = question.weigh([]), question.weigh([Reading("rays", "yes", How.UNSURE, 0.0)])
    assert after.probabilities == pytest.approx(before.probabilities)
    assert after.readings[0].ratio == pytest.approx(1)


def test_unsure_says_less_than_seen_and_not_seen_speaks_against():
    question = woods(RAYS)
    seen, unsure, absent = (question.weigh([Reading("rays", "yes", how)]).probabilities["oak"]
                            for how in (How.SEEN, How.UNSURE, How.NOT_SEEN))  # fmt: skip
    assert seen > unsure > 1 / 3 > absent


def test_none_of_these_wins_when_nothing_fits():
    # Each of three features is common at large and nearly unknown in every wood listed.
    odd = [
        Feature(f"odd{n}", f"odd {n}", ("yes", "no"), {w: {"yes": 0.01} for w in ("oak", "ash", "elm")}, {"yes": 0.5})
        for n in range(3)
    ]
    odd = [Feature(f.key, f.name, f.states, f.chances, {"yes": 0.5, "no": 0.5}) for f in odd]
    found = woods(*odd).weigh([Reading(one.key, "yes") for one in odd])
    assert found.leader == NONE_OF_THESE
    assert found.none_of_these > 0.8
    assert found.told is None


def test_a_cell_left_out_is_as_common_as_at_large():
    bare = Feature("smell", "smell", ("yes", "no"), {"oak": {"yes": 0.9, "no": 0.1}}, {"yes": 0.3, "no": 0.7})
    found = woods(bare).weigh([Reading("smell", "yes")])
    assert found.probabilities["ash"] / found.none_of_these == pytest.approx((0.97 / 3) / 0.03)
    part = Feature(
        "hue", "hue", ("red", "brown", "pale"), {"oak": {"red": 0.4}}, {"red": 0.2, "brown": 0.6, "pale": 0.2}
    )
    assert woods(part).tables[0, :, 0] == pytest.approx([0.4, 0.45, 0.15])  # the rest by their shares at large: 3 to 1


def test_features_that_hang_together_count_once_whatever_their_number():
    lone = woods(RAYS).weigh([Reading("rays", "yes")])
    cluster = [feature(f"rays{n}", 0.98 - n / 50, 0.02, 0.05, group="rays") for n in range(4)]
    found = woods(*cluster).weigh([Reading(one.key, "yes") for one in cluster])
    assert found.probabilities == pytest.approx(lone.probabilities)
    assert [told.counted for told in found.readings] == [True, False, False, False]
    assert "hangs together with rays0, counted once" in found.readings[1].says


def test_the_ratio_is_what_the_reading_multiplied_the_odds_by():
    question = woods(RAYS, PALE)
    less, more = (
        question.weigh([Reading("pale", "no")]),
        question.weigh([Reading("pale", "no"), Reading("rays", "yes")]),
    )
    odds = [found.probabilities["oak"] / (1 - found.probabilities["oak"]) for found in (less, more)]
    assert more.readings[1].ratio == pytest.approx(odds[1] / odds[0])
    assert more.readings[1].says == "rays: speaks strongly for oak"


def test_a_reading_the_others_contradict_is_named():
    sure = [feature(f"elm{n}", 0.02, 0.02, 0.98) for n in range(2)]
    found = woods(*sure, RAYS).weigh([Reading("elm0"), Reading("elm1"), Reading("rays")])
    assert [conflict.key for conflict in found.conflicts] == ["rays"]
    assert found.conflicts[0].without == "elm"
    assert woods(*sure).weigh([Reading("elm0"), Reading("elm1")]).conflicts == ()


def test_two_readings_of_one_feature_are_of_one_state():
    hue = Feature("hue", "hue", ("red", "brown", "pale"), {"oak": {"brown": 0.9, "red": 0.05, "pale": 0.05}})
    found = woods(hue).weigh([Reading("hue", "red", How.NOT_SEEN, 1.0), Reading("hue", "pale", How.NOT_SEEN, 1.0)])
    assert found.probabilities == pytest.approx(
        woods(hue).weigh([Reading("hue", "brown", reliability=1.0)]).probabilities
    )


def test_a_group_is_named_where_no_single_candidate_can_be():
    ring = feature("ring", 0.98, 0.98, 0.01)
    found = woods(ring).weigh([Reading("ring", "yes")])
    assert found.told is None
    assert found.group is not None
    assert found.group[0] == "ring-porous"
    assert found.group[1] == pytest.approx(found.probabilities["oak"] + found.probabilities["ash"])


def test_a_measurement_counts_like_a_reading():
    heavy = Measured("density", "0.70 g/cm3", {"oak": 3.0, "ash": 3.0, "elm": 1.0}, 1.0)
    found = woods(RAYS).weigh([heavy])
    assert found.probabilities["oak"] == pytest.approx(3 * found.probabilities["elm"])
    assert found.readings[0].says.startswith("0.70 g/cm3: ")


def test_no_harmful_look_while_a_harmless_one_would_settle_it():
    section = feature("section", 0.999, 0.001, 0.5, harm=3, minutes=1)
    eye = feature("eye", 0.999, 0.001, 0.5, minutes=10)
    lens = feature("lens", 0.3, 0.3, 0.999, minutes=10)
    with_mild = woods(section, eye, lens, PALE, RAYS, WAVY).weigh([])
    assert with_mild.next_looks
    assert all(look.harm == 0 for look in with_mild.next_looks)
    alone = woods(section).weigh([])
    assert [look.key for look in alone.next_looks] == ["section"]


def test_enough_is_said_when_no_look_is_worth_it():
    question = woods(RAYS, WAVY, PALE, feature("useless", 0.5, 0.5, 0.5))
    settled = question.weigh([Reading("rays", "yes"), Reading("wavy", "no"), Reading("pale", "no")])
    assert (settled.next_looks, settled.enough) == ((), "what was seen settles it")
    idle = woods(feature("useless", 0.5, 0.5, 0.5)).weigh([])
    assert idle.next_looks == ()
    assert idle.enough.startswith("no further look is worth it")


def test_of_two_looks_that_tell_the_same_the_quicker_comes_first():
    slow, quick = feature("slow", 0.9, 0.1, 0.1, minutes=10), feature("quick", 0.9, 0.1, 0.1, minutes=1)
    assert [look.key for look in woods(slow, quick).weigh([]).next_looks] == ["quick", "slow"]


@pytest.mark.parametrize(
    ("ratio", "says"),
    [(1.2, "says next to nothing about oak"), (2, "speaks a little for oak"), (0.2, "speaks against oak"),
     (40, "speaks strongly for oak"), (0.0, "speaks strongly against oak")],
)  # fmt: skip
def test_a_ratio_in_words(ratio, says):
    assert strength_of(ratio, "oak") == says


def test_what_makes_no_sense_is_refused_in_words():
    question = woods(RAYS)
    with pytest.raises(BadOdds, match="Did you mean “rays”"):
        question.weigh([Reading("ray")])
    with pytest.raises(BadOdds, match="expected one of yes, no"):
        question.weigh([Reading("rays", "maybe")])
    with pytest.raises(BadOdds, match="from 0 to 1"):
        question.weigh([Reading("rays", "yes", reliability=1.5)])
    with pytest.raises(BadOdds, match=r"add up to 1\.2"):
        woods(Feature("bad", "bad", ("a", "b"), {"oak": {"a": 0.7, "b": 0.5}})).weigh([])
    with pytest.raises(BadOdds, match="oak: found twice"):
        Question((OAK, OAK), ())
    impossible = Feature("never", "never", ("yes", "no"), {w: {"yes": 0.0} for w in ("oak", "ash", "elm")}, {"no": 1.0})
    with pytest.raises(BadOdds, match="cannot all be so"):
        woods(impossible).weigh([Reading("never", "yes", reliability=1.0)])
