"""The handing-in receipt: what came in and how it looked, signed by both, before anybody touches it."""

from collections.abc import Callable
from typing import Any

from witnessmark.plan import PiecePlan

from . import blocks
from .letters import letter
from .seen import accessories, damages, photographs, what_it_is
from .voice import Voice, shortened


def receipt(plan: PiecePlan, voice: Voice, photograph: Callable[[str], bytes | None]) -> dict[str, Any]:
    """Everything `letter.typ` prints for it."""
    o, survey = voice.ours, plan.survey
    piece, found = survey.piece, damages(survey, voice)
    pictures = photographs(plan, voice, photograph, at_most=4)
    told = dict(what_it_is(plan, voice))
    limit = survey.wishes.spend_up_to
    most = voice.amount(limit.value) if limit is not None and limit.known else ""
    came = piece.came.value == "bought"
    body: list[blocks.Block] = [
        blocks.facts(
            [
                (o("Left by") if not came else o("Bought from"), piece.owner),
                (o("Telephone or address"), ""),
                (o("Came in"), voice.date(piece.came_on) if piece.came_on else ""),
                (o("Size"), told["Size"]),
                (o("Made of"), told["Made of"]),
                (o("Marks"), told["Marks and labels"]),
            ]
        ),
        blocks.heading(o("Damage as it came in")),
        blocks.para(
            o("Looked at together. Please ring each number on the photographs, and add what is not here."), "fine"
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
        blocks.table((2, 1, 1), (o("What"), o("Given back, day"), o("Signed")), [], empty_rows=3),
        blocks.kept_together(
            blocks.heading(o("What was agreed")),
            blocks.facts(
                [
                    (o("May be spent without asking"), f"{o('up to')} {most}" if most else ""),
                    (o("Who may say yes to more"), ""),
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
            blocks.signatures([o("Handed in by"), o("Taken in by, for the shop"), o("Given back complete to")]),
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


def _counted(plan: PiecePlan, voice: Voice) -> blocks.Block:
    """Keys, shelves and loose bits with their number, each with a box for the going out."""
    o = voice.ours
    counted = [(bit, "1") for bit in plan.survey.piece.loose_bits]
    fittings = set(accessories(plan.survey)) - set(plan.survey.piece.loose_bits)
    counted += [
        (f"{part.name} ({part.code})", str(part.count))
        for part in plan.survey.part
        if any(f"({part.code})" in fitting for fitting in fittings)
    ]
    cells = [[what, number, "", ""] for what, number in counted]
    cells += [
        [o(what), "", "", ""] for what in ("Keys", "Shelves", "Other loose bits") if what == "Keys" or not counted
    ]
    return blocks.table((2, -22, -32, -32), (o("What"), o("How many"), o("Where it is kept"), o("Given back")), cells)
