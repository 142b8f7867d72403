"""What the vapour of a planned step does to its room: Stop where it is shut, Mind the fan where there is one.

A closed winter shop with half a litre of spirit on a top is what a colleague would shout about.
"""

from dataclasses import replace

import pytest
from hypothesis import given as cases
from hypothesis import settings
from hypothesis import strategies as st

from pieces import NOW, daybook, piece, shop
from witnessmark.materials import material
from witnessmark.plan import air_of_step, finishing_room, plan_piece
from witnessmark.plan.vapour import minding_the_air
from witnessmark.quantities import Volume
from witnessmark.safety import ON_A_CARD, Caution, Level, cautions_of_task
from witnessmark.schedule import Minutes
from witnessmark.shop import shop_from, shop_text
from witnessmark.sources import given
from witnessmark.treatment import Need

ROOM = '[[room]]\nname = "back shop"\nlength = "{0} m"\nwidth = "4 m"\nheight = "2.5 m"\n'
AN_HOUR = Minutes(60, 80, 100)


def shop_with(length: float | None = 5, fan: float | None = None):
    bare = shop_text(shop().model_copy(update={"room": ()})).replace("room = []\n", "")
    room = "" if length is None else ROOM.format(length)
    return shop_from(bare + room + (f"fan_m3_per_h = {fan}\n" if fan is not None else ""), "shop.toml")


def step_with(*taken: tuple[str, float], sessions: int = 1):
    planned = plan_piece(piece("chest"), shop(), daybook(), NOW).steps[0]
    needs = tuple(Need(key, material(key).name, given("asked", Volume(litres))) for key, litres in taken)
    return replace(planned.step, needs=needs, sessions=sessions, cautions=())


SPIRIT = step_with(("ethanol_denatured", 0.5))


def said(step, at):
    air = air_of_step(step, AN_HOUR, at)
    return [] if air is None else [(one.key, one.level) for one in cautions_of_task(air)]


def test_half_a_litre_of_spirit_in_a_closed_winter_shop_is_stopped():
    # 0.5 l × 790 g/l ÷ 46.07 g/mol × 24.06 l/mol = 206 l of vapour in 50 m³: 4,126 ppm, over NIOSH's 3,300 and
    # 12.5 % of the lower explosive limit of 3.3 %.
    air = air_of_step(SPIRIT, AN_HOUR, shop_with())
    assert air is not None
    assert air.shut.value.parts_per_million == pytest.approx(0.5 * 790 / 46.07 * 24.06 / 50e3 * 1e6, rel=1e-6)
    assert said(SPIRIT, shop_with()) == [("deadly_when_shut", Level.STOP), ("fire_when_shut", Level.STOP)]
    assert air.again is None
    assert air.clear is None


def test_a_fan_that_keeps_it_down_is_to_be_on():
    assert said(SPIRIT, shop_with(fan=3000)) == [("fan_on", Level.MIND)]
    assert said(SPIRIT, shop_with(fan=10))[0] == ("deadly_when_shut", Level.STOP)  # as good as none


def test_a_great_hall_a_little_spirit_or_water_asks_nothing():
    assert said(SPIRIT, shop_with(length=100)) == []
    assert said(step_with(("ethanol_denatured", 0.02)), shop_with()) == []
    assert said(step_with(("pva", 0.5)), shop_with()) == []


def test_a_room_nobody_measured_has_no_sum():
    assert air_of_step(SPIRIT, AN_HOUR, shop_with(length=None)) is None
    assert finishing_room(shop_with(length=None)) is None


def test_what_is_drawn_in_sessions_goes_a_session_at_a_time():
    twice = air_of_step(replace(SPIRIT, sessions=2), AN_HOUR, shop_with())
    once = air_of_step(SPIRIT, AN_HOUR, shop_with())
    assert twice is not None
    assert once is not None
    assert twice.shut.value.parts_per_million == pytest.approx(once.shut.value.parts_per_million / 2)


def test_a_polish_lets_go_the_spirit_it_is_made_with():
    assert said(step_with(("shellac_french_polish", 0.5)), shop_with()) == said(SPIRIT, shop_with())


def test_the_smallest_room_counts():
    small = finishing_room(shop())
    assert small is not None
    assert small.name == "polishing room"


@settings(max_examples=25, deadline=None)
@cases(st.floats(0.01, 3), st.floats(0, 2000), st.floats(0, 2000))
def test_more_fan_never_says_stop_where_less_did_not(litres, one, other):
    less, more = sorted((one, other))
    step = replace(SPIRIT, needs=(replace(SPIRIT.needs[0], amount=given("asked", Volume(litres))),))
    stops = [{key for key, level in said(step, shop_with(fan=fan)) if level is Level.STOP} for fan in (less, more)]
    assert stops[1] <= stops[0]


def test_the_plan_and_its_steps_say_so_first_and_no_more_than_is_read():
    shut = shop().model_copy(update={"room": tuple(r.model_copy(update={"fan_m3_per_h": None}) for r in shop().room)})
    plan = plan_piece(piece("chest"), shut, daybook(), NOW)
    stopped = [one for one in plan.steps if any(c.key == "fire_when_shut" for c in one.step.cautions)]
    assert stopped
    for one in plan.steps:
        levels = [caution.level is not Level.STOP for caution in one.step.cautions]
        assert levels == sorted(levels)
        assert len(levels) <= ON_A_CARD
    assert plan.cautions[0].level is Level.STOP
    assert "fire_when_shut" in {one.key for one in plan.cautions}
    fanned = plan_piece(piece("chest"), shop(), daybook(), NOW)
    assert "fire_when_shut" not in {one.key for one in fanned.cautions}
    assert "fan_on" in {one.key for one in fanned.cautions}


def test_a_step_full_of_cautions_keeps_its_stops():
    full = tuple(Caution(f"mind_{n}", Level.MIND, "mind", "", "trade_common_practice") for n in range(ON_A_CARD))
    step = minding_the_air(replace(SPIRIT, cautions=full), air_of_step(SPIRIT, AN_HOUR, shop_with()))
    assert [one.level for one in step.cautions] == [Level.STOP, Level.STOP, Level.MIND]
