"""Tie-on tags as data: one for every part, several for parts alike."""

from typing import Any
from urllib.parse import quote

from witnessmark.plan import PiecePlan
from witnessmark.survey import Part

from .heads import code_of, head, title_of
from .pictures import qr_of
from .voice import Voice


def labels_page(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """Everything `labels.typ` prints."""
    return {
        **head(plan, voice, "Tags"),
        "words": {"tags": "Tie-on tags"},
        "how": "Cut out, punch at the ring, tie on. Write in pencil or waterproof ink: spirit blackens heat-printed "
        "labels. Nothing gummed on old finish, paint or gilding.",
        "none": "No part is named yet. Parts are named as they come off: plan again then, and their tags are here.",
        "tags": [
            tag for part in plan.survey.part for tag in _tags(plan, part)
        ],
    }  # fmt: skip


def address_of(plan: PiecePlan, code: str) -> str:
    """What a tag's QR code says: the part's page at the shop's own address, or the bare code where there is none."""
    web = plan.shop.shop.web.strip().rstrip("/")
    return f"{web}/p/{quote(code_of(plan) or plan.survey.id, safe='')}/{quote(code, safe='')}" if web else code


def _tags(plan: PiecePlan, part: Part) -> list[dict[str, Any]]:
    address = address_of(plan, part.code)
    code, title = code_of(plan), title_of(plan)
    tag = {
        "code": part.code,
        "code_size": 21 if len(part.code) <= 6 else 15,
        "name": part.name,
        "name_size": _size(part.name, (13, 34), (11, 64), (9, 110), (7.5, 0)),
        "sat": part.sat or "where it sat: ______________",
        "sat_size": _size(part.sat, (10.5, 50), (9, 100), (7.5, 0)),
        "up": part.up if 0 < len(part.up) <= 14 else "this way up",
        "piece": f"{code} · {title}"[:90] if code else title[:90],
        "qr": qr_of(address),
        "qr_alt": f"QR code: {address}",
    }
    if part.up and len(part.up) > 14:
        tag["sat"] = f"{tag['sat']}. Up: {part.up}"
        tag["sat_size"] = _size(str(tag["sat"]), (10.5, 50), (9, 100), (7.5, 0))
    return [{**tag, "of": f"{n} of {part.count}" if part.count > 1 else ""} for n in range(1, part.count + 1)]


def _size(text: str, *steps: tuple[float, int]) -> float:
    """The largest type the words fit in: the first size whose letters they do not exceed; the last is for any."""
    return next((size for size, letters in steps if len(text) <= letters), steps[-1][0])
