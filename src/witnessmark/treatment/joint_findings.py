"""What the joints ask for: loose ones opened or sprung, sound ones left shut, wood that can't move set free."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from witnessmark.materials import wood_named
from witnessmark.quantities import Unknown, high, low, say
from witnessmark.sources import given, rule
from witnessmark.survey import Condition, Held, Joint, JointState, Part, Sawn, Survey, YesNo, condition_named
from witnessmark.takedown import Offered, Spring, Takedown
from witnessmark.wood import Sawn as Grain
from witnessmark.wood import driest_and_dampest, movement_of, species

from .finding import Finding

_GIVES_WAY = frozenset({"split", "crack", "check", "shake", "shrinkage gap", "cupping", "warping", "buckling"})
# What is glued when it is loose; bolts, screws and hooks are made to come apart, and nails go back in their holes.
_GLUED_UP = frozenset({Held.GLUED, Held.PEGGED, Held.WEDGED, Held.WEDGED_ABOVE, Held.UNKNOWN})
LOOSE = frozenset({JointState.LOOSE, JointState.OPEN})
_FIXED = frozenset({Held.GLUED, Held.SCREWED, Held.NAILED, Held.BOLTED})


def joints(survey: Survey, taken: Takedown | None = None) -> Iterator[Finding]:
    """`taken` is how the piece comes apart, where that could be told: what it leaves shut is not opened here."""
    known = {joint.code: joint for joint in survey.joint}
    shut = _known_to_stay(known, taken) if taken else {}
    for joint in survey.joint:
        if joint.state not in LOOSE:
            continue
        fact = f"joint.{joint.code}.state"
        spring = shut.get(joint.code)
        count, counted = alike(joint, survey)
        named = f"joint {joint.code}" if count == 1 else f"joint {joint.code} ({count} alike)"
        if not _GLUED_UP & set(joint.held):
            says = f"{named} is {joint.state} and held by {' and '.join(joint.held)}"
            yield Finding("loose_fixing", says, (*_said(joint, "state", "held"), *counted), joint.parts, count)
        elif spring is None or taken is None:
            yield Finding("loose_joints", f"{named} is {joint.state}", (fact, *counted), joint.parts, count)
            yield from _minded(joint, fact)
        elif spring.offered is Offered.YES:
            says = f"{named} may be sprung: {' '.join(spring.why).rstrip('.')}"
            rests_on = _said(joint, "state", "held", "play", "old_glue", "hidden_metal")
            yield Finding("springs", says, (*rests_on, *counted), joint.parts, count)
        else:
            says = f"{named} stays shut: {taken.why_shut[joint.code]}"
            others = [known[code] for code in spring.opening if code != joint.code]
            cites = [cite for each in (joint, *others) for cite in _said(each, "state", "held")]
            yield Finding("kept_shut", says, (*cites, *counted), joint.parts, count)
    yield from _hide_glued(survey)
    parts = survey.parts_by_code()
    for joint in survey.joint:
        gave_way = [fact for fact, told in survey.condition_facts() if _gave_way(told, joint)]
        if gave_way and (blocked := _blocked(survey, joint, parts)):
            yield replace(blocked, cites=(*blocked.cites, *gave_way))


def alike(joint: Joint, survey: Survey) -> tuple[int, tuple[str, ...]]:
    """How many joints one row of the survey stands for, and the fact that says so.

    The largest `count` among its parts: eight rungs in one seat are eight joints. It is an upper bound, so that no
    hour is forgotten. Where two parts are as many, neither alone makes the number.
    """
    parts = survey.parts_by_code()
    counts = {code: parts[code].count for code in joint.parts if code in parts}
    most = max(counts.values(), default=1)
    many = [code for code, count in counts.items() if count == most]
    return most, (f"part.{many[0]}.count",) if most > 1 and len(many) == 1 else ()


def counted_once(found: Sequence[Finding]) -> list[Finding]:
    """A joint said twice is worked once: “joint failure” beside its loose joint, a loose joint of a part that is off.

    What counts for nothing stays as a reason where other joints are worked, and goes where there are none.
    """
    loose = [finding for finding in found if finding.key == "loose_joints"]
    told = [finding for finding in loose if any(cite.startswith("condition.") for cite in finding.cites)]
    off = [finding for finding in found if finding.key == "detached"]
    merged: dict[Finding, Finding] = {}
    for one in loose:
        others = off if one not in told else [each for each in loose if each not in told]
        same = [each for each in others if set(each.parts) & set(one.parts)]
        if same:
            cites = (*one.cites, *(cite for each in same for cite in each.cites))
            merged[one] = replace(one, count=0, cites=tuple(dict.fromkeys(cites)))
    if len(merged) == len(loose):
        return [finding for finding in found if finding not in merged]
    return [merged.get(finding, finding) for finding in found]


def _gave_way(told: Condition, joint: Joint) -> bool:
    """Whether this is where the wood gave way at the joint. One that holds though it is blocked is left alone."""
    return told.part in joint.parts and condition_named(told.term).term in _GIVES_WAY


def _known_to_stay(known: dict[str, Joint], taken: Takedown) -> dict[str, Spring]:
    """Loose joints that stay shut for a reason somebody has seen. What nobody looked at does not keep them shut."""
    return {
        spring.joint: spring
        for spring in taken.spring
        if spring.joint in taken.stays_shut
        and not any(Held.UNKNOWN in known[code].held for code in (spring.joint, *spring.opening))
    }


def _said(joint: Joint, *fields: str) -> tuple[str, ...]:
    return tuple(f"joint.{joint.code}.{field}" for field in fields if field in joint.model_fields_set)


def _minded(joint: Joint, fact: str) -> Iterator[Finding]:
    if {Held.WEDGED, Held.WEDGED_ABOVE} & set(joint.held):
        yield Finding("wedged_joint", f"joint {joint.code} is wedged", (fact, f"joint.{joint.code}.held"), joint.parts)
    if joint.hidden_metal is YesNo.YES:
        cites = (fact, f"joint.{joint.code}.hidden_metal")
        yield Finding("hidden_metal", f"joint {joint.code} has metal in it", cites, joint.parts)


def _hide_glued(survey: Survey) -> Iterator[Finding]:
    """Said once: any glued joint is taken for hide glue unless it was tested to be something else."""
    for joint in survey.joint:
        if Held.GLUED in joint.held and (joint.old_glue == "don't know" or "hide" in joint.old_glue.lower()):
            yield Finding("hide_glued", "it is put together with hide glue", ())
            return


def _blocked(survey: Survey, joint: Joint, parts: dict[str, Part]) -> Finding | None:
    """Cross-grain fixing whose play is less than the wood's movement through the seasons.

    Why it broke comes before how to mend it: a split top is mostly blocked shrinkage. Common practice.
    """
    if joint.across_grain is not YesNo.YES or not _FIXED & set(joint.held):
        return None
    part = parts.get(joint.parts[0])
    if part is None or part.size is None or not part.size.known or len(part.size.value) < 2:
        return None
    wood_text = part.wood if part.wood != "don't know" else survey.piece.show_wood
    if wood_text == "don't know":
        return None
    named = wood_named(wood_text, survey.piece.region)
    sawn = Grain.QUARTER if part.sawn is Sawn.QUARTER else Grain.FLAT
    dry, damp = driest_and_dampest(survey.piece.region)
    moves = movement_of(
        [species(key) for key in ([named.default] if named.is_group else [named.key])],
        sawn, given(f"part.{part.code}.size", part.size.value[1]), dry, damp,
    )  # fmt: skip
    slack = joint.slack.value if joint.slack and joint.slack.known else rule("treatment", "usual_slack").value
    if isinstance(slack, Unknown) or low(moves.value) <= high(slack):
        return None
    cites = [
        f"joint.{joint.code}.across_grain",
        f"joint.{joint.code}.held",
        f"part.{part.code}.size",
        *([f"joint.{joint.code}.slack"] if joint.slack else []),
        # Taken for flat-sawn where nobody says: only quarter-sawn makes a difference.
        *([f"part.{part.code}.sawn"] if sawn is Grain.QUARTER else []),
    ]
    return Finding(
        "blocked_movement",
        f"{part.name} moves {say(moves.value)} with the seasons; joint {joint.code} lets it move {say(slack)}",
        tuple(cites),
        (part.code,),
        working=moves,
    )
