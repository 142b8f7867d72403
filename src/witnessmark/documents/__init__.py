"""What the three documents share: text comes in; a checked document, or all its faults at their places, goes out.

A room says what its document is in a `Form` and reads it with `document_from`; amounts keep the words they
were written in (`Written`); `set_in` changes a value and leaves the person's comments where they were.
"""

from typing import TYPE_CHECKING, Any

from .faults import Fault, Faulty, Refused, nearest
from .ids import uuid7

if TYPE_CHECKING:
    from .as_written import Written as Written
    from .as_written import written as written
    from .editing import set_in as set_in
    from .editing import toml_text as toml_text
    from .fields import Day as Day
    from .fields import Instant as Instant
    from .fields import InstantIfAny as InstantIfAny
    from .fields import LongText as LongText
    from .fields import Sha256 as Sha256
    from .fields import ShortText as ShortText
    from .fields import Table as Table
    from .fields import Uuid7 as Uuid7
    from .fields import Word as Word
    from .fields import WordIfAny as WordIfAny
    from .fields import amiss as amiss
    from .fields import or_unknown as or_unknown
    from .fields import spelt as spelt
    from .merging import Merged as Merged
    from .merging import merged as merged
    from .reading import Amiss as Amiss
    from .reading import Form as Form
    from .reading import document_from as document_from
    from .reading import document_in as document_in
    from .reading import json_of as json_of
    from .reading import json_text as json_text
    from .reading import schema_of as schema_of
    from .toml import toml_from as toml_from

# pydantic and the TOML grammar cost more to load than a whole bench sum: they wait until a document is read.
_LATER = {
    "as_written": ("Written", "written"),
    "editing": ("set_in", "toml_text"),
    "merging": ("Merged", "merged"),
    "toml": ("toml_from",),
    "fields": (
        "Day", "Instant", "InstantIfAny", "LongText", "Sha256", "ShortText", "Table", "Uuid7", "Word", "WordIfAny",
        "amiss", "or_unknown", "spelt",
    ),
    "reading": (
        "Amiss", "Form", "document_from", "document_in", "json_of", "json_text", "schema_of",
    ),
}  # fmt: skip
_HOMES = {name: module for module, names in _LATER.items() for name in names}

__all__ = [
    "Amiss", "Day", "Fault", "Faulty", "Form", "Instant", "InstantIfAny", "LongText", "Merged", "Refused", "Sha256",
    "ShortText", "Table", "Uuid7", "Word", "WordIfAny", "Written", "amiss", "document_from", "document_in", "json_of",
    "json_text", "merged", "nearest", "or_unknown", "schema_of", "set_in", "spelt", "toml_from", "toml_text", "uuid7",
    "written",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
