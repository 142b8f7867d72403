"""Which piece, and which of its steps, somebody's words mean: by code, word of the title, kind, or owner's name."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from witnessmark.quantities import from_json, usual
from witnessmark.schedule import bare_words, labour_named
from witnessmark.sources import row, table
from witnessmark.survey import Survey

from .piece_plan import PiecePlan, PlannedStep

_SMALL = frozenset(["a", "an", "and", "at", "for", "from", "in", "of", "on", "the", "to", "with"])


@dataclass(frozen=True)
class PiecesMeant:
    """The pieces that fit the words best, and the words that name none of them: they may name a step."""

    surveys: tuple[Survey, ...]
    rest: str


def called(survey: Survey) -> str:
    """A piece as a choice names it: “chest of drawers (C1, Hollis)”."""
    beside = ", ".join(text for text in (survey.piece.code, survey.piece.owner) if text)
    title = survey.piece.title or survey.piece.kind.value
    return f"{title} ({beside})" if beside else title


def _words(text: str) -> list[str]:
    return [word for word in re.findall(r"[\w-]+", text.lower()) if word not in _SMALL]


def _names(survey: Survey) -> frozenset[str]:
    piece = survey.piece
    return frozenset(_words(f"{piece.code} {piece.title} {piece.kind.value} {piece.owner}"))


def pieces_meant(words: str, surveys: Iterable[Survey]) -> PiecesMeant:
    """The pieces these words name. A code names its piece alone; else the piece with most of the words wins.

    None where no word fits; several where the words fit them alike.
    """
    known = list(surveys)
    said = _words(words)
    if by_code := [one for one in known if one.piece.code and one.piece.code.lower() in said]:
        code = {word for one in by_code for word in _words(one.piece.code)}
        rest = [word for word in said if word not in code]
        if len(by_code) == 1:
            rest = [word for word in rest if word not in _names(by_code[0])]
        return PiecesMeant(tuple(by_code), " ".join(rest))
    fits = {one.id: _fitting(said, one) for one in known}
    most = max((len(some) for some in fits.values()), default=0)
    best = tuple(one for one in known if most and len(fits[one.id]) == most)
    taken = {word for one in best for word in fits[one.id]}
    return PiecesMeant(best, " ".join(word for word in said if word not in taken))


def _fitting(said: Sequence[str], survey: Survey) -> list[str]:
    """The words said that name this piece; “drawers” fits “drawer”."""
    names = _names(survey)
    single = {name.removesuffix("s") for name in names}
    return [word for word in said if word in names or word.removesuffix("s") in single]


def steps_meant(words: str, plan: PiecePlan) -> tuple[PlannedStep, ...]:
    """The steps of a plan these words name: its id, else its own words, else the kind of work. Open ones first.

    None where no step fits; several where the words fit them alike.
    """
    exact = tuple(step for step in plan.steps if step.step.id == words.strip())
    if exact:
        return exact
    said = bare_words(words)
    by_rule = [step for step in plan.steps if said and said == bare_words(step.step.rule.replace("_", " "))]
    by_words = [step for step in plan.steps if said and said <= _step_words(step)]
    found = by_rule or by_words or [step for step in plan.steps if step.step.labour == (labour_named(words) or "")]
    still_open = [step for step in found if not (step.logged and step.logged["state"] == "done")] or found
    if len({step.step.rule for step in still_open}) == 1 and still_open[0].step.rule == "glue_up":
        return (still_open[0],)  # its stages come one after the other: the next one is meant
    return tuple(still_open)


def step_as_logged(planned: PlannedStep) -> dict[str, Any]:
    """A step as the day book keeps it: what it was called and how much of it there was."""
    step = planned.step
    table: dict[str, Any] = {"id": step.id, "trade_name": step.trade_name, "parts": list(step.parts)}
    if step.labour == "by_hand":  # of no one kind: it teaches no rate
        return table
    table |= {"labour": step.labour, "basis": step.basis.value, "sessions": step.sessions}
    if step.area is not None:
        table["area"] = f"{usual(step.area.value).square_metres:.4g} m2"
    if step.count is not None:
        table["count"] = step.count
    return table


def planned_as_logged(step: Mapping[str, Any]) -> dict[str, Any]:
    """A step of a plan's JSON as the day book keeps it: as `step_as_logged`, for who has only the plan's words."""
    logged: dict[str, Any] = {"id": step["id"], "trade_name": step["trade_name"], "parts": list(step["parts"])}
    labour = step["labour"]
    if labour not in {kind.key for kind in table("schedule", "labour_rates.csv")}:
        return logged  # of no one kind: it teaches no rate
    logged |= {"labour": labour, "basis": row("schedule", "labour_rates.csv", labour)["basis"]}
    logged["sessions"] = step["sessions"]
    if step["area"] is not None:
        logged["area"] = f"{usual(from_json(step['area'])).square_metres:.4g} m2"
    if step["count"] is not None:
        logged["count"] = step["count"]
    return logged


def work_not_planned(words: str) -> dict[str, Any] | None:
    """A step nobody planned, as the day book keeps it, where the words name a kind of work: it was done."""
    labour = labour_named(words)
    if labour is None:
        return None
    return {"id": f"{labour}.unplanned", "trade_name": row("schedule", "labour_rates.csv", labour)["trade_name"]}


def _step_words(planned: PlannedStep) -> frozenset[str]:
    step = planned.step
    return bare_words(f"{step.trade_name} {step.rule} {step.labour}".replace("_", " ")) | {
        part.lower() for part in step.parts
    }
