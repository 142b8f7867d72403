"""The handing-in receipt: what came in and how it looked, signed by both, before anybody touches it."""

from collections.abc import Callable
from typing import Any

from witnessmark.daybook import HANDING_IN, DayBook, What
from witnessmark.plan import PiecePlan
from witnessmark.survey import HandedIn, YesNo

from . import blocks
from .letters import letter
from .pictures import picture_of
from .seen import accessories, damages, photographs, what_it_is
from .voice import Voice, shortened


def receipt(plan: PiecePlan, book: DayBook, voice: Voice, photograph: Callable[[str], bytes | None]) -> dict[str, Any]:
    """Everything `letter.typ` prints for it."""
    o, survey = voice.ours, plan.survey
    piece, handed, found = survey.piece, survey.handed_in, damages(survey, voice)
    pictures = photographs(plan, voice, photograph, at_most=4)
    told = dict(what_it_is(plan, voice))
    limit = survey.wishes.spend_up_to
    most = voice.amount(limit.value) if limit is not None and limit.known else ""
    came = piece.came.value == "bought"
    body: list[blocks.Block] = [
        blocks.facts(
            [
                (o("Left by") if not came else o("Bought from"), handed.who or piece.owner),
                (o("Telephone or address"), ""),
                (o("Came in"), voice.date(piece.came_on) if piece.came_on else ""),
                (o("Size"), told["Size"]),
                (o("Made of"), told["Made of"]),
                (o("Marks"), told["Marks and labels"]),
            ]
        ),
        blocks.heading(o("Damage as it came in")),
        blocks.para(
            f"{o('Looked at together')}{f', {voice.date(handed.on)}' if handed.on else ''}. "
            + o("Please ring on the photographs each number that is not on one yet, and add what is not here."),
            "fine",
        ),
        *_damage(found, voice),
        *(
            [blocks.pictures(pictures)]
            if pictures
            else [
                blocks.para(o("No photograph yet: take one of each side before it leaves your hands.")),
                blocks.lines("", 2),
            ]
        ),
        blocks.heading(o("What came with it, counted")),
        _counted(plan, voice),
        blocks.heading(o("Found inside")),
        blocks.para(
            o("Drawers and boxes were opened together. What was found goes back to its owner; each line is signed."),
            "fine",
        ),
        blocks.table((2, 1, 1), (o("What"), o("Given back, day"), o("Signed")), _inside(handed, voice), empty_rows=2),
        blocks.kept_together(
            blocks.heading(o("What was agreed")),
            blocks.facts(
                [
                    (o("May be spent without asking"), f"{o('up to')} {most}" if most else ""),
                    (o("Who may say yes to more"), handed.may_say_yes),
                    (o("Worth, for the insurance"), ""),
                    (o("What is wished"), shortened(survey.wishes.note, 240)),
                    (o("To be ready by"), voice.date(piece.promised) if piece.promised else o("not agreed")),
                ],
                1,
            ),
            blocks.slip(
                [
                    (
                        "",
                        o(
                            "If anything alive, or mould, is found in it, it is set apart: nothing is promised until "
                            "it is released."
                        ),
                    ),
                    ("", o("Nothing is done to it before the owner, or who may decide for the owner, has said yes.")),
                ]
            ),
        ),
        blocks.kept_together(
            blocks.heading(o("Signed")),
            *_signed(plan, book, voice, photograph),
        ),
    ]
    return letter(plan, voice, "Handing-in receipt", body)


def _damage(found: tuple[Any, ...], voice: Voice) -> list[blocks.Block]:
    o = voice.ours
    cells = [
        [
            str(one.number),
            [blocks.strong(one.what), blocks.fine(one.note)],
            one.where,
            one.extent or "–",
            one.severity or o("not judged"),
        ]
        for one in found
    ]
    heads = ("", o("What"), o("Where"), o("How much"), o("How bad"))
    widths = (-6, 1.8, 1.4, -30, -24)
    body = [blocks.table(widths, heads, cells)] if cells else [blocks.para(o("None is written down yet."))]
    return [*body, blocks.lines(o("Also seen"), 2)]


def _inside(handed: HandedIn, voice: Voice) -> list[list[str]]:
    """What was found inside, and whether it went back; nothing where nobody knows."""
    day = f", {voice.date(handed.on)}" if handed.on else ""
    said = {YesNo.YES: voice.ours("yes") + day, YesNo.NO: voice.ours("not yet"), YesNo.UNKNOWN: ""}
    return [[one.what, said[one.returned], ""] for one in handed.contents]


def _signed(
    plan: PiecePlan, book: DayBook, voice: Voice, photograph: Callable[[str], bytes | None]
) -> list[blocks.Block]:
    """The signature given on the screen, and lines for whoever signs with a pen."""
    o, survey = voice.ours, plan.survey
    by, taken, back = o("Handed in by"), o("Taken in by, for the shop"), o("Given back complete to")
    entries = [
        entry
        for entry in book.on_piece(survey.id, survey.piece.code)
        if entry.what is What.SIGNED and entry.to == HANDING_IN
    ]
    if not entries:
        return [blocks.signatures([by, taken, back])]
    last = entries[-1]
    who, when = survey.handed_in.who or survey.piece.owner, voice.moment(last.happened)
    content = photograph(last.photograph) if last.photograph else None
    picture = picture_of(content) if content else None
    if picture is None:
        said = o("Signed on the screen, but the picture of the signature is not here: please sign again.")
        return [blocks.para(f"{when}: {said}"), blocks.signatures([by, taken, back])]
    shown = {
        "svg": picture.svg,
        "wide": True,
        "caption": f"{by} {who}".strip(),
        "alt": f"{o('Signature of')} {who or o('whoever handed it in')}",
        "lines": [f"{when}. {o('Taken in by')} {last.who}."],
    }
    return [blocks.pictures([shown]), blocks.signatures([taken, back])]


def _counted(plan: PiecePlan, voice: Voice) -> blocks.Block:
    """Keys, shelves and loose bits with their number, each with a box for the going out."""
    o = voice.ours
    handed, bits = plan.survey.handed_in, plan.survey.piece.loose_bits
    counted = [(o("Keys"), _number(handed.keys, voice)), (o("Shelves"), _number(handed.shelves, voice))]
    counted += [(bit, "") for bit in bits or (o("Other loose bits"),)]
    fittings = set(accessories(plan.survey)) - set(bits)
    counted += [
        (f"{part.name} ({part.code})", str(part.count))
        for part in plan.survey.part
        if any(f"({part.code})" in fitting for fitting in fittings)
    ]
    cells = [[what, number, "", ""] for what, number in counted]
    return blocks.table((2, -22, -32, -32), (o("What"), o("How many"), o("Where it is kept"), o("Given back")), cells)


def _number(counted: int | None, voice: Voice) -> str:
    """How many there were; nothing, to be counted by hand, where nobody has said."""
    return "" if counted is None else str(counted) if counted else voice.ours("none")
