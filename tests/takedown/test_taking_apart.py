"""Taking apart as it is met at the bench: drawers, beds, chairs, panels, tops, and rings that nothing opens."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takedown.big import press
from takedown.made_up import ID, joint, part, piece, screw, steps
from witnessmark.documents import Faulty
from witnessmark.survey import KINDS, starter, survey_from
from witnessmark.takedown import CantPart, Offered, part_named, takedown


def freed(survey, code):
    return takedown(survey, part(survey, code))


def harm(taken):
    return taken.free.harm.value


# --- drawers ---


def drawer_on_runners(**more):
    return piece(
        [
            joint("J1", "DR RUN-L RUN-R", "forward", "slides"),
            joint("J2", "RUN-L SIDE-L", "right", state="loose", **more),
            joint("J3", "RUN-R SIDE-R", "left"),
            joint("J4", "SIDE-L TOP", "down"),
            joint("J5", "SIDE-R TOP", "down"),
        ],
        "chest",
    )


def test_a_drawer_held_by_its_runners_is_drawn_out_forward_at_no_harm():
    taken = freed(drawer_on_runners(), "DR")
    assert steps(taken) == [("DR", (), "forward")]
    assert harm(taken) == 0
    assert taken.opened == ("J1",)


def test_a_runner_comes_off_only_when_the_drawer_is_out():
    # As written the runner comes off to the right, where the drawer is.
    assert steps(freed(drawer_on_runners(), "RUN-L")) == [("DR", (), "forward"), ("RUN-L", (), "right")]


def test_of_itself_the_drawer_and_the_loose_runner_come_out_and_sound_joints_stay_shut():
    taken = takedown(drawer_on_runners())
    assert steps(taken) == [("DR", (), "forward"), ("RUN-L", (), "right")]
    assert taken.stays_shut == ("J3", "J4", "J5")
    assert taken.why_shut["J3"] == "sound"


def drawer_of_parts(front_state="tight"):
    return piece(
        [
            joint("J1", "DR CASE", "forward", "slides"),
            joint("J2", "DR.F DR.L DR.R", "forward", state=front_state),
            joint("J3", "DR.B DR.L DR.R", "up"),
            joint("J4", "DR.K DR.F", "forward", "screwed", hidden_metal="no"),
        ],
        **{f"DR.{bit}": {"of": "DR"} for bit in "FLRB"},
        **{"DR.K": {"of": "DR", "shape": "hardware"}},
    )


def test_a_drawer_is_drawn_out_whole_before_its_front_is_taken_off():
    taken = takedown(drawer_of_parts("loose"))
    assert steps(taken)[0] == ("DR", ("DR.F", "DR.L", "DR.R", "DR.B", "DR.K"), "forward")
    assert [take for take, _, _ in steps(taken)[1:]] == ["DR.K", "DR.F"]


def test_a_whole_that_is_only_a_name_comes_free_as_its_parts():
    taken = freed(drawer_of_parts(), "DR")
    assert taken.opened == ("J1",)
    assert set(taken.order[0].along) == {"DR.F", "DR.L", "DR.R", "DR.B", "DR.K"}


def test_a_part_that_only_says_what_it_is_part_of_hangs_on_that():
    survey = piece([joint("J1", "LID BOX", "up", "rests")], PLATE={"of": "LID"})
    taken = freed(survey, "PLATE")
    assert taken.order[-1].take == "PLATE"
    assert "Nobody wrote how it is held" in taken.order[-1].note
    assert taken.stays_shut == ("J1",)


# --- knock-down work ---


def bed():
    """Head and foot, each glued up; side rails with bolts that pull into the posts."""
    return piece(
        [
            joint("J1", "RAIL-H POST-HL", "right"),
            joint("J2", "RAIL-H POST-HR", "left"),
            joint("J3", "RAIL-F POST-FL", "right"),
            joint("J4", "RAIL-F POST-FR", "left"),
            joint("J5", "SIDE-L POST-HL", "forward", "bolted", fixing=[bolt("B1", "head, left")]),
            joint("J6", "SIDE-L POST-FL", "back", "bolted", fixing=[bolt("B2", "foot, left")]),
            joint("J7", "SIDE-R POST-HR", "forward", "bolted", fixing=[bolt("B3", "head, right")]),
            joint("J8", "SIDE-R POST-FR", "back", "bolted", fixing=[bolt("B4", "foot, right")]),
            joint("J9", "SLATS SIDE-L SIDE-R", "up", "rests"),
        ],
        "bed",
    )


def bolt(code, hole):
    return {"code": code, "kind": "bolt", "hole": hole}


def test_a_side_rail_of_a_bed_waits_until_a_whole_end_is_off():
    # Tongued at both ends it can't go alone: the foot moves as one.
    taken = freed(bed(), "SIDE-L")
    assert steps(taken) == [
        ("SLATS", (), "up"),
        ("POST-HL", ("RAIL-H", "POST-HR"), "back"),
        ("SIDE-L", (), "back"),
    ]
    assert harm(taken) == 3  # three bolts
    assert {"J1", "J2", "J3", "J4"} <= set(taken.stays_shut)


def test_bed_rails_that_hook_down_lift_out_one_by_one():
    ends = [("J1", "SIDE-L HEAD"), ("J2", "SIDE-L FOOT"), ("J3", "SIDE-R HEAD"), ("J4", "SIDE-R FOOT")]
    survey = piece([joint(code, parts, "up", "hooked") for code, parts in ends])
    assert steps(freed(survey, "SIDE-L")) == [("SIDE-L", (), "up")]


def test_bolts_and_hooks_that_hold_well_are_left_alone():
    taken = takedown(bed())
    assert steps(taken) == [("SLATS", (), "up")]


# --- chairs ---


def windsor(legs="tight", **more):
    """Two legs wedged through the seat, a stretcher between them, loose."""
    return piece(
        [
            joint("J1", "LEG-L SEAT", "down", ["wedged from above", "glued"], legs),
            joint("J2", "LEG-R SEAT", "down", ["wedged from above", "glued"], legs),
            joint("J3", "STR LEG-L", "right", state="loose", **more),
            joint("J4", "STR LEG-R", "left", state="loose", **more),
            joint("J5", "BOW SEAT", "up", "wedged"),
        ],
        "chair",
    )


def test_a_seat_wedged_from_above_keeps_its_legs():
    taken = takedown(windsor())
    assert taken.order == ()
    assert taken.stays_shut == ("J1", "J2", "J3", "J4", "J5")
    assert taken.why_shut["J3"] == "loose, but opening J1, J2 does grave harm"


def test_the_loose_stretcher_may_be_sprung_and_a_true_opening_names_every_joint():
    taken = takedown(windsor(play="0.5 mm", old_glue="hide glue", hidden_metal="no"))
    assert [(each.joint, each.offered) for each in taken.spring] == [("J3", Offered.YES), ("J4", Offered.YES)]
    # The stretcher can't leave between two legs that stand in one seat: the undercarriage comes out as one first.
    assert [each.opening for each in taken.spring] == [("J1", "J2", "J3"), ("J1", "J2", "J4")]
    assert "old glue inside" in taken.spring[0].leaves


def test_even_loose_legs_stay_where_the_wedge_would_have_to_be_bored_out():
    taken = takedown(windsor(legs="loose"))
    assert taken.order == ()
    assert "real harm" in taken.why_shut["J1"]


def test_freeing_the_seat_takes_what_is_in_it_and_nothing_else():
    taken = freed(windsor(), "SEAT")
    assert set(taken.opened) == {"J1", "J2", "J5"}
    # Legs and stretcher stay as one: it lifts off them.
    assert steps(taken) == [("BOW", (), "up"), ("SEAT", (), "up")]


def test_a_splat_between_crest_and_rail_comes_out_when_the_crest_is_off():
    survey = piece(
        [
            joint("J1", "CREST POST-L", "up"), joint("J2", "CREST POST-R", "up", "pegged"),
            joint("J3", "RAIL POST-L", "right"), joint("J4", "RAIL POST-R", "left"),
            joint("J5", "SPLAT CREST", "down"), joint("J6", "SPLAT RAIL", "up"),
        ]
    )  # fmt: skip
    taken = freed(survey, "SPLAT")
    assert set(taken.opened) == {"J1", "J2", "J5", "J6"}
    assert steps(taken) == [("CREST", (), "up"), ("SPLAT", (), "up")]


# --- panels and frames ---


def framed_panel(panel_way="don't know"):
    return piece(
        [
            joint("J1", "STILE-L RAIL-T", "left", "pegged"),
            joint("J2", "STILE-L RAIL-B", "left", "pegged"),
            joint("J3", "STILE-R RAIL-T", "right", "glued"),
            joint("J4", "STILE-R RAIL-B", "right", "glued"),
            joint("J5", "PANEL RAIL-T RAIL-B STILE-L STILE-R", panel_way, "captured"),
        ]
    )


def test_a_captured_panel_comes_out_by_the_gentler_of_its_stiles():
    taken = freed(framed_panel(), "PANEL")
    assert set(taken.opened) == {"J1", "J2", "J5"}  # pegged 25 each, glued 30
    assert harm(taken) == 50
    assert taken.order[-1].take == "PANEL"


def test_a_panel_in_a_sound_frame_stays_of_itself():
    taken = takedown(framed_panel())
    assert taken.order == ()


def test_a_shelf_slides_out_only_when_what_it_runs_against_is_gone():
    survey = piece(
        [
            joint("J1", "SHELF SIDE-L SIDE-R", "forward", "slides"),
            joint("J2", "SHELF DOOR-STOP", "back", "rests"),
            joint("J3", "DOOR-STOP SIDE-L", "forward", "screwed", fixing=[screw("S1", "left")]),
            joint("J4", "SIDE-L BOT", "up"), joint("J5", "SIDE-R BOT", "up"),
        ]
    )  # fmt: skip
    taken = freed(survey, "SHELF")
    assert steps(taken) == [("DOOR-STOP", (), "forward"), ("SHELF", (), "forward")]
    assert taken.free.first_off == ("DOOR-STOP",)
    assert taken.free.fixings == ("S1",)


def crossing_frame(last_way):
    """Four corners that pull two ways: left at the top, up at the bottom."""
    return piece(
        [
            joint("J1", "STILE-L RAIL-T", "left"),
            joint("J2", "STILE-L RAIL-B", "up"),
            joint("J3", "STILE-R RAIL-T", "right" if last_way == "up" else "up"),
            joint("J4", "STILE-R RAIL-B", last_way),
        ]
    )


def test_a_frame_whose_joints_pull_on_crossing_axes_comes_apart_in_groups():
    taken = freed(crossing_frame("up"), "STILE-L")
    # It can't go alone: the bottom rail leaves it and its fellows downward, then it goes to the left.
    assert steps(taken) == [("RAIL-B", (), "down"), ("STILE-L", (), "left")]
    assert set(taken.opened) == {"J1", "J2", "J4"}


def test_a_ring_of_crossing_axes_is_refused_with_its_parts_named():
    with pytest.raises(CantPart) as reason:
        freed(crossing_frame("left"), "STILE-L")
    said = str(reason.value)
    for code in ("STILE-L", "RAIL-T", "RAIL-B", "STILE-R"):
        assert code in said
    assert "J1 lets STILE-L go from RAIL-T to the left only" in said
    assert "withdraw" in said


def test_a_loose_joint_in_a_ring_is_refused_too():
    survey = piece(
        [
            joint("J1", "A B", "left", state="loose"), joint("J2", "A C", "up"), joint("J3", "D B", "up"),
            joint("J4", "D C", "left"), joint("J5", "KNOB A", "forward", "screwed"),
        ]
    )  # fmt: skip
    with pytest.raises(CantPart, match="J1 is loose, but A can't come free: A, B, C and D hold one another"):
        takedown(survey)


def test_only_the_ring_is_named_not_all_that_hangs_on_it():
    survey = piece(
        [
            joint("J1", "A B", "left"), joint("J2", "A C", "up"), joint("J3", "D B", "up"), joint("J4", "D C", "left"),
            *(joint(f"K{number}", f"X{number} A", "forward", "screwed") for number in range(9)),
        ]
    )  # fmt: skip
    with pytest.raises(CantPart) as reason:
        freed(survey, "A")
    assert "X3" not in str(reason.value)


def test_two_parts_that_are_said_to_part_two_ways_at_once():
    survey = piece([joint("J1", "A B", "left"), joint("J2", "A B", "up")])
    with pytest.raises(CantPart, match="A and B hold one another"):
        freed(survey, "A")


def test_a_joint_not_to_be_opened_is_named_when_it_is_in_the_way():
    survey = piece([joint("J1", "A B", "up", state="don't open"), joint("J2", "B C", "up")])
    with pytest.raises(CantPart, match="A can't come free: it would take J1, marked “don't open”"):
        freed(survey, "A")
    assert freed(survey, "C").opened == ("J2",)


# --- tops, screws, what is hidden ---


def screwed_top(**more):
    screws = [screw("S1", "left, back"), screw("S2", "right, back", ends="replaced", by="a brass no. 8")]
    blocks = [{"code": "B1", "kind": "glue block", "hole": "front"}]
    return piece(
        [
            joint("J1", "TOP SIDE-L SIDE-R", "up", "screwed", fixing=[*screws, *blocks], behind=["DR"], **more),
            joint("J2", "DR SIDE-L SIDE-R", "forward", "slides"),
            joint("J3", "BOT SIDE-L SIDE-R", "down"),
        ],
        "chest",
    )


def test_a_top_screwed_from_inside_waits_for_the_drawer_before_the_screws():
    taken = freed(screwed_top(), "TOP")
    assert steps(taken) == [("DR", (), "forward"), ("TOP", (), "up")]
    assert harm(taken) == 9  # screws 3, glue blocks 6
    assert [fixing.code for fixing in taken.order[1].fixings] == ["S1", "S2", "B1"]


def test_hidden_metal_is_looked_for_before_anything_is_pulled():
    assert freed(screwed_top(), "TOP").order[1].note.startswith("First look for the last man's screw under a plug.")
    assert freed(screwed_top(), "TOP").looks == ("J1",)
    assert freed(screwed_top(hidden_metal="no"), "TOP").looks == ()


def test_hidden_metal_that_is_known_comes_out_first_and_counts():
    survey = piece([joint("J1", "A B", "up", hidden_metal="yes")])
    taken = freed(survey, "A")
    assert taken.order[0].note.startswith("Find the hidden metal")
    assert harm(taken) == 40  # 30 of tight glue, 10 of the metal
    nailed = piece([joint("J1", "A B", "up", ["glued", "nailed"], hidden_metal="yes")])
    assert harm(freed(nailed, "A")) == 50  # the nails are the metal: counted once


def rail_behind_a_plate(plate_held):
    return piece(
        [
            joint("J1", "RAIL SIDE", "forward", state="loose"),
            joint("J2", "RAIL PLATE", "back", "rests"),
            joint("J3", "PLATE SIDE", "forward", plate_held),
        ]
    )


def test_a_sound_screw_is_drawn_to_reach_a_loose_joint_but_sound_glue_is_not():
    assert set(takedown(rail_behind_a_plate("screwed")).opened) == {"J1", "J2", "J3"}
    kept = takedown(rail_behind_a_plate("glued"))
    assert kept.opened == ()
    assert kept.why_shut["J1"] == "loose, but opening J3 does real harm"


def test_hardware_comes_off_and_that_without_a_joint_is_said():
    survey = piece(
        [joint("J1", "LOCK LID", "back", "screwed"), joint("J2", "LID BOX", "up", "hooked")],
        LOCK={"shape": "hardware"}, STUD={"shape": "hardware"}, FELT={"shape": "cloth"},
    )  # fmt: skip
    taken = takedown(survey)
    assert steps(taken) == [("STUD", (), None), ("LOCK", (), "back")]
    assert "Nobody wrote where it sits" in taken.order[0].note
    assert taken.warnings == ("no joint is written for FELT: they are not reckoned with",)


def test_what_nobody_wrote_a_way_for_says_so():
    taken = freed(piece([joint("J1", "A B")]), "A")
    assert taken.order[0].way is None
    assert "Nobody wrote which way it comes" in taken.order[0].note


def test_hinges_fall_free_of_the_door():
    survey = piece([joint("J1", "DOOR HINGE SIDE", "forward", "screwed")], HINGE={"shape": "hardware", "count": 2})
    taken = takedown(survey)
    assert taken.opened == ("J1",)
    assert {each.take for each in taken.order} | {"SIDE"} >= {"HINGE"}


def test_of_two_ways_to_a_part_the_gentler_is_taken_even_when_it_moves_more():
    # A lifts once B is off, and B goes to the right: by its own glue, or with C and D by two screws.
    survey = piece(
        [
            joint("J1", "A E", "up", "rests"),
            joint("J2", "B A", "right", "rests"),
            joint("J3", "B C", "right", "glued"),
            joint("J4", "C E", "right", "screwed"),
            joint("J5", "C D", "up", "glued"),
            joint("J6", "D E", "right", "screwed"),
        ]
    )
    taken = freed(survey, "A")
    assert harm(taken) == 6
    assert set(taken.opened) == {"J1", "J2", "J4", "J6"}
    # B, C and D to the right, which is A and E to the left of them.
    assert steps(taken) == [("A", ("E",), "left"), ("A", (), "up")]


# --- names, size ---


def test_a_part_is_known_by_code_or_name_and_a_miss_by_the_nearest():
    survey = piece([joint("J1", "TOP SIDE", "up")], TOP={"name": "the top"}, SIDE={"name": "left side"})
    assert part_named(survey, "top").code == part_named(survey, "The  Top").code == "TOP"
    with pytest.raises(Faulty, match="Did you mean “left side”"):
        part_named(survey, "left syde")


def test_a_name_that_several_parts_have_asks_for_the_code():
    survey = piece([joint("J1", "A B", "up")], A={"name": "leg"}, B={"name": "leg"})
    with pytest.raises(Faulty, match="A, B all go by that name"):
        part_named(survey, "leg")


def test_a_part_nothing_holds_is_free_already():
    survey = piece([joint("J1", "A B", "up")], C={})
    assert freed(survey, "C").free.joints == ()
    assert freed(survey, "C").order == ()


def test_a_press_of_two_hundred_parts_is_taken_apart_at_once():
    survey = press()
    assert len(survey.part) > 200
    taken = takedown(survey)
    assert [each.take for each in taken.order[:24]] == [f"D{number}" for number in range(24)]
    # A rail between two sides: one of the sides must leave two dozen joints for it, and that is proved the least.
    rail = freed(survey, "RAIL5")
    assert rail.free.proved
    assert rail.order[-1].take == "RAIL5"


@pytest.mark.parametrize("kind", KINDS)
def test_a_survey_just_begun_blocks_nothing(kind):
    survey = survey_from(starter(kind, ID), kind)
    taken = takedown(survey)
    assert set(taken.stays_shut) | set(taken.opened) == {each.code for each in survey.joint}
    for each in survey.part:
        assert takedown(survey, each).free.part == each.code


@settings(max_examples=100)
@given(st.data())
def test_wholes_of_any_depth_come_apart_or_are_refused(data):
    codes = [f"P{number}" for number in range(data.draw(st.integers(3, 7)))]
    # A part of an earlier one only: nothing is part of itself.
    some = [at for at in range(1, len(codes)) if data.draw(st.booleans())]
    wholes = {codes[at]: {"of": data.draw(st.sampled_from(codes[:at]))} for at in some}
    pairs = st.lists(st.sampled_from(codes), min_size=2, max_size=3, unique=True)
    held = st.sampled_from(["slides", "glued", "screwed", "captured"])
    way = st.sampled_from(["up", "left", "don't know"])
    joints = [
        joint(f"J{number}", " ".join(data.draw(pairs)), data.draw(way), data.draw(held), "loose")
        for number in range(data.draw(st.integers(1, 7)))
    ]
    survey = piece(joints, **{code: {} for code in codes} | wholes)
    for free in (None, part(survey, data.draw(st.sampled_from(codes)))):
        try:
            taken = takedown(survey, free)
        except CantPart:
            continue
        off = [code for each in taken.order for code in (each.take, *each.along)]
        assert set(off) <= set(codes)
        assert not set(taken.opened) & set(taken.stays_shut)
