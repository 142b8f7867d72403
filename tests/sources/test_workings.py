"""An answer can be worked again from what it shows, and is no better than what went in."""

import json

import pytest
from hypothesis import given as holds_for
from hypothesis import strategies as st

from witnessmark.quantities import (
    UNKNOWN,
    Area,
    Coats,
    Coverage,
    Cut,
    Density,
    Film,
    Length,
    Mass,
    Percent,
    Range,
    Span,
    Temperature,
    Volume,
    as_json,
)
from witnessmark.sources import FORMULAS, Figure, Standing, evaluate, formula, given, recomputed, table_of, work


@formula("solvent = flakes ÷ cut")
def solvent_for(flakes: Mass, cut: Cut) -> Volume:
    """Solvent to pour on dry flakes."""
    return Volume(flakes.grams / cut.grams_per_litre)


@formula("poured = coats × area ÷ coverage")
def poured(coats: Coats, area: Area, coverage: Coverage) -> Volume:
    return Volume(coats.number * area.square_metres / coverage.square_metres_per_litre)


@formula("heaped = sum of amounts × share")
def heaped(amounts: tuple[Mass, ...], share: float) -> Mass:
    return sum(amounts, Mass(0)) * share


@formula("left = had − used", source=Figure("a rule", None, Standing.COMMON_PRACTICE, "a_book"))
def left(had: Volume, used: Volume) -> Volume:
    return had - used


@formula("ends = shorter and longer")
def ends(length: Length, by: Length) -> tuple[Length, Length]:
    return length - by, length + by


def figure(value: object, standing: Standing = Standing.PUBLISHED) -> Figure:
    return Figure("room/table.csv:row:column", value, standing, "a_book")


def close(ours: dict, theirs: dict) -> bool:
    # Inputs are shown to twelve digits: a sum of a few of them may differ in the eleventh.
    numbers = theirs.keys() - {"unit"}
    return (
        ours.keys() == theirs.keys()
        and ours["unit"] == theirs["unit"]
        and all(ours[name] == pytest.approx(theirs[name], rel=1e-9, abs=1e-4) for name in numbers)
    )


def ranged(kind):
    """Amounts of a kind, and ranges of it."""
    numbers = st.floats(min_value=0.01, max_value=1e4)
    three = st.lists(numbers, min_size=3, max_size=3).map(sorted)
    return numbers.map(kind) | three.map(lambda ends: Range(*map(kind, ends)))


# --- working ---


def test_a_formula_called_is_the_plain_function():
    assert solvent_for(Mass(60), Cut(240)) == Volume(0.25)
    assert FORMULAS[solvent_for.key] is solvent_for
    assert solvent_for.function.__doc__ == "Solvent to pour on dry flakes."


def test_a_working_holds_its_value_and_what_went_in():
    found = work(solvent_for, flakes=given("--flakes", Mass(60)), cut=figure(Cut(240)))
    assert found.value == Volume(0.25)
    assert [name for name, _ in found.inputs] == ["flakes", "cut"]
    shown = table_of([found])[found.id]
    assert shown["says"] == "solvent = flakes ÷ cut"
    assert shown["inputs"]["flakes"] == {"given": "--flakes", "shown": {"value": 60, "unit": "g"}}
    assert shown["inputs"]["cut"]["source"] == "a_book"
    assert shown["value"] == {"value": 250, "unit": "ml"}


@holds_for(ranged(Coats), ranged(Area), ranged(Coverage))
def test_a_working_of_ranges_is_as_wide_as_its_corners(coats, area, coverage):
    found = work(poured, coats=given("coats", coats), area=given("area", area), coverage=figure(coverage)).value
    least = poured(*(end(one) for one, end in ((coats, lowest), (area, lowest), (coverage, highest))))
    most = poured(*(end(one) for one, end in ((coats, highest), (area, highest), (coverage, lowest))))
    assert lowest(found).litres == pytest.approx(least.litres)
    assert highest(found).litres == pytest.approx(most.litres)
    assert lowest(found) <= middle(found) <= highest(found)


def lowest(value):
    return value.low if isinstance(value, Range) else value


def middle(value):
    return value.usual if isinstance(value, Range) else value


def highest(value):
    return value.high if isinstance(value, Range) else value


def test_a_range_that_changes_nothing_leaves_one_answer():
    assert evaluate(lambda area, coats: area, {"area": Area(3), "coats": Range(1, 2, 3)}) == Area(3)


def test_ends_apart_by_the_noise_of_a_sum_are_one_answer():
    barely = Range(Mass(0.3), Mass(0.3), Mass(0.1) + Mass(0.2))
    assert barely.low != barely.high
    found = work(solvent_for, flakes=given("flakes", barely), cut=given("cut", Cut(240)))
    assert found.value == Volume(0.3 / 240)
    share = evaluate(lambda flakes: flakes / Mass(1), {"flakes": barely})
    assert share == pytest.approx(0.3)


def test_an_answer_in_parts_is_widened_part_by_part():
    length = Range(Length(90), Length(100), Length(120))
    shorter, longer = work(ends, length=given("a", length), by=given("b", Length(5))).value
    assert shorter == Range(Length(85), Length(95), Length(115))
    assert longer == Range(Length(95), Length(105), Length(125))


# --- worked again ---


@holds_for(ranged(Coats), ranged(Area), ranged(Coverage), ranged(Cut))
def test_every_working_is_recomputed_from_its_own_inputs(coats, area, coverage, cut):
    first = work(poured, coats=given("coats", coats), area=given("area", area), coverage=figure(coverage))
    second = work(solvent_for, flakes=given("flakes", Mass(60)), cut=given("cut", cut))
    third = work(left, had=first, used=second)
    flat = json.loads(json.dumps(table_of([third])))
    assert set(flat) == {first.id, second.id, third.id}
    for working_id, entry in flat.items():
        assert close(recomputed(flat, working_id), entry["value"])


@holds_for(st.lists(st.floats(min_value=0, max_value=1e5).map(Mass), max_size=8), st.floats(min_value=0, max_value=1))
def test_a_sum_over_a_list_is_recomputed_too(amounts, share):
    found = work(heaped, amounts=given("amounts", tuple(amounts)), share=figure(share))
    flat = json.loads(json.dumps(table_of([found])))
    assert close(recomputed(flat, found.id), as_json(found.value))


@pytest.mark.parametrize(
    "value",
    [
        Length(3.3), Film(300), Area(3), Volume(0.3), Mass(3), Cut(240), Density(640), Coverage(10), Span(30),
        Percent(3), Coats(3), Temperature(-3), Range(Mass(1), Mass(2), Mass(3)), Range(1.0, 2.0, 3.0), 3, 2.5, True,
        "flat", UNKNOWN, (Mass(1), Mass(2)), ((1, Mass(2)), (3, Mass(4))), (),
    ],
)  # fmt: skip
def test_a_formula_is_given_again_what_it_was_given(value):
    seen = []

    @formula("noted = value")
    def noted(value: object) -> float:
        seen.append(value)
        return 1.0

    flat = table_of([work(noted, value=given("value", value))])
    before = list(seen)
    recomputed(json.loads(json.dumps(flat)), next(iter(flat)))
    assert seen == before * 2
    assert [type(one) for one in seen] == [type(one) for one in before * 2]


def test_what_can_not_be_shown_can_not_go_into_a_working():
    found = work(heaped, amounts=given("amounts", ()), share=figure(1.0))
    odd = work(evaluated := formula("one")(lambda value: 1.0), value=given("value", object()))
    assert evaluated.says == "one"
    with pytest.raises(TypeError, match="can't stand in a working: give an amount, a number"):
        table_of([found, odd])


def test_a_table_short_of_a_working_says_which():
    first = work(solvent_for, flakes=given("flakes", Mass(60)), cut=given("cut", Cut(240)))
    second = work(left, had=given("had", Volume(1)), used=first)
    flat = table_of([second])
    del flat[first.id]
    with pytest.raises(KeyError, match=first.id):
        recomputed(flat, second.id)


# --- ids and standing ---


@holds_for(st.floats(0.01, 1e4), st.floats(0.01, 1e4), st.sampled_from(["--flakes", "parts.top"]))
def test_an_id_is_the_same_tomorrow_and_another_for_other_inputs(grams, others, place):
    def worked(number: float, said: str = place):
        return work(solvent_for, flakes=given(said, Mass(number)), cut=figure(Cut(240)))

    assert worked(grams).id == worked(grams).id
    assert worked(grams).id.startswith(f"{solvent_for.key}:")
    assert worked(grams).id != worked(grams, "--make").id
    same_as_shown = as_json(Mass(grams)) == as_json(Mass(others))
    assert (worked(grams).id == worked(others).id) == same_as_shown


def test_an_id_does_not_change_with_the_release():
    # Plans are kept and compared: an id may change only when somebody means it to.
    found = work(solvent_for, flakes=given("--flakes", Mass(60)), cut=given("--cut", Cut(240)))
    assert found.id == f"{solvent_for.key}:5d6c0cf6d6"


def test_the_same_working_stands_once_in_the_table():
    first = work(solvent_for, flakes=given("flakes", Mass(60)), cut=given("cut", Cut(240)))
    again = work(solvent_for, flakes=given("flakes", Mass(60)), cut=given("cut", Cut(240)))
    both = work(left, had=first, used=again)
    assert list(table_of([first, both, again])) == [first.id, both.id]


def test_another_standing_is_another_working():
    had, used = given("had", Volume(1)), figure(Volume(0.5), Standing.PUBLISHED)
    remembered = figure(Volume(0.5), Standing.FROM_MEMORY)
    assert work(left, had=had, used=used).id != work(left, had=had, used=remembered).id


@holds_for(st.sampled_from(Standing), st.sampled_from(Standing))
def test_a_working_stands_no_firmer_than_its_weakest_figure_at_any_depth(one, two):
    order = list(Standing)
    deep = work(solvent_for, flakes=figure(Mass(60), one), cut=figure(Cut(240), two))
    assert deep.standing is max(one, two, key=order.index)
    upon = work(
        solvent_for,
        flakes=given("flakes", Mass(1)),
        cut=work(formula("cut = cut")(Cut), grams_per_litre=figure(2.0, one)),
    )
    assert upon.standing is one
    with_a_rule = work(left, had=deep, used=given("used", Volume(0)))
    assert with_a_rule.standing is max(one, two, Standing.COMMON_PRACTICE, key=order.index)
    shown = table_of([with_a_rule])[with_a_rule.id]
    assert (shown["standing"], shown["source"]) == (with_a_rule.standing.value, "a_book")


def test_what_was_only_given_is_computed():
    assert work(solvent_for, flakes=given("a", Mass(1)), cut=given("b", Cut(2))).standing is Standing.COMPUTED


def test_two_formulas_of_a_room_can_not_share_a_name():
    def another(flakes: Mass) -> Mass:
        return flakes

    another.__name__ = "solvent_for"
    with pytest.raises(ValueError, match=r"two formulas are called .*solvent_for: rename one"):
        formula("flakes = flakes")(another)
    assert FORMULAS[solvent_for.key] is solvent_for
