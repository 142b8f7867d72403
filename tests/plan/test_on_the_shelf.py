"""The cupboard against all the plans: what to buy, what goes into a mix, what burns and what the cabinet holds."""

from functools import cache

import pytest

from pieces import NOW, PIECES, daybook, piece, shop
from witnessmark.plan import burns_now, cupboard_today, goes_in, mixes_to_come, plan_as_json, plan_piece, to_buy
from witnessmark.quantities import from_json
from witnessmark.shop import shop_from

HEAD = '[shop]\nname = "A"\n[[person]]\nname = "Me"\nhours = { mon-fri = "8:00-12:30" }\n'
DAY = NOW.date()


@cache
def plans():
    return [plan_as_json(plan_piece(piece(name), shop(), daybook(), NOW)) for name in PIECES]


def lines():
    return {one.line.material: one for one in to_buy(plans(), cupboard_today(shop(), daybook()), DAY)}


def test_what_several_pieces_want_is_bought_once_for_all():
    wax = lines()["wax_paste_beeswax_carnauba"]
    each = [from_json(line["need"]).litres for plan in plans() for line in plan["shopping"]
            if line["material"] == "wax_paste_beeswax_carnauba"]  # fmt: skip
    assert len(each) == 4
    assert wax.line.need.litres == pytest.approx(sum(each))
    assert wax.line.amount.litres >= sum(each)
    assert wax.line.packs < sum(1 for _ in each)  # four pieces, two tins
    assert set(wax.pieces) == {"C1", "W2", "B3", "D4"}


def test_each_alone_has_enough_where_together_they_have_not():
    want = [dict(plan) for plan in plans()]
    line = {"material": "mineral_spirits", "need": {"value": 1.0, "unit": "l"}}
    want = [plan | {"shopping": [line]} for plan in want]
    (spirit,) = to_buy(want, shop(), DAY)  # 1.4 l on the shelf
    assert spirit.line.need.litres == pytest.approx(4)
    assert spirit.line.amount.litres >= 2.6


def test_what_must_be_bought_soonest_comes_first():
    told = to_buy(plans(), shop(), DAY)
    buying = [one for one in told if one.line.packs]
    assert [bool(one.line.packs) for one in told] == sorted((bool(one.line.packs) for one in told), reverse=True)
    days = [one.by for one in buying if one.by]
    assert days == sorted(days)


def test_a_mix_says_what_is_weighed_into_what_with_its_working():
    by_piece = {plan["piece"]["id"]: plan for plan in plans()}
    shellac = next(one for one in mixes_to_come(daybook(), by_piece) if one.mix["material"] == "shellac")
    plan = by_piece[shellac.piece]
    flakes, spirit = goes_in(shellac.mix, plan, shop())
    assert (flakes.name, spirit.name) == ("shellac flakes", "methylated spirits")
    assert plan["workings"][flakes.working]["says"] == "flakes = solvent × cut"
    # A cut counts flakes per solvent poured: the one over the other is the cut again.
    cut = from_json(dict(flakes.amount)).grams / from_json(dict(spirit.amount)).litres
    assert cut == pytest.approx(from_json(shellac.mix["cut"]).grams_per_litre, rel=0.01)


def test_glue_is_weighed_dry_and_without_spirit():
    by_piece = {plan["piece"]["id"]: plan for plan in plans()}
    glue = next(one for one in mixes_to_come(daybook(), by_piece) if one.mix["material"] == "hide_glue_hot")
    assert [one.name for one in goes_in(glue.mix, by_piece[glue.piece], shop())] == ["hide glue"]


# --- what burns ---


def cupboard(*shelves, cabinet=""):
    room = f'[[room]]\nname = "b"\ncabinet = "{cabinet}"\n' if cabinet else ""
    return shop_from(HEAD + room + "".join(f"[[cupboard]]\n{shelf}\n" for shelf in shelves), "s.toml")


SPIRIT = 'material = "white spirit"\nvolume = "3 l"'
METHS = 'material = "methylated spirits"\nvolume = "2 l"'


def test_litres_out_are_those_of_what_flashes_and_no_others():
    wax = 'material = "paste wax"\nmass = "310 g"'
    oil = 'material = "linseed oil"\nvolume = "4 l"'
    assert burns_now(cupboard(SPIRIT, METHS, wax, oil), "UK").held.litres == pytest.approx(5)


def test_a_cabinet_that_is_too_small_says_by_how_much():
    assert burns_now(cupboard(SPIRIT, METHS, cabinet="4 l"), "UK").over.litres == pytest.approx(1)
    assert burns_now(cupboard(SPIRIT, METHS, cabinet="5 l"), "UK").over is None
    assert burns_now(cupboard(SPIRIT), "UK").room is None


def test_what_is_not_measured_or_not_listed_is_named_not_counted():
    found = burns_now(
        cupboard('material = "white spirit"', 'material = "grandfather\'s reviver"\nvolume = "1 l"'), "UK"
    )
    assert (found.held.litres, found.unmeasured, found.unlisted) == (0, ("white spirit",), ("grandfather's reviver",))
