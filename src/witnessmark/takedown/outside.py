"""Taking apart as the outside sees it: plain JSON, the names of the contract first."""

from collections.abc import Sequence
from typing import Any

from witnessmark.quantities import Range, Span, as_json, mapped
from witnessmark.sources import Input, Working
from witnessmark.survey import Fixing

from .glue_up import Cramps, Stage
from .springing import Spring
from .taken import Freed, Refit, StillOff, Takedown, Taken


def takedown_as_json(taken: Takedown, stages: Sequence[Stage] = ()) -> dict[str, Any]:
    """The whole answer. Harm is a plain number; seconds and open time are both in s."""
    return {
        "order": [_taken(each) for each in taken.order],
        "free": _freed(taken.free) if taken.free else None,
        "stays_shut": list(taken.stays_shut),
        "refit": [_refit(each) for each in taken.refit],
        "glue_stages": [_stage(stage) for stage in stages],
        "still_off": [_still_off(each) for each in taken.still_off],
        "together": taken.together,
        "why_shut": dict(taken.why_shut),
        "spring": [_spring(each) for each in taken.spring],
    }


def workings_of(taken: Takedown, stages: Sequence[Stage] = ()) -> list[Working[Any]]:
    """Every sum that stands in the answer."""
    found: list[Input | None] = [taken.free.harm] if taken.free else []
    for stage in stages:
        found += [stage.seconds, stage.open_time, *(need.length for need in stage.cramps)]
    return [item for item in found if isinstance(item, Working)]


def _taken(each: Taken) -> dict[str, Any]:
    return {
        "take": each.take, "with": list(each.along), "joints": list(each.joints),
        "fixings": [fixing.code for fixing in each.fixings], "harm": each.harm, "note": each.note,
        "way": each.way.value if each.way else None,
    }  # fmt: skip


def _freed(freed: Freed) -> dict[str, Any]:
    return {
        "part": freed.part, "joints": list(freed.joints), "first_off": list(freed.first_off),
        "fixings": list(freed.fixings), "harm": freed.harm.value,
    }  # fmt: skip


def _fixing(fixing: Fixing) -> dict[str, Any]:
    says = {"code": fixing.code, "hole": fixing.hole, "ends": fixing.ends.value}
    if fixing.why:
        says["why"] = fixing.why
    if fixing.by:
        says["by"] = fixing.by
    return says


def _refit(each: Refit) -> dict[str, Any]:
    return {
        "part": each.part, "fixings": [_fixing(fixing) for fixing in each.fixings], "with": list(each.along),
        "joints": list(each.joints), "note": each.note,
    }  # fmt: skip


def _still_off(each: StillOff) -> dict[str, Any]:
    return {"part": each.part, "fixings": [fixing.code for fixing in each.fixings]}


def _spring(each: Spring) -> dict[str, Any]:
    return {
        "joint": each.joint, "offered": each.offered.value, "why": list(each.why), "leaves": each.leaves,
        "opening_takes": list(each.opening), "harm": each.harm,
    }  # fmt: skip


def _stage(stage: Stage) -> dict[str, Any]:
    return {
        "joints": list(stage.joints), "seconds": _in_seconds(stage.seconds.value),
        "open_time": _in_seconds(stage.open_time.value) if stage.open_time else None, "people": stage.people,
        "cramps": [_cramps(need) for need in stage.cramps], "fits": stage.fits, "sprung": stage.sprung,
        "notes": list(stage.notes),
    }  # fmt: skip


def _cramps(need: Cramps) -> dict[str, Any]:
    length = as_json(need.length.value) if need.length else None
    return {"length": length, "count": need.count, "have": need.have}


def _in_seconds(span: Span | Range[Span]) -> dict[str, Any]:
    """Both in s, so that they are compared as they stand."""
    spread = mapped(span, lambda each: each.minutes * 60)
    if isinstance(spread, Range):
        return {"value": spread.usual, "unit": "s", "low": spread.low, "high": spread.high}
    return {"value": spread, "unit": "s"}
