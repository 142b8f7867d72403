"""The frame of a written paper for `letter.typ`: whose it is, what it is called, and its blocks."""

from collections.abc import Sequence
from typing import Any

from witnessmark.plan import PiecePlan

from .blocks import Block
from .heads import PREVAILS, code_of, head, title_of
from .voice import Voice, shortened


def letter(
    plan: PiecePlan,
    voice: Voice,
    paper: str,
    blocks: Sequence[Block],
    sub: str = "",
    contents: bool = False,
    half: bool = False,
) -> dict[str, Any]:
    """A paper of one piece."""
    return {
        **head(plan, voice, paper),
        "address": shortened(plan.shop.shop.address, 60),
        "half": half,
        "pages": [leaf(plan, voice, paper, blocks, sub, contents)],
    }


def leaf(
    plan: PiecePlan, voice: Voice, paper: str, blocks: Sequence[Block], sub: str = "", contents: bool = False
) -> dict[str, Any]:
    """One paper of several in a file, each on a page of its own."""
    return {
        "paper": voice.ours(paper),
        "made": voice.date(voice.local(plan.now).date(), long=True),
        "code": code_of(plan),
        "piece": shortened(title_of(plan), 110),
        "sub": sub,
        "contents": contents,
        "blocks": list(blocks),
    }


def shop_letter(
    plans: Sequence[PiecePlan], voice: Voice, paper: str, pages: Sequence[dict[str, Any]]
) -> dict[str, Any]:
    """A paper of the whole shop."""
    return {**shop_head(plans, voice, paper), "half": False, "pages": list(pages)}


def shop_leaf(
    plans: Sequence[PiecePlan], voice: Voice, paper: str, blocks: Sequence[Block], sub: str = ""
) -> dict[str, Any]:
    return {
        "paper": paper,
        "made": voice.date(voice.local(plans[0].now).date(), long=True),
        "code": "",
        "piece": "",
        "sub": sub,
        "contents": False,
        "blocks": list(blocks),
    }


def shop_head(plans: Sequence[PiecePlan], voice: Voice, paper: str) -> dict[str, Any]:
    """What every template needs, where the paper is about several pieces."""
    one = plans[0]
    named = ", ".join(code_of(plan) or title_of(plan) for plan in plans)
    return {
        **head(one, voice, paper),
        "document_title": f"{paper}: {shortened(named, 70)}",
        "description": f"{paper} of {shortened(named, 70)}, made {voice.moment(one.now)}",
        "foot": f"{shortened(named, 70)} · {PREVAILS}",
        "title": shortened(named, 70),
        "code": code_of(one) if len(plans) == 1 else "",
        "address": shortened(one.shop.shop.address, 60),
    }
