"""What a piece waits on: others, drying, a fixing, a pair of hands, nothing."""

from datetime import timedelta

from entries import book, entry, off, stage
from pieces import NOW, chair, chest, daybook, shop
from small_surveys import TOP, survey_with
from witnessmark.daybook import DayBook
from witnessmark.plan import On, plan_as_json, plan_piece, waiting_on


def waits(survey, log, now=NOW):
    plan = plan_as_json(plan_piece(survey, shop(), log, now))
    return waiting_on(survey, log, plan, shop(), now)


def test_what_is_out_with_the_locksmith_is_waited_for():
    (first, *_) = waits(chest(), daybook())
    assert first.on is On.OTHERS
    assert first.says.startswith("LOCK, with the locksmith since 20 November")


def test_what_was_just_laid_dries_until_its_wait_is_over():
    log, now = daybook(), NOW
    done = []
    for _ in range(40):
        plan = plan_as_json(plan_piece(chair(), shop(), log, now))
        (found, *_) = waiting_on(chair(), log, plan, shop(), now)
        if found.on is On.DRYING:
            break
        step = next(one for one in plan["steps"] if (one["logged"] or {}).get("state") != "done")
        said = {"id": step["id"], "trade_name": step["trade_name"], "parts": step["parts"]}
        done.append(entry(len(done) + 1, "done", now, piece=chair().id, step=said))
        log = DayBook.of([*daybook().entries, *done])
        now += timedelta(minutes=1)
    assert found.on is On.DRYING
    assert found.until > now
    assert found.step == done[-1].step.id
    assert f"“{done[-1].step.trade_name}” dries until" in found.says
    later = found.until + timedelta(minutes=1)
    plan = plan_as_json(plan_piece(chair(), shop(), log, later))
    assert all(one.on is not On.DRYING for one in waiting_on(chair(), log, plan, shop(), later))


def test_between_two_coats_it_waits_for_the_last_one():
    plan = plan_as_json(plan_piece(chair(), shop(), daybook(), NOW))
    step = {**plan["steps"][0], "id": "brush_coats.show", "trade_name": "brush the shellac", "logged": None,
            "after": [], "starts": "2026-11-25T08:00:00Z", "between": {"usual": 4.0}}  # fmt: skip
    coat = entry(1, "coat", NOW, piece=chair().id, step={"id": "brush_coats.show", "trade_name": "brush the shellac"})
    coated = {**plan, "steps": [step]}
    (found,) = waiting_on(chair(), DayBook.of([coat]), coated, shop(), NOW + timedelta(hours=1))
    assert (found.on, found.until) == (On.DRYING, NOW + timedelta(hours=4))
    (found,) = waiting_on(chair(), DayBook.of([coat]), coated, shop(), NOW + timedelta(hours=5))
    assert found.on is On.NOTHING


def test_called_together_with_a_screw_open_it_waits_on_the_screw():
    joint = '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE"]\n[[joint.fixing]]\ncode = "S1"\nkept = "tin 3"\n'
    survey = survey_with(TOP, joint)
    log = book(off("TOP"), stage("together"))
    found = waits(survey, log, NOW + timedelta(hours=3))
    assert [one.says for one in found if one.on is On.FIXINGS] == [
        "TOP, top: still off", "S1 of TOP, kept in tin 3: still open",
    ]  # fmt: skip


def test_ready_now_it_waits_on_nothing_and_a_later_day_on_somebody_s_hands():
    plan = plan_as_json(plan_piece(chair(), shop(), daybook(), NOW))
    (found,) = waiting_on(chair(), daybook(), plan, shop(), NOW)
    assert found.on is On.NOTHING
    assert found.says.startswith("Ready for “")
    early = NOW - timedelta(days=2)
    (found,) = waiting_on(chair(), DayBook(), plan, shop(), early)
    slot = next(one for one in plan["calendar"] if one["step"] == found.step)
    assert (found.on, found.who) == (On.HANDS, slot["who"])
    assert found.who in found.says


def test_out_or_never_planned_it_waits_on_nothing():
    survey = survey_with(TOP)
    assert [one.says for one in waiting_on(survey, book(stage("out")), None, shop(), NOW)] == ["Out."]
    assert [one.says for one in waiting_on(survey, DayBook(), None, shop(), NOW)] == ["Nothing is planned yet."]
