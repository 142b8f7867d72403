"""Springing, refitting, and gluing up by stages."""

import pytest

from takedown.made_up import HOT, frame, glue, joint, part, piece, screw
from witnessmark.quantities import Length, Span, Temperature, usual
from witnessmark.survey import Ends
from witnessmark.takedown import Hands, Offered, glue_stages, takedown

LIQUID = glue("liquid_hide_glue", 10, (18, 30))
PVA = glue("pva_white", 4, (16, 32))


# --- springing ---


def loose(**more):
    facts = {"play": "0.5 mm", "old_glue": "hide glue", "hidden_metal": "no"} | more
    held = facts.pop("held", "glued")
    return piece([joint("J1", "RAIL LEG", "left", held, facts.pop("state", "loose"), **facts)])


def sprung(survey, with_glue=HOT):
    (each,) = takedown(survey, glue=with_glue).spring
    return each


def test_play_old_hide_glue_and_no_metal_may_be_sprung():
    each = sprung(loose())
    assert each.offered is Offered.YES
    assert each.opening == ("J1",)
    assert "it may want doing again" in each.leaves


@pytest.mark.parametrize(
    ("facts", "offered", "why"),
    [
        ({"play": "don't know"}, Offered.ASK, "Try how far it gives: between 0.2 mm and 0.8 mm"),
        ({"play": "0.1 mm"}, Offered.NO, "no glue runs in under 0.2 mm"),
        ({"play": "0 mm"}, Offered.NO, "no glue runs in"),
        ({"play": "2 mm"}, Offered.NO, "taken apart and packed"),
        ({"play": "0.1 to 0.6 mm"}, Offered.ASK, "try again"),
        ({"old_glue": "don't know"}, Offered.ASK, "drop of warm water"),
        ({"old_glue": "epoxy"}, Offered.NO, "No new glue takes on epoxy"),
        ({"old_glue": "the brown stuff"}, Offered.ASK, "“the brown stuff”, is none we know"),
        ({"old_glue": "old glue"}, Offered.ASK, "drop of warm water"),
        ({"hidden_metal": "don't know"}, Offered.ASK, "last man's screw"),
        ({"hidden_metal": "yes"}, Offered.NO, "Metal in it"),
        ({"held": ["glued", "nailed"]}, Offered.NO, "Metal in it"),
        ({"held": "don't know"}, Offered.ASK, "See what holds it"),
    ],
)
def test_what_speaks_against_springing_or_must_be_found_out(facts, offered, why):
    each = sprung(loose(**facts))
    assert each.offered is offered
    assert why in " ".join(each.why)


def test_a_glue_that_fills_nothing_allows_less_play():
    assert sprung(loose(), glue(fills="low")).offered is Offered.NO


def test_glue_that_wants_bare_wood_is_not_run_in():
    assert "needs bare wood" in " ".join(sprung(loose(), PVA).why)


def test_a_sound_joint_or_one_without_glue_is_not_asked_about():
    assert takedown(loose(state="tight")).spring == ()
    assert takedown(loose(held="screwed")).spring == ()


# --- refit ---


def lid(ends="open", **more):
    return piece(
        [joint("J1", "LID BOX", "up", "screwed", "loose", fixing=[screw("S1", "left, back", ends=ends, **more)])]
    )


def test_each_fixing_goes_back_to_its_own_hole_and_is_off_until_it_has_an_ending():
    taken = takedown(lid())
    (fixing,) = taken.refit[0].fixings
    assert (fixing.code, fixing.hole, fixing.ends) == ("S1", "left, back", Ends.OPEN)
    assert [(each.part, each.fixings) for each in taken.still_off] == [("LID", (fixing,))]
    assert not taken.together


@pytest.mark.parametrize(
    ("ends", "more", "note"),
    [
        ("back", {}, ""),
        ("not going back", {"why": "a later screw"}, "S1 stays out: a later screw."),
        ("replaced", {"by": "a brass no. 8"}, "S1 is replaced by a brass no. 8."),
    ],
)
def test_a_fixing_with_its_ending_holds_nothing_up(ends, more, note):
    taken = takedown(lid(ends, **more))
    assert taken.together
    assert taken.refit[0].note == note


def test_a_fixing_that_lies_by_is_still_off_though_its_joint_was_not_opened_here():
    survey = piece([joint("J1", "A B", "up", "nailed", fixing=[screw("S1", kept="card 3"), screw("S2")])])
    assert [[fixing.code for fixing in each.fixings] for each in takedown(survey).still_off] == [["S1"]]


def test_a_drawer_goes_in_last_and_only_when_the_carcase_is_square():
    survey = piece(
        [joint("J1", "DR SIDE", "forward", "slides"), joint("J2", "BACK SIDE", "back", "nailed", "loose")], "chest"
    )
    refit = takedown(survey).refit
    assert [each.part for each in refit] == ["BACK", "DR"]
    assert refit[-1].note == "Fit it only when the carcase is square and in condition."


# --- gluing up ---


def stages(survey, with_glue=HOT, hands=None, others=(), free=None):
    taken = takedown(survey, free and part(survey, free), with_glue)
    return glue_stages(survey, taken, with_glue, hands or Hands(), others)


def seconds(stage):
    span = stage.seconds.value
    return span.usual.minutes * 60


def test_a_frame_that_fits_the_open_time_is_glued_and_squared_as_a_whole():
    (stage,) = stages(frame())
    assert set(stage.joints) == {"J1", "J2", "J3", "J4"}
    assert seconds(stage) == 4 * 45  # four corners at 45 s each
    assert stage.fits
    assert "Check the diagonals before the cramps bite." in stage.notes


def test_with_a_quick_glue_it_is_glued_stile_by_stile():
    first, second = stages(frame(), glue(minutes=2))
    assert set(first.joints) | set(second.joints) == {"J1", "J2", "J3", "J4"}
    assert seconds(first) == seconds(second) == 90
    assert first.fits
    assert second.fits


def test_two_pairs_of_hands_halve_the_time():
    (stage,) = stages(frame(), glue(minutes=2), Hands(people=2))
    assert (stage.people, seconds(stage)) == (2, 90)


def test_hands_that_are_not_needed_are_not_counted():
    (stage,) = stages(frame(), hands=Hands(people=3))
    assert stage.people == 1


def test_what_can_not_be_shared_between_stages_says_that_it_does_not_fit():
    slow = [glue("hide_glue_135g", 6.5), LIQUID, glue("epoxy_slow", 60, (10, 30))]
    for stage in stages(frame(), glue(minutes=1), others=slow):
        assert not stage.fits
        # The quickest of those that give time enough, and hide glue before what does not come undone.
        assert "take a slower glue, such as hide glue 135g" in " ".join(stage.notes)


def test_without_a_slower_glue_it_asks_for_hands():
    (stage, *_) = stages(frame(), glue(minutes=1))
    assert "get more hands" in " ".join(stage.notes)


def test_a_glue_without_an_open_time_is_tried_on_waste():
    (stage,) = stages(frame(), glue("glue_size", minutes=None))
    assert stage.fits is None
    assert "No open time is known" in " ".join(stage.notes)


def test_sub_assemblies_are_glued_before_what_they_go_into():
    survey = piece(
        [
            joint("J1", "STR LEG-L", "right", state="loose"), joint("J2", "STR LEG-R", "left", state="loose"),
            joint("J3", "LEG-L SEAT", "down", state="loose"), joint("J4", "LEG-R SEAT", "down", state="loose"),
        ],
        "chair",
    )  # fmt: skip
    order = [set(stage.joints) for stage in stages(survey, glue(minutes=2))]
    assert order == [{"J1", "J2"}, {"J3", "J4"}]
    assert "Stand it on a flat board: all its feet must touch." in stages(survey, glue(minutes=2))[-1].notes


def test_cramps_are_counted_by_length_and_what_is_short_is_said():
    # A rail of 400 mm between stiles of 60 mm; no cramp is planned that the longest part could not need.
    have = ((Length(600), 4), (Length(1000), 1))
    staged = stages(frame(), hands=Hands(cramps=have))
    need = staged[0].cramps[0]
    assert need.length.value == Length(700 + 2 * 70 + 100)
    assert (need.count, need.have, need.short_by) == (2, 1, 1)
    assert "Short of 1 cramp of" in " ".join(staged[0].notes)


def test_cramps_of_one_length_in_two_rows_are_all_counted():
    have = ((Length(1000), 2), (Length(1000), 2))
    (stage,) = stages(frame(), hands=Hands(cramps=have))
    assert stage.cramps[0].have == 4


def test_a_long_cramp_serves_where_a_short_one_would_but_only_once():
    sizes = {"A": "900 x 50 x 20 mm", "B": "900 x 50 x 20 mm", "C": "300 x 50 x 20 mm", "D": "300 x 50 x 20 mm"}
    survey = piece(
        [joint("J1", "A B", "up", state="loose"), joint("J2", "C D", "up", state="loose"), joint("J3", "B D", "left")],
        **{code: {"size": size} for code, size in sizes.items()},
    )  # fmt: skip
    first, second = stages(survey, hands=Hands(cramps=((Length(1200), 1),)))
    assert (first.cramps[0].have, second.cramps[0].have) == (1, 1)  # two stages: it is off again
    assert {need.length.value.millimetres for stage in (first, second) for need in stage.cramps} == {1100, 500}


def test_without_sizes_the_length_of_a_cramp_is_not_guessed():
    survey = piece([joint("J1", "A B", "up", state="loose")])
    (stage,) = stages(survey)
    assert stage.cramps[0].length is None


def test_what_pulls_itself_home_wants_no_cramp():
    survey = piece([joint("J1", "A B", "up", ["glued", "pegged"], "loose")])
    assert stages(survey)[0].cramps == ()


def test_a_captured_panel_is_polished_before_it_is_framed():
    staged = stages(frame(panel=True))
    assert "Polish PANEL before it is framed." in " ".join(note for stage in staged for note in stage.notes)


def test_joints_without_glue_are_in_no_stage():
    survey = piece([joint("J1", "A B", "up", "screwed", "loose")])
    assert stages(survey) == ()


def test_a_joint_that_stays_shut_and_may_be_sprung_has_a_stage_of_its_own():
    facts = {"play": "0.5 mm", "old_glue": "hide glue", "hidden_metal": "no"}
    survey = piece(
        [
            joint("J1", "LEG-L SEAT", "down", "wedged from above"),
            joint("J2", "LEG-R SEAT", "down", "wedged from above"),
            joint("J3", "STR LEG-L", "right", state="loose", **facts),
            joint("J4", "STR LEG-R", "left", state="loose", **facts),
        ]
    )
    assert [(stage.joints, stage.sprung) for stage in stages(survey)] == [(("J3",), True), (("J4",), True)]
    assert stages(survey)[0].notes[0].startswith("Spring it just open")


def test_a_part_that_stands_for_several_is_counted_once_and_says_so():
    survey = piece([joint("J1", "RUN SIDE", "up", state="loose")], RUN={"count": 8})
    (stage,) = stages(survey)
    assert seconds(stage) == 45
    assert "RUN stands for 8: this is one of them, done as often." in stage.notes


# --- the shop's warmth ---


def test_a_cold_shop_shortens_the_open_time_of_hot_glue_and_of_no_other():
    cold, warm = Temperature(12), Temperature(24)
    times = [usual(HOT.open_for(shop).value) for shop in (cold, Temperature(20), warm)]
    assert times == sorted(set(times))
    assert LIQUID.open_for(cold).value == Span(10)
    assert HOT.open_for(None).value == Span(5)


def test_at_the_shop_of_the_table_the_table_holds():
    assert HOT.open_for(Temperature(20)).value.minutes == pytest.approx(5)


def test_a_hot_shop_is_reckoned_as_a_warm_one():
    assert HOT.open_for(Temperature(40)).value == HOT.open_for(Temperature(26)).value


def test_the_cold_parts_a_stage_in_two():
    assert len(stages(frame(), glue(minutes=3.2))) == 1
    assert len(stages(frame(), glue(minutes=3.2), Hands(shop=Temperature(8)))) == 2


def test_a_glue_worked_as_it_comes_wants_its_warmth():
    (stage,) = stages(frame(), LIQUID, Hands(shop=Temperature(10)))
    assert "Too cold for this glue: warm shop and parts to 18 °C first." in stage.notes
