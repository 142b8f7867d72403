"""Clocks at the bench: they run, they are ended, they stop at closing time and ask next morning."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from entries import STEP, entry
from pieces import shop
from witnessmark.daybook import DayBook
from witnessmark.plan import closing_of, running_in

MORNING = datetime(2026, 11, 24, 9, tzinfo=UTC)  # a Tuesday; London is on UTC
OTHER = {"id": "wax.show", "trade_name": "wax"}


def at(hours, number, what, **said):
    more = {"minutes": "1 h"} if what == "worked" else {}
    return entry(number, what, MORNING + timedelta(hours=hours), **{"step": STEP, **more, **said})


def running(*made, after=2.0):
    return running_in(DayBook.of(made), shop(), MORNING + timedelta(hours=after))


def closing(day: datetime):
    ines = next(person for person in shop().person if person.name == "Ines")
    end = ines.week[day.weekday()][-1].end
    return datetime(day.year, day.month, day.day, end // 60, end % 60, tzinfo=ZoneInfo("Europe/London"))


def test_a_clock_runs_from_its_start():
    (clock,) = running(at(0, 1, "started"))
    assert (clock.step, clock.who, clock.ran.minutes, clock.stopped, clock.asks) == (
        STEP["id"],
        "Ines",
        120,
        None,
        False,
    )
    assert clock.says == "Ines, clean with a wrung swab: 2 h"


@pytest.mark.parametrize("what", ["worked", "done", "stopped", "coat"])
def test_it_ends_by_being_logged_or_stopped(what):
    assert running(at(0, 1, "started"), at(1, 2, what)) == ()


def test_a_day_s_hours_on_the_piece_answer_for_every_clock_on_it():
    assert running(at(0, 1, "started"), at(0.2, 2, "started", step=OTHER), at(1, 3, "worked", step=None)) == ()


def test_a_jar_mixed_for_its_step_ends_the_clock_on_it_and_one_for_no_step_ends_none():
    mixing = {"id": "mix.shellac", "trade_name": "mix"}
    jar = [{"material": "shellac flakes", "mass": "60 g", "jar": "D"}]
    clock = at(0, 1, "started", step=mixing)
    assert running(clock, at(1, 2, "mixed", step=mixing, amounts=jar)) == ()
    assert len(running(clock, at(1, 2, "mixed", step=None, amounts=jar))) == 1


def test_another_step_another_piece_or_another_hand_does_not_end_it():
    for other in ({"step": OTHER}, {"piece": "C9"}, {"who": "Tobias"}):
        assert len(running(at(0, 1, "started"), at(1, 2, "worked", **other))) == 1


def test_started_twice_it_is_one_clock_from_the_first():
    (clock,) = running(at(0, 1, "started"), at(1, 2, "started"))
    assert clock.ran.minutes == 120


def test_what_starts_later_does_not_run_yet():
    assert running(at(3, 1, "started")) == ()


def test_left_running_it_stops_at_closing_and_asks_next_morning_not_the_same_evening():
    shut = closing(MORNING)
    (evening,) = running_in(DayBook.of([at(0, 1, "started")]), shop(), shut + timedelta(minutes=30))
    assert (evening.stopped, evening.asks) == (shut, False)
    (next_day,) = running(at(0, 1, "started"), after=23)
    assert (next_day.stopped, next_day.asks) == (shut, True)
    assert next_day.ran.minutes == evening.ran.minutes == (shut - MORNING).total_seconds() / 60
    assert "left running and stopped at closing" in next_day.says


def test_answered_it_asks_no_more():
    assert running(at(0, 1, "started"), at(23, 2, "stopped", note="no work done"), after=24) == ()
    assert running(at(0, 1, "started"), at(8, 2, "worked", minutes="7 h"), after=24) == ()


def test_begun_after_hours_or_by_a_stranger_it_ends_with_the_day():
    midnight = datetime(2026, 11, 25, tzinfo=UTC)
    assert closing_of(shop(), "Ines", datetime(2026, 11, 24, 21, tzinfo=UTC)) == midnight
    assert closing_of(shop(), "nobody we know", MORNING) == midnight
    christmas = datetime(2026, 12, 25, 9, tzinfo=UTC)
    assert closing_of(shop(), "Ines", christmas) == datetime(2026, 12, 26, tzinfo=UTC)


def test_closing_is_by_the_clock_on_the_wall_in_summer_too():
    june = datetime(2027, 6, 15, 9, tzinfo=UTC)
    assert closing_of(shop(), "Ines", june) == closing(june)
    assert closing(june).utcoffset() == timedelta(hours=1)


@settings(max_examples=60)
@given(
    st.lists(st.tuples(st.sampled_from(["started", "worked", "stopped", "done"]), st.floats(0, 30)), max_size=6),
    st.floats(0, 60),
    st.randoms(use_true_random=False),
)
def test_a_clock_never_runs_past_its_day_and_the_order_of_arrival_changes_nothing(said, after, random):
    made = [at(hours, number, what) for number, (what, hours) in enumerate(said, 1)]
    twice = [*made, *made]
    random.shuffle(twice)
    clocks = running(*twice, after=after)
    assert clocks == running(*made, after=after)
    for clock in clocks:
        assert 0 <= clock.ran.minutes <= 24 * 60
        assert not clock.asks or clock.stopped is not None
    assert len(clocks) <= 1
