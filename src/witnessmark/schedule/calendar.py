"""The shop's calendar: who does what on which piece when, what dries meanwhile, and what may be promised.

It is a document of its own: what people have read is kept as JSON, and the next one says what moved against it.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from importlib import resources
from typing import Any

SCHEMA_VERSION = 1


@dataclass(frozen=True)
class CalendarSlot:
    """One stretch of labour, mixing or stirring by somebody, or one wait, that is nobody's. UTC.

    `kind` is “labour”, “mix”, “stir” or “wait”. `done`: it was worked, and stays where it was.
    """

    piece: str
    step: str
    trade_name: str
    who: str
    start: datetime
    end: datetime
    session: int
    of: int
    kind: str
    done: bool = False

    @property
    def key(self) -> tuple[str, str, int]:
        return self.piece, self.step, self.session


@dataclass(frozen=True)
class Promise:
    """When a piece is done: likely, four times in five (`safe`, the day to say), nineteen times in twenty (`sure`).

    `odds` is the chance that the promised day is kept; None where none is promised.
    """

    piece: str
    likely: datetime
    safe: datetime
    sure: datetime
    promised: date | None
    odds: float | None
    says: str


@dataclass(frozen=True)
class Moved:
    """A session that people have read under another day or another person, and why it is there no more."""

    piece: str
    step: str
    session: int
    trade_name: str
    was: datetime
    was_who: str
    now: datetime
    who: str
    because: str
    says: str


@dataclass(frozen=True)
class Calendar:
    """The days of all pieces. `order`: pieces as they were given the hours; `broken` and `notes` in words."""

    made_at: datetime
    zone: str
    slots: tuple[CalendarSlot, ...]
    order: tuple[str, ...]
    promises: tuple[Promise, ...] = ()
    moved: tuple[Moved, ...] = ()
    broken: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any]:
        return {
            "schema": SCHEMA_VERSION,
            "made_at": stamp(self.made_at),
            "zone": self.zone,
            "slots": [_plain(slot) for slot in self.slots],
            "order": list(self.order),
            "promises": [_plain(promise) for promise in self.promises],
            "moved": [_plain(moved) for moved in self.moved],
            "broken": list(self.broken),
            "notes": list(self.notes),
        }


def calendar_in(tables: Mapping[str, Any]) -> Calendar:
    """The calendar in its own JSON."""
    return Calendar(
        instant(tables["made_at"]),
        tables["zone"],
        tuple(CalendarSlot(**_timed(slot, "start", "end")) for slot in tables["slots"]),
        tuple(tables["order"]),
        tuple(
            Promise(
                **_timed(promise, "likely", "safe", "sure")
                | {"promised": promise["promised"] and date.fromisoformat(promise["promised"])}
            )
            for promise in tables["promises"]
        ),
        tuple(Moved(**_timed(moved, "was", "now")) for moved in tables["moved"]),
        tuple(tables["broken"]),
        tuple(tables["notes"]),
    )


def calendar_schema() -> dict[str, Any]:
    """The published JSON Schema of a calendar."""
    return _schema("calendar_schema.json")


def problem_schema() -> dict[str, Any]:
    """The published JSON Schema of the shop's problem."""
    return _schema("problem_schema.json")


def _schema(name: str) -> dict[str, Any]:
    schema: dict[str, Any] = json.loads(resources.files("witnessmark.schedule").joinpath(name).read_text("utf-8"))
    return schema


def stamp(instant: datetime) -> str:
    """An instant as JSON has it: UTC, ISO 8601."""
    return instant.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def instant(text: str) -> datetime:
    """The instant a stamp says."""
    return datetime.fromisoformat(text.replace("Z", "+00:00"))


def _timed(row: Mapping[str, Any], *keys: str) -> dict[str, Any]:
    return {**row, **{key: instant(row[key]) for key in keys}}


def _plain(thing: Any) -> dict[str, Any]:
    row = dict(vars(thing))
    for key, value in row.items():
        if isinstance(value, datetime):
            row[key] = stamp(value)
        elif isinstance(value, date):
            row[key] = value.isoformat()
    return row
