"""What somebody says at the end of the day: “3 h chest, 2 h chair”, “done strip on chest 2 h”, “air 16 °C, 58 %”.

Text comes in, what was said of each thing goes out; which piece and which step is meant is for whoever knows them.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from witnessmark.documents import Fault, Faulty, nearest
from witnessmark.quantities import Mass, NotUnderstood, Percent, Range, Span, Temperature, Unknown, Volume, read

from .words import What

EXAMPLE = "what was done, such as “3 h chest”, “done strip on chest 2 h” or “used 60 ml white spirit on chest”"


@dataclass(frozen=True)
class Said:
    """One thing said. `about` is every word that may name a piece or a step; `on` the words that name the piece alone.

    Amounts are as an entry has them (material, volume or mass, jar), in the words they were said in.
    """

    what: What
    text: str
    who: str = ""
    about: str = ""
    on: str = ""
    minutes: str = ""
    amounts: tuple[dict[str, str], ...] = ()
    temperature: str = ""
    rh: str = ""
    sum: str = ""
    to: str = ""
    note: str = ""


_LONGEST_SHOWN = 80  # letters of a clause that is not understood: enough to find it again

_VERBS = {
    "worked": What.WORKED, "done": What.DONE, "finished": What.DONE, "started": What.STARTED, "began": What.STARTED,
    "used": What.USED, "mixed": What.MIXED, "stirred": What.STIRRED, "air": What.AIR, "note": What.NOTE,
    "sent": What.SENT, "back": What.BACK, "bought": What.BOUGHT, "closed": What.CLOSED_UP, "off": What.OFF,
    "refit": What.REFIT, "stopped": What.STOPPED, "coat": What.COAT, "paid": What.PAID, "counted": What.COUNTED,
    "discarded": What.DISCARDED,
}  # fmt: skip
# In these a comma is part of what is said: a semicolon or a new line ends them.
_WHOLE = frozenset([
    "used", "mixed", "air", "note", "sent", "back", "bought", "closed", "off", "refit", "paid", "counted", "discarded",
])  # fmt: skip
_HOURS = [
    (re.compile(r"\b(?:a )?quarter of an hour\b", re.I), "15 min"),
    (re.compile(r"\b(?:an hour and a half|one and a half hours?)\b", re.I), "1 h 30 min"),
    (re.compile(r"\b(?:half an hour|half hour)\b", re.I), "30 min"),
    (re.compile(r"\b(?:an|one) hour\b", re.I), "1 h"),
]
_FILLER = frozenset(["on", "at", "for", "the", "of", "in", "from"])
_JAR = re.compile(r"(?:\b(?:from|in|into|of)\s+)?\bjar\s+(\S+)", re.I)


def said_in(text: str, where: str = "TEXT") -> tuple[Said, ...]:
    """Everything said, in its order. Raises Faulty with all that was not understood."""
    found: list[Said] = []
    faults: list[Fault] = []
    for clause in _clauses(text):
        try:
            found.append(_one(clause))
        except NotUnderstood as error:
            faults.append(Fault(where, "", clause[:_LONGEST_SHOWN], error.expected, nearest=error.nearest))
    if not found and not faults:
        faults.append(Fault(where, "", text, EXAMPLE))
    if faults:
        raise Faulty(faults)
    return tuple(found)


def _clauses(text: str) -> list[str]:
    clauses: list[str] = []
    for sentence in re.split(r"[;\n]+", text):
        body = re.sub(r"^\s*\w+:\s+", "", sentence) if not _starts(sentence) else sentence
        whole = _starts(body) in _WHOLE or ":" in body
        parts = [sentence] if whole else re.split(r",\s*|\s+and\s+(?=[\d½¼¾])", sentence)
        who = re.match(r"\s*(\w+:\s+)", sentence)
        for number, part in enumerate(parts):
            if part.strip():
                # “Tobias: 3 h chest, 2 h chair” is all his.
                clauses.append((who[1] if number and who and not _starts(sentence) else "") + part.strip())
    return clauses


def _starts(text: str) -> str:
    """The verb a text starts with; empty where it starts with none."""
    first = re.match(r"\s*([a-z]+)", text, re.I)
    return first[1].lower() if first and first[1].lower() in _VERBS else ""


def _one(clause: str) -> Said:
    text, who = clause, ""
    if not _starts(text) and (name := re.match(r"([^\W\d]\w*):\s+", text)):
        who, text = name[1], text[name.end() :]
    for pattern, instead in _HOURS:
        text = pattern.sub(instead, text)
    verb = _starts(text)
    rest = re.sub(r"^\s*\w+\s*", "", text, count=1) if verb else text
    if verb in _WHOLE:
        said = _READ[_VERBS[verb]](rest.strip())
        return Said(_VERBS[verb], clause, who, **said)
    before, _, note = rest.partition(":")
    minutes, words = _timed(before.split())
    about, _, on = _parted(words)
    if not verb and not minutes:
        first = words[0] if words else clause
        near = nearest(first.lower(), _VERBS)
        raise NotUnderstood(clause, f"{EXAMPLE}: how long it took, in h or min", near)
    if verb == "stirred":
        return Said(What.STIRRED, clause, who, minutes=minutes, amounts=_materials(" ".join(words)), note=note.strip())
    if not about and not on:
        raise NotUnderstood(clause, f"{EXAMPLE}: on which piece")
    return Said(_VERBS.get(verb, What.WORKED), clause, who, about, on, minutes, note=note.strip())


def _parted(words: list[str]) -> tuple[str, str, str]:
    """What stands before the last “on”, the word itself, and what stands after it."""
    lower = [word.lower() for word in words]
    if "on" in lower[1:]:
        at = len(lower) - 1 - lower[::-1].index("on")
        return _plain(words[:at]), "on", _plain(words[at + 1 :])
    return _plain(words), "", ""


def _plain(words: list[str]) -> str:
    return " ".join(word for word in words if word.lower() not in _FILLER)


def _timed(words: list[str]) -> tuple[str, list[str]]:
    """The time at the beginning or at the end of these words, as written, and the words without it."""
    for length in range(min(len(words), 5), 0, -1):
        for some, others in ((words[:length], words[length:]), (words[-length:], words[:-length])):
            if _is(Span, text := " ".join(some)):
                return text, others
    return "", words


def _is(kind: type, text: str) -> bool:
    """Whether the text is one amount of this kind, with its unit."""
    if not re.search(r"[^\W\d]|[%°]", text):
        return False
    try:
        return not isinstance(read(text, kind), Range | Unknown)
    except NotUnderstood:
        return False


def _air(rest: str) -> dict[str, Any]:
    found: dict[str, Any] = {}
    reading, _, note = rest.partition(":")
    for part in re.split(r",\s*|\s+(?=\d)", reading):
        if _is(Temperature, part):
            found["temperature"] = part
        elif _is(Percent, part):
            found["rh"] = part
        elif part.strip():
            raise NotUnderstood(part, "the air, such as “air 16 °C, 58 %: bench room, morning”")
    if not found:
        raise NotUnderstood(rest, "the air, such as “air 16 °C, 58 %”")
    return {**found, "note": note.strip()}


def _note(rest: str) -> dict[str, Any]:
    about, colon, note = rest.partition(":")
    if not (colon and note.strip()):
        raise NotUnderstood(rest, "what to note, such as “note chest: old wedge in the tenon, sound”")
    return {"on": _plain(about.split()), "note": note.strip()}


def _used(rest: str) -> dict[str, Any]:
    rest, _, note = rest.partition(":")
    before, on, after = rest.rpartition(" on ")
    if not on:
        raise NotUnderstood(rest, "what was used and on which piece, such as “used 60 ml white spirit on chest”")
    jar = _JAR.search(rest)
    amounts = _materials(before)
    if jar:
        amounts = tuple({**amount, "jar": jar[1]} for amount in amounts)
    return {"amounts": amounts, "on": _plain(_JAR.sub("", after).split()), "note": note.strip()}


def _mixed(rest: str) -> dict[str, Any]:
    return {"amounts": _materials(rest.replace(":", ","))}


def _materials(text: str) -> tuple[dict[str, str], ...]:
    """“30 g flakes in 250 ml meths, jar C” as amounts of materials; the jar is that of them all."""
    jar = _JAR.search(text)
    found: list[dict[str, str]] = []
    for part in re.split(r",\s*|\s+(?:in|and|with)\s+|\s*\+\s*", _JAR.sub("", text)):
        words = part.split()
        if not words:
            continue
        amount: dict[str, str] = {}
        for length in range(min(3, len(words) - 1), 0, -1):
            said = " ".join(words[:length])
            kind = "volume" if _is(Volume, said) else "mass" if _is(Mass, said) else ""
            if kind:
                amount, words = {kind: said}, words[length:]
                break
        material = _plain(words)
        if not material or re.match(r"[\d½¼¾]", material):
            raise NotUnderstood(part, "how much of which material, such as “60 ml white spirit”")
        found.append({"material": material, **amount, **({"jar": jar[1]} if jar else {})})
    if not found and jar:
        found = [{"material": f"jar {jar[1]}", "jar": jar[1]}]
    if not found:
        raise NotUnderstood(text, "how much of which material, such as “60 ml white spirit”")
    return tuple(found)


def _sent(rest: str) -> dict[str, Any]:
    found = re.fullmatch(r"(.+?)\s+to\s+([^,:]+)(?:[,:]\s*(.*))?", rest)
    if not found:
        raise NotUnderstood(
            rest, "what went to whom, such as “sent lock on chest to the locksmith, promised for the 30th”"
        )
    about, _, on = _parted(found[1].split())
    return {"about": about if on else "", "on": on or about, "to": found[2].strip(), "note": found[3] or ""}


def _back(rest: str) -> dict[str, Any]:
    found = re.fullmatch(r"(.+?)(?:\s+from\s+([^,:]+))?(?:[,:]\s*(.*))?", rest)
    if not found:
        raise NotUnderstood(rest, "what came back, such as “back lock on chest from the locksmith”")
    about, _, on = _parted(found[1].split())
    return {"about": about if on else "", "on": on or about, "to": (found[2] or "").strip(), "note": found[3] or ""}


def _part(rest: str) -> dict[str, Any]:
    """“TOP on chest: two screws on its card”: a part, and the piece it is of."""
    words, _, note = rest.partition(":")
    about, on, piece = _parted(words.split())
    if not (about and on and piece):
        raise NotUnderstood(rest, "which part of which piece, such as “off TOP on chest”")
    return {"about": about, "on": piece, "note": note.strip()}


def _paid(rest: str) -> dict[str, Any]:
    words, _, note = rest.partition(":")
    total, on, piece = words.rpartition(" for ")
    if not (on and total.strip() and piece.strip()):
        raise NotUnderstood(rest, "how much for which piece, such as “paid £120 for chest: deposit”")
    return {"sum": total.strip(), "on": _plain(piece.split()), "note": note.strip()}


def _jar(rest: str) -> dict[str, Any]:
    words, _, note = rest.partition(":")
    amounts = _materials(words)
    if any("jar" not in amount for amount in amounts):
        raise NotUnderstood(rest, "which jar, such as “discarded jar B” or “counted 180 ml shellac in jar B”")
    return {"amounts": amounts, "note": note.strip()}


def _bought(rest: str) -> dict[str, Any]:
    what, on, piece = rest.rpartition(" for ")
    if not rest:
        raise NotUnderstood(rest, "what was bought, such as “bought four screws, £1.20 for chest”")
    return {"note": what or rest, "on": _plain(piece.split()) if on else ""}


def _closed(rest: str) -> dict[str, Any]:
    return {"note": re.sub(r"^up\b[:,\s]*", "", rest)}


_READ: dict[What, Callable[[str], dict[str, Any]]] = {
    What.USED: _used, What.MIXED: _mixed, What.AIR: _air, What.NOTE: _note, What.SENT: _sent, What.BACK: _back,
    What.BOUGHT: _bought, What.CLOSED_UP: _closed, What.OFF: _part, What.REFIT: _part, What.PAID: _paid,
    What.COUNTED: _jar, What.DISCARDED: _jar,
}  # fmt: skip
