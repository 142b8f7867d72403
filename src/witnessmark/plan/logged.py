"""What the day book says of this piece: steps begun and done, hours spent."""

from collections.abc import Container, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from witnessmark.daybook import DayBook, Entry, StepAsLogged, What
from witnessmark.quantities import Span
from witnessmark.schedule import Minutes, PastWork, Slot, fading, ratio_to_table, still_to_come
from witnessmark.sources import rule
from witnessmark.treatment import Basis, Reason, Step

# These may name a step and are no work on it: reading its caution does not begin it.
_NO_WORK = frozenset([What.ACKNOWLEDGED, What.SIGNED, What.PAID, What.STAGE])
# A jar mixed, stirred or tried for its step is that step done: nobody says so twice.
FINISHES = frozenset([What.DONE, What.MIXED, What.STIRRED, What.TESTED])


@dataclass(frozen=True)
class Logged:
    """Facts by step id; slots of the steps done; minutes spent on the piece in all; the steps as they were logged."""

    facts: dict[str, dict[str, Any]]
    done: dict[str, tuple[Slot, ...]]
    minutes: float
    as_logged: dict[str, StepAsLogged]

    def still_ahead(self, minutes: Mapping[str, Minutes]) -> dict[str, Minutes]:
        """The minutes of each step, of a begun one what is left of it."""
        return {
            step: still_to_come(one, Span(self.facts[step]["minutes"]))
            if step in self.facts and step not in self.done
            else one
            for step, one in minutes.items()
        }

    def no_longer_called_for(self, known: Container[str]) -> tuple[Step, ...]:
        """Logged steps that the rules no longer call for: they stay in the plan, as facts."""
        return tuple(
            Step(
                step.id, "logged", step.trade_name, "by_hand", Basis.PIECE, parts=step.parts,
                why=(Reason("It was done, and stays a fact.", ()),),
            )
            for step in self.as_logged.values()
            if step.id not in known
        )  # fmt: skip


def logged_for(daybook: DayBook, *piece: str) -> Logged:
    """The entries of one piece, by its id or its code."""
    facts: dict[str, dict[str, Any]] = {}
    done: dict[str, tuple[Slot, ...]] = {}
    as_logged: dict[str, StepAsLogged] = {}
    minutes = 0.0
    for entry in daybook.on_piece(*piece):
        spent = _minutes(entry)
        minutes += spent
        if entry.step is None or entry.what in _NO_WORK:
            continue
        as_logged[entry.step.id] = entry.step
        fact = facts.setdefault(
            entry.step.id, {"state": "begun", "minutes": 0.0, "who": [], "entries": [], "finished": None}
        )
        fact["minutes"] += spent
        fact["entries"].append(entry.id)
        if entry.who not in fact["who"]:
            fact["who"].append(entry.who)
        if entry.what is What.COAT:
            fact["coats"] = fact.get("coats", 0) + 1
        if entry.what in FINISHES:
            end = entry.happened.astimezone(UTC)
            fact["state"], fact["finished"] = "done", end.isoformat()
            done[entry.step.id] = (Slot(end - timedelta(minutes=spent), end, entry.who, 1, 1),)
    return Logged(facts, done, minutes, as_logged)


def own_past_in(daybook: DayBook, now: datetime) -> tuple[PastWork, ...]:
    """Every finished step of every piece that kept what it was and how much of it there was, with what it took.

    Work many times off the table was not written down whole, and teaches nothing.
    """
    spent: dict[tuple[str, str], float] = {}
    finished: dict[tuple[str, str], Entry] = {}
    for entry in daybook.entries:
        if entry.step is None:
            continue
        key = (entry.piece, entry.step.id)
        spent[key] = spent.get(key, 0.0) + _minutes(entry)
        if entry.what is What.DONE and entry.step.labour:
            finished[key] = entry
    past = []
    most: float = rule("schedule", "believable").value
    for (piece, step_id), entry in finished.items():
        step = entry.step
        assert step is not None
        area = step.area.value if step.area and step.area.known else None
        minutes = spent[piece, step_id]
        ratio = ratio_to_table(step.labour, step.basis, minutes, area, step.count or 1, step.sessions)
        if ratio is not None and 1 / most <= ratio <= most:
            past.append(PastWork(step.labour, piece, ratio, fading(entry.happened, now)))
    return tuple(past)


def _minutes(entry: Entry) -> float:
    return float(entry.minutes.value.minutes) if entry.minutes and entry.minutes.known else 0.0
