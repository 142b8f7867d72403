"""The shop's days from real plans, and today's list, frozen once somebody has looked."""

import copy
from datetime import date, timedelta
from functools import cache
from itertools import count

import pytest

from pieces import NOW, PIECES, daybook, piece, shop
from witnessmark.daybook import DayBook, entry_in
from witnessmark.plan import plan_as_json, plan_piece, plan_shop, shop_problem, today_list
from witnessmark.schedule import faults_in, instant
from witnessmark.shop import Pin

CHEST, CHAIR, SLOPE, DRESSER = (piece(name).id for name in PIECES)
_numbers = count(1)


@cache
def _plan(name):
    return plan_as_json(plan_piece(piece(name), shop(), daybook(), NOW))


def plans(*names):
    return [copy.deepcopy(_plan(name)) for name in names or PIECES]


def entry(what, piece_id, step=None, hours_ago=1.0, who="Ines", **more):
    logged = {"id": step, "trade_name": step} if step else None
    table = {
        "id": f"01a20a00-0000-7000-8000-{next(_numbers):012x}", "what": what, "who": who, "piece": piece_id,
        "happened": (NOW - timedelta(hours=hours_ago)).isoformat(), **more,
    }  # fmt: skip
    return entry_in(table | ({"step": logged} if logged else {}), "test", shop().context)


def with_entries(*entries):
    return DayBook.of([*daybook().entries, *entries])


def row(problem, id_):
    return next(job for job in problem["jobs"] if job["id"] == id_)


def step_of(plan, step):
    return next(one for one in plan["steps"] if one["id"] == step)


# --- the problem ---


def test_the_demo_days_have_no_fault_and_nobody_is_in_two_places():
    problem = shop_problem(plans(), shop(), daybook(), NOW)
    calendar = plan_shop(plans(), shop(), daybook(), NOW)
    assert faults_in(problem, calendar) == ()
    assert {slot.piece for slot in calendar.slots} == {CHEST, CHAIR, SLOPE, DRESSER}
    steps = {(slot.piece, slot.step) for slot in calendar.slots if slot.kind != "wait"}
    assert steps == {(plan["piece"]["id"], step["id"]) for plan in plans() for step in plan["steps"]}


@pytest.mark.parametrize("name", PIECES)
def test_a_piece_alone_has_the_days_of_its_own_plan(name):
    (plan,) = plans(name)
    calendar = plan_shop([plan], shop(), daybook(), NOW)
    likely = instant(plan["days"]["likely"])
    # Both passes mix the jars a day ahead; the orders of alike jobs may differ by a day or two.
    assert abs(calendar.promises[0].likely - likely) < timedelta(days=4)


def test_a_laid_coat_leaves_the_others_and_the_wait_since_it():
    (plan,) = plans("chest")
    coat = entry("coat", CHEST, "thin_polish.show", hours_ago=2, minutes="70 min")
    problem = shop_problem([plan], shop(), with_entries(coat), NOW)
    left, laid = row(problem, f"{CHEST}/thin_polish.show"), row(problem, f"{CHEST}/thin_polish.show/laid")
    assert (left["sessions"], left["first"], left["of"]) == (2, 2, 3)
    assert left["minutes"]["p50"] == pytest.approx(step_of(plan, "thin_polish.show")["minutes"]["p50"] * 2 / 3)
    assert laid["fixed"][0]["end"] == "2026-11-25T06:00:00Z"
    assert laid["wait"] == left["between"]
    assert laid["id"] in left["after"]
    calendar = plan_shop([plan], shop(), with_entries(coat), NOW)
    sessions = {(slot.session, slot.done) for slot in calendar.slots if slot.step == "thin_polish.show"}
    assert sessions == {(1, True), (2, False), (3, False)}
    assert faults_in(problem, calendar) == ()


def test_all_coats_laid_are_the_step_done():
    (plan,) = plans("chest")
    coats = [entry("coat", CHEST, "thin_polish.show", hours_ago=n, minutes="70 min") for n in (50, 26, 2)]
    problem = shop_problem([plan], shop(), with_entries(*coats), NOW)
    assert len(row(problem, f"{CHEST}/thin_polish.show")["fixed"]) == 3


def test_a_jar_logged_as_mixed_is_waited_for_from_then():
    (plan,) = plans("chest")
    mixed = entry("mixed", CHEST, "mix.shellac", hours_ago=3, minutes="20 min")
    problem = shop_problem([plan], shop(), with_entries(mixed), NOW)
    calendar = plan_shop([plan], shop(), with_entries(mixed), NOW)
    assert row(problem, f"{CHEST}/mix.shellac")["fixed"]
    stir = next(slot for slot in calendar.slots if slot.step == "stir.shellac.1")
    assert stir.start.date() == date(2026, 11, 25)
    assert faults_in(problem, calendar) == ()


def test_glue_soaked_yesterday_is_fit_this_morning_in_the_plan_and_in_the_shop():
    soaked = with_entries(
        entry("done", SLOPE, "record.piece", hours_ago=23, minutes="30 min"),
        entry("done", SLOPE, "mix.glue", hours_ago=22, minutes="20 min"),
    )
    plan = plan_as_json(plan_piece(piece("slope"), shop(), soaked, NOW))
    assert step_of(plan, "secure_veneer.found")["starts"] == "2026-11-25T08:00:00Z"
    calendar = plan_shop([plan], shop(), soaked, NOW)
    assert min(slot.start for slot in calendar.slots if slot.step == "secure_veneer.found") == NOW


def test_of_a_step_that_is_begun_only_what_is_left_is_down():
    (plan,) = plans("chest")  # the demo's clean is begun
    begun = step_of(plan, "clean.show")
    left = row(shop_problem([plan], shop(), daybook(), NOW), f"{CHEST}/clean.show")["minutes"]
    assert 0 < left["p50"] < begun["minutes"]["p50"]
    assert left["p50"] < left["p80"] < left["p95"]


def test_whoever_started_a_clock_is_at_it():
    clock = entry("started", CHAIR, "record.piece", hours_ago=0.2, who="Ines")
    assert row(shop_problem(plans("chair"), shop(), with_entries(clock), NOW), f"{CHAIR}/record.piece")["who"] == [
        "Ines"
    ]
    stopped = with_entries(clock, entry("stopped", CHAIR, "record.piece", hours_ago=0.1, who="Ines"))
    assert row(shop_problem(plans("chair"), shop(), stopped, NOW), f"{CHAIR}/record.piece")["who"] == []


def test_a_pin_on_a_piece_is_a_promise_and_the_earlier_one_counts():
    (chest,) = shop_problem(plans("chest"), shop(), daybook(), NOW)["pieces"]
    assert piece("chest").piece.promised == date(2026, 12, 19)
    assert chest["promised"] == "2026-12-17"  # the van goes to the fair


def test_a_step_pinned_to_a_day_is_done_on_that_day():
    pin = Pin(piece="W2", step="open the loose joints only", on=date(2026, 12, 8))
    pinned = shop().model_copy(update={"pin": (*shop().pin, pin)})
    calendar = plan_shop(plans("chair"), pinned, daybook(), NOW)
    opened = [slot for slot in calendar.slots if slot.step == "open_joints.joints" and slot.kind != "wait"]
    assert {slot.start.date() for slot in opened} == {date(2026, 12, 8)}


# --- today's list ---


def listed(doc, who="Ines"):
    one = next(one for one in doc["people"] if one["name"] == who)
    return [(item["piece"], item["step"]) for item in one["items"]]


def test_today_has_what_the_calendar_has_down_for_today():
    calendar = plan_shop(plans(), shop(), daybook(), NOW)
    doc = today_list(calendar, None, shop(), NOW)
    today = [slot for slot in calendar.slots if slot.start.date() == NOW.date() and slot.who == "Ines"]
    assert listed(doc) == list(dict.fromkeys((slot.piece, slot.step) for slot in today))
    assert not next(one for one in doc["people"] if one["name"] == "Tobias")["works"]  # a Wednesday
    assert doc["date"] == "2026-11-25"


def test_a_list_that_was_read_stays_and_what_came_up_is_for_tomorrow():
    calendar = plan_shop(plans("chest", "chair"), shop(), daybook(), NOW)
    read = today_list(calendar, None, shop(), NOW)
    urgent = plans("slope")[0]
    urgent["piece"]["promised"] = "2026-12-04"
    later = NOW + timedelta(hours=2)
    new = plan_shop([*plans("chest", "chair"), urgent], shop(), daybook(), later, calendar.as_json())
    doc = today_list(new, read, shop(), later)
    assert listed(doc) == listed(read)
    assert doc["looked_at"] == read["looked_at"]
    ines = next(one for one in doc["people"] if one["name"] == "Ines")
    assert SLOPE in {item["piece"] for item in ines["tomorrow"]["items"]}
    starts = [(item["piece"], item["step"], item["start"]) for item in ines["items"]]
    assert starts == [(i["piece"], i["step"], i["start"]) for i in read["people"][0]["items"]]


def test_what_was_read_for_today_and_moved_stays_with_its_reason():
    calendar = plan_shop(plans("chair"), shop(), daybook(), NOW)
    read = today_list(calendar, None, shop(), NOW)
    noon = NOW + timedelta(hours=6)  # nothing was logged: the afternoon does not hold it all
    new = plan_shop(plans("chair"), shop(), daybook(), noon, calendar.as_json())
    doc = today_list(new, read, shop(), noon)
    assert listed(doc) == listed(read)
    moved = [item for item in doc["people"][0]["items"] if item["says"]]
    assert moved
    assert all(item["says"].startswith("moved because ") for item in moved)
    tomorrow = {item["step"]: item["says"] for item in doc["people"][0]["tomorrow"]["items"]}
    assert {item["step"] for item in moved} <= set(tomorrow)
    assert all(tomorrow[item["step"]] == item["says"] for item in moved)


def test_what_is_logged_as_done_is_done_on_the_list():
    calendar = plan_shop(plans("chair"), shop(), daybook(), NOW)
    read = today_list(calendar, None, shop(), NOW)
    book = with_entries(entry("done", CHAIR, "record.piece", hours_ago=-1, minutes="50 min"))
    later = NOW + timedelta(hours=1, minutes=5)
    fresh = plan_as_json(plan_piece(piece("chair"), shop(), book, later))
    doc = today_list(plan_shop([fresh], shop(), book, later, calendar.as_json()), read, shop(), later)
    assert listed(doc) == listed(read)
    done = {item["step"] for item in doc["people"][0]["items"] if item["done"]}
    assert done == {"record.piece"}


def test_what_is_no_longer_called_for_says_so():
    calendar = plan_shop(plans("chair"), shop(), daybook(), NOW)
    read = today_list(calendar, None, shop(), NOW)
    without = plan_shop(plans("chest"), shop(), daybook(), NOW, calendar.as_json())
    doc = today_list(without, read, shop(), NOW)
    assert {item["says"] for item in doc["people"][0]["items"]} == {"no longer called for"}


def test_yesterdays_list_holds_nobody_today():
    calendar = plan_shop(plans(), shop(), daybook(), NOW)
    old = today_list(calendar, None, shop(), NOW)
    old["date"] = "2026-11-24"
    assert today_list(calendar, old, shop(), NOW) == today_list(calendar, None, shop(), NOW)
