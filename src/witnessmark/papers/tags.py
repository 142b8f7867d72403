"""Tie-on tags as data: one for every part, several for parts alike; on sheets to cut out, or one after the other."""

from collections.abc import Collection
from enum import StrEnum
from typing import Any
from urllib.parse import quote

from witnessmark.plan import PiecePlan
from witnessmark.survey import Part

from .heads import code_of, head, title_of
from .pictures import qr_of
from .voice import Voice, fitting, shortened


class TagForm(StrEnum):
    """What tags are printed on: sheets to be cut up, or a strip of stout paper, one tag after the other."""

    SHEET = "sheet"
    STRIP = "strip"


def labels_page(
    plan: PiecePlan, voice: Voice, parts: Collection[str] = (), form: TagForm = TagForm.SHEET, web: str = ""
) -> dict[str, Any]:
    """Everything `labels.typ` prints: the tags of all parts, or of these codes.

    `web` is the address to say where the shop has written none of its own.
    """
    return {
        **head(plan, voice, "Tags"),
        "words": {"tags": "Tie-on tags"},
        "how": "Cut out, punch at the ring, tie on. Write in pencil or waterproof ink: spirit blackens heat-printed "
        "labels. Nothing gummed on old finish, paint or gilding.",
        "none": "No part is named yet. Parts are named as they come off: plan again then, and their tags are here.",
        "strip": form is TagForm.STRIP,
        "tags": [
            tag for part in plan.survey.part if not parts or part.code in parts for tag in _tags(plan, part, web)
        ],
    }  # fmt: skip


def address_of(plan: PiecePlan, code: str, web: str = "") -> str:
    """What a tag's QR code says: the part's page at the shop's own address, or the bare code where there is none."""
    web = (plan.shop.shop.web.strip() or web).rstrip("/")
    piece = plan.survey.piece.code.strip() or plan.survey.id
    return f"{web}/p/{quote(piece, safe='')}/{quote(code, safe='')}" if web else code


def _tags(plan: PiecePlan, part: Part, web: str) -> list[dict[str, Any]]:
    address = address_of(plan, part.code, web)
    code, title = code_of(plan), title_of(plan)
    way_up = part.up if 0 < len(part.up) <= 14 else "this way up"
    sat = part.sat or "where it sat: ______________"
    sat = shortened(sat if way_up == part.up or not part.up else f"{sat}. Up: {part.up}", 130)
    name = shortened(part.name, 100)
    tag = {
        "code": part.code,
        "code_size": 21 if len(part.code) <= 6 else 15,
        "name": name,
        "name_size": fitting(name, (14, 30), (11, 60), (8.5, 0)),
        "sat": sat,
        "sat_size": fitting(sat, (11, 50), (9, 90), (7.5, 0)),
        "up": way_up,
        "piece": shortened(f"{code} · {title}" if code else title, 60),
        "qr": qr_of(address),
        "qr_alt": f"QR code: {address}",
    }
    return [{**tag, "of": f"{n} of {part.count}" if part.count > 1 else ""} for n in range(1, part.count + 1)]
