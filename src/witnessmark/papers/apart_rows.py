"""Taking apart and together again as data: what comes off and which way, where each fixing goes back, glue by stage."""

from typing import Any

from witnessmark.plan import PiecePlan
from witnessmark.quantities import Range, Span, usual
from witnessmark.survey import Ends, Fixing
from witnessmark.takedown import Cramps, Stage, Takedown, harm_in_words

from .voice import Voice, capital, sentence, shortened

_CLOCK = 900  # seconds: what is longer is said in minutes


def apart_rows(plan: PiecePlan, voice: Voice) -> dict[str, Any] | None:
    """What `plan.typ` prints of it; None where nothing comes apart. A stage goes by the number of its step."""
    taken = plan.apart.taken
    if taken is None or not (taken.order or plan.apart.stages):
        return None
    steps = {one.step.parts: str(number) for number, one in enumerate(plan.steps, 1) if one.step.rule == "glue_up"}
    names = {part.code: part.name for part in plan.survey.part}
    return {
        "off": [
            {
                "number": str(number), "part": each.take, "along": list(each.along),
                "name": names.get(each.take, ""), "way": voice.ours(each.way.value) if each.way else "–",
                "joints": ", ".join(each.joints) or "–",
                "minds": voice.ours(
                    " ".join([capital(harm_in_words(each.harm)) + ".", *([each.note] if each.note else [])])
                ),
            }
            for number, each in enumerate(taken.order, 1)
        ],
        "shut": voice.ours(_shut(taken)),
        "order": [each.part for each in taken.refit],
        "back": [
            {
                "part": each.part, "fixings": [_fixing(fixing, voice) for fixing in each.fixings],
                "note": voice.ours(each.note),
            }
            for each in taken.refit
            if each.fixings or each.note
        ],
        "stages": [_stage(stage, steps.get(_parts(plan, stage), "–"), voice) for stage in plan.apart.stages],
    }  # fmt: skip


def _shut(taken: Takedown) -> str:
    """In a line: how many sound joints stay shut, and by name those that are loose and stay shut all the same."""
    sprung = {spring.joint for spring in taken.spring}
    sound = [code for code in taken.stays_shut if code not in sprung]
    loose = [code for code in taken.stays_shut if code in sprung]
    said = []
    if sound:
        codes = ", ".join(sound)
        said.append(f"{len(sound)} joint{'s' if len(sound) > 1 else ''} ({shortened(codes, 160)})")
    said += [f"{code}: {taken.why_shut[code].rstrip('.')}" for code in loose]
    return sentence("; ".join(said)) if said else ""


def _fixing(fixing: Fixing, voice: Voice) -> dict[str, str]:
    ends = {
        Ends.NOT_BACK: f"stays out: {fixing.why}" if fixing.why else "stays out",
        Ends.REPLACED: f"replaced by {fixing.by}",
    }.get(fixing.ends, "")
    return {"code": fixing.code, "hole": fixing.hole, "ends": voice.ours(ends)}


def _parts(plan: PiecePlan, stage: Stage) -> tuple[str, ...]:
    """The parts that meet in a stage, as its step has them."""
    joints = {joint.code: joint for joint in plan.survey.joint}
    return tuple(dict.fromkeys(part for code in stage.joints for part in joints[code].parts))


def _stage(stage: Stage, step: str, voice: Voice) -> dict[str, Any]:
    return {
        "step": "–" if stage.sprung else step,
        "joints": ", ".join(stage.joints),
        "time": _time(stage.seconds.value, voice),
        "open": _time(stage.open_time.value, voice) if stage.open_time else "not known",
        "fits": stage.fits is not False,
        "people": str(stage.people),
        "cramps": [voice.ours(_cramps(need, voice)) for need in stage.cramps] or ["none"],
        "notes": voice.ours(" ".join(stage.notes)),
    }


def _cramps(need: Cramps, voice: Voice) -> str:
    reach = f" of {voice.amount(need.length)}" if need.length else ""
    have = f", {need.have} there" if need.short_by else ""
    return f"{need.count}{reach}{have}"


def _time(span: Span | Range[Span], voice: Voice) -> str:
    """Counted in seconds, to ten; a long open time in minutes."""
    seconds = usual(span).minutes * 60
    if seconds >= _CLOCK:
        return voice.amount(usual(span))
    return f"{seconds:.0f} s" if seconds < 100 else f"{round(seconds, -1):.0f} s"
