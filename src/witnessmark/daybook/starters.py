"""The example of a day book: one entry of each kind, as a day at the bench brings them."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

from .model import Entry
from .reading import daybook_text, entry_in
from .words import HANDING_IN, What

_STEP = {"id": "clean:TOP", "trade_name": "Clean the top", "parts": ["TOP"]}
_EXAMPLES: dict[What, dict[str, Any]] = {
    What.AIR: {"temperature": "17 °C", "rh": "58 %", "note": "morning, bench room"},
    What.STARTED: {"piece": "C1", "part": "TOP", "step": _STEP},
    What.STOPPED: {"piece": "C1", "part": "TOP", "step": _STEP, "note": "the door bell"},
    What.WORKED: {"piece": "C1", "part": "TOP", "step": _STEP, "minutes": "1 h 20 min"},
    What.USED: {"piece": "C1", "step": _STEP, "amounts": [{"material": "white spirit", "volume": "60 ml"}]},
    What.DONE: {"piece": "C1", "part": "TOP", "step": _STEP},
    What.MIXED: {
        "amounts": [
            {"material": "shellac flakes", "mass": "60 g", "jar": "B"},
            {"material": "methylated spirits", "volume": "250 ml", "jar": "B"},
        ],
        "minutes": "10 min",
    },
    What.STIRRED: {"amounts": [{"material": "shellac", "jar": "B"}]},
    What.TESTED: {"amounts": [{"material": "shellac", "jar": "A"}], "to": "dried hard"},
    What.COAT: {
        "piece": "C1",
        "step": {"id": "seal.show", "trade_name": "seal with a thin coat"},
        "minutes": "25 min",
    },
    What.COUNTED: {"amounts": [{"material": "shellac", "jar": "B", "volume": "180 ml"}]},
    What.DISCARDED: {"amounts": [{"material": "shellac", "jar": "A"}], "note": "gone to jelly"},
    What.OFF: {"piece": "C1", "part": "LOCK", "note": "two screws on its card"},
    What.REFIT: {"piece": "C1", "part": "LOCK"},
    What.PHOTOGRAPH: {
        "piece": "C1",
        "part": "TOP",
        "photograph": "0" * 64,
        "note": "put the picture's own SHA-256 here",
    },
    What.BOUGHT: {"piece": "C1", "note": "four screws, 1 in no. 8, £1.20"},
    What.SENT: {"piece": "C1", "part": "LOCK", "to": "locksmith", "note": "quoted £35, promised in two weeks"},
    What.BACK: {"piece": "C1", "part": "LOCK", "to": "locksmith"},
    What.SIGNED: {"piece": "C1", "photograph": "1" * 64, "to": HANDING_IN},
    What.ACKNOWLEDGED: {"piece": "C1", "to": "lead_no_dust", "note": "the key of the caution, as the plan has it"},
    What.PAID: {"piece": "C1", "sum": "£120", "note": "deposit"},
    What.STAGE: {"piece": "C1", "to": "on the bench"},
    What.NOTE: {"piece": "C1", "note": "old screw hole under the left handle"},
    What.CLOSED_UP: {"note": "rags flat outside, jars lidded, glue pot off"},
}


def example(who: str, now: datetime, new_id: Callable[[datetime], str]) -> str:
    """JSON lines with one entry of each kind, the last of them correcting an earlier one, ending at `now`."""
    entries: list[Entry] = []
    kinds = [*_EXAMPLES.items(), (What.CORRECTS, {"note": "logged twice by mistake"})]
    for back, (what, said) in zip(range(len(kinds) - 1, -1, -1), kinds, strict=True):
        happened = now - timedelta(minutes=20 * back)
        if what is What.CORRECTS:
            said = {**said, "corrects": next(entry.id for entry in entries if entry.what is What.NOTE)}
        line = {"id": new_id(happened), "what": what.value, "who": who, "happened": happened.isoformat(), **said}
        entries.append(entry_in(line, "the example"))
    return daybook_text(entries)
