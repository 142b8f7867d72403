"""What somebody said, as an entry of the day book: which piece is meant, which part or which step of its plan."""

from collections.abc import Callable, Sequence
from typing import Any

from witnessmark.daybook import Said, What
from witnessmark.documents import Fault, Faulty, nearest
from witnessmark.survey import Survey
from witnessmark.takedown import part_named

from .meant import called, pieces_meant, step_as_logged, steps_meant, work_not_planned
from .piece_plan import PiecePlan

PlanFor = Callable[[Survey], PiecePlan]
_SHOWN = 6  # choices that can be read at the bench
_LONGEST_SHOWN = 80  # letters of what was said


def table_said(said: Said, who: str, pieces: Sequence[Survey], plan_for: PlanFor) -> dict[str, Any]:
    """One thing said as an entry's table, without its id and instant. `who` where the words name nobody.

    `plan_for` is asked only where the words name a step. Raises Faulty: no such piece, or several; no such step.
    """
    table: dict[str, Any] = {"what": said.what.value, "who": said.who or who}
    for key in ("minutes", "temperature", "rh", "sum", "to", "note"):
        if value := getattr(said, key):
            table[key] = value
    if said.amounts:
        table["amounts"] = list(said.amounts)
    if not said.about and not said.on:
        return table
    survey, rest = _piece(said, pieces)
    table["piece"] = survey.id
    if rest:
        if said.what in {What.OFF, What.REFIT}:
            table["part"] = part_named(survey, rest, said.text[:_LONGEST_SHOWN]).code
        elif part := _part(rest, survey):
            table["part"] = part
        else:
            table["step"] = _step(said, rest, plan_for(survey))
    return table


def _piece(said: Said, pieces: Sequence[Survey]) -> tuple[Survey, str]:
    """The one piece that is meant, and the words left over for a step."""
    words, place = said.on or said.about, said.text[:_LONGEST_SHOWN]
    meant = pieces_meant(words, pieces)
    if len(meant.surveys) == 1 and not (said.on and meant.rest):
        return meant.surveys[0], said.about if said.on else meant.rest
    if len(meant.surveys) > 1:
        choices = "; ".join(called(one) for one in meant.surveys[:_SHOWN])
        raise Faulty([Fault(place, "piece", words, f"which one: {choices}. Say its code, or another word of it")])
    if not pieces:
        raise Faulty([Fault(place, "piece", words, f"a piece that is here: there is none yet that “{words}” may be")])
    names = [
        name for one in pieces for name in (one.piece.code, one.piece.title, one.piece.owner.split(" ")[-1]) if name
    ]
    choices = "; ".join(called(one) for one in pieces[:_SHOWN])
    expected = f"one of: {choices}, by its code, a word of its title or its owner's surname"
    raise Faulty([Fault(place, "piece", words, expected, nearest=nearest(words, names))])


def _part(words: str, survey: Survey) -> str:
    """The part's code, where that is all the words say."""
    return words.upper() if words.upper() in survey.parts_by_code() else ""


def _step(said: Said, words: str, plan: PiecePlan) -> dict[str, Any]:
    found = steps_meant(words, plan)
    if len(found) == 1:
        return step_as_logged(found[0])
    if not found and (unplanned := work_not_planned(words)):
        return unplanned
    names = [f"{one.step.trade_name} ({one.step.id})" for one in found or plan.steps if found or not one.logged]
    expected = f"{'which one' if found else 'a step of its plan'}: {'; '.join(names[:_SHOWN])}"
    near = None if found else nearest(words, [one.step.trade_name for one in plan.steps])
    raise Faulty([Fault(said.text[:_LONGEST_SHOWN], "step", words, expected, nearest=near)])
