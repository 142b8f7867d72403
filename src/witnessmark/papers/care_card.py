"""The care card: half a sheet that goes home with the piece: how to live with it, and when it will be fully hard."""

from datetime import datetime, timedelta
from typing import Any

from witnessmark.finish import Coating, UnknownCoating, coating
from witnessmark.plan import PiecePlan
from witnessmark.quantities import Range, Span
from witnessmark.sources import table
from witnessmark.survey import OldFinish

from . import blocks
from .heads import is_done
from .letters import letter
from .quotation import chosen_row
from .voice import Voice

_WAX = "wax"
_KINDS = {
    "oil": "oil",
    "danish": "oil",
    "linseed": "oil",
    "tung": "oil",
    "varnish": "varnish",
    "polyurethane": "varnish",
    "shellac": "film",
    "lacquer": "film",
    "wax": "wax",
}


def care_card(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """Everything `letter.typ` prints for it, on half a sheet."""
    o = voice.ours
    kinds = kinds_of(plan)
    lines = [row["says"] for row in table("papers", "care.csv") if set(row["when"].split()) & kinds]
    body: list[blocks.Block] = []
    row = chosen_row(plan)
    if row is not None and row["offered"]:
        body.append(blocks.para(o(row["afterwards"]), "lead"))
    body += [*_hardening(plan, voice), blocks.heading(o("Living with it")), blocks.points(o(line) for line in lines)]
    shop = plan.shop.shop
    body.append(
        blocks.boxed(
            blocks.para(o("If anything happens to it, we would rather be asked than find out."), "strong"),
            blocks.facts([(shop.name, shop.address), (o("Telephone"), "")], 1),
        )
    )
    return letter(plan, voice, "Care card", body, half=True)


def kinds_of(plan: PiecePlan) -> set[str]:
    """Which lines of care.csv hold: by what is laid on it, and where nothing is, by what stays on it."""
    laid = [found.key for found, _ in laid_on(plan)]
    kinds = {kind for key in laid for word, kind in _KINDS.items() if word in key}
    old = plan.survey.finish.kind
    if not kinds - {_WAX}:
        kept = {
            OldFinish.SHELLAC: "film",
            OldFinish.FRENCH_POLISH: "film",
            OldFinish.SPIRIT_VARNISH: "film",
            OldFinish.LACQUER: "film",
            OldFinish.WAX: "wax",
            OldFinish.OIL: "oil",
            OldFinish.OIL_VARNISH: "varnish",
            OldFinish.POLYURETHANE: "varnish",
            OldFinish.ALKYD: "varnish",
            OldFinish.UNKNOWN: "film",
        }
        kinds |= {kept[old]} if old in kept else set()
    if old in {OldFinish.OIL_PAINT, OldFinish.MILK_PAINT}:
        kinds.add("paint")
        kinds -= {"film"}
    if old is OldFinish.GILDING:
        kinds.add("gilding")
    if any("drawer" in part.name for part in plan.survey.part) or plan.survey.piece.kind.value == "chest":
        kinds.add("drawers")
    if kinds & {"film", "oil", "varnish"}:
        kinds -= {_WAX}  # what lies beneath asks for more care than the wax over it
    return kinds | {"any"}


def laid_on(plan: PiecePlan) -> list[tuple[Coating, datetime | None]]:
    """The coatings the work lays on show surfaces, each with when its last coat goes on."""
    found = []
    for planned in plan.steps:
        for need in planned.step.needs if planned.step.film or planned.step.rule == "wax" else ():
            try:
                found.append((coating(need.material), planned.ends))
            except UnknownCoating:
                continue
    return found


def fully_hard(plan: PiecePlan) -> tuple[datetime, datetime] | None:
    """From when at the soonest and at the latest the whole finish is fully hard; None where nothing is laid."""
    soonest, latest = [], []
    for found, at in laid_on(plan):
        if found.cure is None or at is None or found.key == "wax_paste_beeswax_carnauba":
            continue
        days = found.cure.value
        low, most = (days.low, days.high) if isinstance(days, Range) else (days, days)
        soonest.append(at + _days(low))
        latest.append(at + _days(most))
    return (max(soonest), max(latest)) if soonest else None


def _days(span: Span) -> timedelta:
    return timedelta(minutes=span.minutes)


def _hardening(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    o, when = voice.ours, fully_hard(plan)
    if when is None:
        return [blocks.para(o("Nothing new was laid on it that would have to harden."))] if plan.steps else []
    sooner, later = voice.date(voice.local(when[0]).date()), voice.date(voice.local(when[1]).date())
    span = sooner if sooner == later else f"between {sooner} and {later}"
    finished = all(is_done(planned) for planned in plan.steps)
    until = "" if finished else ", as the work is planned now,"
    return [
        blocks.heading(o("Until it is fully hard")),
        blocks.para(o(f"It feels dry long before it is hard right through. That will be{until} {span}.")),
        blocks.points(
            o(line)
            for line in (
                "Until then lay nothing on it overnight: no cloth, no books, no lamp.",
                "No polish and no cleaner: a soft dry cloth only.",
                "A mark made now stays: felt under anything that must stand on it.",
            )
        ),
    ]
