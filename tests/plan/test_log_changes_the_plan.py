"""A week of made-up log lines on the demo shop: dates, jars, rates and costs change as a restorer would expect."""

import json
from datetime import timedelta

import pytest
from tests.pieces import NOW, chest, daybook, shop

from witnessmark.daybook import DayBook, daybook_from
from witnessmark.documents import uuid7
from witnessmark.plan import plan_piece, step_as_logged
from witnessmark.plan.cupboard import cupboard_today, materials_used
from witnessmark.plan.logged import own_past_in
from witnessmark.quantities import high, low

OTHERS = ["01935d8e-7c00-7abc-8def-0123456789a1", "01935d8e-7c00-7abc-8def-0123456789a2"]


def lines(*entries):
    """A day book of these entries, a minute apart, up to now."""
    text = []
    for number, entry in enumerate(entries):
        at = NOW - timedelta(hours=1) + timedelta(minutes=number)
        entry = {"id": uuid7(at, bytes([number] * 10)), "who": "Ines", "happened": at.isoformat(), **entry}
        text.append(json.dumps(entry))
    return daybook_from("\n".join(text), "daybook.jsonl", shop().context)


def with_more(*entries) -> DayBook:
    return DayBook.of([*daybook().entries, *lines(*entries).entries])


def shelf(the_shop, **said):
    (found,) = [one for one in the_shop.cupboard if all(getattr(one, key) == value for key, value in said.items())]
    return found


@pytest.fixture(scope="module")
def before():
    return plan_piece(chest(), shop(), DayBook(), NOW)


def open_step(plan, labour):
    return next(one for one in plan.steps if one.step.labour == labour and not one.logged)


def test_jars_fall_as_they_are_used_and_rise_as_they_are_mixed():
    # The demo's day book: on 23 November 30 g of flakes and 250 ml of meths went into jar C; nothing before the 22nd.
    today = cupboard_today(shop(), daybook())
    jar = shelf(today, jar="C")
    assert jar.cut.value.grams_per_litre == pytest.approx(120)
    assert jar.volume.value.litres == pytest.approx(0.250 + 0.030 / 1.2, abs=0.003)
    assert shelf(today, material="dewaxed shellac flakes").mass.value.grams == pytest.approx(150)
    assert shelf(today, material="methylated spirits").volume.value.litres == pytest.approx(2.95)
    assert shelf(today, material="white spirit").volume.value.litres == pytest.approx(1.4)
    used = {"what": "used", "piece": chest().id, "amounts": [{"material": "shellac", "volume": "60 ml", "jar": "C"}]}
    assert shelf(cupboard_today(shop(), with_more(used)), jar="C").volume.value.litres == pytest.approx(
        jar.volume.value.litres - 0.060
    )


def test_more_than_the_jar_held_leaves_it_empty():
    used = {"what": "used", "piece": chest().id, "amounts": [{"material": "shellac", "volume": "2 l", "jar": "B"}]}
    assert shelf(cupboard_today(shop(), with_more(used)), jar="B").volume.value.magnitude == 0


def test_a_cupboard_nobody_dated_stays_as_it_was_written():
    undated = shop().model_copy(update={"cupboard_on": None})
    assert cupboard_today(undated, daybook()) is undated


def test_what_was_used_has_its_price():
    spent = materials_used(daybook(), shop(), chest().id)
    assert low(spent).amount > 0
    assert high(spent).amount < 5  # 90 ml of white spirit and 5 ml of glue
    assert materials_used(DayBook(), shop(), chest().id).amount == 0


def test_hours_and_materials_logged_are_cost_so_far(before):
    step = open_step(before, "clean")
    book = lines(
        {"what": "done", "piece": chest().id, "minutes": "2 h", "step": step_as_logged(step)},
        {"what": "used", "piece": chest().id, "amounts": [{"material": "white spirit", "volume": "500 ml"}]},
    )
    after = plan_piece(chest(), shop(), book, NOW)
    assert low(after.cost.so_far).amount - low(before.cost.so_far).amount > 30
    assert after.total.p50 < before.total.p50
    assert after.likely_day <= before.likely_day


def test_finished_work_on_other_pieces_teaches_the_rate():
    """Two pieces cleaned in half the table's time: this one's cleaning takes less, and says that own past is why."""
    untried = chest().model_copy(update={"trial": ()})
    step = open_step(plan_piece(untried, shop(), DayBook(), NOW), "clean")
    half = f"{step.minutes.p50 / 2:.0f} min"
    done = [{"what": "done", "piece": other, "minutes": half, "step": step_as_logged(step)} for other in OTHERS]
    book = lines(*done)
    past = own_past_in(book, NOW)
    assert [one.labour for one in past] == ["clean", "clean"]
    assert past[0].ratio == pytest.approx(0.5, rel=0.02)
    after = plan_piece(untried, shop(), book, NOW)
    again = next(one for one in after.steps if one.step.id == step.step.id)
    assert again.minutes.says_from == "own past"
    assert step.minutes.p50 / 2 < again.minutes.p50 < step.minutes.p50
    assert again.minutes.p80 / again.minutes.p50 < step.minutes.p80 / step.minutes.p50


def test_work_not_written_down_whole_teaches_nothing(before):
    step = open_step(before, "clean")
    book = lines({"what": "done", "piece": OTHERS[0], "minutes": "1 min", "step": step_as_logged(step)})
    assert own_past_in(book, NOW) == ()
    assert own_past_in(daybook(), NOW) == ()  # its entries keep no amount of work


def test_the_safe_day_is_not_before_the_likely_one(before):
    assert before.likely_day < before.safe_day


def test_whole_days_at_the_bench_change_the_dates(before):
    """A helper who turns out to be at the bench half as much as was said: the days grow longer."""
    days = [
        NOW - timedelta(days=back) for back in range(2, 60) if (NOW - timedelta(days=back)).weekday() in (0, 1, 3, 4)
    ]
    text = [
        {"what": "worked", "who": "Tobias", "happened": day.isoformat(), "piece": OTHERS[0], "minutes": "2 h 40 min"}
        for day in days
    ]
    after = plan_piece(chest(), shop(), lines(*text), NOW)
    assert after.shop.person[1].bench_fraction < shop().person[1].bench_fraction
    assert after.likely_day >= before.likely_day
    assert low(after.cost.to_come).amount > low(before.cost.to_come).amount


# --- the next wet step and its air ---


def test_the_next_wet_step_says_what_the_air_must_be(before):
    assert "wants" in before.air
    assert "Read the air that morning" in before.air


def test_todays_air_decides_on_it():
    cold = lines({"what": "air", "temperature": "11 °C", "rh": "80 %"})
    assert "By today's air: heat first" in plan_piece(chest(), shop(), cold, NOW).air
    fine = lines({"what": "air", "temperature": "20 °C", "rh": "50 %"})
    assert plan_piece(chest(), shop(), fine, NOW).air.endswith("Today's air will do.")
    # Yesterday's reading says nothing of today.
    assert "Read the air" in plan_piece(chest(), shop(), fine, NOW + timedelta(days=1)).air


def test_done_work_costs_no_way_anything_more(before):
    step = open_step(before, "clean")
    book = lines({"what": "done", "piece": chest().id, "minutes": "2 h", "step": step_as_logged(step)})
    (then,) = [way for way in before.ways if way.chosen]
    (now,) = [way for way in plan_piece(chest(), shop(), book, NOW).ways if way.chosen]
    assert now.hours.usual == pytest.approx(then.hours.usual - step.minutes.p50 / 60, rel=0.05)
    assert low(now.cost).amount < low(then.cost).amount


def test_entries_may_name_a_piece_by_its_code(before):
    step = step_as_logged(open_step(before, "clean"))
    by_id, by_code = (
        plan_piece(chest(), shop(), lines({"what": "done", "piece": name, "minutes": "2 h", "step": step}), NOW)
        for name in (chest().id, chest().piece.code)
    )
    assert by_code.cost == by_id.cost
    assert by_code.total.p50 < before.total.p50


# --- begun, away, promised ---


def test_a_begun_step_has_only_what_is_left_of_it_to_come(before):
    step = open_step(before, "clean")
    book = lines({"what": "worked", "piece": chest().id, "minutes": "40 min", "step": step_as_logged(step)})
    after = plan_piece(chest(), shop(), book, NOW)
    assert before.total.p50 - 40 <= after.total.p50 < before.total.p50
    again = next(one for one in after.steps if one.step.id == step.step.id)
    assert again.minutes == step.minutes
    assert again.logged["state"] == "begun"


def test_what_is_with_others_is_said_until_it_is_back():
    away = plan_piece(chest(), shop(), daybook(), NOW).away
    assert away == ("LOCK, with the locksmith since 20 November: two keys to cut, quoted £28, promised for the 30th",)
    other = {"what": "back", "piece": chest().id, "part": "KNOB"}
    assert plan_piece(chest(), shop(), with_more(other), NOW).away == away
    for words in ({"part": "LOCK"}, {"to": "the locksmith"}):
        back = {"what": "back", "piece": chest().id, **words}
        assert plan_piece(chest(), shop(), with_more(back), NOW).away == ()


@pytest.mark.parametrize(("days", "says"), [(-1, "tell the owner"), (1, "likely kept, but"), (400, "")])
def test_a_promise_that_may_not_be_kept_is_said(before, days, says):
    promised = (before.likely_day if days < 100 else before.safe_day).date() + timedelta(days=days)
    piece = chest().piece.model_copy(update={"promised": promised})
    warnings = plan_piece(chest().model_copy(update={"piece": piece}), shop(), DayBook(), NOW).warnings
    found = [warning for warning in warnings if warning.startswith("Promised")]
    assert [says in warning for warning in found] == ([True] if says else [])


# --- kinds of entry that are no work, and coats ---


def test_reading_its_caution_begins_no_step(before):
    step = open_step(before, "clean")
    read = {"what": "acknowledged", "piece": chest().id, "to": "lead_no_dust", "step": step_as_logged(step)}
    paid = {"what": "paid", "piece": chest().id, "sum": "£50"}
    moved = {"what": "stage", "piece": chest().id, "to": "on the bench"}
    after = plan_piece(chest(), shop(), lines(read, paid, moved), NOW)
    assert after == before


def test_coats_are_counted_and_their_minutes_and_amounts_are_spent():
    plan = plan_piece(chest(), shop(), daybook(), NOW)
    step = next(one for one in plan.steps if one.step.sessions > 1 and not one.logged)
    coat = {
        "what": "coat", "piece": chest().id, "step": step_as_logged(step), "minutes": "20 min",
        "amounts": [{"material": "dewaxed shellac", "volume": "30 ml", "jar": "B"}],
    }  # fmt: skip
    book = with_more(coat, coat)
    after = plan_piece(chest(), shop(), book, NOW)
    (logged,) = [one.logged for one in after.steps if one.step.id == step.step.id]
    assert (logged["state"], logged["coats"], logged["minutes"]) == ("begun", 2, 40)
    left = shelf(cupboard_today(shop(), book), jar="B").volume.value.litres
    assert left == pytest.approx(shelf(shop(), jar="B").volume.value.litres - 0.060)


def test_a_jar_mixed_for_its_step_is_that_step_done():
    plan = plan_piece(chest(), shop(), daybook(), NOW)
    mixing = next(one for one in plan.steps if one.step.id == "mix.shellac")
    jar = [
        {"material": "shellac flakes", "mass": "60 g", "jar": "D"},
        {"material": "methylated spirits", "volume": "250 ml", "jar": "D"},
    ]
    mixed = {"what": "mixed", "piece": chest().id, "step": step_as_logged(mixing), "amounts": jar}
    after = plan_piece(chest(), shop(), with_more(mixed), NOW)
    (logged,) = [one.logged for one in after.steps if one.step.id == "mix.shellac"]
    assert logged["state"] == "done"
    (mix,) = [one for one in after.mixes if one.id == "jar.shellac"]
    assert mix.mix_at < NOW
