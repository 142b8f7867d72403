"""The papers that are asked for one by one, by their keys: who each is for, and what makes it."""

from collections.abc import Callable, Sequence
from typing import Any

from witnessmark.daybook import DayBook
from witnessmark.documents import Fault, Faulty, nearest
from witnessmark.plan import PiecePlan

from .cards import mixing_card_page
from .care_card import care_card
from .condition_report import condition_report
from .days import day_sheet_page
from .end_of_day import end_of_day
from .heads import code_of
from .listing import hang_tag, listing, listing_text
from .quotation import quotation, the_other_way
from .receipt import receipt
from .screw_cards import screw_cards
from .solvent_sheet import solvent_sheet
from .tags import labels_page
from .treatment_record import treatment_record
from .typesetting import typeset
from .voice import Voice
from .week import week

Photographs = Callable[[str], bytes | None]
_Page = tuple[str, dict[str, Any]]  # a template, and the data on it

# Papers of one piece, in the order a piece goes through the shop.
OF_A_PIECE: dict[str, Callable[[PiecePlan, DayBook, Voice, Photographs], _Page]] = {
    "receipt": lambda plan, book, voice, photo: ("letter", receipt(plan, book, voice, photo)),
    "condition_report": lambda plan, book, voice, photo: ("letter", condition_report(plan, book, voice, photo)),
    "quotation": lambda plan, book, voice, photo: ("letter", quotation(plan, the_other_way(plan, book), voice, photo)),
    "tags": lambda plan, book, voice, photo: ("labels", labels_page(plan, voice)),
    "screw_cards": lambda plan, book, voice, photo: ("screw_cards", screw_cards(plan, voice)),
    "mixing_card": lambda plan, book, voice, photo: ("mixing_card", mixing_card_page(plan, voice)),
    "solvent_sheet": lambda plan, book, voice, photo: ("letter", solvent_sheet(plan, voice)),
    "treatment_record": lambda plan, book, voice, photo: ("letter", treatment_record(plan, book, voice, photo)),
    "care_card": lambda plan, book, voice, photo: ("letter", care_card(plan, voice)),
    "listing": lambda plan, book, voice, photo: ("letter", listing(plan, voice)),
    "hang_tag": lambda plan, book, voice, photo: ("hang_tag", hang_tag(plan, voice)),
}

# Papers of the whole shop: one for all the pieces that are named.
OF_THE_SHOP: dict[str, Callable[[Sequence[PiecePlan], DayBook, Voice], _Page]] = {
    "day_sheet": lambda plans, book, voice: ("day_sheet", day_sheet_page(plans, voice)),
    "end_of_day": lambda plans, book, voice: ("letter", end_of_day(plans, book, voice)),
    "week": lambda plans, book, voice: ("week", week(plans, voice)),
}

WHICH = (
    "quotation",
    "receipt",
    "condition_report",
    "treatment_record",
    "tags",
    "screw_cards",
    "mixing_card",
    "day_sheet",
    "end_of_day",
    "week",
    "care_card",
    "listing",
    "hang_tag",
    "solvent_sheet",
)


def keys_asked(text: str, place: str = "--which") -> tuple[str, ...]:
    """The papers named in `quotation,tags`, each once. Raises Faulty: all that is not one, each with the nearest."""
    named = [word.strip().lower().replace("-", "_").replace(" ", "_") for word in text.split(",") if word.strip()]
    wanted = "one or more of " + ", ".join(WHICH)
    faults = [Fault(place, "", word, wanted, nearest=nearest(word, WHICH)) for word in named if word not in WHICH]
    if faults or not named:
        raise Faulty(faults or [Fault(place, "", text, wanted)])
    return tuple(dict.fromkeys(named))


def chosen_papers(
    plans: Sequence[PiecePlan], daybook: DayBook, which: Sequence[str], photograph: Photographs = lambda _: None
) -> dict[str, bytes]:
    """The papers `which` names, by their file names; of several pieces each paper's name ends in its piece's code."""
    voice = Voice.of(plans[0].shop.shop, plans[0].now)
    files: dict[str, bytes] = {}
    for key in which:
        name = key.replace("_", "-")
        if key in OF_THE_SHOP:
            template, data = OF_THE_SHOP[key](plans, daybook, voice)
            files[f"{name}.pdf"] = typeset(template, data, plans[0].now)
            continue
        for plan, end in zip(plans, _ends(plans), strict=True):
            template, data = OF_A_PIECE[key](plan, daybook, voice, photograph)
            files[f"{name}{end}.pdf"] = typeset(template, data, plan.now)
            if key == "listing":
                files[f"{name}{end}.txt"] = listing_text(plan, voice).encode()
    return files


def _ends(plans: Sequence[PiecePlan]) -> list[str]:
    """What a file's name ends in: nothing for one piece; of several their codes, counted where they are not unique."""
    if len(plans) == 1:
        return [""]
    codes = ["".join(sign for sign in code_of(plan) if sign.isalnum() or sign in "-._") for plan in plans]
    return [f"-{code}" if code and codes.count(code) == 1 else f"-{number}" for number, code in enumerate(codes, 1)]
