"""The work in order as data: a row a step: what it takes, how long, how it dries, whether it can be undone."""

from typing import Any

from witnessmark.plan import PiecePlan, PlannedStep
from witnessmark.safety import Level
from witnessmark.sources import Standing
from witnessmark.treatment import Basis, Cure, Undo, Wait

from .heads import JAR_WORK, is_done, jar_for_need, name_of
from .voice import Voice, capital, sentence, shortened

_CURES = {
    Cure.TOUCH: "until touch dry",
    Cure.HANDLE: "until it can be handled",
    Cure.REFIT: "until it can be refitted with care",
    Cure.CUT_BACK: "until it can be cut back or waxed",
    Cure.FULL: "until fully hard",
}
_LONG_STEP = 1400  # characters: a row longer than about a third of a page may break across two


def step_row(plan: PiecePlan, planned: PlannedStep, voice: Voice, number: int) -> dict[str, Any]:
    """One step as `plan.typ` prints it."""
    step, slots = planned.step, planned.slots
    why = [sentence(shortened(reason.says, 400)) for reason in step.why]
    if step.rule != "by_hand":  # what a person wrote stays as written
        why = [voice.ours(says) for says in why]
    row = {
        "number": str(number),
        "name": name_of(step, voice),
        "done": is_done(planned),
        "parts": list(step.parts),
        "faces": "" if step.faces in {(), ("show",)} else ", ".join(step.faces),
        "size": _size(planned, voice),
        "amounts": _amounts(plan, planned, voice),
        "tools": voice.ours(", ".join(step.tools)),
        "why": " ".join(dict.fromkeys(why)),
        "cautions": [
            {"level": caution.level.value, "says": voice.ours(sentence(caution.says))}
            for caution in sorted(step.cautions, key=lambda caution: caution.level is not Level.STOP)[:3]
        ],
        "logged": _logged(planned, voice),
        "day": voice.day(slots[0].start) if slots else "",
        "hours": _slots(planned, voice),
        "who": ", ".join(dict.fromkeys(slot.who for slot in slots if slot.who)),
        "p50": voice.minutes(planned.minutes.p50),
        "p80": f"({voice.minutes(planned.minutes.p80)})",
        "wait": _wait(step.wait, "until it is ready" if step.rule in JAR_WORK else _CURES[step.wait.cure], voice),
        "undo": capital(step.undo.value if step.undo is not Undo.PARTLY else "partly undone"),
        "undo_level": step.undo.name.lower(),
    }
    row["long"] = len(str(row)) > _LONG_STEP + 600  # the keys and quotes themselves come to some 600
    return row


def _slots(planned: PlannedStep, voice: Voice) -> str:
    slots = planned.slots
    if not slots:
        return ""
    first, last = slots[0], slots[-1]
    if first.start == last.end:  # logged as done, with no time of its own
        return ""
    if voice.local(first.start).date() == voice.local(last.end).date():
        return voice.stretch(first.start, last.end)
    return f"{voice.clock(first.start)}, to {voice.day(last.end)}"


def _size(planned: PlannedStep, voice: Voice) -> str:
    step, said = planned.step, []
    if step.area is not None:
        said.append(voice.amount(step.area))
    if step.basis is Basis.COUNT and step.count:
        said.append("1 place" if step.count == 1 else f"{step.count} places")
    if step.sessions > 1:
        said.append(f"{step.sessions} sessions")
        if step.between.usual.minutes:
            said.append(f"{voice.amount(step.between.usual)} between")
    if planned.minutes.set_up:
        each = " each" if step.sessions > 1 else ""
        said.append(f"{voice.minutes(planned.minutes.set_up)} setting up{each}")
    if step.area is not None and step.area.standing in {Standing.FROM_MEMORY, Standing.NOT_FOUND}:
        said.append(step.area.standing.words)
    return " · ".join(said)


def _amounts(plan: PiecePlan, planned: PlannedStep, voice: Voice) -> list[dict[str, str]]:
    step = planned.step
    return [
        {
            "amount": voice.amount(need.amount),
            "of": voice.ours(need.name) + (f", over {step.sessions} sessions" if step.sessions > 1 else ""),
            "jar": jar_for_need(plan, step, need),
            "standing": need.amount.standing.words,
        }
        for need in step.needs
    ]


def _wait(wait: Wait, until: str, voice: Voice) -> str:
    if not wait.usual.minutes and not wait.least.minutes:
        return ""
    limits = []
    if wait.least != wait.usual:
        limits.append(f"{voice.amount(wait.least)} at least")
    if wait.latest is not None:
        limits.append(f"no later than {voice.amount(wait.latest)}")
    if wait.least_temperature is not None:
        limits.append(f"shop at {voice.amount(wait.least_temperature)} or more")
    bracket = f" ({'; '.join(limits)})" if limits else ""
    return f"then {voice.amount(wait.usual)} {until}{bracket}"


def _logged(planned: PlannedStep, voice: Voice) -> str:
    """What the day book says of a step, in a line."""
    logged = planned.logged
    if not logged:
        return ""
    done, took = is_done(planned), voice.minutes(float(logged["minutes"])) if logged.get("minutes") else ""
    said = [f"Done {voice.day(planned.ends)}" if done and planned.ends else "Done" if done else "Begun"]
    if took:
        said.append(f"in {took}" if done else f"{took} so far")
    if logged.get("who"):
        said.append("by " + ", ".join(logged["who"]))
    return sentence(" ".join(said) if done else ", ".join(said))
