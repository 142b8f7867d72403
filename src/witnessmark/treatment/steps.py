"""The steps of a way, in order, each with its reason, its amounts and its way back.

The rules are rows of `steps.csv`: for which ways, on which findings, on what, with which material, after which
others. A row fires when its way is taken and one of its findings is there (an empty `when` always holds) and none
of its `unless`. Row order is the order of the trade.
"""

from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any

from witnessmark.finish import sessions_after_flattening, sessions_to_body_up
from witnessmark.quantities import Span, Temperature, say, usual
from witnessmark.safety import Hazard, Task, cautions_for
from witnessmark.sources import Input, Row, Working, given, row, table
from witnessmark.survey import About, Decision, Survey

from .amounts import need_for
from .findings import Finding
from .step import NO_WAIT, Basis, Cure, Reason, Step, Undo, Wait
from .ways import RuleSaid, WayOffered

_UNTREATED = frozenset({"leave_record", "sell_as_found", "break_timber"})
_ON_FINDING = {"hardware": "hardware_on", "locks": "lock", "glass": "glass", "mirrors": "mirror", "leathers": "leather",
               "joints": "loose_joints"}  # fmt: skip


@cache
def wait_named(key: str) -> Wait:
    """A wait of `waits.csv`; an empty key is no wait. Raises KeyError on an unknown one."""
    if not key:
        return NO_WAIT
    cells = row("treatment", "waits.csv", key)
    latest, warm = cells.number("latest_h"), cells.number("least_temperature_c")
    return Wait(
        Span.hours(cells.number("least_h") or 0),
        Span.hours(cells.number("usual_h") or 0),
        None if latest is None else Span.hours(latest),
        Cure(cells["cure"]),
        None if warm is None else Temperature(warm),
        cells["source_key"],
    )


def steps_for(
    survey: Survey,
    findings: Sequence[Finding],
    way: WayOffered,
    area: Working[Any] | None,
    hazards: Sequence[Hazard] = (),
    words: str = "UK",
) -> tuple[tuple[Step, ...], tuple[RuleSaid, ...]]:
    """The steps of `way` on this piece, in order, and what each rule said.

    `area` is the show surface, None where nothing is known of it; `hazards` are the safety findings of the survey;
    `words` (UK, US) decides how cautions are said.
    """
    keys = {finding.key for finding in findings}
    skipped = {d.step: d for d in survey.decision if d.about is About.SKIP}
    fired: dict[str, tuple[Row, list[Finding]]] = {}
    heard: list[RuleSaid] = []
    for cells in table("treatment", "steps.csv", key="rule"):
        called = [f for f in findings if f.key in cells.keys_in("when")]
        stopped = [f for f in findings if f.key in cells.keys_in("unless")]
        in_way = _in_way(cells, way, keys)
        why = "; ".join(f.says for f in called) or cells["why"]
        decision = skipped.get(cells.key)
        fires = in_way and bool(called or not cells["when"])
        overruled = None
        if fires and stopped:
            overruled = "; ".join(f.says for f in stopped)
        elif fires and decision:
            overruled = f"{decision.who}, {decision.on.isoformat()}: {decision.why}"
        if not fires:
            why = f"not part of “{way.name}”" if not in_way else "nothing found that calls for it"
        heard.append(RuleSaid(cells.key, fires and not overruled, why, overruled))
        if fires and not overruled:
            fired[cells.key] = (cells, called)
    ids = {rule: f"{rule}.{cells['on']}" for rule, (cells, _) in fired.items()}
    steps = [_step(survey, findings, way, area, hazards, words, *fired[rule], ids) for rule in fired]
    return tuple(_with_own(steps, survey.decision)), tuple(heard)


def _in_way(cells: Row, way: WayOffered, found: set[str]) -> bool:
    ways = cells.keys_in("ways")
    if ways == ("all",):
        return True
    if ways == ("treat",):
        return way.key not in _UNTREATED
    return way.key in ways


def _places(cells: Row, called: Sequence[Finding], findings: Sequence[Finding]) -> list[Finding]:
    """The findings that say where the step is done and how often."""
    key = _ON_FINDING.get(cells["on"])
    return [f for f in findings if f.key == key] if key else list(called)


@cache
def _behind(rule: str) -> frozenset[str]:
    """Every rule that comes before this one, near or far, whether it fires or not."""
    near = row("treatment", "steps.csv", rule, key="rule").keys_in("after")
    return frozenset(near).union(*(_behind(name) for name in near))


def _before(rule: str, fired: Iterable[str]) -> tuple[str, ...]:
    """The fired rules that come directly before this one; those that come before one of them are left out."""
    there = [name for name in fired if name in _behind(rule)]
    return tuple(name for name in there if not any(name in _behind(other) for other in there))


def _sessions(cells: Row) -> Input:
    match cells.key:
        case "body_up":
            return sessions_to_body_up()
        case "finish_off":
            return sessions_after_flattening()
    return given(f"steps.csv: {cells.key}", int(cells.number("sessions") or 1))


def _step(
    survey: Survey,
    findings: Sequence[Finding],
    way: WayOffered,
    area: Working[Any] | None,
    hazards: Sequence[Hazard],
    words: str,
    cells: Row,
    called: Sequence[Finding],
    ids: dict[str, str],
) -> Step:
    places = _places(cells, called, findings)
    basis, on = Basis(cells["basis"]), cells["on"]
    count = sum(finding.count for finding in places) if basis is Basis.COUNT else None
    sessions = _sessions(cells)
    flags = cells["flags"].split()
    over = area if on == "show" else None
    needs = []
    if cells["material"]:
        need = need_for(cells["spend"], cells["material"], over, count or 1, sessions)
        needs = [need] if need else []
    reasons = [Reason(cells["why"], tuple(dict.fromkeys(cite for f in called for cite in f.cites)))]
    reasons += [Reason(finding.says[0].upper() + finding.says[1:] + ".", finding.cites) for finding in places]
    if over is not None:
        reasons.append(Reason(f"It goes over {say(over.value)} of show surface.", ("area",)))
    if cells["ways"] not in {"all", "treat"}:
        reasons.append(Reason(f"It belongs to “{way.name}”.", _way_cites(survey, way)))
    met = _hazards_met(cells, _parts(survey, on, places), hazards)
    task = Task(
        cells.key,
        tuple(need.material for need in needs),
        next((usual(need.amount.value) for need in needs if cells["spend"] != "glue"), None),
        None,
        dust="dust" in flags, heat="heat" in flags, lifting=cells.key in {"open_joints", "glue_up", "break_down"},
        found=tuple(dict.fromkeys(hazard.key for hazard in met)),
    )  # fmt: skip
    cautions = cautions_for(task, region=words)
    cautioned = {cite for caution in cautions for cite in caution.cites}
    return Step(
        id=ids[cells.key],
        rule=cells.key,
        trade_name=cells["trade_name"],
        labour=cells["labour"],
        basis=basis,
        parts=_parts(survey, on, places),
        faces=("show",) if on == "show" else (),
        area=over,
        count=count,
        sessions=round(usual(sessions.value)),
        needs=tuple(needs),
        wait=wait_named(cells["wait"]),
        between=wait_named(cells["between"]),
        after=tuple(ids[rule] for rule in _before(cells.key, ids)),
        tools=cells.keys_in("tools"),
        undo=Undo(cells["undo"]),
        why=(*reasons, *(Reason(h.says[0].upper() + h.says[1:] + ".", h.cites) for h in met if cautioned & {h.key})),
        cautions=cautions,
        task=task,
        film="film" in flags,
        dust="dust" in flags,
        unbroken="unbroken" in flags,
    )


def _hazards_met(cells: Row, parts: Sequence[str], hazards: Sequence[Hazard]) -> tuple[Hazard, ...]:
    """The hazards a step meets: those of the parts it touches, and those of the whole piece where it works on it."""
    if cells["labour"] in {"photograph", "final_photographs", "write_up", "dry_fit"}:
        return ()
    return tuple(h for h in hazards if set(h.parts) & set(parts) or not h.parts or cells["on"] == "piece")


def _way_cites(survey: Survey, way: WayOffered) -> tuple[str, ...]:
    decided = [number for number, d in enumerate(survey.decision, 1) if d.about is About.WAY]
    return (f"decision.{decided[-1]}",) if decided else way.cites


def _parts(survey: Survey, on: str, places: Sequence[Finding]) -> tuple[str, ...]:
    if on == "show":
        return tuple(part.code for part in survey.part if set(part.show) - {"nothing"})
    return tuple(dict.fromkeys(code for finding in places for code in finding.parts))


def _with_own(steps: list[Step], decisions: Sequence[Decision]) -> list[Step]:
    """The steps with those added by hand: after the step they name, or last."""
    ordered = list(steps)
    for number, decision in enumerate(decisions, 1):
        if decision.about is not About.ADD:
            continue
        before = next((step for step in ordered if decision.after in {step.rule, step.id, step.trade_name}), None)
        before = before or (ordered[-1] if ordered else None)
        own = Step(
            id=f"by_hand.{number}",
            rule="by_hand",
            trade_name=decision.choose or decision.step,
            labour="by_hand",
            basis=Basis.PIECE,
            parts=(decision.part,) if decision.part else (),
            after=(before.id,) if before else (),
            why=(Reason(f"{decision.who}: {decision.why}", (f"decision.{number}",)),),
            minutes_said=usual(decision.minutes.value) if decision.minutes and decision.minutes.known else None,
        )
        ordered.insert(ordered.index(before) + 1 if before else 0, own)
    return ordered


def said_of(step: Step) -> str:
    """The step as a line on a card: “strip off the glue lines, 2.1 m²”."""
    if step.area is not None:
        return f"{step.trade_name}, {say(step.area.value)}"
    return f"{step.trade_name}, {step.count} ×" if step.count and step.count > 1 else step.trade_name
