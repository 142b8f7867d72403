"""Day books for tests in a few lines: `book(("off", {"part": "TOP"}), …)`, an hour apart unless they say when."""

from datetime import datetime, timedelta
from typing import Any

from pieces import NOW
from small_surveys import ID
from witnessmark.daybook import DayBook, Entry, entry_in
from witnessmark.documents import uuid7

STEP = {"id": "clean.show", "trade_name": "clean with a wrung swab"}


def entry(number: int, what: str, at: datetime | None = None, **said: Any) -> Entry:
    """One entry of the small survey's piece, `number` hours after NOW unless `at` says when."""
    happened = at or NOW + timedelta(hours=number)
    table = {"id": uuid7(NOW, number.to_bytes(10, "big")), "what": what, "who": "Ines", "piece": ID, **said}
    return entry_in({**table, "happened": happened.isoformat()}, "test")


def entries(*said: tuple[str, dict[str, Any]]) -> list[Entry]:
    """Entries an hour apart, in their order."""
    return [entry(number, what, **more) for number, (what, more) in enumerate(said, 1)]


def book(*said: tuple[str, dict[str, Any]]) -> DayBook:
    return DayBook.of(entries(*said))


def off(part: str, **more: Any) -> tuple[str, dict[str, Any]]:
    return "off", {"part": part, **more}


def refit(part: str, **more: Any) -> tuple[str, dict[str, Any]]:
    return "refit", {"part": part, **more}


def stage(to: str) -> tuple[str, dict[str, Any]]:
    return "stage", {"to": to}


def worked(step: str = "clean.show", **more: Any) -> tuple[str, dict[str, Any]]:
    return "worked", {"minutes": "1 h", "step": {"id": step, "trade_name": step}, **more}
