"""What the day book says of this piece: steps begun and done, hours spent."""

from collections.abc import Container
from dataclasses import dataclass
from datetime import UTC, timedelta
from typing import Any

from witnessmark.daybook import DayBook, Entry, StepAsLogged, What
from witnessmark.schedule import Slot
from witnessmark.treatment import Basis, Reason, Step


@dataclass(frozen=True)
class Logged:
    """Facts by step id; slots of the steps done; minutes spent on the piece in all; the steps as they were logged."""

    facts: dict[str, dict[str, Any]]
    done: dict[str, tuple[Slot, ...]]
    minutes: float
    as_logged: dict[str, StepAsLogged]

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


def logged_for(daybook: DayBook, piece: str) -> Logged:
    """The entries of one piece."""
    facts: dict[str, dict[str, Any]] = {}
    done: dict[str, tuple[Slot, ...]] = {}
    as_logged: dict[str, StepAsLogged] = {}
    minutes = 0.0
    for entry in daybook.entries:
        if entry.piece != piece:
            continue
        spent = _minutes(entry)
        minutes += spent
        if entry.step is None:
            continue
        as_logged[entry.step.id] = entry.step
        fact = facts.setdefault(
            entry.step.id, {"state": "begun", "minutes": 0.0, "who": [], "entries": [], "finished": None}
        )
        fact["minutes"] += spent
        fact["entries"].append(entry.id)
        if entry.who not in fact["who"]:
            fact["who"].append(entry.who)
        if entry.what is What.DONE:
            end = entry.happened.astimezone(UTC)
            fact["state"], fact["finished"] = "done", end.isoformat()
            done[entry.step.id] = (Slot(end - timedelta(minutes=spent), end, entry.who, 1, 1),)
    return Logged(facts, done, minutes, as_logged)


def _minutes(entry: Entry) -> float:
    return float(entry.minutes.value.minutes) if entry.minutes and entry.minutes.known else 0.0
