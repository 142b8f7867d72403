"""What the shop's own past teaches: the pace, partly pooled; the share of the day at the bench."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.pieces import NOW

from witnessmark.daybook import daybook_from
from witnessmark.quantities import Area
from witnessmark.schedule import PastWork, as_worked, fading, minutes_of, pace_of, ratio_to_table
from witnessmark.schedule.own_past import between_pieces
from witnessmark.shop import shop_from
from witnessmark.sources import formula as named_formula
from witnessmark.sources import given as told
from witnessmark.sources import recomputed, table_of, work
from witnessmark.treatment import Basis, Step

ID = "01935d8e-7c00-7abc-8def-0123456789ab"


@named_formula("area = as told")
def told_area(area: Area) -> Area:
    return area


def strip(square_metres=2.0):
    area = work(told_area, area=told("top", Area(square_metres)))
    return Step("strip.show", "strip", "strip", "strip", Basis.AREA, area=area)


def past(*ratios, labour="strip", weight=1.0):
    return tuple(PastWork(labour, f"piece {number}", ratio, weight) for number, ratio in enumerate(ratios))


def test_no_past_is_the_table():
    assert pace_of("strip", (), 0.5) is None
    assert minutes_of(strip(), (), past(0.5, labour="wax")) == minutes_of(strip())


def test_a_quicker_shop_takes_less_and_says_why():
    table, ours = minutes_of(strip()), minutes_of(strip(), (), past(0.6, 0.7, 0.65))
    assert ours.p50 < table.p50
    assert (table.says_from, ours.says_from) == ("table", "own past")
    flat = table_of([ours.working])
    assert "schedule.own_pace" in {entry["formula"] for entry in flat.values()}
    for key in flat:
        assert recomputed(flat, key) == pytest.approx(flat[key]["value"]) or isinstance(flat[key]["value"], dict)


def test_the_first_piece_moves_it_a_little_and_many_decide():
    paces = [pace_of("strip", past(*[0.5] * count), 0.5).working.value for count in (1, 3, 12)]
    assert 1 > paces[0] > paces[1] > paces[2] > 0.5
    assert paces[2] == pytest.approx(0.5, rel=0.05)


def test_one_piece_by_hand():
    # Shop's variance .5 × .25 = .125; a piece lies √(.125 + .04) about it: weight .125 ÷ (.125 + .165) = .431.
    pace = pace_of("strip", past(0.5), 0.5)
    assert pace.working.value == pytest.approx(math.exp(0.125 / 0.29 * math.log(0.5)))
    assert pace.doubt == pytest.approx(math.sqrt(1 / (1 / 0.125 + 1 / 0.165) + 0.125))


def test_more_pieces_leave_less_doubt():
    doubts = [pace_of("strip", past(*[0.8] * count), 0.5).doubt for count in (1, 2, 4)]
    assert 0.5 > doubts[0] > doubts[1] > doubts[2]


def test_with_five_pieces_they_say_themselves_how_far_they_lie_apart():
    alike = pace_of("strip", past(0.8, 0.81, 0.79, 0.8, 0.82), 0.5)
    apart = pace_of("strip", past(0.4, 1.6, 0.8, 0.5, 1.3), 0.5)
    assert alike.doubt < pace_of("strip", past(0.8, 0.81, 0.79, 0.8), 0.5).doubt
    assert apart.doubt > alike.doubt


def test_the_variance_between_pieces_is_not_below_nothing():
    # Method of moments: variance of the means, 1, less their mean error.
    assert between_pieces([1, 2, 3], [0.2, 0.2, 0.2]) == pytest.approx(0.8)
    assert between_pieces([1, 1, 1], [0.2, 0.2, 0.2]) == 0


@settings(max_examples=50)
@given(st.lists(st.floats(0.2, 5), min_size=1, max_size=12))
def test_the_pace_stays_among_what_is_known(ratios):
    pace = pace_of("strip", past(*ratios), 0.5)
    assert min(1, *ratios) - 1e-9 <= pace.working.value <= max(1, *ratios) + 1e-9
    assert pace.doubt > 0


def test_old_work_counts_for_less():
    assert fading(NOW, NOW) == 1
    assert fading(NOW.replace(year=NOW.year - 3), NOW) == pytest.approx(0.25, abs=0.002)
    fresh, old = (pace_of("strip", past(0.5, weight=weight), 0.5).working.value for weight in (1, 0.2))
    assert fresh < old < 1


def test_what_was_done_is_held_against_the_table_as_it_is_reckoned():
    usual = minutes_of(strip(1.5)).p50
    assert ratio_to_table("strip", "area", usual, Area(1.5), 1, 1) == pytest.approx(1)
    assert ratio_to_table("strip", "area", usual / 2, Area(1.5), 1, 1) == pytest.approx(0.5)
    assert ratio_to_table("strip", "area", 60, None, 1, 1) is None
    assert ratio_to_table("nothing of ours", "piece", 60, None, 1, 1) is None
    assert ratio_to_table("strip", "area", 0, Area(1), 1, 1) is None


# --- the share at the bench ---

SHOP = shop_from(
    '[shop]\nname = "The Long Shed"\nzone = "Europe/London"\n[[person]]\nname = "Ann"\n'
    'hours = { mon-fri = "8:00-12:00, 13:00-17:00" }\nbench_fraction = 0.6\n',
    "shop.toml",
)


def logged(*days):
    """A day book in which Ann writes down so many minutes a day, from Monday 16 November 2026 on."""
    lines = [
        f'{{"id": "01935d8e-7c00-7abc-8def-0123456789{number:02x}", "what": "worked", "who": "Ann", '
        f'"happened": "2026-11-{16 + number:02d}T16:00:00Z", "piece": "{ID}", "minutes": "{minutes} min"}}'
        for number, minutes in enumerate(days)
    ]
    return daybook_from("\n".join(lines), "daybook.jsonl")


def test_days_written_down_whole_move_the_share_at_the_bench():
    # (0.6 × 10 + 5 × 0.8) ÷ 15: what was said counts for ten days.
    learned = as_worked(SHOP, logged(384, 384, 384, 384, 384)).person[0].bench_fraction
    assert learned == pytest.approx((0.6 * 10 + 5 * 0.8) / 15)


def test_a_day_with_a_job_or_two_written_down_teaches_nothing():
    assert as_worked(SHOP, logged(60, 90, 30)) is SHOP
    assert as_worked(SHOP, logged()) is SHOP


def test_nobody_is_at_the_bench_more_than_all_day():
    assert as_worked(SHOP, logged(*[900] * 5)).person[0].bench_fraction == pytest.approx((6 + 5) / 15)
