"""The shop's days: nobody in two places, work in hours, waits kept, and said plainly what can't be."""

import time
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.documents import Refused
from witnessmark.quantities import Span, Temperature
from witnessmark.schedule import Endless, GoesRound, Job, NobodyWorks, NoSuchJob, NoZone, Slot, days_for
from witnessmark.shop import Shop, shop_from
from witnessmark.treatment import Cure, Wait

START = datetime(2026, 11, 23, 8, 0, tzinfo=UTC)  # a Monday; London is on UTC
WEEK = "8:00-12:30, 13:15-17:30"


def shop(people=(("Ann", WEEK, 1.0),), night="18 °C", more="", zone="Europe/London") -> Shop:
    persons = "".join(
        f'[[person]]\nname = "{name}"\nhours = {{ mon-fri = "{hours}" }}\nbench_fraction = {fraction}\n'
        for name, hours, fraction in people
    )
    text = f'[shop]\nname = "The Long Shed"\nzone = "{zone}"\ngallon = "imperial"\n'
    text = f'{more}\n{text}{persons}[[room]]\nname = "bench"\nnight_temperature = "{night}"\n'
    return shop_from(text, "shop.toml")


TWO = (("Ann", WEEK, 0.6), ("Bea", "9:00-13:00", 0.5))


def wait(usual, latest=None, warm=None):
    return Wait(
        Span.hours(usual), Span.hours(usual), None if latest is None else Span.hours(latest), Cure.TOUCH,
        None if warm is None else Temperature(warm), "",
    )  # fmt: skip


def at(day, clock):
    return datetime.fromisoformat(f"2026-11-{day}T{clock}+00:00")


def spans(slots):
    return [(slot.start, slot.end) for slot in slots]


def test_work_pauses_at_lunch_and_at_closing():
    days = days_for([Job("strip", 600)], shop(), START)
    assert spans(days["strip"]) == [
        (at(23, "08:00"), at(23, "12:30")), (at(23, "13:15"), at(23, "17:30")), (at(24, "08:00"), at(24, "09:15")),
    ]  # fmt: skip


def test_a_wet_coat_starts_only_where_it_fits():
    days = days_for([Job("level", 200), Job("varnish", 120, unbroken=True)], shop(), START)
    # 70 minutes are left before lunch: the coat waits for the afternoon.
    assert spans(days["varnish"]) == [(at(23, "13:15"), at(23, "15:15"))]


def test_what_fits_no_stretch_runs_over_lunch_and_what_fits_no_day_says_so():
    over_lunch = days_for([Job("glue", 400, unbroken=True)], shop(), at(23, "12:00"))
    assert spans(over_lunch["glue"]) == [(at(24, "08:00"), at(24, "12:30")), (at(24, "13:15"), at(24, "15:25"))]
    assert over_lunch.notes == ()
    too_long = days_for([Job("glue", 700, unbroken=True)], shop(), START)
    assert len(too_long["glue"]) == 3
    assert too_long.notes == ("“glue” should not be broken off, and no day is long enough for it.",)


def test_a_bench_minute_takes_more_than_a_minute():
    # At six tenths an hour of work takes a hundred minutes by the clock.
    assert spans(days_for([Job("wax", 60)], shop([("Ann", WEEK, 0.6)]), START)["wax"]) == [
        (at(23, "08:00"), at(23, "09:40"))
    ]


def test_two_people_work_side_by_side_and_a_job_has_one():
    jobs = [Job("a", 240, sessions=4, between=wait(1)), Job("b", 60), Job("c", 60)]
    days = days_for(jobs, shop([("Ann", WEEK, 1), ("Bea", WEEK, 1)]), START)
    assert {slot.who for slot in days["a"]} == {"Ann"}
    assert days["b"][0].who == "Bea"
    assert days["b"][0].start == START


def test_a_wait_is_filled_with_other_work():
    days = days_for([Job("glue", 60, wait=wait(3)), Job("level", 30, after=("glue",)), Job("other", 90)], shop(), START)
    assert days["level"][0].start == at(23, "12:00")
    assert days["other"][0].start == at(23, "09:00")


def test_days_off_and_closed_days_are_kept():
    closed = shop(more="closed = [2026-11-24]")
    assert spans(days_for([Job("a", 600)], closed, START)["a"])[-1][0] == at(25, "08:00")


def test_a_wait_runs_at_night_only_in_a_warm_shop():
    jobs = [Job("seal", 60, wait=wait(12, warm=16)), Job("coat", 30, after=("seal",))]
    warm, cold, unsaid = (days_for(jobs, shop(night=night), START) for night in ("16 °C", "9 to 17 °C", "don't know"))
    # Warm: 9:00 + 12 h is 21:00, so next morning; a night nobody measured is reckoned so too, and said.
    assert warm["coat"][0].start == unsaid["coat"][0].start == at(24, "08:00")
    # Cold: 8 h 30 until closing at 17:30, the other 3 h 30 from eight on.
    assert cold["coat"][0].start == at(24, "11:30")
    assert cold.notes == ("The shop falls to 9 °C at night: what needs 16 °C waits by day only.",)
    assert len(unsaid.notes) == 1
    assert "night temperature is known" in unsaid.notes[0]
    assert warm.notes == ()


def test_a_cold_week_end_does_not_count():
    jobs = [Job("seal", 60, wait=wait(12, warm=16)), Job("coat", 30, after=("seal",))]
    days = days_for(jobs, shop(night="5 °C"), at(27, "13:15"))  # a Friday: 3 h 15 until closing, then Monday
    assert days["coat"][0].start == at(30, "16:45")


def test_what_needs_no_warmth_waits_through_the_week_end():
    jobs = [Job("glue", 60, wait=wait(48)), Job("next", 30, after=("glue",))]
    assert days_for(jobs, shop(night="5 °C"), at(27, "13:15"))["next"][0].start == at(30, "08:00")


def test_a_recoat_window_is_kept_by_beginning_later():
    # 24 to 48 h between coats: begun on Thursday, the third would fall into the week-end.
    job = Job("varnish", 180, sessions=3, between=wait(24, latest=48), unbroken=True)
    days = days_for([job], shop(), at(26, "08:00"))
    assert days.broken == ()
    assert [slot.start.isoformat()[:10] for slot in days["varnish"]] == ["2026-11-30", "2026-12-01", "2026-12-02"]


def test_a_recoat_window_that_nothing_keeps_is_reported():
    job = Job("varnish", 720, sessions=12, between=wait(24, latest=48), unbroken=True)
    (broken,) = days_for([job], shop(), START).broken
    assert broken.job == "varnish"
    assert "later than 2 days after the one before" in broken.says


def test_what_follows_within_a_window_goes_before_other_work():
    jobs = [
        Job("first", 60, wait=wait(1, latest=2)),
        Job("long", 480),
        Job("second", 60, after=("first",)),
    ]
    days = days_for(jobs, shop(), START)
    assert days.broken == ()
    assert days["second"][0].start - days["first"][0].end <= timedelta(hours=2)


def test_a_window_that_closes_over_the_week_end_is_reported_at_the_job_that_is_late():
    jobs = [Job("first", 60, wait=wait(24, latest=48)), Job("second", 60, after=("first",))]
    (broken,) = days_for(jobs, shop(), at(27, "08:00")).broken
    assert broken.job == "second"
    assert broken.says == "begins later than 2 days after “first”, when its window closes"


def test_a_promised_day_that_is_not_kept_is_reported():
    (broken,) = days_for([Job("all", 600, latest=at(23, "17:00"))], shop(), START).broken
    assert broken.says == "ends 0.7 days after its promised day"


def test_not_before_its_day():
    assert days_for([Job("caner", 60, earliest=at(25, "13:20"))], shop(), START)["caner"][0].start == at(25, "13:20")


def test_other_peoples_time_takes_nobodys_hours():
    jobs = [Job("upholsterer", 0, wait=wait(24 * 14)), Job("refit", 30, after=("upholsterer",)), Job("x", 60)]
    days = days_for(jobs, shop(), START)
    assert days["upholsterer"] == (Slot(START, START, "", 1, 1),)
    assert days["refit"][0].start == datetime(2026, 12, 7, 8, 0, tzinfo=UTC)


def test_work_already_done_stays_and_its_wait_counts_from_then():
    done = Slot(at(20, "16:00"), at(20, "17:00"), "Ann", 1, 1)
    jobs = [Job("glue", 60, wait=wait(72), fixed=(done,)), Job("next", 30, after=("glue",))]
    days = days_for(jobs, shop(), START)
    assert days["glue"] == (done,)
    assert days["next"][0].start == at(23, "17:00")


def test_a_promised_slot_is_nobody_elses():
    pinned = Slot(at(23, "08:00"), at(23, "10:00"), "Ann", 1, 1)
    days = days_for([Job("x", 60), Job("pinned", 120, fixed=(pinned,))], shop(), START)
    assert days["x"][0].start == at(23, "10:00")


# --- whatever the jobs ----------------------------------------------------------------------------------


@st.composite
def job_lists(draw):
    jobs = []
    for number in range(draw(st.integers(1, 12))):
        before = draw(st.lists(st.integers(0, number - 1), max_size=3, unique=True)) if number else []
        warm = draw(st.sampled_from([None, 15]))
        jobs.append(
            Job(
                f"j{number}",
                draw(st.floats(0, 700)),
                draw(st.integers(1, 5)),
                tuple(f"j{n}" for n in before),
                draw(st.sampled_from([None, wait(3, warm=warm), wait(30, latest=60, warm=warm)])),
                draw(st.sampled_from([None, wait(2, warm=warm), wait(20, latest=40)])),
                draw(st.booleans()),
            )
        )
    return jobs


@settings(max_examples=60)
@given(job_lists(), st.sampled_from(["18 °C", "8 °C"]))
def test_any_jobs_keep_order_waits_hours_and_people_apart(jobs, night):
    where = shop(TWO, night)
    days = days_for(jobs, where, START)
    by_id = {job.id: job for job in jobs}
    zone = ZoneInfo("Europe/London")
    for job in jobs:
        slots = days[job.id]
        assert {slot.session for slot in slots} == set(range(1, job.sessions + 1))
        assert len({slot.who for slot in slots}) == 1
        for slot in slots:
            assert slot.start >= START
            assert slot.start.second == slot.end.second == 0
            if slot.who:
                assert slot.start < slot.end
                _inside_hours(slot, where, zone)
        _minutes_are_all_there(job, slots, where)
        for earlier, later in pairwise(slots):
            lag = _minutes(job.between) if later.session != earlier.session else 0
            assert later.start - earlier.end >= timedelta(minutes=lag)
        for before in job.after:
            lag = timedelta(minutes=_minutes(by_id[before].wait))
            assert slots[0].start - days[before][-1].end >= lag
        if job.between and job.between.latest and all(broken.job != job.id for broken in days.broken):
            _within_windows(job, slots)
    _nobody_is_in_two_places(days.slots)
    assert days == days_for(jobs, where, START)


def _minutes(wait_):
    return wait_.usual.minutes if wait_ else 0


def _inside_hours(slot, where, zone):
    person = next(person for person in where.person if person.name == slot.who)
    start, end = slot.start.astimezone(zone), slot.end.astimezone(zone)
    begin, stop = start.hour * 60 + start.minute, end.hour * 60 + end.minute
    assert start.date() == end.date()
    assert any(s.start <= begin and stop <= s.end for s in person.week[start.weekday()])


def _minutes_are_all_there(job, slots, where):
    if not slots[0].who:
        assert job.minutes == 0
        return
    fraction = next(person.bench_fraction for person in where.person if person.name == slots[0].who)
    worked = sum((slot.end - slot.start).total_seconds() / 60 for slot in slots)
    assert job.minutes / fraction - 1e-3 <= worked <= job.minutes / fraction + job.sessions + 1


def _within_windows(job, slots):
    for earlier, later in pairwise(slots):
        if later.session != earlier.session:
            assert later.start - earlier.end <= timedelta(minutes=job.between.latest.minutes)


def _nobody_is_in_two_places(all_slots):
    taken = sorted((s.who, s.start, s.end) for slots in all_slots.values() for s in slots if s.who)
    for (who, _, end), (other, start, _) in pairwise(taken):
        assert who != other or end <= start


@settings(max_examples=20)
@given(job_lists())
def test_unbroken_work_that_fits_a_stretch_is_in_one_piece(jobs):
    days = days_for(jobs, shop(), START)
    for job in jobs:
        if job.unbroken and 0 < job.minutes / job.sessions <= 255:
            sessions = [slot.session for slot in days[job.id]]
            assert len(sessions) == len(set(sessions))


def test_a_big_plan_is_quick_and_grows_in_line():
    def jobs(count):
        after = [(f"j{n - 7}",) if n >= 7 else () for n in range(count)]
        return [Job(f"j{n}", 900, 15, after[n], wait(24), wait(12, warm=16), True) for n in range(count)]

    took = {}
    for count in (50, 200):
        where = shop(TWO, "12 °C")
        runs = []
        for _ in range(3):
            begun = time.perf_counter()
            days_for(jobs(count), where, START)
            runs.append(time.perf_counter() - begun)
        took[count] = min(runs)
    assert took[200] < 8 * took[50], "four times the jobs: about four times the time, with room for a busy computer"


# --- what can't be done ---------------------------------------------------------------------------------


def test_steps_that_wait_for_one_another_are_named():
    ring = [Job("glue", 10, after=("dry",)), Job("dry", 10, after=("level",)), Job("level", 10, after=("glue",))]
    with pytest.raises(GoesRound, match=r"wait for one another in a ring: .*glue.*Take one `after` away"):
        days_for(ring, shop(), START)
    assert issubclass(GoesRound, Refused)


def test_a_job_after_none_such_is_named():
    with pytest.raises(NoSuchJob, match="“a” comes after “b”, which is not among the jobs"):
        days_for([Job("a", 10, after=("b",))], shop(), START)
    with pytest.raises(NoSuchJob, match="Two jobs have the id “a”"):
        days_for([Job("a", 10), Job("a", 10)], shop(), START)


def test_a_shop_without_hours_is_told_what_to_write():
    nobody = shop_from(
        '[shop]\nname = "x"\ngallon = "us"\n[[person]]\nname = "Ann"\nhours = { mon = "" }\n', "shop.toml"
    )
    with pytest.raises(NobodyWorks, match=r"Give at least one \[\[person\]\] `hours`"):
        days_for([Job("a", 10)], nobody, START)
    assert days_for([], nobody, START).slots == {}


def test_a_time_without_its_offset_is_not_guessed():
    with pytest.raises(NoZone, match=r"a: 2026-11-23T08:00:00 has no offset"):
        days_for([Job("a", 10)], shop(), datetime(2026, 11, 23, 8))


def test_days_off_without_end_are_seen():
    off = [date(2026, 11, 23) + timedelta(days=n) for n in range(4100)]
    where = shop()
    ann = where.person[0].model_copy(update={"days_off": tuple(off)})
    with pytest.raises(Endless, match="Ann has no free time in the next 10 years"):
        days_for([Job("a", 10)], where.model_copy(update={"person": (ann,)}), START)
