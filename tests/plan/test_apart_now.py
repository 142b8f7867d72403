"""What is off, what is back, which fixings still want an ending, and what goes back next."""

import json

from hypothesis import given, settings
from hypothesis import strategies as st

from entries import book, entries, off, refit
from pieces import chest, shop
from small_surveys import TOP, survey_with
from witnessmark.daybook import DayBook
from witnessmark.plan import Place, apart_now

SHA = "c" * 64
DRAWER = """
[[part]]
code = "DR"
name = "drawer"
[[part]]
code = "DR.F"
name = "its front"
of = "DR"
sat = "in the drawer"
up = "grain arrow up"
kept = "rack 2"
[[part]]
code = "KNOB"
name = "knob"
shape = "hardware"
[[joint]]
code = "J1"
parts = ["DR", "SIDE"]
held = ["slides"]
state = "loose"
withdraw = "forward"
[[joint]]
code = "J2"
parts = ["DR.F", "DR"]
held = ["nailed"]
[[joint.fixing]]
code = "N1"
[[joint]]
code = "J3"
parts = ["KNOB", "DR.F"]
held = ["screwed"]
state = "loose"
withdraw = "forward"
[[joint.fixing]]
code = "S1"
hole = "front"
"""
PHOTOGRAPH = f"""
[[photograph]]
sha256 = "{SHA}"
[[photograph.mark]]
code = "KNOB"
x = 0.4
y = 0.6
up = 90
[[photograph.mark]]
code = "S1"
x = 0.41
y = 0.62
"""


def drawer():
    return survey_with(TOP, DRAWER, PHOTOGRAPH)


def part(now, code):
    (found,) = [one for one in now.parts if one.code == code]
    return found


def of_chest(*said):
    return apart_now(chest(), book(*[(what, {**more, "piece": chest().id}) for what, more in said]), shop())


def test_before_anything_comes_off_all_of_it_is_on_and_nothing_is_open():
    now = apart_now(drawer(), DayBook())
    assert {one.place for one in now.parts} == {Place.ON}
    assert (now.open, now.to_put_back, now.off, now.together, now.holds) == ((), (), (), False, ())


def test_a_part_that_came_off_says_when_by_whom_and_shows_its_picture():
    (came,) = entries(off("KNOB", photograph="d" * 64, note="a drop of wax on it"))
    knob = part(apart_now(drawer(), DayBook.of([came])), "KNOB")
    assert (knob.place, knob.since, knob.who) == (Place.OFF, came.happened, "Ines")
    assert (knob.photograph, knob.note) == ("d" * 64, "a drop of wax on it")
    assert [(mark.x, mark.y, mark.up) for mark in knob.marks] == [(0.4, 0.6, 90)]
    (screw,) = knob.fixings
    assert [(mark.photograph, mark.x) for mark in screw.marks] == [(SHA, 0.41)]
    # Without a picture of its own the one it is marked on is shown.
    assert part(apart_now(drawer(), book(off("KNOB"))), "KNOB").photograph == SHA


def test_its_screws_are_open_and_those_of_joints_that_stay_shut_are_not():
    now = apart_now(drawer(), book(off("KNOB")))
    assert [fixing.says for fixing in now.open] == ["S1 of KNOB (front)"]
    assert now.holds == ("KNOB, knob: still off", "S1 of KNOB (front): still open")


def test_what_hangs_on_a_part_comes_along_and_its_nails_stay_in():
    now = apart_now(drawer(), book(off("DR")))
    front = part(now, "DR.F")
    assert (front.place, front.along) == (Place.OFF, "DR")
    assert (front.sat, front.up, front.kept) == ("in the drawer", "grain arrow up", "rack 2")
    assert [one.code for one in now.off] == ["DR"]
    assert now.open == ()


def test_a_part_off_by_itself_does_not_go_back_with_the_whole():
    now = apart_now(drawer(), book(off("DR"), off("KNOB"), refit("DR")))
    assert part(now, "DR").place is part(now, "DR.F").place is Place.BACK
    assert part(now, "KNOB").place is Place.OFF
    assert [one.part for one in now.to_put_back] == ["KNOB"]


def test_all_back_it_still_waits_for_the_screw():
    now = apart_now(drawer(), book(off("KNOB"), refit("KNOB")))
    assert now.to_put_back == ()
    assert now.holds == ("S1 of KNOB (front): still open",)
    assert not now.together
    ended = DRAWER.replace('code = "S1"', 'code = "S1"\nends = "replaced"\nby = "brass no. 6"')
    assert apart_now(survey_with(TOP, ended), book(off("KNOB"), refit("KNOB"))).together


def test_a_part_is_born_as_it_comes_off_before_the_survey_has_it():
    now = apart_now(drawer(), book(off("DR2")))
    assert (part(now, "DR2").known, part(now, "DR2").name, part(now, "DR").known) == (False, "", True)
    assert now.holds == ("DR2: still off",)


def test_the_top_takes_its_cleat_along_and_leaves_its_screws_open():
    now = of_chest(off("TOP"))
    assert part(now, "CLEAT").along == "TOP"
    assert {fixing.fixing.code for fixing in now.open} == {"B1", "B2", "B3", "B4", "S7", "S8", "S9"}  # J2, J3, J4
    assert "S1" in {fixing.fixing.code for fixing in part(now, "TOP").fixings}  # in the cleat: it stays in


def test_refit_is_the_takedown_in_reverse_with_its_glue_ups():
    taken = of_chest(off("LOCK"), off("TOP"), off("FOOT-BL"))
    order = [one.part for one in taken.to_put_back]
    assert order == ["FOOT-BL", "TOP", "LOCK"]
    foot, top, lock = taken.to_put_back
    assert lock.stage is None
    assert taken.stages[foot.stage - 1]["joints"] == ["J21"]
    assert taken.stages[top.stage - 1]["joints"] == ["J2", "J3"]
    assert {fixing.fixing.code for fixing in top.fixings} == {"B1", "B2", "B3", "B4", "S7", "S8", "S9"}


def test_what_nobody_planned_to_take_off_goes_back_first_the_last_off_before_the_others():
    now = of_chest(off("TOP"), off("DR1.F"), off("DR2.F"))
    assert [one.part for one in now.to_put_back] == ["DR2.F", "DR1.F", "TOP"]


def test_a_stage_that_is_glued_is_done():
    step = {"id": "glue_up.3", "trade_name": "glue up", "parts": ["FOOT-BL", "BOT"]}
    before = of_chest(off("FOOT-BL"))
    number = before.to_put_back[0].stage
    step["parts"] = before.stages[number - 1]["parts"]
    after = of_chest(off("FOOT-BL"), ("done", {"step": step}))
    assert after.stages[number - 1]["done"]
    assert after.to_put_back[0].stage is None
    assert [stage["number"] for stage in after.stages if stage["done"]] == [number]


def test_it_leaves_as_plain_json():
    shown = json.loads(json.dumps(of_chest(off("TOP"), refit("TOP"), off("LOCK")).as_json()))
    assert shown["off"] == ["LOCK"]
    assert shown["back"] == ["TOP"]
    assert set(shown) == {"parts", "off", "back", "open", "to_put_back", "glue_stages", "together", "holds"}


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.sampled_from([off, refit]), st.sampled_from(["DR", "DR.F", "KNOB", "TOP"])), max_size=7),
    st.randoms(use_true_random=False),
)
def test_a_part_is_off_back_or_on_whatever_order_it_was_told_in(said, random):
    told = entries(*[kind(code) for kind, code in said])
    twice = [*told, *told]
    random.shuffle(twice)
    now = apart_now(drawer(), DayBook.of(twice))
    assert now == apart_now(drawer(), DayBook.of(told))
    ever_off = {code for kind, code in said if kind is off}
    assert {one.code for one in now.came_off} == ever_off
    assert sorted(one.code for one in now.off) == sorted(one.part for one in now.to_put_back)
    assert now.together == (bool(ever_off) and not now.off and not now.open)
