"""The end-of-day list: from what was done today, what must be seen to before the door is locked; and who checked."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from typing import Any

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.materials import AmbiguousName, UnknownName, material_named
from witnessmark.plan import PiecePlan, PlannedStep
from witnessmark.safety import Task, cautions_for

from . import blocks
from .days import RAGS
from .heads import JAR_WORK, PREVAILS, code_of, is_done, jar_names, name_of, title_of
from .letters import shop_leaf, shop_letter
from .voice import Voice, sentence

_RULES = ("oil_rags", "spirit_rags", "keep_the_rubber", "steel_wool", "nitrocellulose_dust", "celluloid_store")
_GLUES = {"hide_glue_hot", "animal_glue"}
# Entered at the desk: they leave no rag, open no jar and do no step.
_OF_THE_DESK = {What.ACKNOWLEDGED, What.PAID, What.SIGNED, What.STAGE, What.COUNTED, What.DISCARDED}


def end_of_day(plans: Sequence[PiecePlan], daybook: DayBook, voice: Voice) -> dict[str, Any]:
    """Everything `letter.typ` prints for it."""
    o = voice.ours
    today = voice.local(plans[0].now).date()
    entries = [
        entry
        for entry in daybook.entries
        if voice.local(entry.happened).date() == today and entry.what not in _OF_THE_DESK
    ]
    planned = [
        (plan, one)
        for plan in plans
        for one in plan.steps
        if any(voice.local(slot.start).date() == today for slot in one.slots) and not _done_before(one, today, voice)
    ]
    materials = _materials(entries, planned)
    source = (
        "From the entries of today and the work planned for it."
        if entries
        else "Nothing is entered for today yet: this goes by the work planned for it."
    )
    body: list[blocks.Block] = [
        blocks.para(o(source), "fine"),
        blocks.heading(o("Rags and waste")),
        blocks.ticks(o(line) for line in _rags(materials, voice)),
        blocks.para(o(RAGS), "fine"),
        blocks.heading(o("Jars, pots and heat")),
        blocks.ticks(_jars(plans, entries, materials, today, voice), 1),
        blocks.heading(o("Wet work, and what is in clamps" if voice.american else "Wet work, and what is in cramps")),
        blocks.ticks(_wet(plans, today, voice)),
        blocks.heading(o("Nothing lost")),
        blocks.ticks(
            [
                o("Screws, keys and loose bits on their cards"),
                o("Parts that came off have their tags"),
                o("Vacuum emptied outdoors; floor swept damp"),
                o("Windows and door; alarm; lights"),
            ],
            2,
        ),
        *_not_entered(planned, entries, voice),
        *_hours(entries, voice),
        *_tomorrow(plans, today, voice),
        blocks.boxed(
            blocks.para(o(PREVAILS), "fine"),
            blocks.signatures([o("Checked before the door was locked")], (o("name"), o("signature"), o("at"))),
        ),
    ]
    return shop_letter(plans, voice, "End of day", [shop_leaf(plans, voice, o("End of day"), body)])


def _done_before(one: PlannedStep, today: date, voice: Voice) -> bool:
    return is_done(one) and one.ends is not None and voice.local(one.ends).date() < today


def _materials(entries: Sequence[Entry], planned: Sequence[tuple[PiecePlan, PlannedStep]]) -> dict[str, str]:
    """The keys of what was used today or was to be, each with the words it goes by."""
    found: dict[str, str] = {}
    for entry in entries:
        for amount in entry.amounts:
            try:
                found.setdefault(material_named(amount.material).key, amount.material)
            except (UnknownName, AmbiguousName):
                continue
    for _, one in planned:
        for need in one.step.needs:
            found.setdefault(need.material, need.name)
    return found


def _rags(materials: dict[str, str], voice: Voice) -> list[str]:
    task = Task("end_of_day", tuple(materials))
    region = "US" if voice.american else "UK"
    bound = {caution.key: caution for caution in cautions_for(task, region=region, at_most=None)}
    said = [
        f"{sentence(bound[key].says)} ({', '.join(dict.fromkeys(materials.get(m, m) for m in bound[key].cites))})"
        for key in _RULES
        if key in bound
    ]
    return [
        *said,
        "No rag in the bin, none in a pocket, none on a bench"
        if said
        else "No rags of oil or spirit today, as far as it is written down: look all the same",
    ]


def _jars(
    plans: Sequence[PiecePlan], entries: Sequence[Entry], materials: dict[str, str], today: date, voice: Voice
) -> list[str]:
    o, said = voice.ours, []
    opened = {amount.jar: amount.material for entry in entries for amount in entry.amounts if amount.jar}
    said += [f"{o('Lid on, name on:')} {o('jar')} {jar}, {what}" for jar, what in sorted(opened.items())]
    for plan in plans:
        names = jar_names(plan)
        for mix in plan.mixes:
            moments = [(mix.mix_at, "Mixed"), *((at, "Stirred") for at in mix.stir_at)]
            for at, did in moments:
                if at is not None and voice.local(at).date() == today:
                    piece = code_of(plan) or title_of(plan)
                    said.append(o(f"{did}, lid on: {names[mix.id]} ({mix.name}) of {piece}"))
    if _GLUES & set(materials):
        said.append(o("Glue pot off and unplugged, lid on"))
    said += [
        o("Every other jar lidded, with its name and the day it was mixed"),
        o("Stove, heat gun, iron and chargers off at the wall"),
        o("Dust extractor off; nothing smoulders in it"),
    ]
    return said


def _wet(plans: Sequence[PiecePlan], today: date, voice: Voice) -> list[str]:
    """What lies wet or in cramps tonight, until when, and how warm it must stay."""
    o, said = voice.ours, []
    for plan in plans:
        for one in plan.steps:
            if not one.slots or one.step.rule in JAR_WORK or not one.step.wait.usual.minutes:
                continue
            if not one.step.film and not one.step.needs:  # it waits, but nothing on it is wet or held
                continue
            last = voice.local(one.slots[-1].end)
            until = one.slots[-1].end + timedelta(minutes=one.step.wait.usual.minutes)
            if last.date() > today or voice.local(until).date() <= today:
                continue
            warm = one.step.wait.least_temperature
            keep = f", {o('not below')} {voice.amount(warm)}" if warm is not None else ""
            shut = o("shut away from dust, ") if one.step.film else ""
            said.append(
                f"{code_of(plan) or title_of(plan)}, {name_of(one.step, voice)}: "
                f"{shut}{o('till')} {voice.moment(until)}{keep}"
            )
    return said or [o("Nothing lies wet or is held tonight, by the plan: look all the same")]


def _not_entered(
    planned: Sequence[tuple[PiecePlan, PlannedStep]], entries: Sequence[Entry], voice: Voice
) -> list[blocks.Block]:
    o = voice.ours
    entered = {entry.step.id for entry in entries if entry.step}
    left = [(plan, one) for plan, one in planned if one.step.id not in entered]
    if not left:
        return []
    cells = [[blocks.tape(code_of(plan) or "–"), name_of(one.step, voice), "", ""] for plan, one in left]
    heads = (o("Piece"), o("Planned for today, not entered yet"), o("Took"), o("Who"))
    return [blocks.heading(o("Enter now: two minutes")), blocks.table((-20, 2, -26, -26), heads, cells)]


def _hours(entries: Sequence[Entry], voice: Voice) -> list[blocks.Block]:
    o = voice.ours
    by_person: dict[str, float] = {}
    for entry in entries:
        if entry.minutes is not None and entry.minutes.known:
            by_person[entry.who] = by_person.get(entry.who, 0.0) + float(entry.minutes.value.minutes)
    if not by_person:
        return []
    said = "; ".join(f"{who} {voice.hours(minutes)}" for who, minutes in by_person.items())
    return [blocks.para(f"{o('Entered so far today:')} {said}.")]


def _tomorrow(plans: Sequence[PiecePlan], today: date, voice: Voice) -> list[blocks.Block]:
    """The first things of the next day somebody works, so that they can be laid out tonight."""
    o = voice.ours
    ahead: list[tuple[datetime, PiecePlan, PlannedStep]] = [
        (slot.start, plan, one)
        for plan in plans
        for one in plan.steps
        if not is_done(one)
        for slot in one.slots
        if voice.local(slot.start).date() > today
    ]
    if not ahead:
        return []
    day = voice.local(min(at for at, _, _ in ahead)).date()
    first = sorted(
        ((at, plan, one) for at, plan, one in ahead if voice.local(at).date() == day),
        key=lambda line: (line[0], line[2].step.id),
    )[:4]
    cells = [
        [voice.clock(at), blocks.tape(code_of(plan) or "–"), name_of(one.step, voice), ", ".join(one.step.tools)]
        for at, plan, one in first
    ]
    return [
        blocks.heading(f"{o('First on')} {voice.date(day)}"),
        blocks.table((-20, -20, 1.6, 1), (o("At"), o("Piece"), o("What"), o("Lay out")), cells),
    ]
