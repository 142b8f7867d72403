"""`plan_piece`: the rooms in order. Pure: the same documents and the same now give the same plan, byte for byte."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from decimal import Decimal
from typing import Any

from witnessmark.daybook import DayBook
from witnessmark.money import clearing, clears, cost_of, next_hour
from witnessmark.quantities import Money, Range, Span
from witnessmark.safety import Caution, Level, RoomAir, cautions_of_plan, cautions_of_task
from witnessmark.schedule import Minutes, Slot, as_worked, minutes_of, slowed, total_of, waiting_longer
from witnessmark.shop import Shop
from witnessmark.sources import Working, given
from witnessmark.survey import OldFinish, Survey
from witnessmark.treatment import AT_ONCE, Step, WayOffered, old_finish_of

from .away import away_in, late_for
from .cupboard import cupboard_today, materials_used
from .facts import facts_of
from .logged import Logged, logged_for, own_past_in
from .piece_plan import Branch, Buy, PiecePlan, PlannedStep, WayCosted
from .shopping import shopping_for
from .timing import timed
from .vapour import air_of_step, minding_the_air
from .wet import next_wet
from .work import Seen, Work, seen_in, work_of

_IF = {
    OldFinish.SHELLAC: "spirit softens it: shellac or French polish",
    OldFinish.LACQUER: "thinner softens it and spirit does not: nitrocellulose lacquer",
    OldFinish.OIL_VARNISH: "nothing mild touches it: oil varnish or polyurethane",
    OldFinish.OIL_PAINT: "it is opaque: oil paint, lead until tested",
    OldFinish.WAX: "water beads and nothing comes off: bare or only waxed",
}

# Ways that leave the piece to be sold as it stands.
AS_FOUND = frozenset({"leave_record", "sell_as_found", "break_timber"})


def plan_piece(survey: Survey, shop: Shop, daybook: DayBook, now: datetime) -> PiecePlan:
    """The plan of one piece at an instant. Unknown facts widen it and never block it.

    `now` has its offset. Raises Refused where a decision names what there is not.
    """
    shop = cupboard_today(as_worked(shop, daybook), daybook)
    seen = seen_in(survey, shop, now, own_past_in(daybook, now))
    way, chosen_why = seen.chosen()
    log = logged_for(daybook, survey.id, survey.piece.code)
    seen = replace(seen, at_once=AT_ONCE in log.facts)
    work = work_of(seen, way, log.done)
    past = log.no_longer_called_for(work.minutes)
    steps = (*work.steps, *past)
    minutes = dict(work.minutes) | {step.id: minutes_of(step, survey.trial) for step in past}
    ahead = log.still_ahead(minutes)
    when = timed(steps, ahead, work.jars, shop, now, log.done)
    more = {step.id: spent for step, spent in when.more}
    minutes, ahead = minutes | more, ahead | more
    called_for, steps = steps, (*(step for step in steps if step.id not in more), *(step for step, _ in when.more))
    open_steps = [step for step in steps if step.id not in log.done]

    to_come = total_of([ahead[step.id] for step in open_steps])
    safe = timed(waiting_longer(called_for), slowed(ahead, to_come), work.jars, shop, now, log.done)
    shopping = shopping_for(open_steps, when.jars, shop, seen.today)
    used = materials_used(daybook, shop, survey.id, survey.piece.code)
    paid = _said(survey.piece.price_paid)
    cost = cost_of(Span(log.minutes), to_come, _price(shopping, shop), paid, shop, survey, used)
    costed = tuple(_costed(seen, one, chosen_why if one.key == way.key else None, log, used) for one in seen.ways)
    branches = _branches(seen)
    airs = {step.id: air for step in open_steps if (air := air_of_step(step, minutes[step.id], shop))}
    planned = tuple(
        PlannedStep(
            minding_the_air(step, airs.get(step.id)), minutes[step.id], when.slots.get(step.id, ()),
            log.facts.get(step.id),
        )
        for step in steps
    )  # fmt: skip
    apart = seen.apart
    ordered = tuple(sorted(planned, key=_order))
    wet = next_wet(ordered, daybook, shop, now)
    timings = {**minutes, **{f"{step} left": left for step, left in ahead.items()}}
    warnings = [*when.notes, *(broken.says for broken in when.broken)]
    warnings += late_for(survey.piece.promised, _last(when.slots), _last(safe.slots), shop)
    warnings += apart.warnings
    warnings += [missing.says for missing in seen.areas.missing]
    warnings += [jar.note for jar in work.jars if jar.note]
    return PiecePlan(
        survey=survey,
        shop=shop,
        now=now,
        facts=facts_of(survey, seen.areas.total, [(s, minutes[s.id]) for s in steps], branches),
        ways=costed,
        branches=tuple(branch for branch, _ in branches),
        steps=ordered,
        mixes=when.mixes,
        shopping=shopping,
        cost=cost,
        cautions=_cautions(open_steps, airs, shop),
        rules=(*seen.rules, *work.rules),
        workings=(
            *_workings(seen, replace(work, jars=when.jars), timings, to_come, cost.workings),
            *apart.workings,
            *{one.id: one for air in airs.values() for one in (air.shut, air.peak)}.values(),
        ),
        apart=apart,
        total=to_come,
        warnings=tuple(dict.fromkeys(warnings)),
        likely_day=_last(when.slots),
        safe_day=_last(safe.slots),
        air=wet.says if wet else "",
        away=away_in(daybook, shop, survey.id, survey.piece.code),
        worth=tuple({"way": one.offered.key, "per_hour": one.next_hour} for one in costed if one.next_hour is not None),
    )


def _cautions(steps: Sequence[Step], airs: Mapping[str, RoomAir], shop: Shop) -> tuple[Caution, ...]:
    """Every caution of the steps to come, each once, those of the room's air among them; Stop before Mind."""
    worst_last = sorted(airs.values(), key=lambda air: air.shut.value)
    of_air = {one.key: one for air in worst_last for one in cautions_of_task(air)}
    of_tasks = cautions_of_plan([step.task for step in steps if step.task], region=shop.shop.words.value)
    return tuple(sorted((*of_air.values(), *of_tasks), key=lambda one: one.level is not Level.STOP))


def _last(slots: Mapping[str, Sequence[Slot]]) -> datetime | None:
    return max((slot.end for some in slots.values() for slot in some), default=None)


def _order(planned: PlannedStep) -> tuple[Any, ...]:
    start = planned.starts
    return (start is None, start.isoformat() if start else "", planned.step.id)


def _costed(seen: Seen, way: WayOffered, chosen_why: str | None, log: Logged, used: Any) -> WayCosted:
    """One way with its hours, days and cost to come: what is done and spent already has no say in them.

    A forbidden way is not reckoned, unless it was chosen all the same.
    """
    chosen, survey, shop = chosen_why is not None, seen.survey, seen.shop
    if chosen_why and chosen_why not in " ".join(way.why):
        way = replace(way, why=(chosen_why, *way.why))
    if not way.allowed and not chosen:
        return WayCosted(way, chosen)
    work = work_of(seen, way, log.done)
    to_come = [step for step in work.steps if step.id not in log.done]
    ahead = log.still_ahead(work.minutes)
    total = total_of([ahead[step.id] for step in to_come])
    done = {step.id: log.done[step.id] for step in work.steps if step.id in log.done}
    slots = timed(work.steps, ahead, work.jars, shop, seen.now, done).slots
    ends = [slot.end for some in slots.values() for slot in some]
    days = max(0.0, (max(ends) - seen.now).total_seconds() / 86400) if ends else 0.0
    materials = _price(shopping_for(to_come, work.jars, shop, seen.today), shop)
    cost = cost_of(Span(log.minutes), total, materials, _said(survey.piece.price_paid), shop, survey, used)
    if way.key in AS_FOUND:
        as_found = _said(survey.wishes.sells_as_found)
        price = given("wishes.sells_as_found", as_found)
        clear, earns = None if as_found is None else clearing(price, survey, shop, cost).value, None
    else:
        clear, earns = clears(survey, shop, cost), next_hour(survey, shop, cost, total)
    hours = Range(total.p50 / 60, total.p50 / 60, total.p80 / 60)
    return WayCosted(way, chosen, hours, days, cost.to_come, clear, earns)


def _said(written: Any) -> Any:
    """A sum that was said and is known, else None."""
    return written.value if written is not None and written.known else None


def _branches(seen: Seen) -> list[tuple[Branch, float]]:
    """What would be done for each thing an unknown finish may still be; none once tests leave one over."""
    old = old_finish_of(seen.survey)
    if old.known:
        return []
    branches = []
    for kind in old.may_be:
        finish = seen.survey.finish.model_copy(update={"kind": kind})
        survey = seen.survey.model_copy(update={"finish": finish})
        supposed = seen_in(survey, seen.shop, seen.now, seen.own_past)
        way, _ = supposed.chosen()
        work = work_of(supposed, way)
        hours = sum(minutes.p50 for minutes in work.minutes.values()) / 60
        branches.append((Branch(f"{_IF.get(kind, f'it is {kind}')} → {way.name}", work.steps), hours))
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
    seen: Seen, work: Work, minutes: Mapping[str, Minutes], total: Minutes, costs: Sequence[Working[Any]]
) -> tuple[Working[Any], ...]:
    """Every working of the plan, each once."""
    found: list[Working[Any] | None] = [seen.areas.total, *(face.net for face in seen.areas.faces)]
    found += [finding.working for finding in seen.findings]
    found += [need.amount for step in work.steps for need in step.needs]
    for jar in work.jars:
        found += [jar.exact, jar.resin, jar.solvent, *(working for _, working in jar.uses)]
    found += [working for one in minutes.values() for working in (one.working, one.spread)]
    found += [total.working, total.spread, *costs]
    return tuple({working.id: working for working in found if working is not None}.values())
