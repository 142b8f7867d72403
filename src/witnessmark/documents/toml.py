"""From text to tables, or a sentence on why it is not TOML."""

import re
import tomllib
from typing import Any

from .faults import Fault, Faulty

_BOM = "\ufeff"
_AT = re.compile(r" \(at (?:line (\d+), column \d+|end of document)\)$")
_REASONS = {
    "Cannot overwrite a value": "each key once: this one already has a value",
    "Cannot mutate immutable namespace": "each table in one place: this one was closed further up",
    "Invalid value": "a value: text in quotes, a number, true or false, a day such as 2026-11-25, or a list in [ ]",
    "Expected '=' after a key": "one “key = value” a line",
    "Expected newline or end of document": "one “key = value” a line, text in quotes",
    "Unterminated string": "the quotes closed where the text ends",
    "Illegal character": "no line break or control character inside quotes: close them, or use three",
    "Unclosed array": "the list closed with ], its items parted by commas",
    "Unclosed inline table": "the table closed with }, its keys parted by commas, all on one line",
    "Invalid date": "a day that exists, such as 2026-11-25",
    "Unescaped": "a backslash in text doubled, or the text in single quotes",
    "Invalid statement": "one “key = value” a line, or a [table]",
}
_LOOKED_BACK = 400  # lines; further up no statement of ours begins


def toml_from(text: str, where: str) -> dict[str, Any]:
    """The tables of a TOML text. Raises Faulty, with the line on which the broken statement begins."""
    text = plain(text)
    if "\0" in text:
        raise Faulty([Fault(where, "", "a byte 0", "text: this looks like a picture or a program")])
    if re.match(r"\s*(\{|\[\s*\{)", text):
        raise Faulty([Fault(where, "", text.split("\n")[0][:40], "TOML: this looks like JSON")])
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Faulty([_fault(str(error), text, where)]) from None
    except RecursionError:
        raise Faulty([Fault(where, "", "lists in lists in lists", "lists nested two or three deep")]) from None
    except ValueError as error:  # a number of thousands of digits
        raise Faulty([Fault(where, "", str(error), "numbers a person would write")]) from None


def plain(text: str) -> str:
    """The text without the byte-order mark that some editors put first."""
    return text.removeprefix(_BOM)


def _fault(message: str, text: str, where: str) -> Fault:
    at = _AT.search(message)
    reason = message[: at.start()] if at else message
    lines = text.replace("\r\n", "\n").split("\n")
    noticed = int(at[1]) if at and at[1] else len(lines)
    line = _statement_at(lines, noticed)
    found = lines[line - 1].strip() if line else ""
    expected = next((words for start, words in _REASONS.items() if reason.startswith(start)), None)
    if re.search(r"=\s*\d+[-/.]\d+[-/.]\d+", found):
        expected = _REASONS["Invalid date"]
    if twice := re.match(r"Cannot declare \((.*?),?\) twice", reason):
        name = ".".join(re.findall(r"'([^']*)'", twice[1]))
        expected = f"the table {name} once; several alike are each headed [[{name}]]"
    expected = expected or f"TOML ({reason[0].lower()}{reason[1:]})"
    if line and at and at[1] and noticed > line:
        expected += f"; it went wrong by line {noticed}"
    return Fault(where, "", found if len(found) <= 80 else found[:79] + "…", expected, line)


def _statement_at(lines: list[str], noticed: int) -> int | None:
    """The line where the statement begins that was found broken on line `noticed`.

    A list left open is noticed at the next key, a text left open at the end of the file: the statement begins
    below the last line above which all is sound.
    """
    for line in range(noticed, max(0, noticed - _LOOKED_BACK), -1):
        try:
            tomllib.loads("\n".join(lines[: line - 1]))
        except ValueError:
            continue
        return line
    return None
