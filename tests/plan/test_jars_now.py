"""Each jar as it stands: what is left, whether it reaches for its next use, when to stir it, whether it dried hard."""

import json
from datetime import date, timedelta
from functools import cache

import pytest

from entries import entry
from pieces import NOW, PIECES, chest, daybook, piece, shop
from witnessmark.daybook import DayBook
from witnessmark.plan import Reach, jars_now, mixes_to_come, plan_as_json, plan_piece

B = {"material": "dewaxed shellac", "jar": "B"}
C = {"material": "dewaxed shellac", "jar": "C"}
MIX_D = [
    {"material": "shellac flakes", "mass": "60 g", "jar": "D"},
    {"material": "methylated spirits", "volume": "250 ml", "jar": "D"},
]


@cache
def plans():
    return {piece(name).id: plan_as_json(plan_piece(piece(name), shop(), daybook(), NOW)) for name in PIECES}


def logged(number, what, minutes=0, **said):
    return entry(number, what, NOW + timedelta(minutes=minutes), **{"piece": "", **said})


def jars(*made, now=NOW, planned=None):
    book = DayBook.of([*daybook().entries, *made])
    return jars_now(shop(), book, plans() if planned is None else planned, now)


def jar(name, *made, **more):
    (found,) = [one for one in jars(*made, **more) if one.jar == name]
    return found


def sealing():
    """The use of jar B in the plan of the chest."""
    return jar("B").uses[0]


# --- what is in it ---


def test_every_jar_and_tin_of_the_cupboard_is_there_with_those_mixed_since():
    names = [one.jar for one in jars() if one.jar]
    assert names == ["A", "B", "C"]
    assert len(jars()) == len(shop().cupboard) + 1


def test_a_coat_takes_what_it_says_and_a_discarded_jar_is_gone():
    step = {"id": "seal_repairs.found", "trade_name": "seal the repairs"}
    coat = logged(1, "coat", -5, piece=chest().id, step=step, amounts=[{**B, "volume": "30 ml"}])
    assert jar("B", coat).left.litres * 1000 == pytest.approx(150)
    assert [one.jar for one in jars(logged(1, "discarded", -5, amounts=[B])) if one.jar] == ["A", "C"]
    assert jar("B", logged(1, "discarded", -5, amounts=[{**B, "volume": "80 ml"}])).left.litres * 1000 == pytest.approx(
        100
    )


def test_what_was_counted_is_what_there_is():
    counted = logged(1, "counted", -5, amounts=[{**C, "volume": "90 ml"}])
    assert jar("C", counted).left.litres * 1000 == pytest.approx(90)


def test_a_drop_that_dried_hard_makes_a_jar_trusted():
    assert jar("C").dried_hard is None
    assert jar("C", logged(1, "tested", -5, amounts=[C], to="dried hard")).dried_hard is True
    assert jar("B", logged(1, "tested", -5, amounts=[B], to="stayed soft")).dried_hard is False


def test_what_is_logged_for_later_is_not_gone_yet():
    assert jar("B", logged(1, "discarded", 60, amounts=[B])).left.litres * 1000 == pytest.approx(180)


def test_without_a_day_the_cupboard_was_counted_it_stays_as_written():
    undated = shop().model_copy(update={"cupboard_on": None})
    assert [one.jar for one in jars_now(undated, daybook(), plans(), NOW) if one.jar] == ["A", "B"]


# --- ready, stirred, good until ---


def test_a_jar_mixed_at_the_bench_is_ready_when_its_flakes_are_dissolved():
    fresh = jar("D", logged(1, "mixed", -60, amounts=MIX_D))
    assert fresh.mixed_at == NOW - timedelta(hours=1)
    assert timedelta(hours=8) < fresh.ready_at - fresh.mixed_at <= timedelta(hours=48)
    assert fresh.cut.grams_per_litre == pytest.approx(240)
    assert fresh.best_before > date(2027, 1, 1)


def test_it_is_stirred_the_same_day_the_next_morning_and_then_no_more():
    # Rows stir_after, stir_again and stirs of treatment/rules.csv: common practice.
    mixed = logged(1, "mixed", -60, amounts=MIX_D)
    stirs = [logged(2, "stirred", 180, amounts=[MIX_D[0]]), logged(3, "stirred", 900, amounts=[MIX_D[0]])]
    later = NOW + timedelta(days=2)
    assert jar("D", mixed, now=later).stir_due == NOW + timedelta(hours=3)
    assert jar("D", mixed, stirs[0], now=later).stir_due == stirs[0].happened + timedelta(hours=12)
    assert jar("D", mixed, *stirs, now=later).stir_due is None
    assert jar("B").stir_due is None  # nobody knows the hour it was mixed


def test_a_jar_mixed_again_under_its_old_name_is_not_the_old_jar():
    again = [{**one, "jar": "B"} for one in MIX_D]
    old, new = [one for one in jars(logged(1, "mixed", -60, amounts=again)) if one.jar == "B"]
    assert (old.mixed_at, new.mixed_at) == (None, NOW - timedelta(hours=1))
    assert old.uses == ()
    assert new.uses


def test_a_jar_says_what_its_spirit_is():
    # H225 and H319 of ethanol: harmonised classification, CLP annex VI (from memory).
    assert jar("B").hazards == jar("C").hazards == ("H225", "H319")
    (wax,) = [one for one in jars() if one.material == "paste wax"]
    assert wax.hazards == ()


# --- whether it reaches ---


def test_the_next_use_of_a_jar_off_the_shelf_is_the_plan_s():
    use = sealing()
    assert (use.piece, use.reach) == (chest().id, Reach.ENOUGH)
    (mix,) = [mix for mix in plans()[chest().id]["mixes"] if mix["from_shelf"] == "B"]
    assert use.step == mix["uses"][0]["step"]
    assert use.wants.usual.litres * 1000 == pytest.approx(mix["uses"][0]["volume"]["value"])


def test_a_nearly_dry_jar_says_before_the_coat_by_how_much_it_is_short():
    wants = sealing().wants

    def with_left(litres):
        amounts = [{**B, "volume": f"{litres * 1000:.6f} ml"}]
        return jar("B", logged(1, "counted", -5, amounts=amounts)).next_use

    short = with_left(wants.low.litres / 2)
    assert short.reach is Reach.SHORT
    assert short.short_by.low.litres == pytest.approx(wants.low.litres / 2)
    assert short.short_by.high.litres == pytest.approx(wants.high.litres - wants.low.litres / 2)
    perhaps = with_left(wants.usual.litres)
    assert perhaps.reach is Reach.MAYBE
    assert (perhaps.short_by.low.litres, perhaps.short_by.usual.litres) == (0, pytest.approx(0, abs=1e-9))
    assert with_left(wants.high.litres * 1.01).reach is Reach.ENOUGH


def test_what_a_coat_took_is_not_wanted_again():
    use = sealing()
    took = {**B, "volume": f"{use.wants.low.litres * 1000:.6f} ml"}
    step = {"id": use.step, "trade_name": use.trade_name}
    coat = logged(1, "coat", -5, piece=chest().id, step=step, amounts=[took])
    left = jar("B", coat).next_use.wants
    assert left.low.litres == pytest.approx(0, abs=1e-9)
    assert left.high.litres == pytest.approx(use.wants.high.litres - use.wants.low.litres)


def test_a_step_draws_on_the_jar_it_was_last_given_from():
    use = sealing()
    step = {"id": use.step, "trade_name": use.trade_name}
    used = logged(1, "used", -5, piece=chest().id, step=step, amounts=[{**C, "volume": "5 ml"}])
    assert jar("B", used).uses == ()
    assert [one.step for one in jar("C", used).uses] == [use.step]


def test_a_jar_mixed_for_a_plan_s_mixing_step_serves_that_plan():
    (to_come,) = [
        one for one in mixes_to_come(daybook(), plans()) if one.step == "mix.shellac" and one.piece == chest().id
    ]
    step = {"id": to_come.step, "trade_name": "mix"}
    mixed = logged(1, "mixed", -60, piece=chest().id, step=step, amounts=MIX_D)
    fresh = jar("D", mixed)
    assert {one.step for one in fresh.uses} == {use["step"] for use in to_come.mix["uses"]}
    starts = [one.starts for one in fresh.uses]
    assert starts == sorted(starts)
    assert to_come not in mixes_to_come(DayBook.of([*daybook().entries, mixed]), plans())


def test_each_use_is_short_by_what_those_before_it_have_drawn():
    step = {"id": "mix.shellac", "trade_name": "mix"}
    mixed = logged(1, "mixed", -60, piece=chest().id, step=step, amounts=MIX_D)
    uses = jar("D", mixed, logged(2, "counted", -5, amounts=[{**MIX_D[0], "volume": "1 ml", "mass": None}])).uses
    so_far = 0.0
    for use in uses:
        so_far += use.wants.usual.litres
        assert use.short_by.usual.litres == pytest.approx(max(so_far - 0.001, 0))


def test_a_pot_that_is_measured_for_glue_that_is_weighed_can_t_be_told():
    step = {"id": "mix.glue", "trade_name": "soak"}
    pot = [
        {"material": "hide glue", "mass": "50 g", "jar": "P"},
        {"material": "water", "volume": "100 ml", "jar": "P"},
    ]
    mixed = logged(1, "mixed", -60, piece=chest().id, step=step, amounts=pot)
    glue = jar("P", mixed)
    assert glue.next_use.reach is Reach.UNKNOWN
    assert glue.next_use.short_by is None
    assert glue.stir_due is None
    assert glue.best_before == (NOW + timedelta(days=7)).date()  # glue_keeps, treatment/rules.csv


def test_the_first_to_mix_stands_first():
    found = [one.mix_at for one in mixes_to_come(daybook(), plans()) if one.mix_at]
    assert found == sorted(found)
    assert found


def test_it_leaves_as_plain_json():
    shown = json.loads(json.dumps([one.as_json() for one in jars()]))
    assert shown[1]["next_use"]["reach"] == "enough"
    assert json.loads(json.dumps([one.as_json() for one in mixes_to_come(daybook(), plans())]))
