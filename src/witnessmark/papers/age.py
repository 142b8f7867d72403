"""How old a piece is, as papers say it: the words of a ticket, and the evidence as a drawing.

Years stand on a paper as far as what is on the piece bears them out; what somebody wrote down stands as a judgement.
"""

import re
from functools import partial

from witnessmark.evidence import closely_dated, dating_of, picture, ticket, told
from witnessmark.plan import PiecePlan

from . import blocks
from .seen import UNKNOWN
from .voice import Voice, sentence


def age_by_evidence(plan: PiecePlan, voice: Voice) -> str:
    """What is on the piece says of its age: “made about 1880–1905”; nothing where nobody looked."""
    dating = dating_of(plan.survey)
    return voice.ours(ticket(dating)) if dating else ""


def age_for_buyer(plan: PiecePlan, voice: Voice) -> str:
    """The age on a ticket: by what is on the piece, and where that dates it loosely, as it was judged as well."""
    made, dating = plan.survey.piece.made, dating_of(plan.survey)
    judged = "" if made == UNKNOWN else f"{voice.ours('made')} {made}"
    if dating is None:
        return judged
    if closely_dated(dating) or not judged:
        return age_by_evidence(plan, voice)
    return f"{judged}, {voice.ours('as we judge it')}; {age_by_evidence(plan, voice)}"


def evidence_blocks(plan: PiecePlan, voice: Voice, level: int = 2) -> list[blocks.Block]:
    """The age in words, and the drawing of what speaks for it; nothing where nobody looked."""
    o, dating = voice.ours, dating_of(plan.survey)
    if dating is None:
        return []
    drawn = re.sub(r">([^<>]+)<", partial(_in_our_words, voice), picture(dating))
    how = (
        "Each line is one thing looked for: the years it was made in, sloping where they are in doubt. "
        "What disagrees is crossed out. The dark hill is all of it together."
    )
    return [
        blocks.kept_together(
            blocks.heading(o("Its age, by what is on it"), level),
            blocks.para(o(sentence(ticket(dating)))),
            blocks.drawing(drawn, o(told(dating))),
            blocks.para(o(how), "fine"),
        )
    ]


def _in_our_words(voice: Voice, found: re.Match[str]) -> str:
    return f">{voice.ours(found[1])}<"
