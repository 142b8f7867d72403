"""Taking apart: which joints to open, and in what order the parts come off.

Sound joints stay shut. Without a part to free, what lifts or slides out goes first, then hardware, then whatever
is loose; a sound joint is opened only to reach one of these, and only where nothing is broken by it (rule
`opened_to_reach`). To free a part, the least harm that does it, whatever that is.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from witnessmark.documents import Fault, Faulty, nearest
from witnessmark.sources import rule
from witnessmark.survey import Held, Joint, JointState, Part, Shape, Survey

from .bonds import Bonds, Hold, bonds_of
from .glue import Glue
from .harm import harm_in_words, harm_working
from .least_harm import Least, least_harm, without_spare
from .locks import cant_part, is_locked, never
from .springing import Spring, may_be_sprung, spring_of
from .taken import Freed, Takedown
from .undoing import Undoing

_LOOSE = (JointState.LOOSE, JointState.OPEN)


def part_named(survey: Survey, text: str, where: str = "part") -> Part:
    """The part with this code or name, capitals or not. Raises Faulty with the nearest, at `where` it was asked for."""
    said = " ".join(text.casefold().split())
    by_code = [part for part in survey.part if part.code.casefold() == said]
    by_name = [part for part in survey.part if part.name.casefold() == said]
    found = by_code or by_name
    if len(found) == 1:
        return found[0]
    if found:
        codes = ", ".join(part.code for part in found)
        raise Faulty([Fault(where, "", text, f"the code of one part: {codes} all go by that name")])
    near = nearest(text, [word for part in survey.part for word in (part.code, part.name)])
    raise Faulty([Fault(where, "", text, "the code or the name of a part of the survey", nearest=near)])


def takedown(survey: Survey, free: Part | None = None, glue: Glue | None = None) -> Takedown:
    """How this piece comes apart, or how one part of it comes free.

    `glue` is what loose joints may be sprung with. Raises CantPart, with the parts or joints named, where the ways
    written hold parts in a ring or a joint in the way is marked “don't open”.
    """
    bonds = bonds_of(survey)
    undoing = Undoing(bonds)
    freed = None
    if free is None:
        kept_shut, proved = _come_apart(bonds, undoing)
    else:
        freed = _come_free(bonds, undoing, free)
        kept_shut, proved = {}, freed.proved
    opened = {code for taken in undoing.order for code in taken.joints}
    shut = tuple(joint.code for joint in survey.joint if joint.code not in opened)
    return Takedown(
        order=tuple(undoing.order),
        free=freed,
        stays_shut=shut,
        why_shut={joint.code: _why_shut(joint) for joint in survey.joint if joint.code in shut} | kept_shut,
        spring=() if free else tuple(_springs(bonds, glue)),
        closings=tuple(reversed(undoing.closings)),
        looks=tuple(undoing.looks),
        bonds=bonds,
        warnings=tuple(_warnings(bonds, proved, undoing)),
    )


# --- what to open ---


def _openable(bonds: Bonds) -> frozenset[int]:
    return frozenset(range(len(bonds.holds))) - never(bonds)


def _harm(bonds: Bonds) -> dict[int, float]:
    return {number: hold.harm for number, hold in enumerate(bonds.holds)}


def _least_to_part(bonds: Bonds, seed: int, away: int) -> Least | None:
    """The least harm that parts the seed from all of `away`: every hold to open, those of no harm only if need be."""
    openable, harm = _openable(bonds), _harm(bonds)
    harmless = frozenset(number for number in openable if not harm[number])
    # What joins the two directly must be opened whatever else is.
    must = frozenset(number for number in openable if bonds.meetings(number, seed, away))
    freeing = bonds.freeing([(seed, away)])
    more = least_harm(freeing, sorted(openable - harmless - must), harm, harmless | must)
    if more is None:
        return None
    opened = must | more.opened
    return Least(opened | without_spare(freeing, opened, harmless - must, harm), more.proved)


@dataclass(frozen=True)
class _Goal:
    """Parts to be parted from others: a drawer, a fitting, one side of a loose joint."""

    seed: int
    away: int
    hold: int | None = None


def _goals(bonds: Bonds) -> Iterator[tuple[str, _Goal]]:
    """What should come apart of itself, with the kind of reason."""
    for number, hold in enumerate(bonds.holds):
        joint = hold.joint
        if joint is None or joint.state is JointState.DONT_OPEN:
            continue
        seed, *others = (bonds.members[code] for code in joint.parts)
        away = 0
        for other in others:
            away |= other & ~seed
        if not hold.harm:
            if Held.CAPTURED not in joint.held and not _within_one(bonds, joint):
                yield "lifts out", _Goal(seed, away, number)
        elif joint.state in _LOOSE:
            yield "loose", _Goal(seed, away, number)
    for number, part in enumerate(bonds.parts):
        if part.shape is Shape.HARDWARE:
            yield "hardware", _Goal(1 << number, bonds.joined(1 << number, bonds.everything) & ~(1 << number))


def _within_one(bonds: Bonds, joint: Joint) -> bool:
    """Whether it joins parts of one whole, such as a drawer's bottom and sides: those stay with it."""
    above = {part.code: part.of for part in bonds.parts}
    first, *others = joint.parts
    whole = above.get(first)
    return bool(whole) and any(whole in (other, above.get(other)) for other in others)


def _come_apart(bonds: Bonds, undoing: Undoing) -> tuple[dict[str, str], bool]:
    """Takes apart what should come apart of itself.

    Gives the loose joints that must stay, each with why, and whether nothing gentler would have done.
    """
    harm = _harm(bonds)
    limit = rule("takedown", "opened_to_reach").value
    gentle = frozenset(number for number in _openable(bonds) if harm[number] <= limit)
    goals = [(kind, goal) for kind, goal in _goals(bonds) if goal.away]
    alive = [(kind, goal) for kind, goal in goals if bonds.parts_with(goal.seed, gentle, goal.away)]
    base = frozenset(number for number in gentle if not harm[number])
    for _, goal in alive:
        # What joins the two directly must be opened whatever else is.
        base |= {number for number in gentle - base if bonds.meetings(number, goal.seed, goal.away)}
    hard = [(goal.seed, goal.away) for _, goal in alive if not bonds.parts_with(goal.seed, base, goal.away)]
    more = least_harm(bonds.freeing(hard), sorted(gentle - base), harm, base) or Least(frozenset())
    undoing.bare_fittings()
    for kind in ("lifts out", "hardware", "loose"):
        for each, goal in alive:
            if each == kind:
                undoing.part(goal.seed, goal.away, base | more.opened, by_itself=kind != "loose")
    opened = {code for taken in undoing.order for code in taken.joints}
    kept = [goal for kind, goal in goals if kind == "loose" and (kind, goal) not in alive]
    holds = [(bonds.holds[goal.hold or 0], goal) for goal in kept]
    return {hold.name: _why_kept(bonds, hold, goal) for hold, goal in holds if hold.name not in opened}, more.proved


def _why_kept(bonds: Bonds, hold: Hold, goal: _Goal) -> str:
    """Why a loose joint stays shut. Raises CantPart where the ways written could never let it go."""
    if is_locked(bonds, goal.seed, goal.away):
        raise cant_part(bonds, goal.seed, goal.away, f"{hold.name} is loose, but {bonds.codes(goal.seed)[0]}")
    least = _least_to_part(bonds, goal.seed, goal.away)
    if least is None:
        return "loose, but a joint marked “don't open” holds it"
    limit = rule("takedown", "opened_to_reach").value
    sound = [bonds.holds[number] for number in sorted(least.opened)]
    sound = [each for each in sound if each.harm and (each.harm > limit or each is not hold)]
    codes = ", ".join(each.name for each in sound)
    return f"loose, but opening {codes} does {harm_in_words(sum(each.harm for each in sound))}"


def _come_free(bonds: Bonds, undoing: Undoing, part: Part) -> Freed:
    seed = bonds.members[part.code]
    away = bonds.joined(seed, bonds.everything) & ~seed
    least = _least_to_part(bonds, seed, away)
    if least is None:
        raise cant_part(bonds, seed, away, part.code)
    opened = least.opened
    undoing.part(seed, away, opened, by_itself=True)
    holds = [bonds.holds[number] for number in sorted(opened)]
    joints = [hold.joint for hold in holds if hold.joint]
    fixings = tuple(fixing.code for joint in joints for fixing in joint.fixing)
    before = [taken for taken in undoing.order if part.code not in (taken.take, *taken.along)]
    off = tuple(code for taken in before for code in (taken.take, *taken.along))
    harm = harm_working({hold.name: hold.figures for hold in holds})
    return Freed(part.code, tuple(joint.code for joint in joints), off, fixings, harm, least.proved)


# --- what stays ---


def _why_shut(joint: Joint) -> str:
    if joint.state is JointState.DONT_OPEN:
        return "marked “don't open”"
    if joint.state is JointState.UNKNOWN:
        return "not tried yet: try it by hand"
    if joint.state in _LOOSE:
        return "loose, but nothing here asks for it to be opened"
    return "sound"


def _springs(bonds: Bonds, glue: Glue | None) -> Iterator[Spring]:
    """Every loose glued joint, with what a true opening of it would take."""
    for kind, goal in _goals(bonds):
        hold = bonds.holds[goal.hold] if goal.hold is not None else None
        if kind == "loose" and hold and hold.joint and may_be_sprung(hold.joint):
            least = _least_to_part(bonds, goal.seed, goal.away)
            opening = [bonds.holds[number] for number in sorted(least.opened)] if least else []
            codes = tuple(each.name for each in opening if each.joint)
            yield spring_of(hold.joint, glue, codes, sum(each.harm for each in opening))


def _warnings(bonds: Bonds, proved: bool, undoing: Undoing) -> Iterator[str]:
    if not proved:
        yield "too tangled to rule out a gentler way: look again before a sound joint is opened"
    held = {number for hold in bonds.holds for pair in hold.pairs for number in pair}
    bare = [
        part.code for number, part in enumerate(bonds.parts) if number not in held and part.shape is not Shape.HARDWARE
    ]
    if bare:
        yield f"no joint is written for {', '.join(bare)}: they are not reckoned with"
    off = {code for taken in undoing.order for code in (taken.take, *taken.along)}
    several = [part.code for part in bonds.parts if part.count > 1 and part.code in off]
    if several:
        yield (
            f"{', '.join(several)}: more than one part each, taken off as one; "
            "where they come off in turn give each its own code"
        )
