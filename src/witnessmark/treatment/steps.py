"""The steps of a way, in order, each with its reason, its amounts and its way back.

The rules are rows of `steps.csv`: for which ways, on which findings, on what, with which material, after which
others. A row fires when its way is taken and one of its findings is there (an empty `when` always holds), none of its
`unless`, and no row of `harm.csv` forbids it. Row order is the order of the trade. A material or a wait may depend on
a finding: “stripper_ethanol_wash@melts_in_spirit;stripper_solvent” is the first that holds and is not forbidden.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

from witnessmark.finish import sessions_after_flattening, sessions_to_body_up
from witnessmark.quantities import Span, Temperature, low, say, usual
from witnessmark.safety import Hazard, Task, cautions_for
from witnessmark.sources import Input, Row, Working, given, row, table
from witnessmark.survey import About, Decision, Survey, key_of
from witnessmark.takedown import Stage

from .amounts import need_for
from .finding import Finding
from .gluing import by_stage, gluings
from .step import NO_WAIT, Basis, Cure, Reason, Step, Undo, Wait
from .ways import RuleSaid, WayOffered

_UNTREATED = frozenset({"leave_record", "sell_as_found", "break_timber"})
_LIFTED = frozenset({"open_joints", "glue_up", "break_down", "stone_off", "stone_back"})
_ON_FINDING = {"hardware": "hardware_on", "mirrors": "mirror", "joints": "loose_joints"}


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
    stages: Sequence[Stage] = (),
    opened: Sequence[str] = (),
) -> tuple[tuple[Step, ...], tuple[RuleSaid, ...]]:
    """The steps of `way` on this piece, in order, and what each rule said.

    `area` is the show surface, None where nothing is known of it; `hazards` are the safety findings of the survey;
    `words` (UK, US) decides how cautions are said; `stages` are its glue-ups, a step
    each, and `opened` the joints that come apart.
    """
    if area is not None and low(area.value).magnitude <= 0:
        area = None  # parts are listed and none has a size: as good as not known
    asked = _Asked(survey, findings, way, area, hazards, words)
    heard: list[RuleSaid] = list(asked.harm_said)
    fired: dict[str, tuple[Row, list[Finding]]] = {}
    for cells in table("treatment", "steps.csv", key="rule"):
        called = [f for f in findings if f.key in cells.keys_in("when")]
        fires = _in_way(cells, way) and bool(called or not cells["when"])
        why = "; ".join(f.says for f in called) or cells["why"]
        overruled = asked.overruled(cells) if fires else None
        if not fires:
            why = f"not part of “{way.name}”" if not _in_way(cells, way) else "nothing found that calls for it"
        heard.append(RuleSaid(cells.key, fires and not overruled, why, overruled))
        if fires and not overruled:
            fired[cells.key] = (cells, called)
    ids = {rule: _id(cells) for rule, (cells, _) in fired.items()}
    glued = gluings(survey, findings, stages)
    if glued and "glue_up" in ids:
        ids["glue_up"] = f"glue_up.{len(glued)}"  # what comes after it comes after its last stage
    steps: list[Step] = []
    for rule, (cells, called) in fired.items():
        step = asked.step(cells, called, ids)
        steps += by_stage(step, glued, findings, survey, opened) if rule == "glue_up" else (step,)
    return tuple(_with_own(steps, survey.decision)), tuple(heard)


def skipped_in(survey: Survey) -> dict[str, Decision]:
    """The rules somebody decided to leave out, whether named by rule, id or trade name."""
    said = {key_of(d.step or d.choose): d for d in survey.decision if d.about is About.SKIP}
    return {
        cells.key: said[name]
        for cells in table("treatment", "steps.csv", key="rule")
        for name in _names(cells)
        if name in said
    }


def step_words() -> tuple[str, ...]:
    """What a `[[decision]]` may name a step by: its rule, its id, its name on the card."""
    rows = table("treatment", "steps.csv", key="rule")
    return tuple(word for cells in rows for word in (cells.key, _id(cells), cells["trade_name"]))


def _names(cells: Row) -> tuple[str, ...]:
    return key_of(cells.key), key_of(_id(cells)), key_of(cells["trade_name"])


def _names_of(step: Step) -> frozenset[str]:
    """What this step may be named by: a stage of a glue-up answers to the whole of it as well."""
    rows = [cells for cells in table("treatment", "steps.csv", key="rule") if cells.key == step.rule]
    own = (key_of(step.rule), key_of(step.id), key_of(step.trade_name))
    return frozenset(own).union(*(_names(cells) for cells in rows))


def _id(cells: Row) -> str:
    return f"{cells.key}.{cells['on']}"


def _in_way(cells: Row, way: WayOffered) -> bool:
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


@dataclass(frozen=True)
class _Asked:
    """What the steps are asked for, and what forbids some of them."""

    survey: Survey
    findings: Sequence[Finding]
    way: WayOffered
    area: Working[Any] | None
    hazards: Sequence[Hazard]
    words: str

    @cached_property
    def skipped(self) -> dict[str, Decision]:
        return skipped_in(self.survey)

    @cached_property
    def first(self) -> dict[str, Finding]:
        """The first finding of each key."""
        found: dict[str, Finding] = {}
        for finding in self.findings:
            found.setdefault(finding.key, finding)
        return found

    @cached_property
    def harms(self) -> tuple[tuple[Row, tuple[Finding, ...]], ...]:
        """The rows of harm.csv that hold on this piece, with what was found."""
        held = (
            (cells, tuple(f for key in cells.keys_in("when") if (f := self.first.get(key))))
            for cells in table("treatment", "harm.csv")
        )
        return tuple((cells, found) for cells, found in held if found)

    @property
    def harm_said(self) -> Iterator[RuleSaid]:
        holding = {cells.key: found for cells, found in self.harms}
        for cells in table("treatment", "harm.csv"):
            found = holding.get(cells.key)
            why = f"{cells['says']} Instead: {cells['instead']}." if found else "nothing found that calls for it"
            yield RuleSaid(f"harm.csv: {cells.key}", bool(found), why)

    def overruled(self, cells: Row) -> str | None:
        """Why a step that its findings call for is not done; None where it is."""
        for harm, found in self.harms:
            if cells.key in harm.keys_in("steps"):
                return f"{harm['says']} ({'; '.join(f.says for f in found)})"
        stopped = [f for f in self.findings if f.key in cells.keys_in("unless")]
        if stopped:
            return "; ".join(f.says for f in stopped)
        decision = self.skipped.get(cells.key)
        return f"{decision.who}, {decision.on.isoformat()}: {decision.why}" if decision else None

    def chosen(self, cell: str) -> tuple[str, tuple[Finding, ...]]:
        """The first of a cell's choices that holds and is not forbidden, and the finding it rests on."""
        forbidden = {key for harm, _ in self.harms for key in harm.keys_in("material_keys")}
        for choice in cell.split(";"):
            value, _, wanted = choice.partition("@")
            if value not in forbidden and (not wanted or wanted in self.first):
                return value, (self.first[wanted],) if wanted else ()
        return "", ()

    def step(self, cells: Row, called: list[Finding], ids: dict[str, str]) -> Step:
        places = _places(cells, called, self.findings)
        basis, on = Basis(cells["basis"]), cells["on"]
        count = sum(finding.count for finding in places) if basis is Basis.COUNT else None
        sessions = _sessions(cells)
        flags = cells["flags"].split()
        over = self.area if on == "show" else None
        material, leant = self.chosen(cells["material"])
        wait, leant_wait = self.chosen(cells["wait"])
        need = need_for(cells["spend"], material, over, count or 1, sessions) if material else None
        parts = _parts(self.survey, on, places)
        met = _hazards_met(cells, parts, self.hazards)
        task = Task(
            cells.key,
            (need.material,) if need else (),
            usual(need.amount.value) if need and cells["spend"] != "glue" else None,
            None,
            dust="dust" in flags, heat="heat" in flags, lifting=cells.key in _LIFTED,
            found=tuple(dict.fromkeys(hazard.key for hazard in met)),
        )  # fmt: skip
        cautions = cautions_for(task, region=self.words)
        cautioned = {cite for caution in cautions for cite in caution.cites}
        because = [h for h in met if cautioned & {h.key}]
        return Step(
            id=ids[cells.key],
            rule=cells.key,
            trade_name=cells["trade_name"],
            labour=cells["labour"],
            basis=basis,
            parts=parts,
            faces=("show",) if on == "show" else (),
            area=over,
            count=count,
            sessions=round(usual(sessions.value)),
            needs=(need,) if need else (),
            wait=wait_named(wait),
            between=wait_named(cells["between"]),
            after=tuple(ids[rule] for rule in _before(cells.key, ids)),
            tools=cells.keys_in("tools"),
            undo=Undo(cells["undo"]),
            why=(
                *self._reasons(cells, called, places, over, [*leant, *leant_wait]),
                *(Reason(_sentence(h.says), h.cites) for h in because),
            ),
            cautions=cautions,
            task=task,
            film="film" in flags,
            dust="dust" in flags,
            unbroken="unbroken" in flags,
        )

    def _reasons(
        self,
        cells: Row,
        called: Sequence[Finding],
        places: Sequence[Finding],
        over: Working[Any] | None,
        leant: Sequence[Finding],
    ) -> Iterator[Reason]:
        """The rule's own reason, what was found, what it goes over, what is to be minded, what must not go in."""
        yield Reason(cells["why"], tuple(dict.fromkeys(cite for f in called for cite in f.cites)))
        for finding in dict.fromkeys((*places, *(f for f in leant if f not in called))):
            yield Reason(_sentence(finding.says), finding.cites)
        if cells["on"] == "joints":
            for finding in self.findings:
                if finding.key == "kept_shut":
                    yield Reason(_sentence(finding.says), finding.cites)
        if over is not None:
            yield Reason(f"It goes over {say(over.value)} of show surface.", ("area",))
        if cells["ways"] not in {"all", "treat"}:
            yield Reason(f"It belongs to “{self.way.name}”.", _way_cites(self.survey, self.way))
        for mind in table("treatment", "minds.csv"):
            if mind["step"] == cells.key and (minded := [f for f in self.findings if f.key in mind.keys_in("when")]):
                yield Reason(mind["says"], tuple(dict.fromkeys(cite for f in minded for cite in f.cites)))
        if "lets_in" in cells["flags"].split():
            here = {code for finding in places for code in finding.parts}
            for finding in self.findings:
                if finding.key == "listed" and here & set(finding.parts):
                    yield Reason(_sentence(finding.says), finding.cites)


def _sentence(says: str) -> str:
    return f"{says[0].upper()}{says[1:]}."


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
    """The steps with those added by hand: after the step they name, the last stage of a glue-up, or last."""
    ordered = list(steps)
    for number, decision in enumerate(decisions, 1):
        if decision.about is not About.ADD:
            continue
        after = key_of(decision.after)
        before = next((s for s in reversed(ordered) if after in _names_of(s)), None)
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
