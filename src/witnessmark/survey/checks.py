"""What one table of a survey says of another: codes that must be there once, parts that must exist, other rooms' words.

The checks work on the raw tables, so that their faults come together with those of the fields.
"""

from collections.abc import Collection, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError

from witnessmark.documents import Amiss, nearest
from witnessmark.quantities import is_unknown

from .areas import area_faults
from .model import Part, Piece, Survey
from .words import PieceKind

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class Words:
    """Words of other rooms that a survey may use. An empty collection checks nothing.

    `tests` gives the states of each test of an old finish, `date_features` and `wood_features` those of each
    feature (no states: any); `steps` are what trials may name, `rules` and `ways` what decisions may. Spaces, hyphens
    and underscores are one thing, and so are capitals and small letters.
    """

    tests: Mapping[str, Collection[str]] = field(default_factory=dict)
    date_features: Mapping[str, Collection[str]] = field(default_factory=dict)
    wood_features: Mapping[str, Collection[str]] = field(default_factory=dict)
    steps: Collection[str] = ()
    ways: Collection[str] = ()
    rules: Collection[str] = ()


def key_of(text: str) -> str:
    """A word as the tables spell it: “Softens, sticky” is `softens_sticky`."""
    return "_".join(text.casefold().replace("-", " ").replace("_", " ").replace(",", " ").split())


def across(tables: Mapping[str, Any], words: Words | None = None) -> Iterator[Amiss]:
    """Everything amiss between the tables of a survey."""
    codes = [code for _, code in _texts(tables, "part", "code")]
    yield from _once(_texts(tables, "part", "code"), "a code of its own: this one is another part's")
    yield from _once(_texts(tables, "joint", "code"), "a code of its own: this one is another joint's")
    yield from _once(_fixing_codes(tables), "a code of its own: this one is another fixing's")
    yield from _once(_texts(tables, "photograph", "sha256"), "each photograph once")
    for path, code in _named_parts(tables):
        if code not in codes and not is_unknown(code):
            yield Amiss(path, code, "the code of a part of this survey", nearest(code, codes))
    yield from _marks(tables, codes)
    yield from _rings(tables)
    for table, index, joint in _rows(tables, "joint"):
        parts = joint.get("parts")
        if isinstance(parts, list):
            named = [((table, index, "parts", place), code) for place, code in enumerate(parts)]
            yield from _once([(path, code) for path, code in named if isinstance(code, str)], "each part once")
    yield from _faces(tables)
    if words:
        yield from _foreign_words(tables, words)


def _rows(tables: Mapping[str, Any], table: str) -> Iterator[tuple[str, int, dict[str, Any]]]:
    rows = tables.get(table)
    for index, row in enumerate(rows if isinstance(rows, list) else []):
        if isinstance(row, dict):
            yield table, index, row


def _texts(tables: Mapping[str, Any], table: str, key: str) -> list[tuple[Path, str]]:
    """Every text under that key of a list of tables, with its path."""
    return [
        ((name, index, key), row[key]) for name, index, row in _rows(tables, table) if isinstance(row.get(key), str)
    ]


def _fixing_codes(tables: Mapping[str, Any]) -> list[tuple[Path, str]]:
    return [
        (("joint", index, *path), code)
        for _, index, joint in _rows(tables, "joint")
        for path, code in _texts(joint, "fixing", "code")
    ]


def _named_parts(tables: Mapping[str, Any]) -> Iterator[tuple[Path, str]]:
    """Every place that names a part."""
    yield from _texts(tables, "part", "of")
    for table in ("test", "reading", "condition", "trial", "moisture", "decision"):
        yield from _texts(tables, table, "part")
    for table, key in (("joint", "parts"), ("joint", "behind"), ("photograph", "shows")):
        for name, index, row in _rows(tables, table):
            codes = row.get(key)
            for place, code in enumerate(codes if isinstance(codes, list) else []):
                if isinstance(code, str):
                    yield (name, index, key, place), code


def _marks(tables: Mapping[str, Any], parts: list[str]) -> Iterator[Amiss]:
    """Marks on photographs: each of a part or a fixing, and each once a picture."""
    known = [*parts, *(code for _, code in _fixing_codes(tables))]
    for table, index, photograph in _rows(tables, "photograph"):
        named = [((table, index, *path), code) for path, code in _texts(photograph, "mark", "code")]
        yield from _once(named, "each part and each fixing once a photograph")
        for path, code in named:
            if code not in known:
                yield Amiss(path, code, "the code of a part or a fixing of this survey", nearest(code, known))


def _once(named: list[tuple[Path, str]], expected: str) -> Iterator[Amiss]:
    met: set[str] = set()
    for path, code in named:
        if code in met:
            yield Amiss(path, code, expected)
        met.add(code)


def _rings(tables: Mapping[str, Any]) -> Iterator[Amiss]:
    """Parts that are parts of themselves, by whatever way round."""
    above = {
        row["code"]: row["of"]
        for _, _, row in _rows(tables, "part")
        if isinstance(row.get("code"), str) and isinstance(row.get("of"), str)
    }
    for path, code in _texts(tables, "part", "code"):
        met: set[str] = set()
        at = code
        while at in above and at not in met:
            met.add(at)
            at = above[at]
        if met and at == code:
            yield Amiss((*path[:-1], "of"), above[code], f"a part that is not itself part of {code}")


def _faces(tables: Mapping[str, Any]) -> Iterator[Amiss]:
    """Face words, profiles, turnings and openings of which no area can be told."""
    sound: dict[int, Part] = {}
    for _, index, row in _rows(tables, "part"):
        with suppress(ValidationError):  # its own faults are told by the fields
            sound[index] = Part.model_validate(row)
    piece = Piece(kind=PieceKind.OTHER)
    for index, part in sound.items():
        for fault in area_faults(Survey.model_construct(id="", piece=piece, part=(part,))):
            key = fault.key.rpartition(".")[2]
            yield Amiss(("part", index, key), fault.found, fault.expected, fault.nearest)


def _foreign_words(tables: Mapping[str, Any], words: Words) -> Iterator[Amiss]:
    for table, index, row in _rows(tables, "test"):
        yield from _known_pair((table, index), row, "test", "a test of an old finish", words.tests)
    for table, index, row in _rows(tables, "reading"):
        if row.get("about") in ("date", "wood"):
            about = str(row["about"])
            features = words.date_features if about == "date" else words.wood_features
            yield from _known_pair((table, index), row, "feature", f"a feature for the {about}", features)
    for path, step in _texts(tables, "trial", "step"):
        yield from _known(path, step, "a step we know", words.steps)
    for table, index, row in _rows(tables, "decision"):
        if row.get("about") == "way" and isinstance(row.get("choose"), str):
            yield from _known((table, index, "choose"), row["choose"], "a way to go about it", words.ways)
        named = {"skip": "step", "add": "after"}.get(str(row.get("about")))
        if named and isinstance(row.get(named), str) and row[named]:
            yield from _known((table, index, named), row[named], "a step of the plan", words.rules)


def _known(path: Path, text: str, what: str, known: Collection[str]) -> Iterator[Amiss]:
    if known and not is_unknown(text) and key_of(text) not in {key_of(one) for one in known}:
        near = nearest(key_of(text), known)
        listed = f": {', '.join(known)}" if len(known) <= 15 else ""
        yield Amiss(path, text, f"{what}{listed}", near)


def _known_pair(
    at: Path, row: dict[str, Any], key: str, what: str, known: Mapping[str, Collection[str]]
) -> Iterator[Amiss]:
    """A key of other rooms, and its state."""
    text, state = row.get(key), row.get("state")
    if not isinstance(text, str):
        return
    yield from _known((*at, key), text, what, tuple(known))
    states = next((known[one] for one in known if key_of(one) == key_of(text)), ())
    if isinstance(state, str) and state:
        yield from _known((*at, "state"), state, f"what “{text}” may show", states)
