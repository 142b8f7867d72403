"""The plan as the outside sees it: `plan.json`, and its published schema."""

import json
from datetime import UTC, datetime
from importlib import resources
from typing import Any

from witnessmark.quantities import Range, as_json
from witnessmark.safety import Caution
from witnessmark.schedule import Slot
from witnessmark.sources import bibliography, table_of
from witnessmark.treatment import Step, Wait

from .piece_plan import Branch, Buy, Mix, PiecePlan, PlannedStep, WayCosted

SCHEMA_VERSION = 1


def plan_as_json(plan: PiecePlan) -> dict[str, Any]:
    """The whole plan as plain JSON, in the order of the contract. Instants are UTC, ISO 8601."""
    workings = table_of(plan.workings)
    calendar = [_slot(step, slot) for step in plan.steps for slot in step.slots]
    return {
        "schema": SCHEMA_VERSION,
        "planned_at": instant_json(plan.now),
        "piece": {"id": plan.survey.id, "title": plan.survey.piece.title or plan.survey.piece.kind.value,
                  "code": plan.survey.piece.code, "owner": plan.survey.piece.owner,
                  "promised": plan.survey.piece.promised and plan.survey.piece.promised.isoformat()},
        "facts": {
            "known": [{"key": f.key, "name": f.name, "said": f.said} for f in plan.facts.known],
            "missing": [_missing(f) for f in plan.facts.missing],
            "most_worth_finding_out": _missing(plan.facts.worth) if plan.facts.worth else None,
        },
        "ways": [_way(way) for way in plan.ways],
        "branches": [_branch(branch) for branch in plan.branches],
        "steps": [_step(step) for step in plan.steps],
        "mixes": [_mix(mix) for mix in plan.mixes],
        "shopping": [_buy(line) for line in plan.shopping],
        "calendar": sorted(calendar, key=lambda entry: (entry["starts"], entry["step"])),
        "cost": {
            name: as_json(getattr(plan.cost, name))
            for name in ("so_far", "to_come", "floor", "quote", "stop_at", "quote_range")
        } | {
            "would_change": [
                {"what": swing.what, "low": as_json(swing.low), "high": as_json(swing.high)}
                for swing in plan.cost.would_change
            ]
        },
        "air": plan.air,
        "away": list(plan.away),
        "days": {"likely": instant_json(plan.likely_day), "safe": instant_json(plan.safe_day)},
        "worth": [{"way": entry["way"], "per_hour": as_json(entry["per_hour"])} for entry in plan.worth],
        "cautions": [_caution(caution) for caution in plan.cautions],
        "rules": [
            {"rule": r.rule, "fired": r.fired, "overruled_by": r.overruled_by, "why": r.why} for r in plan.rules
        ],
        "workings": workings,
        "bibliography": _relied_on(workings, plan),
        "warnings": list(plan.warnings),
        "takedown": plan.apart.as_json(),
    }  # fmt: skip


def instant_json(instant: datetime | None) -> str | None:
    """An instant as every file of ours has it: UTC, ISO 8601, to the second."""
    return None if instant is None else instant.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _missing(fact: Any) -> dict[str, Any]:
    return {
        "key": fact.key,
        "name": fact.name,
        "settles": fact.settles,
        "how": fact.how,
        "minutes": fact.minutes,
    }


def _way(way: WayCosted) -> dict[str, Any]:
    return {
        "key": way.offered.key, "name": way.offered.name, "gist": way.offered.gist, "allowed": way.offered.allowed,
        "forbidden_by": list(way.offered.forbidden_by), "adds": way.offered.adds,
        "chosen": way.chosen, "why": list(way.offered.why), "cites": list(way.offered.cites),
        "reversible": way.offered.reversible, "resistance": way.offered.resistance, "hazard": way.offered.hazard,
        "hours": _hours(way.hours, "h"), "days": _hours(way.days, "days"),
        "cost": as_json(way.cost), "clears": as_json(way.clears), "next_hour": as_json(way.next_hour),
    }  # fmt: skip


def _hours(value: Any, unit: str) -> Any:
    if value is None:
        return None
    if isinstance(value, Range):
        return {
            "value": round(value.usual, 2),
            "unit": unit,
            "low": round(value.low, 2),
            "high": round(value.high, 2),
        }
    return {"value": round(value, 2), "unit": unit}


def _wait(wait: Wait) -> dict[str, Any]:
    return {
        "least": wait.least.in_hours, "usual": wait.usual.in_hours,
        "latest": None if wait.latest is None else wait.latest.in_hours, "cure": wait.cure.value,
        "least_temperature": wait.least_temperature and wait.least_temperature.celsius,
    }  # fmt: skip


def _caution(caution: Caution) -> dict[str, Any]:
    return {
        "key": caution.key, "level": caution.level.value, "says": caution.says, "ask": caution.ask,
        "source": caution.source_key, "as_of": caution.as_of, "cites": list(caution.cites),
    }  # fmt: skip


def _rule_of(step: Step) -> dict[str, Any]:
    return {
        "id": step.id, "rule": step.rule, "labour": step.labour, "trade_name": step.trade_name,
        "parts": list(step.parts),
        "faces": list(step.faces), "area": as_json(step.area.value) if step.area else None, "count": step.count,
        "sessions": step.sessions, "unbroken": step.unbroken,
        "amounts": [
            {"material": need.material, "name": need.name, "amount": as_json(need.amount.value),
             "working": need.amount.id}
            for need in step.needs
        ],
        "wait": _wait(step.wait), "between": _wait(step.between) if step.sessions > 1 else None,
        "after": list(step.after), "tools": list(step.tools), "undo": step.undo.value,
        "why": [{"says": reason.says, "cites": list(reason.cites)} for reason in step.why],
        "cautions": [_caution(caution) for caution in step.cautions],
    }  # fmt: skip


def _step(planned: PlannedStep) -> dict[str, Any]:
    minutes = planned.minutes
    return _rule_of(planned.step) | {
        "set_up": minutes.set_up,
        "minutes": {"p50": minutes.p50, "p80": minutes.p80, "p95": minutes.p95, "from": minutes.says_from},
        "starts": instant_json(planned.starts), "ends": instant_json(planned.ends), "logged": planned.logged,
    }  # fmt: skip


def _branch(branch: Branch) -> dict[str, Any]:
    return {"if": branch.condition, "steps": [_rule_of(step) for step in branch.steps]}


def _mix(mix: Mix) -> dict[str, Any]:
    return {
        "id": mix.id, "material": mix.material, "name": mix.name, "make": as_json(mix.make),
        "resin": as_json(mix.resin), "solvent": as_json(mix.solvent), "cut": as_json(mix.cut),
        "mix_at": instant_json(mix.mix_at),
        "ready_at": instant_json(mix.ready_at), "stir_at": [instant_json(at) for at in mix.stir_at],
        "best_before": instant_json(mix.best_before), "from_shelf": mix.from_shelf,
        "kept_back": as_json(mix.kept_back),
        "uses": [{"step": use.step, "volume": as_json(use.volume)} for use in mix.uses],
    }  # fmt: skip


def _buy(line: Buy) -> dict[str, Any]:
    return {
        "material": line.material, "name": line.name, "need": as_json(line.need), "on_shelf": as_json(line.on_shelf),
        "buy": line.buy, "packs": line.packs, "price": as_json(line.price),
    }  # fmt: skip


def _slot(planned: PlannedStep, slot: Slot) -> dict[str, Any]:
    return {
        "step": planned.step.id, "trade_name": planned.step.trade_name, "session": slot.session, "of": slot.of,
        "who": slot.who, "starts": instant_json(slot.start), "ends": instant_json(slot.end),
    }  # fmt: skip


def _relied_on(workings: dict[str, Any], plan: PiecePlan) -> list[dict[str, Any]]:
    """The bibliography of this plan: every source that a working, a wait or a caution leans on."""
    keys: dict[str, None] = {}
    for entry in workings.values():
        for reference in [entry, *entry["inputs"].values()]:
            keys.update(dict.fromkeys(str(reference.get("source") or "").split(";")))
    for step in plan.steps:
        keys.update(dict.fromkeys(step.step.wait.source_key.split(";")))
    for caution in plan.cautions:
        keys.update(dict.fromkeys(caution.source_key.split(";")))
    known = bibliography()
    return [
        {"key": key, "citation": known[key].citation, "year": known[key].year, "read": known[key].read}
        for key in sorted(keys)
        if key in known
    ]


def plan_schema() -> dict[str, Any]:
    """The published JSON Schema of plan.json."""
    text = resources.files("witnessmark.plan").joinpath("schema.json").read_text("utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema
