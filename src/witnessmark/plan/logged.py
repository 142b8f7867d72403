"""What the day book says of this piece: steps begun and done, hours spent, jars drawn on."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, timedelta
from typing import Any

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.schedule import Slot
from witnessmark.treatment import Basis, Reason, Step


@dataclass(frozen=True)
class Logged:
    """Facts by step id; slots of the steps done; minutes spent on the piece in all; steps the rules do not know."""

    facts: dict[str, dict[str, Any]]
    done: dict[str, tuple[Slot, ...]]
    minutes: float
    extra: tuple[Step, ...]


def logged_for(daybook: DayBook, piece: str, steps: Mapping[str, Step]) -> Logged:
    """The entries of one piece. A logged step that the rules no longer call for stays, as a fact."""
    facts: dict[str, dict[str, Any]] = {}
    done: dict[str, tuple[Slot, ...]] = {}
    minutes, extra = 0.0, {}
    for entry in daybook.entries:
        if entry.piece != piece:
            continue
        minutes += _minutes(entry)
        if entry.step is None:
            continue
        fact = facts.setdefault(
            entry.step.id, {"state": "begun", "minutes": 0.0, "who": [], "entries": [], "finished": None}
        )
        fact["minutes"] += _minutes(entry)
        fact["entries"].append(entry.id)
        if entry.who not in fact["who"]:
            fact["who"].append(entry.who)
        if entry.what is What.DONE:
            end = entry.happened.astimezone(UTC)
            fact["state"], fact["finished"] = "done", end.isoformat()
            done[entry.step.id] = (Slot(end - timedelta(minutes=_minutes(entry)), end, entry.who, 1, 1),)
        if entry.step.id not in steps:
            extra[entry.step.id] = Step(
                entry.step.id, "logged", entry.step.trade_name, "by_hand", Basis.PIECE, parts=entry.step.parts,
                why=(Reason("It was done, and stays a fact.", ()),),
            )  # fmt: skip
    return Logged(facts, done, minutes, tuple(extra.values()))


def _minutes(entry: Entry) -> float:
    return float(entry.minutes.value.minutes) if entry.minutes and entry.minutes.known else 0.0
