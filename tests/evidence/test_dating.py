"""Dating: what a clue does to the years, what disagrees, and which story wins."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.evidence import (
    Age,
    BadClue,
    Clue,
    NoSuchFeature,
    NoSuchStyle,
    date,
    date_words,
    feature_named,
    features,
    looks,
    style_named,
    ticket,
)
from witnessmark.evidence.years import Years, later_than, older_than, shortest_span, trapezoid
from witnessmark.odds import How, Reading

LINE = Years(1600, 1970)
EARLY = ("drawer_edge_lip", "leg_cabriole_uk")  # manners that can be copied
LATE = ("dovetail_machine_uk", "saw_band")  # ways of working that can't be older than they are


def chances_of(dating) -> dict[str, float]:
    return dating.looked.probabilities


def halves(upper: tuple[str, ...], lower: tuple[str, ...], seen=()):
    clues = [Clue(key, half=half) for half, keys in (("upper", upper), ("lower", lower)) for key in keys]
    return date(clues, (), "UK", seen)


# --- stories ---


def test_the_same_features_by_halves_are_a_marriage_and_mixed_are_a_revival():
    married = halves(upper=LATE, lower=EARLY)
    revived = halves(upper=(EARLY[0], LATE[0]), lower=(EARLY[1], LATE[1]))
    assert married.story == "marriage"
    assert chances_of(married)["marriage"] > 0.8
    assert revived.story == "later_style"
    assert chances_of(revived)["marriage"] < chances_of(revived)["later_style"]


def test_the_associated_half_is_the_later_one_whichever_it_is():
    assert halves(upper=LATE, lower=EARLY).later_half[0] == "upper"
    assert halves(upper=EARLY, lower=LATE).later_half[0] == "lower"
    assert "the upper half, about" in ticket(halves(upper=LATE, lower=EARLY))


def test_looks_settle_what_the_clues_leave_open():
    look = date([], (), "UK", [Reading("polish_under_upper", "yes"), Reading("halves_differ", "yes")])
    assert look.story == "marriage"
    cut = date([], (), "UK", [Reading("cut_through", "yes")])
    assert chances_of(cut)["cut_down"] > chances_of(date([]))["cut_down"] * 3


@pytest.mark.parametrize(
    ("seen", "story"),
    [
        (("top_does_not_sit",), "retopped"), (("other_feet_sat_here",), "refooted"), (("cut_through",), "cut_down"),
        (("veneer_over_marks", "holes_inside_only"), "reveneered"), (("carving_through_wear",), "decorated_later"),
        (("halves_differ", "polish_under_upper"), "marriage"), (("idle_mortises", "stained_to_look_old"), "made_up"),
    ],
)  # fmt: skip
def test_each_look_speaks_for_its_story(seen, story):
    before = chances_of(date([]))
    after = chances_of(date([], (), "any", [Reading(look, "yes") for look in seen]))
    gained = {key: after[key] / before[key] for key in before}
    assert max(gained, key=gained.get) == story


def test_later_feet_are_told_by_their_years():
    old = [Clue(key) for key in ("dovetail_few_wide", "drawer_bottom_grain_front_back", "mortise_pegged")]
    refooted = date([*old, Clue("foot_glass_ball_claw")], (), "UK")
    assert chances_of(refooted)["refooted"] > 2 * chances_of(date(old, (), "UK"))["refooted"]


def test_older_timber_in_a_later_piece_speaks_for_made_up():
    clues = [Clue("saw_pit_straight"), Clue("riven_oak_panels", part="panels"), Clue("dovetail_machine_uk")]
    assert chances_of(date(clues, (), "UK"))["made_up"] > 3 * chances_of(date([]))["made_up"]


# --- clues ---


def test_a_modern_screw_barely_moves_an_old_chest():
    old = [Clue(key) for key in ("dovetail_few_wide", "drawer_bottom_grain_front_back", "nail_wrought")]
    plain, screwed = date(old, (), "UK"), date([*old, Clue("screw_cross_recess")], (), "UK")
    assert screwed.range50[1] <= plain.range50[1] + 25
    assert [one.key for one in screwed.conflicts] == ["screw_cross_recess"]
    assert "later than the rest" in screwed.conflicts[0].says
    screws = next(part for part in screwed.parts if part.part == "screws")
    assert (screws.begins, screws.to) == (1936, None)
    assert "the screws, 1936 or later, date the screws" in ticket(screwed)


def test_clues_of_one_act_count_once():
    one = date([Clue("plate_oval_stamped")])
    two = date([Clue("plate_oval_stamped"), Clue("brass_stamped_sheet")])
    assert two.chances == pytest.approx(one.chances)
    assert [told.counted for told in two.readings] == [True, False]
    assert "of one act with plate_oval_stamped, counted once" in two.readings[1].says
    apart = date([Clue("plate_oval_stamped"), Clue("brass_stamped_sheet", part="lopers")])
    assert not np.allclose(apart.chances, one.chances)


def test_what_the_eye_says_is_later_dates_only_itself():
    later = date([Clue("screw_cross_recess", age=Age.LATER)])
    # It only says that the piece is no newer than the part.
    assert later.chances[0] == pytest.approx(later.chances[LINE.at(1930)], rel=0.25)
    assert later.chances[LINE.at(1965)] < later.chances[LINE.at(1930)]
    assert later.conflicts == ()


def test_what_the_eye_says_is_older_leaves_later_years_open():
    older = date([Clue("nail_wrought", age=Age.OLDER)])
    assert older.range50[1] > 1850


def test_marks_undisturbed_make_a_fitting_tell_more():
    loose, firm = (date([Clue("screw_lathe_blunt", age=age)]) for age in (Age.DISTURBED, Age.UNDISTURBED))
    assert firm.range90[1] - firm.range90[0] < loose.range90[1] - loose.range90[0]


def test_a_printed_lining_dates_itself_and_a_carved_date_nothing():
    lined = date([Clue("dovetail_fine_hand_uk"), Clue("cockbead_drawer"), Clue("plate_oval_stamped"),
                  Clue("lining_printed_date", part="drawer linings", year=1931)], ["uk_sheraton"], "UK")  # fmt: skip
    assert "the drawer linings, 1931 or later, date the linings" in ticket(lined)
    assert lined.range90[1] < 1900
    bare, carved = date([Clue("wood_mahogany_uk")]), date([Clue("wood_mahogany_uk"), Clue("carved_date", year=1653)])
    assert carved.chances == pytest.approx(bare.chances)
    assert "dates nothing by itself" in carved.readings[-1].says


def test_a_pencilled_date_says_the_year_and_allows_for_an_older_piece():
    dated = date([Clue("inscription_dated", year=1742)])
    assert dated.range50[0] <= 1742 <= dated.range50[1] + 1
    assert dated.chances[LINE.at(1700)] > 0
    with pytest.raises(BadClue, match="found no date"):
        date([Clue("inscription_dated")])
    with pytest.raises(BadClue, match="found the year 3000"):
        date([Clue("inscription_dated", year=3000)])
    with pytest.raises(BadClue, match="begins in 1600"):
        date([Clue("inscription_dated", year=1580)])


def test_not_seen_and_unsure_say_less_than_seen():
    seen, unsure, absent = (date([Clue("saw_circular", how)]) for how in (How.SEEN, How.UNSURE, How.NOT_SEEN))
    after = [one.chances[LINE.at(1850) :].sum() for one in (seen, unsure, absent)]
    assert after[0] > after[1] > after[2]


def test_no_year_fits_both_is_named_and_not_averaged():
    # A lipped drawer edge went out by 1785; machine dovetails came in from 1880.
    found = date([Clue("drawer_edge_lip"), Clue("dovetail_machine_uk")], (), "UK").conflicts
    assert any("no year fits" in one.says or "than the rest" in one.says for one in found)


def test_a_style_is_a_prior_and_its_revival_is_known():
    plain = date([], ["uk_jacobean"])
    assert plain.from_style
    assert plain.range50[0] >= 1595
    assert plain.range50[1] <= 1665
    # Late screws and saw marks turn the style into its revival.
    late = date([Clue("saw_circular"), Clue("screw_gimlet_point", age=Age.UNDISTURBED)], ["uk_jacobean"])
    assert late.range50[0] >= 1820
    assert late.story == "later_style"


def test_nothing_seen_is_not_dated():
    nothing = date([])
    assert nothing.from_style
    assert nothing.century is None
    assert nothing.next_looks


# --- looks ---


def test_the_next_look_is_harmless_while_harmless_ones_may_do():
    found = date([Clue("wood_mahogany_uk")], (), "UK")
    assert found.next_looks
    assert found.next_looks[0].harm == 0
    assert all(features()[look.key].region in {"UK", "any"} for look in found.next_looks if look.key in features())
    gains = [look.gain / look.price for look in found.next_looks]
    assert gains == sorted(gains, reverse=True)


def test_enough_is_said_when_year_and_story_are_clear():
    clues = [Clue("inscription_dated", year=1742, age=Age.UNDISTURBED), Clue("dovetail_fine_hand_uk")]
    seen = [Reading(look.key, "yes") for look in looks().features if look.key in {
        "one_hand_throughout", "wear_under_feet", "wear_where_hands_go", "holes_match"}]  # fmt: skip
    seen += [Reading(key, "no") for key in ("halves_differ", "polish_under_upper", "idle_mortises", "top_does_not_sit",
                                            "other_feet_sat_here", "cut_through", "carving_through_wear",
                                            "veneer_over_marks", "stained_to_look_old")]  # fmt: skip
    found = date(clues, (), "UK", seen)
    assert found.story == "all_of_a_piece"
    assert (found.next_looks, bool(found.enough)) == ((), True)


# --- any clues ---


@settings(max_examples=15, deadline=None)
@given(st.lists(st.sampled_from(sorted(key for key, one in features().items() if not one.takes_a_year)), max_size=4),
       st.randoms())  # fmt: skip
def test_chances_add_up_and_the_order_does_not_matter(keys, dice):
    clues = [Clue(key, dice.choice(list(How)), half=dice.choice(["", "upper", "lower"])) for key in keys]
    there, back = date(clues), date(clues[::-1])
    assert there.chances.sum() == pytest.approx(1)
    assert there.chances == pytest.approx(back.chances)
    assert sum(there.looked.probabilities.values()) + there.looked.none_of_these == pytest.approx(1)
    begins, ends = there.range90
    assert there.range90[0] <= there.range50[0] + 370
    assert there.chances[LINE.at(begins) : LINE.at(ends) + 1].sum() >= 0.9 - 1e-9
    assert "%" not in ticket(there)


@settings(max_examples=30, deadline=None)
@given(st.lists(st.floats(0.001, 1), min_size=3, max_size=40), st.floats(0.05, 0.99))
def test_no_shorter_span_holds_the_share(heights, share):
    chances = np.array(heights) / sum(heights)
    years = Years(1700, 1700 + len(heights) - 1)
    begins, ends = shortest_span(chances, share, years)
    assert chances[begins - 1700 : ends - 1699].sum() >= share - 1e-9
    size = ends - begins
    for start in range(len(chances) - size):
        assert size == 0 or chances[start : start + size].sum() < share + 1e-9


@given(st.lists(st.floats(0, 1), min_size=1, max_size=30))
def test_later_and_older_parts_are_means_of_the_years_on_and_back(heights):
    common = np.array(heights)
    for at in range(len(common)):
        assert later_than(common)[at] == pytest.approx(common[at:].mean())
        assert older_than(common)[at] == pytest.approx(common[: at + 1].mean())


def test_open_ends_of_a_trapezoid_are_none():
    line = np.arange(1600, 1971)
    assert trapezoid(line, None, None, 1700, 1750)[0] == 1
    assert trapezoid(line, 1846, 1850, None, None)[-1] == 1
    assert trapezoid(line, 1837, 1837, 1901, 1905)[1837 - 1600] == 1
    assert trapezoid(line, 1837, 1837, 1901, 1905)[1836 - 1600] == 0


# --- words ---


@pytest.mark.parametrize(
    ("said", "region", "key"),
    [
        ("screw_lathe_blunt", "any", "screw_lathe_blunt"), ("Screw lathe blunt", "any", "screw_lathe_blunt"),
        ("narrow-pinned", "UK", "dovetail_fine_hand_uk"), ("narrow-pinned", "US", "dovetail_fine_hand_us"),
        ("French polish", "any", "finish_french_polish"), ("mahogany", "UK", "wood_mahogany_uk"),
    ],
)  # fmt: skip
def test_plain_words_are_understood(said, region, key):
    assert feature_named(said, region).key == key


def test_a_survey_may_name_features_and_looks():
    assert date_words()["screw_lathe_blunt"] == ()
    assert date_words()["halves_differ"] == ("yes", "no")


def test_near_misses_are_answered_with_the_nearest():
    with pytest.raises(NoSuchFeature, match="Did you mean “screw_gimlet_point”"):
        feature_named("screw_gimlit_point")
    with pytest.raises(NoSuchFeature, match="It could be wood_mahogany_uk, wood_mahogany_us"):
        feature_named("mahogany")
    with pytest.raises(NoSuchStyle, match="Did you mean “uk_regency”"):
        style_named("uk_regencey")
    assert style_named("Regency", "UK") == "uk_regency"
