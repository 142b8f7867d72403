"""Minutes of a step: said, from a patch, or from the table; and the hours of a piece, which share their error."""

import subprocess
import sys

import pytest
from hypothesis import given as for_all
from hypothesis import settings
from hypothesis import strategies as st

from witnessmark.quantities import Area, Range, Span
from witnessmark.schedule import Minutes, NoRate, Patch, doubt_left, labour_named, minutes_of, total_of
from witnessmark.sources import formula as named_formula
from witnessmark.sources import given, recomputed, table, table_of, work
from witnessmark.survey import Trial, survey_from
from witnessmark.treatment import Basis, Step


@named_formula("area = as measured")
def measured(area: Area) -> Area:
    return area


def step(labour="strip", basis=Basis.AREA, area=None, **kw):
    value = area if isinstance(area, Range) or area is None else Area(area)
    worked = None if value is None else work(measured, area=given("top", value))
    return Step(f"{labour}.top", labour, labour, labour, basis, area=worked, **kw)


def trials(*rows) -> tuple[Trial, ...]:
    text = 'id = "01935d8e-7c00-7abc-8def-0123456789ab"\n[piece]\nkind = "chest"\n' + "".join(
        f'[[trial]]\nstep = "{name}"\narea = "{area}"\nminutes = "{minutes}"\n{more}\n'
        for name, area, minutes, more in rows
    )
    return survey_from(text, "piece.toml").trial


areas = st.floats(0.01, 50)


@for_all(areas, areas, st.sampled_from(["clean", "strip", "rubber_session", "wax"]))
def test_more_area_never_takes_fewer_minutes(one, other, labour):
    less, more = (minutes_of(step(labour, area=area)) for area in sorted((one, other)))
    assert less.p50 <= more.p50
    assert less.p80 <= more.p80
    assert less.p95 <= more.p95


@for_all(st.integers(1, 200), st.integers(1, 200))
def test_more_joints_never_take_fewer_minutes(one, other):
    less, more = (minutes_of(step("glue_up", Basis.COUNT, count=n)) for n in sorted((one, other)))
    assert less.p50 <= more.p50
    assert less.p95 <= more.p95


@for_all(areas, st.integers(1, 12))
def test_four_in_five_lies_between_the_median_and_nineteen_in_twenty(area, sessions):
    minutes = minutes_of(step("rubber_session", area=area, sessions=sessions))
    assert 0 < minutes.p50 < minutes.p80 < minutes.p95
    assert minutes.sigma == pytest.approx(minutes.spread.value)


def test_sessions_outweigh_area_on_a_small_thing():
    # “Set-up outweighs area below about a square metre”: common practice.
    small = minutes_of(step("rubber_session", area=0.1, sessions=7))
    twice = minutes_of(step("rubber_session", area=0.2, sessions=7))
    assert twice.p50 < 1.2 * small.p50


def test_a_patch_moves_the_rate_towards_itself_and_narrows_it():
    table_says = minutes_of(step(area=3))
    patched = minutes_of(step(area=3), trials(("strip", "0.1 m2", "12 min", "")))
    assert patched.says_from == "trial patch"
    assert table_says.says_from == "table"
    # 12 min on 0.1 m2 is 120 min/m2: twice the table's rate.
    assert table_says.p50 < patched.p50 < 3 * 120 + 45
    assert patched.sigma < table_says.sigma


def test_a_second_patch_narrows_it_further():
    one = trials(("strip", "0.1 m2", "6 min", ""))
    two = trials(("strip", "0.1 m2", "6 min", ""), ("strip", "0.1 m2", "6 min", "first = false"))
    assert minutes_of(step(area=3), two).sigma < minutes_of(step(area=3), one).sigma


def test_a_first_patch_counts_for_less_than_a_repeat():
    first = minutes_of(step(area=3), trials(("strip", "0.1 m2", "12 min", "first = true")))
    repeat = minutes_of(step(area=3), trials(("strip", "0.1 m2", "12 min", "first = false")))
    assert first.p50 < repeat.p50
    assert first.sigma > repeat.sigma


@for_all(st.floats(0.02, 0.6))
def test_a_surer_patch_narrows_more(spread):
    assert doubt_left(0.5, [Patch(60)], spread / 2) < doubt_left(0.5, [Patch(60)], spread) < 0.5


def test_a_patch_that_failed_is_only_a_lower_bound():
    slow, quick = (
        minutes_of(step(area=3), trials(("strip", "0.1 m2", minutes, "good_enough = false")))
        for minutes in ("20 min", "1 min")
    )
    table_says = minutes_of(step(area=3))
    assert slow.p50 == pytest.approx(3 * 200 + 45)
    assert slow.sigma > minutes_of(step(area=3), trials(("strip", "0.1 m2", "20 min", ""))).sigma
    assert quick.p50 == pytest.approx(table_says.p50)


def test_a_patch_of_other_work_teaches_nothing():
    assert minutes_of(step(area=3), trials(("sanding", "0.1 m2", "12 min", ""))) == minutes_of(step(area=3))


def test_a_patch_not_measured_teaches_nothing():
    rows = trials(("strip", "don't know", "12 min", ""), ("strip", "0.1 m2", "don't know", ""))
    assert minutes_of(step(area=3), rows) == minutes_of(step(area=3))


def test_a_wide_area_widens_the_minutes_and_leaves_the_median():
    sharp = minutes_of(step(area=2))
    wide = minutes_of(step(area=Range(Area(1), Area(2), Area(4))))
    assert wide.p50 == sharp.p50
    assert wide.p80 > sharp.p80
    assert wide.working.value.low < wide.working.value.usual < wide.working.value.high


def test_an_area_nobody_knows_does_not_block():
    minutes = minutes_of(step(area=None))
    assert minutes.p50 > 0
    assert minutes.sigma > minutes_of(step(area=1)).sigma


def test_minutes_said_by_hand_win():
    minutes = minutes_of(step(area=3, minutes_said=Span.hours(2)), trials(("strip", "0.1 m2", "12 min", "")))
    assert minutes.p50 == 120
    assert minutes.says_from == "said"


def test_labour_nobody_knows_is_told_with_what_there_is():
    with pytest.raises(NoRate, match=r"no labour “strop”.*strip"):
        minutes_of(step("strop", area=1))


def test_a_basis_without_minutes_is_told_with_its_place():
    with pytest.raises(NoRate, match=r"labour_rates\.csv, line \d+ gives “lock” no minutes by area"):
        minutes_of(step("lock", area=1))


@pytest.mark.parametrize(
    ("words", "labour"),
    [
        ("strip", "strip"), ("Stripping", "strip"), ("stripped the top", "strip"), ("clean", "clean"),
        ("cleaning with a swab", "clean"), ("wax clean", "wax_clean"), ("dewaxing", "wax_clean"), ("wax", "wax"),
        ("sanding patch", "sand"), ("rubber", "rubber_session"), ("french polishing", "rubber_session"),
        ("flat down", "flatten"), ("oiling", "oil_coat"), ("mystery", None), ("", None),
    ],
)  # fmt: skip
def test_a_trial_is_known_by_the_words_people_use(words, labour):
    assert labour_named(words) == labour


def test_every_step_of_the_treatment_has_its_minutes():
    for row in table("treatment", "steps.csv", key="rule"):
        basis = Basis(row["basis"])
        one = minutes_of(step(row["labour"], basis, area=1 if basis is Basis.AREA else None, count=2))
        assert one.p50 > 0, row.key


def test_a_working_is_worked_again_from_its_own_inputs():
    minutes = minutes_of(step(area=Range(Area(1), Area(2), Area(4))), trials(("strip", "0.1 m2", "12 min", "")))
    total = total_of([minutes, minutes_of(step("glue_up", Basis.COUNT, count=4))])
    flat = table_of([minutes.working, minutes.spread, total.working])
    for key, entry in flat.items():
        again = recomputed(flat, key)
        assert _numbers(again) == pytest.approx(_numbers(entry["value"])), key


def _numbers(shown):
    if isinstance(shown, list):
        return [number for item in shown for number in _numbers(item)]
    return [value for key, value in shown.items() if key in {"value", "low", "high"}]


# --- totals ---------------------------------------------------------------------------------------------


def test_shared_error_does_not_cancel_out():
    alone = [Minutes(60, 0, 0, mu=4.0943, sigma_own=0.5) for _ in range(20)]
    shared = [Minutes(60, 0, 0, mu=4.0943, sigma_shared=0.5) for _ in range(20)]
    assert total_of(shared).sigma > 3 * total_of(alone).sigma


def test_wholly_shared_error_is_one_log_normal():
    # Twenty steps that are late together are one step twenty times as long: 20 × 60 × e^(0.8416 × 0.5).
    total = total_of([Minutes(60, 0, 0, mu=4.0943446, sigma_shared=0.5) for _ in range(20)])
    assert total.p80 == pytest.approx(1200 * 1.5231, rel=0.03)


@settings(max_examples=15)
@for_all(st.lists(areas, min_size=1, max_size=8))
def test_a_total_is_in_order_and_the_same_again(sizes):
    minutes = [minutes_of(step(area=area)) for area in sizes]
    total = total_of(minutes)
    assert total.p50 <= total.p80 <= total.p95
    assert total.p50 >= sum(m.p50 for m in minutes) * 0.9
    assert total == total_of(minutes)


def test_no_steps_take_no_time():
    assert total_of([]).p95 == 0
    assert total_of([Minutes(0, 0, 0)]).p50 == 0


def test_one_more_step_never_takes_less():
    minutes = [minutes_of(step(area=2)), minutes_of(step("wax", area=2))]
    assert total_of(minutes).p80 > minutes[0].p80


def test_reading_minutes_loads_neither_numpy_nor_pydantic():
    code = "import sys, witnessmark.schedule; print({'numpy', 'pydantic'} & set(sys.modules))"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip() == "set()"


def test_the_table_of_rates_says_where_it_stands():
    for row in table("schedule", "labour_rates.csv"):
        assert row["standing"] == "from_memory", row.key
        assert row["set_up_min"], row.key
        assert row["clear_up_min"], row.key
        assert row[{"area": "area_min", "count": "each_min", "piece": "piece_min"}[row["basis"]]], row.key
