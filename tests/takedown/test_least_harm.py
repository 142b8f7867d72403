"""The least harm against trying everything, and any order against what its joints let go.

The rules are told here a second time, straight from the survey, set by set and with no bit sets.
"""

from itertools import chain, combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takedown.made_up import joint, part, piece
from witnessmark.takedown import CantPart, takedown
from witnessmark.takedown.harm import figures_of

OPPOSITE = {"up": "down", "down": "up", "left": "right", "right": "left", "forward": "back", "back": "forward"}
NOWAY = "don't know"


def subsets(things):
    return chain.from_iterable(combinations(things, size) for size in range(len(things) + 1))


# --- the rules, told again ---


def captured_anyhow(each):
    return "captured" in each.held and each.withdraw == NOWAY and len(each.parts) > 2


def lets(each, mover, way):
    """Whether the first part may leave the others along this way, or they it."""
    return each.withdraw == NOWAY or each.withdraw == (way if mover == each.parts[0] else OPPOSITE[way])


def parted_pairs(each, inside, gone):
    """The others of a joint that its first part is parted from when `gone` leaves the rest of `inside`."""
    first, *others = each.parts
    return [other for other in others if {first, other} <= inside and (first in gone) != (other in gone)]


def may_leave(survey, inside, gone, way, opened):
    """Whether the parts `gone` may leave the rest of `inside` along this way."""
    for each in survey.joint:
        first, *others = each.parts
        parted = parted_pairs(each, inside, gone)
        if not parted:
            continue
        if each.code not in opened or set(each.behind) & inside:
            return False
        if not lets(each, first if first in gone else parted[0], way):
            return False
        if captured_anyhow(each) and set(others) <= inside and parted == others:
            return False
    return True


def comes_free(survey, code, opened):
    """Whether the part can be rid of all others, by trying every group and every way."""
    inside = {each.code for each in survey.part}
    while inside != {code}:
        rest = sorted(inside - {code})
        for others in subsets(rest[::-1]):
            gone = {code, *others}
            if gone != inside and any(may_leave(survey, inside, gone, way, opened) for way in OPPOSITE):
                inside = gone
                break
        else:
            return False
    return True


def harm_of(survey, opened):
    return sum(figure.value for each in survey.joint if each.code in opened for figure in figures_of(each))


def least_by_trying_all(survey, code):
    """The least harm that frees the part, or None where nothing does."""
    may = [each.code for each in survey.joint if each.state != "don't open"]
    found = [harm_of(survey, opened) for opened in subsets(may) if comes_free(survey, code, set(opened))]
    return min(found, default=None)


# --- pieces of any kind ---

WAYS = st.sampled_from([*OPPOSITE, NOWAY])
HELD = st.sampled_from(["glued", "pegged", "screwed", "nailed", "bolted", "slides", "rests", "wedged", "captured"])
STATES = st.sampled_from(["tight", "tight", "loose", "open", "don't know", "don't open"])


@st.composite
def pieces(draw, parts=5, joints=7):
    codes = [f"P{number}" for number in range(draw(st.integers(2, parts)))]
    made = []
    for number in range(draw(st.integers(len(codes) - 1, joints))):
        others = draw(st.lists(st.sampled_from(codes), min_size=2, max_size=4, unique=True))
        if number and number < len(codes):  # so that most of it hangs together
            others = [codes[number], *[code for code in others if code != codes[number]]]
        others = others[: draw(st.sampled_from([2, 2, 2, 4]))]
        behind = [code for code in codes if code not in others and draw(st.integers(0, 7)) == 0]
        made.append(joint(f"J{number}", " ".join(others), draw(WAYS), draw(HELD), draw(STATES), behind=behind))
    return piece(made)


@settings(max_examples=120)
@given(pieces())
def test_no_gentler_way_exists_than_the_one_given(survey):
    code = survey.part[0].code
    least = least_by_trying_all(survey, code)
    if least is None:
        with pytest.raises(CantPart) as reason:
            takedown(survey, part(survey, code))
        assert code in str(reason.value)
        return
    taken = takedown(survey, part(survey, code))
    assert taken.free.harm.value == pytest.approx(least)
    assert comes_free(survey, code, set(taken.free.joints))


@settings(max_examples=150)
@given(pieces(parts=6), st.booleans())
def test_every_step_is_one_that_its_joints_let_happen(survey, whole):
    try:
        taken = takedown(survey, None if whole else survey.part[0])
    except CantPart:
        return
    assemblies = [{each.code for each in survey.part}]
    for step in taken.order:
        group = {step.take, *step.along}
        inside = next(each for each in assemblies if group <= each)
        crossed = [each for each in survey.joint if parted_pairs(each, inside, group)]
        assert {each.code for each in crossed} == set(step.joints)
        ways = [step.way.value] if step.way else list(OPPOSITE)
        assert any(may_leave(survey, inside, group, way, taken.opened) for way in ways) or not crossed
        assemblies.remove(inside)
        assemblies += [group, inside - group]


@settings(max_examples=150)
@given(pieces(parts=6), st.booleans())
def test_a_joint_is_opened_or_stays_shut_and_what_comes_off_goes_back(survey, whole):
    try:
        taken = takedown(survey, None if whole else survey.part[0])
    except CantPart:
        return
    assert not set(taken.opened) & set(taken.stays_shut)
    assert {*taken.opened, *taken.stays_shut} == {each.code for each in survey.joint}
    assert set(taken.why_shut) == set(taken.stays_shut)
    back = [(each.part, each.along, each.joints) for each in taken.refit]
    assert back == [(each.take, each.along, each.joints) for each in reversed(taken.order)]


@settings(max_examples=150)
@given(pieces(parts=6))
def test_of_itself_no_sound_joint_is_opened_that_breaks_anything(survey):
    try:
        taken = takedown(survey)
    except CantPart:
        return
    by_code = {each.code: each for each in survey.joint}
    for code in taken.opened:
        assert harm_of(survey, {code}) <= 10  # rule opened_to_reach
        assert by_code[code].state != "don't open"


@settings(max_examples=60)
@given(pieces(parts=6))
def test_what_comes_free_with_some_joints_opened_comes_free_with_more(survey):
    # The search rests on this.
    code = survey.part[0].code
    every = [each.code for each in survey.joint]
    for opened in subsets(every[:3]):
        if comes_free(survey, code, set(opened)):
            assert comes_free(survey, code, set(every))
