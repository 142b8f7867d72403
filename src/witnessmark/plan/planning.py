"""`plan_piece`: the rooms in order. Pure: the same documents and the same now give the same plan, byte for byte."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from witnessmark.daybook import DayBook
from witnessmark.money import clearing, clears, cost_of, next_hour
from witnessmark.quantities import Money, Range, Span
from witnessmark.safety import Hazard, cautions_of_plan, hazards_in
from witnessmark.schedule import Minutes, minutes_of, total_of
from witnessmark.shop import Shop
from witnessmark.sources import Working, given
from witnessmark.survey import OldFinish, Survey, areas_of
from witnessmark.treatment import (
    Finding,
    Jar,
    RuleSaid,
    Step,
    WayOffered,
    chosen_way,
    findings_in,
    jars_for,
    steps_for,
    ways_for,
)

from .facts import facts_of
from .logged import logged_for
from .piece_plan import Branch, Buy, PiecePlan, PlannedStep, WayCosted
from .shopping import shopping_for
from .timing import jar_steps, timed

# What an unknown film may turn out to be, in the order the tests tell them apart. Common practice.
_MAY_BE = (
    ("spirit softens it: shellac or French polish", OldFinish.SHELLAC),
    ("thinner softens it and spirit does not: nitrocellulose lacquer", OldFinish.LACQUER),
    ("nothing mild touches it: oil varnish or polyurethane", OldFinish.OIL_VARNISH),
    ("it is opaque: oil paint, lead until tested", OldFinish.OIL_PAINT),
    ("water beads and nothing comes off: bare or only waxed", OldFinish.WAX),
)


# Ways that leave the piece to be sold as it stands.
AS_FOUND = frozenset({"leave_record", "sell_as_found", "break_timber"})


@dataclass(frozen=True)
class _Work:
    """The steps of one way with their jars and minutes: what is timed and costed."""

    steps: tuple[Step, ...]
    jars: tuple[Jar, ...]
    minutes: dict[str, Minutes]
    rules: tuple[RuleSaid, ...]


def plan_piece(survey: Survey, shop: Shop, daybook: DayBook, now: datetime) -> PiecePlan:
    """The plan of one piece at an instant. Unknown facts widen it and never block it.

    `now` has its offset. Raises Refused where a decision names what there is not.
    """
    today = now.astimezone(ZoneInfo(shop.shop.zone)).date()
    hazards = hazards_in(survey, region=shop.shop.words.value)
    findings = findings_in(survey, hazards)
    areas = areas_of(survey)
    offered, way_rules = ways_for(findings)
    way, chosen_why = chosen_way(survey, offered)

    log = logged_for(daybook, survey.id)
    work = _work(survey, findings, way, areas.total, hazards, shop, now, log.done)
    past = log.no_longer_called_for(work.minutes)
    steps = (*work.steps, *past)
    minutes = dict(work.minutes) | {step.id: minutes_of(step, survey.trial) for step in past}
    open_steps = [step for step in steps if step.id not in log.done]
    when = timed(steps, minutes, work.jars, shop, now, log.done)

    to_come = total_of([minutes[step.id] for step in open_steps])
    shopping = shopping_for(open_steps, work.jars, shop, today)
    cost = cost_of(Span(log.minutes), to_come, _price(shopping, shop), _said(survey.piece.price_paid), shop, survey)
    costed = tuple(
        _costed(one, one.key == way.key, chosen_why, survey, findings, areas.total, hazards, shop, now)
        for one in offered
    )
    branches = _branches(survey, areas.total, shop, now)
    planned = tuple(
        PlannedStep(step, minutes[step.id], when.slots.get(step.id, ()), log.facts.get(step.id)) for step in steps
    )
    warnings = [*when.notes, *(broken.says for broken in when.broken)]
    warnings += [missing.says for missing in areas.missing]
    warnings += [jar.note for jar in work.jars if jar.note]
    return PiecePlan(
        survey=survey,
        shop=shop,
        now=now,
        facts=facts_of(survey, areas.total, [(s, minutes[s.id]) for s in steps], branches),
        ways=costed,
        branches=tuple(branch for branch, _ in branches),
        steps=tuple(sorted(planned, key=_order)),
        mixes=when.mixes,
        shopping=shopping,
        cost=cost,
        cautions=cautions_of_plan([step.task for step in open_steps if step.task], region=shop.shop.words.value),
        rules=(*way_rules, *work.rules),
        workings=_workings(areas, findings, work, minutes, to_come, cost.workings),
        total=to_come,
        warnings=tuple(dict.fromkeys(warnings)),
        worth=tuple({"way": one.offered.key, "per_hour": one.next_hour} for one in costed if one.next_hour is not None),
    )


def _order(planned: PlannedStep) -> tuple[Any, ...]:
    start = planned.starts
    return (start is None, start.isoformat() if start else "", planned.step.id)


def _work(
    survey: Survey,
    findings: Sequence[Finding],
    way: WayOffered,
    area: Working[Any],
    hazards: Sequence[Hazard],
    shop: Shop,
    now: datetime,
    done: Container[str] = (),
) -> _Work:
    steps, rules = steps_for(survey, findings, way, area, hazards, shop.shop.words.value)
    jars = jars_for(
        [step for step in steps if step.id not in done], shop, now.astimezone(ZoneInfo(shop.shop.zone)).date()
    )
    everything = (*steps, *jar_steps(jars))
    return _Work(everything, jars, {step.id: minutes_of(step, survey.trial) for step in everything}, rules)


def _costed(
    way: WayOffered,
    chosen: bool,
    chosen_why: str,
    survey: Survey,
    findings: Sequence[Finding],
    area: Working[Any],
    hazards: Sequence[Hazard],
    shop: Shop,
    now: datetime,
) -> WayCosted:
    """One way with its hours, days and cost. A forbidden way is not reckoned, unless it was chosen all the same."""
    if chosen:
        way = replace(way, why=(chosen_why, *way.why) if chosen_why not in " ".join(way.why) else way.why)
    if not way.allowed and not chosen:
        return WayCosted(way, chosen)
    work = _work(survey, findings, way, area, hazards, shop, now)
    total = total_of(list(work.minutes.values()))
    slots = timed(work.steps, work.minutes, work.jars, shop, now, {}).slots
    ends = [slot.end for some in slots.values() for slot in some]
    days = (max(ends) - now).total_seconds() / 86400 if ends else 0.0
    today = now.astimezone(ZoneInfo(shop.shop.zone)).date()
    materials = _price(shopping_for(work.steps, work.jars, shop, today), shop)
    cost = cost_of(Span(0), total, materials, _said(survey.piece.price_paid), shop, survey)
    if way.key in AS_FOUND:
        as_found = _said(survey.wishes.sells_as_found)
        price = given("wishes.sells_as_found", as_found)
        clear, earns = None if as_found is None else clearing(price, survey, shop, cost).value, None
    else:
        clear, earns = clears(survey, shop, cost), next_hour(survey, shop, cost, total)
    return WayCosted(
        way, chosen, Range(total.p50 / 60, total.p50 / 60, total.p80 / 60), days, cost.to_come, clear, earns
    )


def _said(written: Any) -> Any:
    """A sum that was said and is known, else None."""
    return written.value if written is not None and written.known else None


def _branches(survey: Survey, area: Working[Any], shop: Shop, now: datetime) -> list[tuple[Branch, float]]:
    """What would be done for each thing an unknown finish may be; none once a reading is entered."""
    if survey.finish.kind is not OldFinish.UNKNOWN:
        return []
    branches = []
    for condition, kind in _MAY_BE:
        supposed = survey.model_copy(update={"finish": survey.finish.model_copy(update={"kind": kind})})
        hazards = hazards_in(supposed, region=shop.shop.words.value)
        findings = findings_in(supposed, hazards)
        offered, _ = ways_for(findings)
        way, _ = chosen_way(supposed, offered)
        work = _work(supposed, findings, way, area, hazards, shop, now)
        hours = sum(minutes.p50 for minutes in work.minutes.values()) / 60
        branches.append((Branch(f"{condition} → {way.name}", work.steps), hours))
    return branches


def _price(shopping: Sequence[Buy], shop: Shop) -> Any:
    """What the shopping costs, as far as prices are known."""
    nothing = Money(Decimal(0), shop.shop.currency)
    total: Any = Range(nothing, nothing, nothing)
    for line in shopping:
        if isinstance(line.price, Range):
            total = Range(total.low + line.price.low, total.usual + line.price.usual, total.high + line.price.high)
    return total


def _workings(
    areas: Any,
    findings: Sequence[Finding],
    work: _Work,
    minutes: Mapping[str, Minutes],
    total: Minutes,
    costs: Sequence[Working[Any]],
) -> tuple[Working[Any], ...]:
    """Every working of the plan, each once."""
    found: list[Working[Any] | None] = [areas.total, *(face.net for face in areas.faces)]
    found += [finding.working for finding in findings]
    found += [need.amount for step in work.steps for need in step.needs]
    for jar in work.jars:
        found += [jar.exact, jar.resin, jar.solvent, *(working for _, working in jar.uses)]
    found += [working for one in minutes.values() for working in (one.working, one.spread)]
    found += [total.working, total.spread, *costs]
    return tuple({working.id: working for working in found if working is not None}.values())
