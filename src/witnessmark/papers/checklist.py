"""What a record should hold, by the checklists of record_checklist.csv, and what this one still wants.

Every line is answered from the documents: it stands here, is done by hand, does not apply, or is missing with what to
find out. A paper prints what is missing, honestly, and never calls itself complete without it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.plan import PiecePlan
from witnessmark.sources import table
from witnessmark.survey import Ends, Severity, Survey, YesNo, condition_named

from . import blocks
from .heads import is_done
from .seen import UNKNOWN, accessories
from .voice import Voice, capital, sentence


class State(StrEnum):
    HERE = "on this paper"
    BY_HAND = "by hand"
    NOT_ASKED = "does not apply"
    MISSING = "missing"


@dataclass(frozen=True)
class Line:
    """One line of the checklist, and how it stands with this piece. `says`: where, why not, or what to find out."""

    key: str
    item: str
    standard: str
    required: str
    state: State
    says: str


@dataclass(frozen=True)
class Known:
    """What the lines are answered from."""

    plan: PiecePlan
    entries: tuple[Entry, ...]
    pictures: int

    @property
    def survey(self) -> Survey:
        return self.plan.survey

    @property
    def customers(self) -> bool:
        return self.survey.piece.came.value == "customer's"

    @property
    def worked(self) -> bool:
        return any(entry.what in {What.WORKED, What.COAT, What.DONE} for entry in self.entries)


Answer = tuple[State, str]


def _here(says: str = "") -> Answer:
    return State.HERE, says


def _if(there: Any, wanted: str) -> Answer:
    return (State.HERE, "") if there else (State.MISSING, wanted)


def _by_hand(says: str) -> Answer:
    return State.BY_HAND, says


def _na(says: str) -> Answer:
    return State.NOT_ASKED, says


def _measured(known: Known) -> bool:
    piece = known.survey.piece
    return any(amount is not None and amount.known for amount in (piece.size, piece.weight))


def _marks(known: Known) -> bool:
    return bool(known.survey.piece.marks) or any(part.maker_mark for part in known.survey.part)


def _past(known: Known) -> bool:
    survey = known.survey
    terms = {condition_named(seen.term) for seen in survey.condition}
    mended = any(term.category == "history" or term.key == "overpaint" for term in terms)
    refused = any(fixing.ends is Ends.NOT_BACK for joint in survey.joint for fixing in joint.fixing)
    later = any(reading.later is YesNo.YES for reading in survey.reading)
    return mended or refused or later or survey.finish.waxed_over is not YesNo.UNKNOWN


def _before(known: Known) -> bool:
    """A dated picture from before anybody worked on it."""
    taken = [picture.taken for picture in known.survey.photograph if picture.taken]
    treated = [entry.happened for entry in known.entries if entry.what in {What.WORKED, What.COAT} and _treats(entry)]
    return bool(taken) and (not treated or min(taken) <= min(treated))


def _treats(entry: Entry) -> bool:
    return entry.step is not None and not entry.step.id.startswith("record.")


def _during(known: Known) -> bool:
    treated = [entry.happened for entry in known.entries if _treats(entry)]
    return bool(treated) and any(
        entry.what is What.PHOTOGRAPH and entry.happened > min(treated) for entry in known.entries
    )


def _finished(known: Known) -> bool:
    return bool(known.plan.steps) and all(is_done(planned) for planned in known.plan.steps)


def _after(known: Known) -> Answer:
    if not _finished(known):
        return State.MISSING, "the work is not finished: photograph it when it is"
    last = max((planned.ends for planned in known.plan.steps if planned.ends), default=None)
    shown = any(entry.what is What.PHOTOGRAPH and last and entry.happened >= last for entry in known.entries)
    return _if(shown, "photograph the finished piece, and log it")


def _severe(known: Known) -> bool:
    return bool(known.survey.condition) and all(c.severity is not Severity.UNKNOWN for c in known.survey.condition)


def _consent(says: str) -> Callable[[Known], Answer]:
    return lambda known: _by_hand(says) if known.customers else _na("the shop owns it: nobody else need agree")


_ANSWERS: dict[str, Callable[[Known], Answer]] = {
    # -- what it is --
    "id_object_type": lambda k: _if(k.survey.piece.title, "say what kind of piece it is, in a word or two more"),
    "id_photos": lambda k: _if(
        k.pictures, "photograph it whole, and close up at marks and damage, with a rule in view"
    ),
    "id_materials": lambda k: _if(k.survey.piece.show_wood != UNKNOWN, "find out the show wood"),
    "id_measurements": lambda k: _if(_measured(k), "measure it: wide, deep and high"),
    "id_inscriptions": lambda k: _if(
        _marks(k), "look for marks, labels and numbers; write “none found” if there are none"
    ),
    "id_date": lambda k: _if(k.survey.piece.made != UNKNOWN, "say when it was made, as nearly as the evidence allows"),
    "id_maker": lambda k: _na("no maker is known"),
    "id_subject": lambda k: _na("nothing pictured on it is recorded"),
    "id_title": lambda k: _here() if k.survey.piece.title else _na("it goes by no title"),
    "id_features": lambda k: _if(k.survey.condition, "write down the damage and repairs that single it out"),
    "id_description": lambda k: _if(k.survey.piece.note or k.survey.finish.note, "describe it in two sentences"),
    "id_number": lambda k: _if(k.survey.piece.code, "give it a number"),
    "id_related_written": lambda k: (State.MISSING, "ask for bills, letters or old photographs of it"),
    "id_origin": lambda k: _if(k.survey.piece.region.value != "any", "say where it was made or found"),
    "id_crossref": lambda k: (State.MISSING, "ask whether it has a pair, or belongs to a set"),
    "id_date_documented": lambda k: _here("at the head"),
    "id_keep_safe": lambda k: _by_hand("keep a copy somewhere else than the piece"),
    # -- any paper --
    "doc_always": lambda k: _here(),
    "doc_purpose": lambda k: _here("in its first lines"),
    "doc_author": lambda k: _by_hand("sign it at the end; pages are counted at their foot"),
    "doc_date": lambda k: _here("at the head"),
    "doc_unique_id": lambda k: _if(
        k.survey.piece.code or k.survey.piece.owner or _measured(k), "its number, its owner or its size: one of them"
    ),
    "doc_label_parts": lambda k: _here("at the foot of every page; pictures by the SHA-256 of their files"),
    # -- looking --
    "exam_observation": lambda k: _if(k.survey.test or k.survey.condition, "write down what was seen and tested"),
    "exam_accessories": lambda k: _if(
        accessories(k.survey), "count keys, shelves, glass and loose bits, or say there are none"
    ),
    "exam_context": lambda k: _if(
        k.survey.piece.came.value != UNKNOWN or k.survey.piece.came_from.value != UNKNOWN,
        "say how it came, and from where",
    ),
    "exam_methods": lambda k: _if(
        k.survey.test or k.survey.reading, "test the finish, mildest first, and write down what it did"
    ),
    "exam_condition": lambda k: _if(k.survey.condition, "write down its condition before anything is touched"),
    "exam_past_treatment": lambda k: _if(_past(k), "look for signs of earlier repairs and finishes"),
    "exam_before_photos": lambda k: _if(_before(k), "a dated picture from before any treatment"),
    # -- what is proposed --
    "plan_written": lambda k: _if(k.plan.steps, "no work is planned yet"),
    "plan_id": lambda k: _here(),
    "plan_course": lambda k: _if(k.plan.steps, "no work is planned yet"),
    "plan_materials": lambda k: _if(any(p.step.needs for p in k.plan.steps), "what the work will be done with"),
    "plan_time": lambda k: _if(k.plan.total, "how long the work will take"),
    "plan_cost": lambda k: _by_hand("in the quotation") if k.customers else _na("no contract rests on it"),
    "plan_with_exam": lambda k: _by_hand("hand it over with the condition report"),
    "plan_consent": _consent("the owner signs at the end"),
    "plan_changes": _consent("ask the owner, and note here who said yes and when"),
    "plan_authority": _consent("is whoever brought it its owner? If not: who may agree to work on it"),
    "plan_consent_anyway": _consent("note here what was agreed by word of mouth"),
    "plan_risks": lambda k: _if(k.plan.ways, "the other ways to go about it, and their risks"),
    # -- what was done --
    "treat_log": lambda k: _if(k.entries, "nothing is in the day book for this piece"),
    "treat_during_photos": lambda k: _if(_during(k), "photograph what will be hidden, before it is closed"),
    "treat_after_photos": _after,
    "treat_report": lambda k: _here(),
    "treat_procedures": lambda k: _if(k.worked, "no work is logged yet"),
    "treat_materials": lambda k: _if(any(entry.amounts for entry in k.entries), "what was used, and how much of it"),
    "treat_changes": lambda k: _if(any(is_done(p) for p in k.plan.steps), "no step is logged as done yet"),
    "treat_new_facts": lambda k: (
        _here() if any(e.what is What.NOTE for e in k.entries) else _na("nothing new was noted")
    ),
    "treat_hard_copy": lambda k: _here("this is the paper"),
    "treat_care_advice": lambda k: _by_hand("the care card goes with the piece"),
    "keep_two_copies": lambda k: _by_hand("one for the owner, one for the shop"),
    "keep_media": lambda k: _by_hand("print on acid-free paper; the file is made for archives (PDF/A)"),
    "keep_retrieve": lambda k: (
        _by_hand("file it under the piece's number")
        if k.survey.piece.code
        else (State.MISSING, "give the piece a number to file it by")
    ),
    "keep_storage": lambda k: _by_hand("dry, cool and out of the light"),
    # -- the European form, from memory --
    "en_admin": lambda k: _here(),
    "en_object": lambda k: _here(),
    "en_condition": lambda k: _if(k.survey.condition, "type, place and extent of each damage"),
    "en_assessment": lambda k: _if(_severe(k), "say of each damage how bad it is: slight, moderate or major"),
    "en_recommend": lambda k: _if(any(way.chosen for way in k.plan.ways), "what should be done, and how soon"),
    "en_limits": lambda k: _here("under what was not looked at"),
    "en_signature": lambda k: _by_hand("sign it at the end; pages are counted at their foot"),
    "sev_scale": lambda k: _here("beside each damage"),
}

WHOLE = ("id", "doc", "exam", "plan", "treat", "keep", "en", "sev")
LOOKING = ("id", "doc", "exam", "en", "sev")


@cache
def _rows() -> Any:
    return tuple(table("papers", "record_checklist.csv"))


def lines_of(plan: PiecePlan, daybook: DayBook, pictures: int, groups: tuple[str, ...] = WHOLE) -> tuple[Line, ...]:
    """Every line of these groups, as it stands. `pictures`: how many photographs could be handed over."""
    known = Known(plan, daybook.on_piece(plan.survey.id), pictures)
    found = []
    for row in _rows():
        if row.key.split("_")[0] in groups:
            state, says = _ANSWERS[row.key](known)
            clause = "" if row["clause"][:1].isalpha() else row["clause"]
            named = f"{row['standard']} {clause}".strip() or "common practice"
            found.append(Line(row.key, row["item"], named, row["required"], state, says))
    return tuple(found)


def checklist_blocks(lines: tuple[Line, ...], voice: Voice) -> list[blocks.Block]:
    """What is missing and what is done by hand, for the end of a record; and how many lines stand here already."""
    o = voice.ours
    missing = [line for line in lines if line.state is State.MISSING]
    must = [line for line in missing if line.required != "rec"]
    by_hand = [line for line in lines if line.state is State.BY_HAND]
    counted = sum(line.state is State.HERE for line in lines)
    asked = sum(line.state is not State.NOT_ASKED for line in lines)
    verdict = (
        f"This record is not complete: {len(must)} thing{'s' if len(must) > 1 else ''} it must hold "
        f"{'are' if len(must) > 1 else 'is'} still missing."
        if must
        else "Nothing that a record must hold is missing, once what is done by hand is done."
    )
    said = [
        blocks.para(o(verdict), "strong"),
        blocks.para(o(f"{counted} of the {asked} lines that apply stand on this paper."), "fine"),
    ]
    if missing:
        cells = [
            [
                blocks.strong(o(capital(line.item))),
                o(sentence(line.says)),
                blocks.fine(f"{line.standard}{'' if line.required != 'rec' else ', recommended'}"),
            ]
            for line in sorted(missing, key=lambda line: line.required == "rec")
        ]
        said.append(blocks.table((1.3, 1.6, -34), (o("Still missing"), o("What to do"), o("Asked for by")), cells))
    if by_hand:
        said.append(blocks.heading(o("Done by hand"), 3))
        said.append(blocks.ticks(dict.fromkeys(o(sentence(line.says)) for line in by_hand), 2))
    return said
