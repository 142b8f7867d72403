"""The day book: what was done, appended and never erased.

JSON lines come in (`daybook_from`), one entry that came as JSON (`entry_in`), or what somebody says at the end
of the day (`said_in`: “3 h chest, 2 h chair”); a frozen `DayBook` of the entries
that count goes out, corrections resolved, or all faults with their lines.
"""

from .model import Amount, DayBook, Entry, StepAsLogged
from .outline import Outline, outline_of
from .reading import daybook_from, daybook_schema, daybook_text, entry_in, entry_line
from .said import Said, said_in
from .starters import example
from .words import HANDING_IN, Dried, Stage, What

__all__ = [
    "HANDING_IN", "Amount", "DayBook", "Dried", "Entry", "Outline", "Said", "Stage", "StepAsLogged", "What",
    "daybook_from", "daybook_schema", "daybook_text", "entry_in", "entry_line", "example", "outline_of", "said_in",
]  # fmt: skip
