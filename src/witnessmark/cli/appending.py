"""Entries written at the end of a day-book file: durable before they are acknowledged, each counted once."""

import json
import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, BinaryIO

from witnessmark.daybook import Entry, daybook_from, daybook_text
from witnessmark.documents import Fault, Faulty

if sys.platform != "win32":
    from fcntl import LOCK_EX, flock


def appended(
    path: str, entries: Sequence[Entry], context: Mapping[str, Any] | None = None
) -> tuple[list[Entry], list[Entry]]:
    """Writes the entries that are not there yet; gives those written and those that were known.

    A day book that can't be read, or that has other words under an id of these, is left as it is: raises Faulty.
    The new lines are on the disk when this returns.
    """
    file = Path(path)
    fresh = not file.exists()
    try:
        with file.open("a+b") as book:
            if sys.platform != "win32":  # elsewhere one writer at a time is the shop's own care
                flock(book.fileno(), LOCK_EX)
            book.seek(0)
            before = book.read()
            text = before.decode("utf-8")
            if text and not text.endswith("\n"):
                text += "\n"
            # Read again with the new lines beneath: whatever is wrong is said before anything is written.
            daybook_from(text + daybook_text(entries), path, context)
            there = {json.loads(line)["id"] for line in text.removeprefix("\ufeff").split("\n") if line.strip()}
            new = [entry for entry in {entry.id: entry for entry in entries}.values() if entry.id not in there]
            if new:
                _write(book, (text + daybook_text(new)).encode()[len(before) :], len(before))
    except UnicodeDecodeError as error:
        expected = "a text file in UTF-8; save it again as UTF-8"
        raise Faulty([Fault(path, "", f"byte {error.object[error.start]:#04x} at {error.start}", expected)]) from None
    except OSError as error:
        reason = (error.strerror or "it can't be written").lower()
        raise Faulty([Fault("--daybook", "", path, f"a file that may be written to ({reason})")]) from None
    if fresh:
        _keep_name(file)
    return new, [entry for entry in entries if entry.id in there]


def _write(book: BinaryIO, lines: bytes, size: int) -> None:
    """The lines at the end, on the disk; a line half written is taken back."""
    try:
        book.write(lines)
        book.flush()
        os.fsync(book.fileno())
    except OSError:
        os.ftruncate(book.fileno(), size)
        raise


def _keep_name(file: Path) -> None:
    """Puts a new file's name on the disk too, where the system lets a folder be synced."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    folder = os.open(file.parent, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
