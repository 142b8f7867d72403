"""The shop's days over several pieces: whatever the problem, the checker finds nothing; and the checker does look."""

import json
import math
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.schedule import Calendar, CalendarSlot, NobodyWorks, calendar_in, faults_in, forward_pass, stamp

MONDAY = datetime(2026, 11, 23, 8, 0, tzinfo=UTC)
WEEK = "8:00-12:30, 13:15-17:30"
ANN = {"name": "Ann", "hours": {"mon-fri": WEEK}, "bench_fraction": 1.0}
BEA = {"name": "Bea", "hours": {"tue-sat": "9:00-13:00"}, "bench_fraction": 0.5}


def shop_with(*people, night="18 °C", closed=(), zone="Europe/London"):
    return {
        "shop": {"name": "The Long Shed", "zone": zone, "gallon": "imperial"},
        "person": list(people or (ANN,)),
        "room": [{"name": "bench", "night_temperature": night}],
        "closed": list(closed),
    }


def wait(hours, latest=None, warm=None, spread=0.0):
    late = None if latest is None else latest * 60
    return {"usual": hours * 60, "latest": late, "least_temperature": warm, "spread": spread}


def job(step, minutes=60, piece="A", after=(), **more):
    row = {
        "id": f"{piece}/{step}", "piece": piece, "step": step, "trade_name": step.replace("_", " "), "kind": "labour",
        "minutes": {"p50": minutes, "p80": minutes * 1.3, "p95": minutes * 1.7}, "sessions": 1, "first": 1, "of": 1,
        "after": [f"{piece}/{before}" for before in after], "wait": None, "between": None, "unbroken": False, "who": [],
        "earliest": None, "latest": None, "fixed": [], "mixed_for": [],
    }  # fmt: skip
    row |= more
    row["of"] = row["first"] + row["sessions"] - 1
    return row


def piece(id_, promised=None, alone=0.0, begun=False):
    return {"id": id_, "code": id_, "title": f"piece {id_}", "promised": promised, "alone": alone, "begun": begun}


def problem(jobs, pieces=None, shop=None, now=MONDAY, posted=None):
    return {
        "schema": 1, "now": stamp(now), "shop": shop or shop_with(),
        "pieces": pieces or [piece(id_) for id_ in dict.fromkeys(row["piece"] for row in jobs)], "jobs": jobs,
        "posted": [plain for plain in (posted.as_json()["slots"] if posted else []) if plain["kind"] != "wait"],
        "posted_order": list(posted.order) if posted else [],
    }  # fmt: skip


def slots_of(calendar, step, piece="A", kind="labour"):
    return [slot for slot in calendar.slots if (slot.piece, slot.step, slot.kind) == (piece, step, kind)]


def at(day, clock):
    return datetime.fromisoformat(f"2026-11-{day}T{clock}+00:00")


# --- what it gives ---


def test_two_people_work_on_two_pieces_at_once():
    calendar = forward_pass(
        problem([job("strip", 240), job("strip", 240, "B")], shop=shop_with(ANN, {**ANN, "name": "Cy"}))
    )
    assert {slot.who for slot in calendar.slots} == {"Ann", "Cy"}
    assert {slot.start for slot in calendar.slots} == {MONDAY}


def test_while_one_piece_dries_the_other_has_the_bench():
    jobs = [job("glue", 60, wait=wait(3)), job("level", 30, after=["glue"]), job("clean", 120, "B")]
    calendar = forward_pass(problem(jobs, [piece("A", "2026-11-24"), piece("B")]))
    assert slots_of(calendar, "clean", "B")[0].start == at(23, "09:00")
    (drying,) = slots_of(calendar, "glue", kind="wait")
    assert (drying.start, drying.end, drying.who) == (at(23, "09:00"), at(23, "12:00"), "")
    assert slots_of(calendar, "level")[0].start == at(23, "12:00")


def test_what_must_begin_first_to_be_done_in_time_goes_first():
    # B is promised sooner, but A still has days of drying before its promise: by due day alone it would be late.
    jobs = [job("coat", 400, "A", wait=wait(72)), job("wax", 30, "A", after=["coat"]), job("mend", 400, "B")]
    pieces = [piece("A", "2026-11-27", alone=72 * 60 + 700), piece("B", "2026-11-25", alone=400)]
    calendar = forward_pass(problem(jobs, pieces))
    assert calendar.order == ("A", "B")
    ends = {one: max(slot.end for slot in calendar.slots if slot.piece == one) for one in "AB"}
    assert ends["A"] < at(28, "00:00")
    assert ends["B"] < at(26, "00:00")


def test_a_promised_piece_goes_before_one_that_is_not():
    jobs = [job("mend", 300, "A"), job("mend", 300, "B")]
    assert forward_pass(problem(jobs, [piece("A"), piece("B", "2026-12-24")])).order == ("B", "A")
    assert forward_pass(problem(jobs, [piece("A"), piece("B", begun=True)])).order == ("B", "A")


def test_a_promise_is_said_with_its_odds():
    jobs = [job("mend", 300, "A"), job("mend", 300, "B"), job("mend", 480, "C")]
    pieces = [piece("A", "2026-11-23"), piece("B", "2026-12-01"), piece("C")]
    a, b, c = forward_pass(problem(jobs, pieces)).promises
    assert (a.odds, b.odds, c.odds) == (pytest.approx(0.99, abs=0.02), 0.99, None)
    assert b.says == "Promised for Tuesday 1 December: kept four times in five or better."
    assert c.says.startswith("Likely done Wednesday 25 November; safe to say ")
    late = forward_pass(problem([job("mend", 900)], [piece("A", "2026-11-23")])).promises[0]
    assert late.odds < 0.5
    assert late.says.startswith("Promised for Monday 23 November, and likely done Tuesday 24 November: tell the owner.")


def test_the_safe_day_comes_after_the_likely_and_the_sure_after_both():
    calendar = forward_pass(problem([job("mend", 2000), job("mend", 2000, "B")]))
    for promise in calendar.promises:
        assert promise.likely < promise.safe < promise.sure


def test_other_peoples_waits_are_long_four_times_in_five_too():
    jobs = [job("send", 15, wait=wait(21 * 24, spread=0.5)), job("refit", 30, after=["send"])]
    (promise,) = forward_pass(problem(jobs)).promises
    # Three weeks at a log spread of a half are e^(0.8416 × 0.5) = 1.52 times as long four times in five.
    assert promise.safe - promise.likely > timedelta(days=21 * (math.exp(0.8416 * 0.5) - 1) - 3)


def test_played_through_many_pieces_are_not_all_slow_at_once():
    jobs = [job("mend", 900, chr(65 + n)) for n in range(8)]
    at_once, played = (forward_pass(problem(jobs), effort).promises[-1] for effort in (0, 60))
    assert played.safe < at_once.safe
    assert played == forward_pass(problem(jobs), 60).promises[-1]


def test_a_jar_is_mixed_a_day_ahead_of_its_use_and_not_weeks():
    jobs = [
        *[job(f"strip{n}", 240, after=[f"strip{n - 1}"] if n else []) for n in range(12)],
        job("coat", 60, after=["strip11", "fit", "stir"]),
        job("mix", 20, kind="mix", mixed_for=["A/coat"]),
        job("stir", 3, after=["mix"], kind="stir"),
        {**job("mix", 0, kind="gate", wait=wait(24), after=["mix"]), "id": "A/fit"},
    ]
    calendar = forward_pass(problem(jobs))
    (mixing,), coat = slots_of(calendar, "mix", kind="mix"), slots_of(calendar, "coat")[0]
    assert timedelta(days=1) <= coat.start - mixing.end < timedelta(days=4)
    (fit,) = slots_of(calendar, "mix", kind="wait")
    assert fit.end <= coat.start


def test_a_jar_mixed_last_night_is_fit_when_it_has_stood_not_a_day_from_now():
    mixed = {"start": "2026-11-22T20:00:00Z", "end": "2026-11-22T20:20:00Z", "who": "Ann", "session": 1}
    jobs = [
        job("coat", 60, after=["fit"]),
        job("mix", 20, kind="mix", mixed_for=["A/coat"], fixed=[mixed]),
        {**job("mix", 0, kind="gate", wait=wait(12), after=["mix"]), "id": "A/fit"},
    ]
    calendar = forward_pass(problem(jobs))
    assert slots_of(calendar, "coat")[0].start == at(23, "08:20")
    assert faults_in(problem(jobs), calendar) == ()


def test_a_pot_that_does_not_keep_until_its_last_use_is_said():
    jobs = [
        job("glue_one", 60, after=["mix"]),
        job("dry", 60, after=["glue_one"], wait=wait(30 * 24)),
        job("glue_two", 60, after=["mix", "dry"]),
        job("mix", 20, kind="mix", mixed_for=["A/glue_one", "A/glue_two"], keeps=7 * 1440.0),
    ]
    (says,) = forward_pass(problem(jobs)).broken
    assert says.startswith("“mix” keeps 7 days, and its last use comes ")


def test_sentences_name_the_work_and_the_piece_not_their_ids():
    jobs = [job("varnish", 720, sessions=12, between=wait(24, latest=48), unbroken=True)]
    (says,) = forward_pass(problem(jobs)).broken
    assert says.startswith("“varnish” (A) session ")
    assert "A/varnish" not in says


def test_nobody_in_the_shop_is_refused():
    with pytest.raises(NobodyWorks):
        forward_pass(problem([job("mend")], shop=shop_with({**ANN, "hours": {"mon": "off"}})))


def test_the_calendar_comes_back_from_its_json():
    jobs = [job("glue", 60, wait=wait(3)), job("level", 30, after=["glue"])]
    read = forward_pass(problem(jobs))
    calendar = forward_pass(problem(jobs, [piece("A", "2026-11-24")], shop_with(BEA), posted=read))
    assert calendar.moved
    assert calendar_in(json.loads(json.dumps(calendar.as_json()))) == calendar


# --- against what people have read ---


def test_nothing_moves_when_nothing_changed():
    jobs = [job(f"s{n}", 200, chr(65 + n % 3)) for n in range(9)]
    read = forward_pass(problem(jobs, shop=shop_with(ANN, BEA)))
    again = forward_pass(problem(jobs, shop=shop_with(ANN, BEA), posted=read))
    assert again.moved == ()
    assert again.slots == read.slots


def test_the_order_people_have_read_stays_where_it_breaks_no_promise_more():
    jobs = [job("strip", 525, "Z"), job("mend", 900, "A"), job("mend", 300, "B")]
    read = forward_pass(problem(jobs, [piece("Z", "2026-11-23"), piece("A", "2026-12-10"), piece("B")]))
    assert read.order == ("Z", "A", "B")
    # B is promised now, and sooner than A; but after A it is done in time all the same.
    pieces = [piece("Z", "2026-11-23"), piece("A", "2026-12-10")]
    kept = forward_pass(problem(jobs, [*pieces, piece("B", "2026-12-08")], posted=read))
    assert kept.order == ("Z", "A", "B")
    assert kept.moved == ()
    hurried = forward_pass(problem(jobs, [*pieces, piece("B", "2026-11-24")], posted=read))
    assert hurried.order == ("Z", "B", "A")
    because = {moved.piece: moved.because for moved in hurried.moved}
    assert because["B"] == "there is room for it sooner"


def test_work_that_gives_way_to_a_promise_says_to_which():
    jobs = [job("strip", 525, "Z"), job("mend", 300, "A"), job("mend", 525, "B")]
    pieces = [piece("Z", "2026-11-23"), piece("A"), piece("B")]
    read = forward_pass(problem(jobs, pieces))
    pieces[2] = piece("B", "2026-11-24")
    (moved,) = (one for one in forward_pass(problem(jobs, pieces, posted=read)).moved if one.piece == "A")
    assert moved.because == "Ann has “mend” (B, promised for Tuesday 24 November) then"


def test_work_of_somebody_who_is_off_now_says_so():
    jobs = [job("mend", 525), job("wax", 60, "B")]
    read = forward_pass(problem(jobs))
    off = shop_with({**ANN, "days_off": ["2026-11-24"]})
    (moved,) = forward_pass(problem(jobs, shop=off, posted=read)).moved
    assert moved.because == "Ann is not in on Tuesday 24 November"
    assert moved.says == ("B: “wax” moved to Wednesday 25 November, Ann, because Ann is not in on Tuesday 24 November.")


def test_what_was_not_begun_on_its_day_says_so():
    jobs = [job("mend", 60)]
    read = forward_pass(problem(jobs))
    (moved,) = forward_pass(problem(jobs, now=at(24, "08:00"), posted=read)).moved
    assert moved.because == "it was not begun on Monday 23 November"


def test_what_waits_longer_says_for_what():
    first = [job("glue", 60, wait=wait(3)), job("level", 30, after=["glue"])]
    read = forward_pass(problem(first))
    longer = [job("glue", 60, wait=wait(24)), job("level", 30, after=["glue"])]
    (moved,) = forward_pass(problem(longer, posted=read)).moved
    assert moved.because == "“glue” and its wait end Tuesday 24 November, 09:00"
    assert (moved.was, moved.now) == (at(23, "12:00"), at(24, "09:00"))


def test_what_was_read_for_today_stays_with_whom_it_was_read():
    two = shop_with(ANN, {**ANN, "name": "Cy"})
    jobs = [job("mend", 200, "A"), job("mend", 200, "B")]
    read = forward_pass(problem(jobs, shop=two))
    whose = {slot.piece: slot.who for slot in read.slots}
    more = [job("mend", 300, "C"), *jobs]
    pieces = [piece("A"), piece("B"), piece("C", "2026-11-23")]
    new = forward_pass(problem(more, pieces, two, posted=read))
    assert {slot.piece: slot.who for slot in new.slots if slot.piece != "C"} == whose
    assert {slot.start for slot in new.slots if slot.piece in "AB"} == {MONDAY}


def test_what_somebody_has_begun_is_theirs_whoever_it_was_read_for():
    two = shop_with(ANN, {**ANN, "name": "Cy"})
    jobs = [job("mend", 200, "A"), job("mend", 200, "B")]
    read = forward_pass(problem(jobs, shop=two))
    whose = {slot.piece: slot.who for slot in read.slots}
    other = next(name for name in ("Ann", "Cy") if name != whose["A"])
    jobs[0]["who"] = [other]
    new = forward_pass(problem(jobs, shop=two, posted=read))
    (slot,) = slots_of(new, "mend", "A")
    assert (slot.who, slot.start) == (other, MONDAY)
    assert [moved.because for moved in new.moved if moved.piece == "A"] == [f"{other} has begun it"]
    wrong = with_slot(new, slot, replace(slot, who=whose["A"]))
    assert any(f"and {other} is at it" in fault for fault in faults_in(problem(jobs, shop=two), wrong))


# --- whatever the problem ---

_PEOPLE = st.lists(
    st.sampled_from(
        [ANN, BEA, {**ANN, "name": "Cy", "bench_fraction": 0.6, "days_off": ["2026-11-25", "2027-03-29"]},
         {"name": "Dot", "hours": {"mon-sun": "22:00-24:00"}, "bench_fraction": 0.8}]
    ),
    min_size=1, max_size=3, unique_by=lambda person: person["name"],
)  # fmt: skip
_WAITS = st.none() | st.builds(
    wait,
    st.integers(0, 60),
    latest=st.none() | st.integers(60, 120),
    warm=st.none() | st.just(16.0),
    spread=st.sampled_from([0.0, 0.5]),
)
_NOWS = st.sampled_from([MONDAY, datetime(2027, 3, 26, 15, 7, tzinfo=UTC), datetime(2026, 10, 24, 8, tzinfo=UTC)])


@st.composite
def problems(draw):
    now, jobs = draw(_NOWS), []
    for name in "ABC"[: draw(st.integers(1, 3))]:
        count = draw(st.integers(1, 6))
        done = draw(st.integers(0, count - 1))
        for number in range(count):
            after = draw(st.lists(st.integers(0, number - 1), max_size=2, unique=True)) if number else []
            row = job(
                f"s{number}", draw(st.integers(1, 500)), name, [f"s{n}" for n in after],
                sessions=draw(st.integers(1, 3)), wait=draw(_WAITS), between=draw(_WAITS),
                unbroken=draw(st.booleans()), who=draw(st.sampled_from([[], [], ["Ann"]])),
                first=draw(st.sampled_from([1, 1, 2])),
            )  # fmt: skip
            if number < done:
                ended = now - timedelta(hours=draw(st.integers(0, 100)))
                slot = {"start": stamp(ended - timedelta(hours=1)), "end": stamp(ended), "who": "Ann", "session": 1}
                row |= {"fixed": [slot], "sessions": 1, "first": 1, "of": 1}
            jobs.append(row)
    days = st.none() | st.dates(date(2026, 11, 20), date(2027, 4, 30)).map(date.isoformat)
    pieces = [piece(id_, draw(days), draw(st.integers(0, 9000))) for id_ in dict.fromkeys(r["piece"] for r in jobs)]
    shop = shop_with(*draw(_PEOPLE), night=draw(st.sampled_from(["18 °C", "9 °C"])), closed=["2026-11-26"])
    return problem(jobs, pieces, shop, now)


@given(problems())
@settings(max_examples=120, deadline=None)
def test_the_checker_finds_no_fault_in_any_forward_pass(given_problem):
    calendar = forward_pass(given_problem)
    assert faults_in(given_problem, calendar) == ()


@given(problems(), problems())
@settings(max_examples=40, deadline=None)
def test_nor_in_one_that_keeps_to_what_was_read(before, after):
    posted = forward_pass(before)
    new = {**after, "posted": posted.as_json()["slots"], "posted_order": list(posted.order)}
    new["posted"] = [slot for slot in new["posted"] if slot["kind"] != "wait" and not slot["done"]]
    assert faults_in(new, forward_pass(new)) == ()


@given(problems())
@settings(max_examples=40, deadline=None)
def test_the_same_problem_has_the_same_days(given_problem):
    assert forward_pass(given_problem) == forward_pass(json.loads(json.dumps(given_problem)))


@given(
    st.lists(st.tuples(st.integers(10, 600), st.integers(0, 40)), min_size=1, max_size=6),
    st.integers(0, 90),
    st.integers(0, 90),
)
@settings(max_examples=60, deadline=None)
def test_longer_hours_of_one_person_bring_one_piece_no_later(steps, earlier, later):
    # Of one chain and one person. Over several pieces and people it need not hold: a job taken earlier may take the
    # very hours another could not do without (Graham 1969 has examples; from memory).
    jobs = [
        job(f"s{n}", minutes, after=[f"s{n - 1}"] if n else [], wait=wait(hours))
        for n, (minutes, hours) in enumerate(steps)
    ]
    start, end = 8 * 60 - earlier, 17 * 60 + 30 + later
    hours = f"{start // 60}:{start % 60:02}-12:30, 13:15-{end // 60}:{end % 60:02}"
    ends = [
        forward_pass(problem(jobs, shop=shop_with({**ANN, "hours": {"mon-fri": week}}))).promises[0].likely
        for week in (WEEK, hours)
    ]
    assert ends[1] <= ends[0]


def test_twelve_pieces_of_thirty_steps_are_answered_at_once():
    jobs = [
        job(
            f"s{n}", 20 + 7 * (n % 9), chr(65 + p), [f"s{n - 1}"] if n else [], wait=wait(n % 4 * 6),
            unbroken=n % 5 == 0,
        )
        for p in range(12)
        for n in range(30)
    ]  # fmt: skip
    given_problem = problem(jobs, shop=shop_with(ANN, BEA))
    begun = datetime.now(UTC)
    calendar = forward_pass(given_problem)
    # A fraction of a second on one slow core; five leave room for a busy machine.
    assert datetime.now(UTC) - begun < timedelta(seconds=5)
    assert len({slot.piece for slot in calendar.slots}) == 12


# --- the checker, asked of calendars with one fault each ---

_JOBS = [
    job("glue", 60, wait=wait(3), sessions=2, between=wait(2)),
    job("level", 30, after=["glue"]),
    job("coat", 100, "B", unbroken=True),
    job("wax", 30, "B", after=["coat"]),
]


def sound():
    return problem(_JOBS), forward_pass(problem(_JOBS))


def with_slot(calendar: Calendar, old: CalendarSlot, new: CalendarSlot | None) -> Calendar:
    slots = [new if slot == old else slot for slot in calendar.slots]
    return replace(calendar, slots=tuple(slot for slot in slots if slot is not None))


def moved(slot, start):
    return replace(slot, start=start, end=start + (slot.end - slot.start))


def find(calendar, step, session=1):
    return next(
        slot for slot in calendar.slots if slot.step == step and slot.session == session and slot.kind != "wait"
    )


def test_the_calendar_the_faults_are_planted_in_is_sound():
    assert faults_in(*sound()) == ()


@pytest.mark.parametrize(
    ("step", "session", "change", "says"),
    [
        ("wax", 1, lambda s: moved(s, at(23, "08:05")), "Ann is in two places at 2026-11-23 08:05"),
        ("wax", 1, lambda s: moved(s, at(24, "12:20")), "is not in the hours of Ann"),
        ("wax", 1, lambda s: moved(s, at(28, "10:00")), "is not in the hours of Ann"),
        ("wax", 1, lambda s: replace(s, who="Zoe"), "who is not of the shop"),
        ("level", 1, lambda s: moved(s, at(23, "11:40")), "“glue” waits until"),
        ("glue", 2, lambda s: moved(s, at(23, "08:30")), "session 1 waits until"),
        ("coat", 1, lambda s: moved(s, at(25, "08:00")), "“coat” takes until"),
        ("coat", 1, lambda s: moved(s, at(20, "08:00")), "which is past"),
        ("level", 1, lambda s: replace(s, end=s.end - timedelta(minutes=5)), "has 25 min by the clock, and needs 30"),
        ("level", 1, lambda s: replace(s, session=2), "has no time for session 1"),
        ("level", 1, lambda s: None, "has no time for session 1"),
        ("glue", 2, lambda s: None, "has no time for session 2"),
        ("coat", 1, lambda s: None, "comes after “B/coat”, which has no time"),
    ],
)  # fmt: skip
def test_a_planted_fault_is_found(step, session, change, says):
    given_problem, calendar = sound()
    slot = find(calendar, step, session)
    faults = faults_in(given_problem, with_slot(calendar, slot, change(slot)))
    assert any(says in fault for fault in faults), faults


def test_a_session_shared_by_two_is_found():
    two = problem([job("strip", 600)], shop=shop_with(ANN, {**ANN, "name": "Cy"}))
    calendar = forward_pass(two)
    last = calendar.slots[-1]
    faults = faults_in(two, with_slot(calendar, last, replace(last, who="Cy")))
    assert "“strip” (A/strip): session 1 is given to Ann and Cy; one person does it." in faults


def test_a_wet_coat_broken_off_is_found():
    given_problem = problem([job("coat", 200, unbroken=True)])
    calendar = forward_pass(given_problem)
    (slot,) = calendar.slots
    half = replace(slot, end=slot.start + timedelta(minutes=100))
    rest = replace(slot, start=at(23, "13:15"), end=at(23, "14:55"))
    broken = replace(calendar, slots=(half, rest))
    assert any("is broken off at" in fault for fault in faults_in(given_problem, broken))


def test_a_window_missed_in_silence_is_found():
    given_problem = problem([job("coat", 60, wait=wait(1, latest=2)), job("next", 60, after=["coat"])])
    calendar = forward_pass(given_problem)
    slot = find(calendar, "next")
    late = with_slot(calendar, slot, moved(slot, at(24, "08:00")))
    assert any("comes after its window" in fault for fault in faults_in(given_problem, late))
    assert faults_in(given_problem, replace(late, broken=("“next” begins late after “coat”.",))) == ()


def test_a_cold_night_that_is_counted_is_found():
    given_problem = problem(
        [job("seal", 60, wait=wait(12, warm=16.0)), job("coat", 30, after=["seal"])], shop=shop_with(night="9 °C")
    )
    calendar = forward_pass(given_problem)
    assert faults_in(given_problem, calendar) == ()
    slot = find(calendar, "coat")
    early = with_slot(calendar, slot, moved(slot, at(24, "08:00")))
    assert any("“seal” waits until 2026-11-24 11:30" in fault for fault in faults_in(given_problem, early))


def test_a_jar_used_before_it_is_fit_is_found():
    jobs = [
        job("coat", 60, after=["fit"]), job("mix", 20, kind="mix", mixed_for=["A/coat"]),
        {**job("mix", 0, kind="gate", wait=wait(24), after=["mix"]), "id": "A/fit"},
    ]  # fmt: skip
    given_problem = problem(jobs)
    calendar = forward_pass(given_problem)
    slot = find(calendar, "coat")
    assert slot.start > at(24, "08:00")
    early = with_slot(calendar, slot, moved(slot, at(23, "16:00")))
    assert any("its jar is not ready until" in fault for fault in faults_in(given_problem, early))
