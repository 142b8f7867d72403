"""The workings as paper shows them: each formula once, its results beneath with what went in; and the sources."""

from collections.abc import Iterable, Iterator
from typing import Any

from witnessmark.plan import Mix, PiecePlan
from witnessmark.quantities import high, usual
from witnessmark.sources import Figure, Given, Source, Standing, Working, bibliography, rule

from .voice import Voice


def sums_of(plan: PiecePlan, voice: Voice) -> list[dict[str, Any]]:
    """The formulas people act on, in the order of the plan, each with its first few results; the rest are counted."""
    most = int(rule("papers", "lines_of_a_sum").value)
    found: dict[str, dict[str, Working[Any]]] = {}
    for working in _acted_on(plan):
        found.setdefault(working.formula.key, {}).setdefault(working.id, working)
    return [
        {
            "says": voice.ours(next(iter(same.values())).formula.says),
            "lines": [_line(working, voice) for working in list(same.values())[:most]],
            "more": f"and {len(same) - most} more by the same sum" if len(same) > most else "",
        }
        for same in found.values()
    ]


def _acted_on(plan: PiecePlan) -> Iterator[Working[Any]]:
    """Areas, amounts, jars, minutes and sums of money as they stand on the paper, and what the money came from."""
    for planned in plan.steps:
        if planned.step.area is not None:
            yield planned.step.area
        yield from (need.amount for need in planned.step.needs)
    for mix in plan.mixes:
        yield from _behind(plan, mix)
    for planned in plan.steps:
        if planned.minutes.working is not None:
            yield planned.minutes.working
    if plan.total is not None and plan.total.working is not None:
        yield plan.total.working
    for working in plan.cost.workings:
        yield working
        yield from (item for _, item in working.inputs if isinstance(item, Working))


def _behind(plan: PiecePlan, mix: Mix) -> Iterator[Working[Any]]:
    """The workings that came to the amounts of a mix, which are weighed and poured at their usual or their high end."""
    amounts = [usual(amount) for amount in (mix.resin, mix.solvent, mix.make) if amount is not None]
    return (one for one in plan.workings if usual(one.value) in amounts or high(one.value) in amounts)


def _with_what_went_in(workings: Iterable[Working[Any]]) -> Iterator[Working[Any]]:
    """Each working, then those it was worked from."""
    for working in workings:
        yield working
        yield from _with_what_went_in(item for _, item in working.inputs if isinstance(item, Working))


def _line(working: Working[Any], voice: Voice) -> dict[str, str]:
    return {
        "value": _value(working.value, voice),
        "inputs": "; ".join(_went_in(name, item, voice) for name, item in working.inputs),
        "standing": working.standing.words,
    }


def _went_in(name: str, item: Given | Figure | Working[Any], voice: Voice) -> str:
    said = f"{voice.ours(name.replace('_', ' '))} {_value(item.value, voice)}"
    match item:
        case Given():
            # The place of a step's own figure is its id, which says no more than the row does.
            return said if item.place.startswith("step.") or not item.place else f"{said} ({item.place})"
        case Figure():
            return f"{said} ({item.standing.words})" if item.standing is not Standing.CONVENTION else said
    return f"{said} (worked out)"


def _value(value: Any, voice: Voice) -> str:
    if isinstance(value, tuple | list):
        shown = [_value(item, voice) for item in value[:6]]
        return ", ".join(shown) + (f" and {len(value) - 6} more" if len(value) > 6 else "")
    return voice.amount(value)


def sources_of(plan: PiecePlan) -> list[str]:
    """The bibliography of what the plan leans on, by citation."""
    keys: set[str] = set()

    def lean_on(source_key: str) -> None:
        keys.update(key.strip() for key in source_key.split(";") if key.strip())

    for working in _with_what_went_in(plan.workings):
        for _, item in working.inputs:
            if isinstance(item, Figure):
                lean_on(item.source_key)
        if working.formula.source:
            lean_on(working.formula.source.source_key)
    for planned in plan.steps:
        lean_on(planned.step.wait.source_key)
        for caution in planned.step.cautions:
            lean_on(caution.source_key)
    for caution in plan.cautions:
        lean_on(caution.source_key)
    known = bibliography()
    cited = sorted((known[key] for key in keys if key in known), key=lambda source: source.citation.lower())
    return [citation(source) for source in cited]


def standings_of(plan: PiecePlan, mix: Mix) -> list[Standing]:
    """How far the amounts of a mix can be leant on: the standing of each working that came to them."""
    return [working.standing for working in _behind(plan, mix)]


def citation(source: Source) -> str:
    """A source as a bibliography names it."""
    year = f", {source.year}" if source.year and source.year not in source.citation else ""
    return (
        f"{source.citation}{year} ({source.kind})." if source.kind not in {"", "own"} else f"{source.citation}{year}."
    )
