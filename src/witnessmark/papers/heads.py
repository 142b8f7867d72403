"""What stands at the head of every paper, and the names jars and pieces go by on them."""

from datetime import datetime
from itertools import count
from typing import Any

from witnessmark.materials import family_of
from witnessmark.plan import PiecePlan, PlannedStep
from witnessmark.safety import DEFERS
from witnessmark.treatment import Need, Step

from .glyphs import printable
from .voice import Voice, capital, shortened

PREVAILS = DEFERS
JAR_WORK = {"mix": "mix", "soak": "mix", "stir": "stir"}  # rules of steps at a jar, each with its pencil mark


def title_of(plan: PiecePlan) -> str:
    """The piece as people call it; its kind where nobody has named it."""
    piece = plan.survey.piece
    return " ".join(printable(piece.title).split()) or (
        "Piece" if piece.kind.value == "other" else capital(piece.kind.value)
    )


def code_of(plan: PiecePlan) -> str:
    """The piece's code as it stands on tape."""
    return shortened(plan.survey.piece.code, 14)


def jar_names(plan: PiecePlan) -> dict[str, str]:
    """Each jar's name on tape, by the id of its mix: those on the shelf keep theirs, the others count up."""
    shelved = {mix.id: f"Jar {mix.from_shelf}" for mix in plan.mixes if mix.from_shelf}
    free = (name for number in count(1) if (name := f"Jar {number}") not in shelved.values())
    return {mix.id: shelved.get(mix.id) or next(free) for mix in plan.mixes}


def jar_for_need(plan: PiecePlan, step: Step, need: Need) -> str:
    """The tape name of the jar a step takes a material from; nothing where it comes as it is bought."""
    for mix in plan.mixes:
        takes = need.mix == mix.id or (
            any(use.step == step.id for use in mix.uses) and mix.material in {need.material, family(need.material)}
        )
        if takes:
            return jar_names(plan)[mix.id]
    return ""


def family(material: str) -> str:
    """The family of a material; the material itself where it is not listed."""
    try:
        return family_of(material)
    except KeyError:
        return material


def is_done(planned: PlannedStep) -> bool:
    return bool(planned.logged and planned.logged.get("state") == "done")


def days_to_say(plan: PiecePlan) -> tuple[datetime | None, datetime | None]:
    """The likely last day of the work and the one kept four times in five; the same where only one is reckoned."""
    ends = [planned.ends for planned in plan.steps if planned.ends]
    likely = plan.likely_day or max(ends, default=None)
    return likely, plan.safe_day or likely


def name_of(step: Step, voice: Voice) -> str:
    """The step's trade name in the shop's words; as written where somebody added it by hand."""
    name = " ".join(printable(step.trade_name).split()) or "a step added by hand"
    return capital(name if step.rule == "by_hand" else voice.ours(name))


def head(plan: PiecePlan, voice: Voice, paper: str) -> dict[str, Any]:
    """What every template needs: paper size, language, the document's title, whose it is, and the foot of its pages."""
    code, title = code_of(plan), title_of(plan)
    short = shortened(title, 70)
    named = f"{code} · {short}" if code else short
    return {
        "paper": voice.paper,
        "region": voice.region,
        "shop": plan.shop.shop.name.strip() or "Shop",
        "document_title": f"{paper}: {named}",
        "description": f"{paper} of {title}, made {voice.moment(plan.now)}",
        "foot": f"{named} · {PREVAILS}",
        "title": short,
        "code": code,
        "prevails": PREVAILS,
    }
