"""Papers: a piece's plan comes in; the pages to pin up, tie on and tick go out, as bytes by their file name.

`papers_of` sets those of a plan; `chosen_papers` sets those asked for by their keys (`WHICH`), also of several pieces.
`write_papers` and `keep` put them in a folder, whole or not at all. Photographs are asked for by their SHA-256: bytes,
or None where there is none. The same plan gives the same bytes.
"""

import json
from collections.abc import Collection
from pathlib import Path
from typing import Any

from witnessmark.plan import PiecePlan, plan_as_json

from .bench_sheet import bench_sheet
from .cards import mixing_card_page
from .chosen import WHICH, Photographs, chosen_papers, keys_asked
from .days import day_sheet_page
from .diary import diary_of
from .folder import NoFolder, keep
from .glyphs import printable
from .lists import shopping_of
from .pictures import picture_of
from .plan_page import plan_page
from .screw_cards import screw_cards
from .solvents import hazard_words
from .tags import TagForm, labels_page
from .typesetting import BadPaper, typeset
from .voice import Voice

__all__ = [
    "PAPERS", "WHICH", "BadPaper", "NoFolder", "Photographs", "TagForm", "Voice", "bench_sheet", "chosen_papers",
    "hazard_words", "keep", "keys_asked", "papers_of", "printable", "screw_cards_of", "tags_of", "write_papers",
]  # fmt: skip

PAPERS = (
    "plan.pdf", "labels.pdf", "mixing-card.pdf", "day-sheet.pdf", "plan.json", "calendar.ics", "shopping.csv",
)  # fmt: skip


def papers_of(plan: PiecePlan, photograph: Photographs = lambda _: None) -> dict[str, bytes]:
    """Every paper of a plan by its file name. Raises BadPaper where one can't be set: our fault, never the plan's."""
    voice = Voice.of(plan.shop.shop, plan.now)
    plan_json = json.dumps(plan_as_json(plan), ensure_ascii=False, indent=1, allow_nan=False)
    return {
        "plan.pdf": typeset("plan", plan_page(plan, voice, _picture(plan, photograph)), plan.now),
        "labels.pdf": typeset("labels", labels_page(plan, voice), plan.now),
        "mixing-card.pdf": typeset("mixing_card", mixing_card_page(plan, voice), plan.now),
        "day-sheet.pdf": typeset("day_sheet", day_sheet_page([plan], voice), plan.now),
        "plan.json": f"{plan_json}\n".encode(),
        "calendar.ics": diary_of(plan, voice),
        "shopping.csv": shopping_of(plan, voice),
    }


def tags_of(plan: PiecePlan, form: TagForm = TagForm.SHEET, parts: Collection[str] = (), web: str = "") -> bytes:
    """The tags of a piece's parts, or of those with these codes, as a PDF in this form.

    `web` is the address a tag says where the shop has written none of its own.
    """
    voice = Voice.of(plan.shop.shop, plan.now)
    return typeset("labels", labels_page(plan, voice, parts, form, web), plan.now)


def screw_cards_of(plan: PiecePlan) -> bytes:
    """The screw cards of a piece as a PDF."""
    return typeset("screw_cards", screw_cards(plan, Voice.of(plan.shop.shop, plan.now)), plan.now)


def write_papers(plan: PiecePlan, folder: Path, photograph: Photographs = lambda _: None) -> tuple[Path, ...]:
    """The papers in `folder`, made where it is missing; where each stands. Raises NoFolder, nothing changed."""
    papers = papers_of(plan, photograph)
    keep(papers, folder)
    return tuple(folder / name for name in papers)


def _picture(plan: PiecePlan, photograph: Photographs) -> dict[str, Any] | None:
    """The first photograph that is there and can be read: the one that stands at the head of the plan."""
    for taken in plan.survey.photograph:
        content = photograph(taken.sha256)
        picture = picture_of(content) if content else None
        if picture:
            return {
                "svg": picture.svg,
                "wide": picture.width >= picture.height,
                "caption": taken.caption,
                "alt": f"Photograph of the piece. {taken.caption}".strip(),
            }
    return None
