"""Gluing up stage by stage: one step a stage of `takedown`, each with its joints, its glue, its hands and its wait.

Where nobody could tell how the piece comes apart, the glue-up stays one step.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from witnessmark.finish import adhesive
from witnessmark.quantities import high, low, say, usual
from witnessmark.sources import given
from witnessmark.survey import Held, Survey
from witnessmark.takedown import Stage

from .amounts import need_for
from .finding import Finding
from .joint_findings import alike
from .step import Reason, Step, Wait

AT_ONCE = "glue_up.joints"  # the glue-up as one step


@dataclass(frozen=True)
class Gluing:
    """What is glued in one go: so many joints of these parts. `stage` is None for what no stage of takedown names."""

    joints: tuple[str, ...]
    parts: tuple[str, ...]
    count: int
    stage: Stage | None = None


def gluings(survey: Survey, findings: Sequence[Finding], stages: Sequence[Stage]) -> tuple[Gluing, ...]:
    """The loose joints by stage, first stage first; empty where there are no stages.

    What is loose and in no stage comes last, in a go of its own. Joints that are sprung are not among them.
    """
    joints = {joint.code: joint for joint in survey.joint}
    loose = [finding for finding in findings if finding.key == "loose_joints"]
    told = {code: finding for finding in loose for code in joints if f"joint.{code}.state" in finding.cites[:1]}
    made, named = [], set()
    for stage in stages:
        if stage.sprung:
            continue
        counts = [told[code].count if code in told else alike(joints[code], survey)[0] for code in stage.joints]
        named |= {told[code] for code in stage.joints if code in told}
        parts = tuple(dict.fromkeys(part for code in stage.joints for part in joints[code].parts))
        if sum(counts):
            made.append(Gluing(stage.joints, parts, sum(counts), stage))
    rest = [finding for finding in loose if finding not in named and finding.count]
    if made and rest:
        parts = tuple(dict.fromkeys(part for finding in rest for part in finding.parts))
        codes = tuple(code for code, finding in told.items() if finding in rest)
        made.append(Gluing(codes, parts, sum(finding.count for finding in rest)))
    return tuple(made)


def by_stage(
    step: Step, made: Sequence[Gluing], findings: Sequence[Finding], survey: Survey, opened: Sequence[str]
) -> tuple[Step, ...]:
    """The one glue-up as a step a stage, each after the one before; only the last waits until it bears a load.

    `opened`: every joint that comes apart, glued or not.
    """
    if not made:
        return (step,)
    elsewhere = [f for f in findings if f.key == "loose_joints"]
    order = _order(step, made, survey, opened)
    steps: list[Step] = []
    for number, one in enumerate(made, 1):
        others = {f for f in elsewhere if not _in(f, one)}
        mine = [why for why in step.why if not any(why.cites == f.cites for f in others) or why == step.why[0]]
        steps.append(
            replace(
                step,
                id=f"glue_up.{number}",
                trade_name=step.trade_name if len(made) == 1 else f"glue up, stage {number} of {len(made)}",
                parts=one.parts,
                count=one.count,
                needs=tuple(
                    need
                    for each in step.needs
                    if (need := need_for("glue", each.material, None, one.count, given("steps.csv: glue_up", 1)))
                ),
                wait=step.wait if number == len(made) else _cramped(step),
                after=(steps[-1].id,) if steps else step.after,
                tools=tuple(_to_hand(step, one)),
                why=(*mine, order, *_against_the_clock(one)),
            )
        )
    return tuple(steps)


def _order(step: Step, made: Sequence[Gluing], survey: Survey, opened: Sequence[str]) -> Reason:
    """Which joints go together first, and what holds the same part without glue; how each is held decides it."""
    joints = {joint.code: joint for joint in survey.joint}

    def said(codes: Sequence[str]) -> str:
        return " with ".join(f"{code} ({', '.join(joints[code].held)})" for code in codes)

    glued = [code for one in made for code in one.joints]
    off = {joints[code].parts[0] for code in glued}
    dry = [
        code
        for code in joints
        if code in opened
        and code not in glued
        and joints[code].parts[0] in off
        and not {Held.GLUED, Held.UNKNOWN} & set(joints[code].held)
    ]
    says = "; ".join(said(one.joints) or ", ".join(one.parts) for one in made)
    says += f". No glue on {said(dry)}" if dry else ""
    held = [f"joint.{code}.held" for code in dict.fromkeys((*glued, *dry)) if "held" in joints[code].model_fields_set]
    return Reason(f"Glued in this order: {says}.", (*step.why[0].cites, *held), of_amount=False)


def _in(finding: Finding, one: Gluing) -> bool:
    """Whether this is one of its joints, or something told of one of its parts."""
    if finding.cites[0].startswith("joint."):
        return finding.cites[0].split(".", 1)[1].rsplit(".", 1)[0] in one.joints
    return bool(set(finding.parts) & set(one.parts))


def _cramped(step: Step) -> Wait:
    """Until the cramps may come off and be used again: the longest the glue's table has."""
    found = adhesive(step.needs[0].material) if step.needs else None
    if found is None or found.cramped is None:
        return step.wait
    most = high(found.cramped.value)
    return replace(step.wait, least=low(found.cramped.value), usual=most, source_key=found.cramped.source_key)


def _to_hand(step: Step, one: Gluing) -> Iterator[str]:
    if one.stage is None:
        yield from step.tools
        return
    yield from (tool for tool in step.tools if tool != "cramps")
    cramps = sum(need.count for need in one.stage.cramps)
    if cramps:
        yield f"{cramps} cramp{'s' if cramps > 1 else ''}"
    if one.stage.people > 1:
        yield f"{one.stage.people} people"


def _against_the_clock(one: Gluing) -> Iterator[Reason]:
    stage = one.stage
    if stage is None:
        return
    if stage.open_time is None:
        yield Reason("No open time of this glue is known: try it on waste first.", ())
    else:
        hands = "one person" if stage.people == 1 else f"{stage.people} people"
        takes, open_for = say(usual(stage.seconds.value)), say(usual(stage.open_time.value))
        short = "" if stage.fits else ", which is too short"
        yield Reason(f"It takes {hands} {takes}; the glue stays open {open_for}{short}.", ())
