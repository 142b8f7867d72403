"""The day book's way in and out: JSON lines, one entry a line."""

import json
from collections.abc import Iterable, Mapping
from typing import Any

from witnessmark.documents import Fault, Faulty, document_in, json_of, schema_of

from .model import FORM, DayBook, Entry


class _Twice(ValueError):
    """A key that stands twice in one line."""


def daybook_from(text: str, where: str, context: Mapping[str, Any] | None = None) -> DayBook:
    """The day book in JSON lines; empty lines say nothing.

    Raises Faulty with every fault of every line. `context` is the shop's gallon and currency
    (`Shop.context`); without one pints are US.
    """
    entries: dict[str, tuple[int, Entry]] = {}
    faults: list[Fault] = []
    lines = [(number, line) for number, line in enumerate(text.removeprefix("\ufeff").split("\n"), 1) if line.strip()]
    if lines and not any(line.lstrip().startswith("{") for _, line in lines):
        found = lines[0][1].strip()[:60]
        expected = f"{FORM.name}: on each line one entry in curly brackets; start one with “{FORM.starter}”"
        raise Faulty([Fault(where, "", found, expected, lines[0][0])])
    for number, line in lines:
        try:
            entry = entry_in(_object_in(line, where, number), where, context, number)
        except Faulty as error:
            faults += error.faults
            continue
        first, known = entries.setdefault(entry.id, (number, entry))
        if not _same(known, entry):
            expected = (
                f"the same words as in line {first}, which has this id; to correct it, add an entry that corrects it"
            )
            faults.append(Fault(where, "id", entry.id, expected, number))
    if faults:
        raise Faulty(faults)
    return DayBook.of(entry for _, entry in entries.values())


def entry_in(
    tables: dict[str, Any], where: str, context: Mapping[str, Any] | None = None, line: int | None = None
) -> Entry:
    """One entry in an object that came as JSON. Raises Faulty; `line` is the line it came from, if any."""
    return document_in(tables, where, FORM, context, line=line)


def entry_line(entry: Entry) -> str:
    """The entry as its line, without the line's end: what was said, in the words it was said in."""
    return json.dumps(json_of(entry), ensure_ascii=False)


def daybook_text(entries: Iterable[Entry]) -> str:
    """The lines of these entries."""
    return "".join(f"{entry_line(entry)}\n" for entry in entries)


def daybook_schema() -> dict[str, Any]:
    """The JSON Schema of one line of a day book."""
    return schema_of(FORM)


def _same(one: Entry, other: Entry) -> bool:
    """Whether two say the same; when each arrived is the record's business."""
    return one.model_copy(update={"arrived": None}) == other.model_copy(update={"arrived": None})


def _object_in(line: str, where: str, number: int) -> dict[str, Any]:
    shown = line.strip()[:60]
    try:
        value = json.loads(line, object_pairs_hook=_once)
    except _Twice as error:
        raise Faulty([Fault(where, str(error), shown, "each key once a line", number)]) from None
    except json.JSONDecodeError as error:
        expected = f"one entry as JSON, closed on its own line ({error.msg[0].lower()}{error.msg[1:]})"
        raise Faulty([Fault(where, "", shown, expected, number)]) from None
    except (ValueError, RecursionError):  # numbers of thousands of digits, lists nested without end
        raise Faulty([Fault(where, "", shown, "one entry as JSON, as a person would write it", number)]) from None
    if not isinstance(value, dict):
        raise Faulty([Fault(where, "", shown, "one entry in curly brackets", number)])
    return value


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise _Twice(key)
        found[key] = value
    return found
