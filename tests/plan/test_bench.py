"""The bench's one document: ready or not, the jar's reach before a coat, what waits, what is due, and the wall's."""

import copy
import json
import time
from datetime import timedelta
from functools import cache
from itertools import count

import pytest
from jsonschema import Draft202012Validator

from pieces import NOW, PIECES, daybook, piece, shop
from witnessmark.daybook import DayBook, entry_in
from witnessmark.plan import bench_of, bench_schema, plan_as_json, plan_piece, plan_shop, today_list, wall_of
from witnessmark.plan.wall import initials_of
from witnessmark.quantities import from_json
from witnessmark.schedule import instant, stamp

CHEST, CHAIR, SLOPE, DRESSER = (piece(name).id for name in PIECES)
_numbers = count(1)


@cache
def _plan(name):
    return plan_as_json(plan_piece(piece(name), shop(), daybook(), NOW))


def plans(*names):
    return [copy.deepcopy(_plan(name)) for name in names or PIECES]


def entry(what, piece_id="", step=None, ago=1.0, who="Ines", **more):
    logged = {"id": step, "trade_name": step} if step else None
    table = {
        "id": f"01a20b00-0000-7000-8000-{next(_numbers):012x}", "what": what, "who": who, "piece": piece_id,
        "happened": (NOW - timedelta(hours=ago)).isoformat(), **more,
    }  # fmt: skip
    return entry_in(table | ({"step": logged} if logged else {}), "test", shop().context)


def book(*entries):
    return DayBook.of([*daybook().entries, *entries])


def replanned(name, daybook_, now=NOW):
    return plan_as_json(plan_piece(piece(name), shop(), daybook_, now))


def bench(some=None, daybook_=None, now=NOW, today=None):
    some, daybook_ = some or plans(), daybook_ or daybook()
    calendar = plan_shop(some, shop(), daybook_, now)
    return bench_of(some, shop(), daybook_, now, calendar, today or today_list(calendar, None, shop(), now), 7)


def on_the_list(piece_id, step, session=1, of=1, who="Ines"):
    """Today's list with this one item."""
    item = {
        "piece": piece_id, "step": step, "session": session, "of": of, "trade_name": step, "kind": "labour",
        "start": stamp(NOW), "end": stamp(NOW + timedelta(hours=1)), "done": False, "says": "",
    }  # fmt: skip
    people = [{"name": who, "works": True, "items": [item], "tomorrow": {"date": None, "items": []}}]
    return {"date": "2026-11-25", "looked_at": stamp(NOW), "people": people}


def item_in(doc):
    (item,) = (*doc["people"][0]["ready"], *doc["people"][0]["then"], *doc["people"][0]["done"])
    return item


def faults(doc):
    return [f"{error.json_path}: {error.message}" for error in Draft202012Validator(bench_schema()).iter_errors(doc)]


# --- the document ---


def test_the_schema_is_a_schema():
    Draft202012Validator.check_schema(bench_schema())


@pytest.mark.parametrize("hours", [0, 3, 9, 24, 200])
def test_the_demo_bench_fits_its_schema_at_any_hour(hours):
    now = NOW + timedelta(hours=hours)
    doc = bench(now=now)
    assert faults(doc) == []
    assert json.loads(json.dumps(doc)) == doc
    assert doc["cursor"] == 7


def test_a_bench_that_is_not_one_does_not_fit():
    doc = bench()
    doc["people"][0]["ready"][0]["undo"] = "perhaps"
    assert faults(doc)


def test_a_busy_bench_fits_its_schema():
    busy = book(
        entry("air", ago=0.5, temperature="12 °C", rh="80 %"),
        entry("started", CHAIR, "record.piece", ago=0.5),
        entry("started", CHEST, "clean.show", ago=17, who="Tobias"),
        entry("done", SLOPE, "record.piece", ago=0.2, minutes="30 min"),
        entry("coat", CHEST, "thin_polish.show", ago=0.3, minutes="60 min"),
    )
    doc = bench([replanned(name, busy) for name in PIECES], busy)
    assert faults(doc) == []
    assert doc["timers"]
    assert doc["asks"]
    assert doc["waiting"]
    assert faults(bench([replanned("chest", busy)], busy, today=on_the_list(CHEST, "thin_polish.show", 2, 3))) == []


def test_a_piece_that_left_since_does_not_break_the_bench():
    calendar = plan_shop(plans(), shop(), daybook(), NOW)
    read = today_list(calendar, None, shop(), NOW)
    left = plans("chest", "chair")
    new = plan_shop(left, shop(), daybook(), NOW, calendar.as_json())
    doc = bench_of(left, shop(), daybook(), NOW, new, today_list(new, read, shop(), NOW))
    assert faults(doc) == []
    gone = [item for item in doc["people"][0]["then"] if item["piece"] is None]
    assert {item["says"] for item in gone} == {"no longer called for"}


# --- ready, then, done ---


def test_ready_is_what_nothing_holds_up_and_the_rest_says_what_does():
    doc = bench(plans("chair"))
    ines = doc["people"][0]
    assert [item["step"]["id"] for item in ines["ready"]] == ["record.piece"]
    dust = next(item for item in ines["then"] if item["step"]["id"] == "dust_off.piece")
    assert dust["after"] == [
        {"step": "record.piece", "trade_name": "photograph and record as found", "until": None, "jar": False}
    ]
    assert dust["ready_at"] is None


def test_what_dries_holds_the_next_step_until_it_is_over():
    wet = book(entry("done", CHAIR, "clean.show", ago=2, minutes="40 min"))
    doc = bench([replanned("chair", wet)], wet, today=on_the_list(CHAIR, "dewax_spots.found"))
    item = item_in(doc)
    assert not item["ready"]
    held = next(one for one in item["after"] if one["step"] == "clean.show")
    assert instant(held["until"]) == NOW + timedelta(hours=10)  # twelve from six in the morning
    waiting = next(one for one in doc["waiting"] if one["step"] == "clean.show")
    assert waiting["until"] == held["until"]
    assert waiting["left_minutes"] == (instant(held["until"]) - NOW).total_seconds() / 60
    assert "take the wax off where it is touched up" in waiting["then"]


def test_done_today_is_under_done():
    busy = book(entry("done", CHAIR, "record.piece", ago=0.1, minutes="5 min"))
    doc = bench([replanned("chair", busy)], busy)
    assert [item["step"]["id"] for item in doc["people"][0]["done"]] == ["record.piece"]
    assert "dust_off.piece" in [item["step"]["id"] for item in doc["people"][0]["ready"]]


def test_padding_is_sessions_and_each_has_its_number():
    item = item_in(bench(plans("chest"), today=on_the_list(CHEST, "thin_polish.show", 2, 3)))
    assert item["session"] == {"number": 2, "of": 3, "word": "session", "says": "session 2 of 3"}


def test_wet_work_is_begun_early_enough_not_to_be_broken_off():
    item = item_in(bench(plans("chest"), today=on_the_list(CHEST, "thin_polish.show", 1, 3)))
    # Ines closes at 17:00; a session is a third of the minutes, at 55 % of the hour.
    step = next(step for step in plans("chest")[0]["steps"] if step["id"] == "thin_polish.show")
    clock = step["minutes"]["p50"] / 3 / 0.55
    assert (instant("2026-11-25T17:00:00Z") - instant(item["by"])).total_seconds() / 60 == pytest.approx(clock, abs=1)
    assert item["by_why"] == "it is not broken off at closing"


def test_minutes_are_those_of_one_session():
    item = item_in(bench(plans("chest"), today=on_the_list(CHEST, "thin_polish.show", 1, 3)))
    step = next(step for step in plans("chest")[0]["steps"] if step["id"] == "thin_polish.show")
    assert item["minutes"]["p50"] == pytest.approx(step["minutes"]["p50"] / 3)


# --- amounts and the jar ---


def test_amounts_are_said_as_the_jug_shows_them_with_the_sum_beside():
    item = item_in(bench(plans("chest"), today=on_the_list(CHEST, "thin_polish.show", 1, 3)))
    (amount,) = (one for one in item["amounts"] if one["material"] == "shellac_french_polish")
    whole = next(
        need["amount"]
        for step in plans("chest")[0]["steps"] if step["id"] == "thin_polish.show"
        for need in step["amounts"] if need["material"] == "shellac_french_polish"
    )  # fmt: skip
    assert amount["exact"]["value"] == pytest.approx(whole["value"] / 3)
    assert amount["exact"]["high"] == pytest.approx(whole["high"] / 3)
    usually, safe = amount["says"].removesuffix(" to be safe").split("; have ")
    assert usually.endswith(" ml")
    assert float(safe.split()[0]) >= amount["exact"]["high"]


@pytest.mark.parametrize(
    ("there", "reaches", "stays"),
    [("200 ml", "enough", True), ("20 ml", "may run short", True), ("4 ml", "not enough", False)],
)
def test_whether_the_jar_reaches_is_said_before_the_coat_is_begun(there, reaches, stays):
    counted = book(entry("counted", amounts=[{"material": "shellac", "volume": there, "jar": "B"}]))
    doc = bench(plans("chest"), counted, today=on_the_list(CHEST, "seal_repairs.found"))
    assert faults(doc) == []
    jar = item_in(doc)["jar"]
    use = next(mix["uses"][0]["volume"] for mix in plans("chest")[0]["mixes"] if mix["from_shelf"] == "B")
    assert jar["name"] == "B"
    assert jar["takes"] == use  # 15 ml, between 6 and 30
    assert jar["reaches"] == reaches
    assert jar["level"]["value"] == float(there.split()[0])
    if stays:
        assert jar["stays"]["value"] == pytest.approx(jar["level"]["value"] - use["value"])
    if reaches == "not enough":
        assert jar["short_by"]["value"] == pytest.approx(use["value"] - 4)
        assert "short by" in jar["says"]


def test_a_jar_that_is_not_mixed_yet_says_so():
    jar = item_in(bench(plans("chest"), today=on_the_list(CHEST, "thin_polish.show", 1, 3)))["jar"]
    assert (jar["name"], jar["reaches"], jar["says"]) == ("", "don't know", "not mixed yet")
    assert from_json(jar["takes"]).usual.litres * 1000 == pytest.approx(140.708 / 3, abs=0.01)


# --- cautions ---


def test_a_caution_that_was_read_is_not_said_again_but_a_stop_is():
    said = {one["key"] for one in item_in(bench(plans("chest"), today=on_the_list(CHEST, "clean.show")))["cautions"]}
    assert said == {"fan_on", "vapour", "spirit_rags"}
    read = book(entry("acknowledged", "C1", to="vapour"), entry("acknowledged", DRESSER, to="lead_no_dust"))
    left = item_in(bench(plans("chest"), read, today=on_the_list(CHEST, "clean.show")))["cautions"]
    assert {one["key"] for one in left} == {"fan_on", "spirit_rags"}
    stop = item_in(bench(plans("dresser"), read, today=on_the_list(DRESSER, "drawer_fit.found")))["cautions"]
    assert [(one["key"], one["level"], one["acknowledged"]) for one in stop] == [("lead_no_dust", "Stop", True)]


def test_a_caution_read_on_one_piece_is_said_on_another():
    read = book(entry("acknowledged", CHEST, to="vapour"))
    item = item_in(bench(plans("slope"), read, today=on_the_list(SLOPE, "clean.show")))
    assert "vapour" in {one["key"] for one in item["cautions"]}


# --- air, clocks, stirring, the end of the day ---


def test_the_air_of_the_day_is_judged_for_todays_wet_work():
    cold = book(entry("air", ago=0.5, temperature="8 °C", rh="90 %"))
    air = bench(plans("chest"), cold, today=on_the_list(CHEST, "thin_polish.show", 1, 3))["air"]
    assert air["said"] == "8 °C, 90 %"
    assert air["verdict"] in {"heat first", "not today"}
    assert air["wanted"]
    assert not air["read"]
    unread = bench(plans("chest"), today=on_the_list(CHEST, "thin_polish.show", 1, 3))["air"]
    assert unread["verdict"] is None
    assert unread["read"]


def test_the_evening_wants_its_own_reading():
    morning = book(entry("air", ago=0.5, temperature="18 °C", rh="55 %"))
    assert not bench(plans("chair"), morning)["air"]["read"]
    assert bench(plans("chair"), morning, NOW + timedelta(hours=7))["air"]["read"]


def test_a_clock_left_running_asks_next_morning_and_todays_runs():
    clocks = book(
        entry("started", CHAIR, "record.piece", ago=0.5), entry("started", CHEST, "clean.show", ago=17, who="Tobias")
    )
    doc = bench(plans("chair"), clocks)
    assert [clock["who"] for clock in doc["timers"]] == ["Ines"]
    assert [clock["who"] for clock in doc["asks"]] == ["Tobias"]


def test_a_jar_mixed_this_morning_is_due_for_stirring_today():
    mixed = book(
        entry(
            "mixed", CHEST, "mix.shellac", ago=6,
            amounts=[{"material": "shellac flakes", "mass": "50 g", "jar": "K"},
                     {"material": "methylated spirits", "volume": "208 ml", "jar": "K"}],
        )
    )  # fmt: skip
    doc = bench([replanned("chest", mixed)], mixed)
    assert faults(doc) == []
    due = next(one for one in doc["stir"] if one["jar"] == "K")
    assert (due["piece"] or {}).get("code") == "C1"
    assert due["late_minutes"] >= 0
    assert not [one for one in doc["stir"] if one["jar"] == "" and (one["piece"] or {}).get("id") == CHEST]


def test_the_end_of_the_day_goes_by_what_was_used():
    oiled = book(entry("used", CHAIR, amounts=[{"material": "boiled linseed oil", "volume": "20 ml"}], ago=0.5))
    keys = [line["key"] for line in bench(plans("chair"), oiled)["end_of_day"]["lines"]]
    assert "oil_rags" in keys
    assert keys.index("oil_rags") < keys.index("jars")
    assert "oil_rags" not in [line["key"] for line in bench(plans("chair"))["end_of_day"]["lines"]]


def test_who_checked_before_the_door_was_locked_stands_there():
    closed = book(entry("closed up", ago=0.1))
    assert bench(plans("chair"))["end_of_day"]["checked"] is None
    assert bench(plans("chair"), closed)["end_of_day"]["checked"]["who"] == "Ines"


def test_what_is_mixed_today_says_what_goes_in():
    mixes = bench(plans("chair"))["mixes_today"]
    assert [(one["step"], one["goes_in_says"]) for one in mixes] == [("mix.glue", "37 g")]


def test_the_bench_of_twelve_pieces_is_there_at_once():
    many = plans()
    for number in range(8):
        (more,) = plans(PIECES[number % 4])
        more["piece"]["id"] = f"0190a5b2-0000-7000-8000-{number:012x}"
        many.append(more)
    calendar = plan_shop(many, shop(), daybook(), NOW)
    today = today_list(calendar, None, shop(), NOW)
    begun = time.perf_counter()
    bench_of(many, shop(), daybook(), NOW, calendar, today)
    assert time.perf_counter() - begun < 2  # some hundredths of a second on a quiet core


# --- the wall ---


def wall(weeks=3, some=None, now=NOW):
    some = some or plans()
    calendar = plan_shop(some, shop(), daybook(), now)
    return calendar, wall_of(calendar, shop(), now, weeks, {plan["piece"]["id"]: plan["piece"] for plan in some})


def test_the_wall_shows_whole_weeks_from_monday():
    _, doc = wall(3)
    assert (doc["from"], doc["to"]) == ("2026-11-23T00:00:00Z", "2026-12-14T00:00:00Z")
    assert [week["monday"] for week in doc["weeks"]] == ["2026-11-23", "2026-11-30", "2026-12-07"]
    assert doc["weeks"][0]["days"][2] == {"date": "2026-11-25", "in": ["Ines"]}  # Tobias has Wednesdays off
    assert [(one["name"], one["initial"]) for one in doc["people"]] == [("Ines", "I"), ("Tobias", "T")]


def test_every_bar_of_the_wall_is_in_its_table_too():
    calendar, doc = wall(12)
    bars = [(row["piece"], bar["start"], bar["who"], bar["trade_name"]) for row in doc["rows"] for bar in row["bars"]]
    lines = [(day["date"], line) for day in doc["days"] for line in day["lines"]]
    worked = [line for _, line in lines if line["kind"] in {"labour", "mix", "stir"}]
    assert len(worked) == len(bars)
    assert {(line["piece"], line["at"], line["who"]) for line in worked} == {bar[:3] for bar in bars}
    minutes = sum(bar["minutes"] for row in doc["rows"] for bar in row["bars"])
    shown = [slot for slot in calendar.slots if slot.kind != "wait" and slot.end > instant(doc["from"])]
    assert minutes == pytest.approx(sum((slot.end - slot.start).total_seconds() / 60 for slot in shown), abs=1)


def test_a_jar_becomes_fit_on_the_wall_before_it_is_used():
    _, doc = wall(12)
    chest = next(row for row in doc["rows"] if row["code"] == "C1")
    fit = next(one["at"] for one in chest["fit"] if one["step"] == "mix.shellac")
    assert fit < min(bar["start"] for bar in chest["bars"] if bar["step"] == "thin_polish.show")


def test_a_promise_at_thin_odds_is_marked():
    _, doc = wall(12)
    promises = {row["code"]: row["promise"] for row in doc["rows"]}
    assert promises["C1"]["thin"]
    assert promises["C1"]["p50"] < promises["C1"]["p80"] < promises["C1"]["p95"]
    assert promises["B3"]["odds"] is None
    promised = [line for day in doc["days"] for line in day["lines"] if line["kind"] == "promise"]
    assert {line["code"] for line in promised} == {"C1", "W2"}


def test_people_of_one_initial_are_told_apart():
    assert initials_of(["Ann", "Alan", "Bea"]) == {"Ann": "An", "Alan": "Al", "Bea": "B"}
