"""The treatment record: what was agreed, what was done by whom and with what, what changed, and what is still to do."""

from collections.abc import Callable
from typing import Any

from witnessmark.daybook import Amount, DayBook, Entry, What
from witnessmark.plan import PiecePlan, PlannedStep
from witnessmark.quantities import Money
from witnessmark.survey import Ends
from witnessmark.treatment import Undo, chosen_way

from . import blocks
from .age import evidence_blocks
from .checklist import checklist_blocks, lines_of
from .heads import is_done, name_of
from .letters import letter
from .seen import damages, photographs, what_it_is
from .sums import sources_of
from .voice import Voice, capital, sentence, shortened

_SAID = {
    What.WORKED: "worked",
    What.DONE: "done",
    What.STARTED: "begun",
    What.MIXED: "mixed",
    What.STIRRED: "stirred",
    What.USED: "used",
    What.SENT: "sent away",
    What.BACK: "came back",
    What.BOUGHT: "bought",
    What.NOTE: "noted",
    What.PHOTOGRAPH: "photographed",
    What.AIR: "air read",
    What.CLOSED_UP: "closed up",
    What.COAT: "a coat laid",
    What.OFF: "taken off",
    What.REFIT: "put back",
    What.TESTED: "drop on glass",
}
# The shop's own business: no part of what was done to the piece.
_NOT_TREATMENT = {What.STAGE, What.PAID, What.SIGNED, What.ACKNOWLEDGED, What.STOPPED, What.COUNTED, What.DISCARDED}


def treatment_record(
    plan: PiecePlan, daybook: DayBook, voice: Voice, photograph: Callable[[str], bytes | None]
) -> dict[str, Any]:
    """Everything `letter.typ` prints for it."""
    o = voice.ours
    entries = tuple(entry for entry in daybook.on_piece(plan.survey.id) if entry.what not in _NOT_TREATMENT)
    pictures = photographs(plan, voice, photograph)
    done = [planned for planned in plan.steps if is_done(planned)]
    to_come = [planned for planned in plan.steps if not is_done(planned)]
    body: list[blocks.Block] = [
        blocks.para(
            o(
                "Made to say, for whoever has this piece next, what was done to it, by whom, with what, and "
                "what can be taken back again."
            ),
            "lead",
        ),
        blocks.heading(o("What it is")),
        blocks.facts([(o(name), said) for name, said in what_it_is(plan, voice)], 1),
        blocks.heading(o("How far the work has come")),
        blocks.para(o(_how_far(plan, done, to_come, voice))),
        blocks.heading(o("How it was found")),
        *_found(plan, voice),
        *evidence_blocks(plan, voice),
        blocks.heading(o("What was agreed")),
        *_agreed(plan, voice),
        blocks.heading(o("What was done")),
        *_done(done, voice),
        *_departures(plan, voice),
        blocks.heading(o("What went into it, and what was taken off")),
        *_materials(entries, plan, voice),
        *_fixings(plan, voice),
        *_learned(entries, voice),
    ]
    if to_come:
        body += [blocks.heading(o("Still to do")), _to_come(to_come, voice)]
    if pictures:
        body += [blocks.heading(o("Photographs")), blocks.pictures(pictures)]
    body += [
        blocks.heading(o("The day book of this piece")),
        *_log(entries, voice),
        blocks.heading(o("Is this record complete?")),
        *checklist_blocks(lines_of(plan, daybook, len(pictures)), voice),
        blocks.kept_together(
            blocks.heading(o("Signed")),
            blocks.signatures([o("Written by"), o("Agreed to by the owner, or for the owner")]),
        ),
    ]
    cited = sources_of(plan)
    if cited:
        body += [blocks.heading(o("What this relies on")), blocks.sources(cited)]
    return letter(plan, voice, "Treatment record", body, contents=True)


def _how_far(plan: PiecePlan, done: list[PlannedStep], to_come: list[PlannedStep], voice: Voice) -> str:
    minutes = sum(float((planned.logged or {}).get("minutes", 0)) for planned in plan.steps)
    spent = f" {capital(voice.hours(minutes))} of bench work so far." if minutes else ""
    if not plan.steps:
        return "No work is planned yet."
    if not to_come:
        return f"The work is finished: all {len(done)} steps are done.{spent}"
    counted = f"{len(done)} of {len(plan.steps)} steps are done"
    return f"The work is not finished: {counted}. What follows is as of today.{spent}"


def _found(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    found = damages(plan.survey, voice)
    if not found:
        return [blocks.para(voice.ours("No damage was written down."))]
    return [
        blocks.points(damage.said.partition(". ")[2] for damage in found),
        blocks.para(voice.ours("In full in the condition report."), "fine"),
    ]


def _agreed(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    o, wishes = voice.ours, plan.survey.wishes
    said = [
        (o("Most wanted kept"), "" if wishes.keep == "don't know" else o(wishes.keep.value)),
        (o("What it is for"), "" if wishes.use == "don't know" else o(f"{wishes.use.value} use")),
        (o("Must be undoable"), "" if wishes.undoable == "don't know" else o(wishes.undoable.value)),
        (
            o("May be spent"),
            f"{o('up to')} {voice.amount(wishes.spend_up_to.value)}"
            if wishes.spend_up_to and wishes.spend_up_to.known
            else "",
        ),
    ]
    body: list[blocks.Block] = [blocks.facts(said)]
    if wishes.note:
        body.append(blocks.para(f"“{shortened(wishes.note, 400)}”"))
    taken = [way.offered for way in plan.ways if way.chosen]
    if taken:
        _, why = chosen_way(plan.survey, [way.offered for way in plan.ways])
        body.append(
            blocks.para(o(f"The way to go about it: {taken[0].name}. {sentence(taken[0].gist)} {sentence(why)}"))
        )
        others = [way.offered.name for way in plan.ways if way.offered.allowed and not way.chosen]
        if others:
            body.append(blocks.para(o(f"It could also have been: {'; '.join(others)}."), "fine"))
    if plan.survey.decision:
        cells = [
            [voice.date(one.on), one.who, _decided(one), one.why]
            for one in sorted(plan.survey.decision, key=lambda one: one.on)
        ]
        body.append(blocks.table((-26, -24, 1.4, 1.6), (o("Day"), o("Who"), o("Decided"), o("Why")), cells))
    return body


def _decided(decision: Any) -> str:
    what = {"way": "", "skip": "leave out: ", "add": "add: ", "price": "price: ", "other": ""}[decision.about.value]
    named = decision.choose or decision.step
    if decision.price is not None and isinstance(decision.price.value, Money):
        named = decision.price.text
    return f"{what}{named}{f' ({decision.part})' if decision.part else ''}"


def _done(done: list[PlannedStep], voice: Voice) -> list[blocks.Block]:
    o = voice.ours
    if not done:
        return [blocks.para(o("No step is logged as done yet."))]
    undo = {Undo.YES: "can be undone", Undo.PARTLY: "partly", Undo.NO: "can't be undone"}
    cells = []
    for planned in done:
        step, logged = planned.step, planned.logged or {}
        way_back = blocks.red(o(undo[step.undo])) if step.undo is Undo.NO else o(undo[step.undo])
        reason = step.why[0].says if step.why and step.rule != "logged" else ""
        cells.append(
            [
                voice.day(planned.ends) if planned.ends else "–",
                [
                    blocks.strong(name_of(step, voice)),
                    blocks.fine(_parts(step.parts)),
                    blocks.fine(o(sentence(reason))),
                ],
                ", ".join(logged.get("who", ())) or "–",
                voice.minutes(float(logged["minutes"])) if logged.get("minutes") else "–",
                way_back,
            ]
        )
    heads = (o("Day"), o("What"), o("Who"), o("Took"), o("Undoing it"))
    return [blocks.table((-25, 2.2, -24, -20, -26), heads, cells)]


def _parts(parts: tuple[str, ...]) -> str:
    return ", ".join(parts)


def _departures(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    """What was done that the plan no longer calls for, and what somebody left out or added by hand."""
    o = voice.ours
    said = [
        o(f"{name_of(planned.step, voice)}: done, though the plan as it stands would not call for it.")
        for planned in plan.steps
        if planned.step.rule == "logged"
    ]
    for one in plan.survey.decision:
        if one.about.value in {"skip", "add"}:
            said.append(f"{capital(_decided(one))}. {sentence(one.why)} {one.who}, {voice.date(one.on)}.")
    return [blocks.heading(o("Other than planned"), 3), blocks.points(said)] if said else []


def _materials(entries: tuple[Entry, ...], plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    o = voice.ours
    cells = []
    for entry in entries:
        for amount in entry.amounts if entry.what is What.MIXED else entry.took:
            strength = "; ".join(mix.name for mix in plan.mixes if amount.jar and mix.from_shelf == amount.jar)
            cells.append(
                [
                    voice.day(entry.happened),
                    [blocks.strong(amount.material), blocks.fine(o(strength))],
                    _how_much(amount, voice) or o("not measured"),
                    entry.part or "–",
                    o(entry.step.trade_name) if entry.step else "–",
                ]
            )
    if not cells:
        return [
            blocks.para(o("Nothing is logged as used yet. Write down here what was used, with its strength:")),
            blocks.lines("", 3),
        ]
    heads = (o("Day"), o("Material"), o("How much"), o("Part"), o("For"))
    return [
        blocks.table((-25, 1.4, -26, -20, 1.4), heads, cells),
        blocks.para(o("What was taken off, and where it is kept:")),
        blocks.lines("", 2),
    ]


def _how_much(amount: Amount, voice: Voice) -> str:
    return " ".join(voice.amount(one.value) for one in (amount.volume, amount.mass) if one and one.known)


def _fixings(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    """How each fixing ended; those that go back are counted, the others are named with their reason."""
    o = voice.ours
    every = [fixing for joint in plan.survey.joint for fixing in joint.fixing]
    if not every:
        return []
    count = {end: sum(fixing.ends is end for fixing in every) for end in Ends}
    said = [
        o(
            f"Of {len(every)} screws, nails and blocks written down, {count[Ends.BACK] or 'none'} went back "
            f"to its own hole; {count[Ends.OPEN] or 'none'} still to settle."
        )
    ]
    named = [
        f"{fixing.code} ({fixing.hole}): {o('not going back')}, {fixing.why}."
        if fixing.ends is Ends.NOT_BACK
        else f"{fixing.code} ({fixing.hole}): {o('replaced by')} {fixing.by}."
        for fixing in every
        if fixing.ends in {Ends.NOT_BACK, Ends.REPLACED}
    ]
    return [
        blocks.heading(o("Screws and nails"), 3),
        *(blocks.para(one) for one in said),
        *([blocks.points(named)] if named else []),
    ]


def _learned(entries: tuple[Entry, ...], voice: Voice) -> list[blocks.Block]:
    notes = [entry for entry in entries if entry.what is What.NOTE and entry.note]
    if not notes:
        return []
    return [
        blocks.heading(voice.ours("What was learned of it on the way")),
        blocks.points(
            f"{voice.day(entry.happened)}: {f'{entry.part}: ' if entry.part else ''}{sentence(entry.note)}"
            for entry in notes
        ),
    ]


def _to_come(to_come: list[PlannedStep], voice: Voice) -> blocks.Block:
    undo = {Undo.YES: "", Undo.PARTLY: "partly undone", Undo.NO: "can't be undone"}
    cells = []
    for planned in to_come:
        needs = ", ".join(dict.fromkeys(voice.ours(need.name) for need in planned.step.needs))
        way_back = voice.ours(undo[planned.step.undo])
        cells.append(
            [
                name_of(planned.step, voice),
                needs or "–",
                voice.day(planned.starts) if planned.starts else "–",
                blocks.red(way_back) if planned.step.undo is Undo.NO else way_back or "–",
            ]
        )
    heads = tuple(voice.ours(head) for head in ("What", "With", "Planned for", "Undoing it"))
    return blocks.table((2, 1.4, -34, -28), heads, cells)


def _log(entries: tuple[Entry, ...], voice: Voice) -> list[blocks.Block]:
    o = voice.ours
    if not entries:
        return [blocks.para(o("Nothing is entered for this piece yet."))]
    cells = []
    for entry in entries:
        what = o(capital(_SAID.get(entry.what, entry.what.value)))
        if entry.step:
            what += f": {o(entry.step.trade_name)}"
        if entry.to:
            what += f", {o('to')} {entry.to}"
        amounts = "; ".join(f"{_how_much(amount, voice)} {amount.material}".strip() for amount in entry.amounts)
        took = voice.amount(entry.minutes.value) if entry.minutes and entry.minutes.known else ""
        part = f"{entry.part}. " if entry.part else ""
        cells.append(
            [
                voice.moment(entry.happened),
                entry.who,
                [what, blocks.fine(part + "; ".join(filter(None, (amounts, entry.note))))],
                took or "–",
            ]
        )
    return [blocks.table((-33, -24, 2.4, -22), (o("When"), o("Who"), o("What"), o("Took")), cells)]
