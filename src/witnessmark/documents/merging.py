"""Two people change one document at once: different keys go together, one key that both changed shows both.

Documents are plain JSON tables, as `json_of` gives them. Rows of a list of tables are the same row where they bear
the same name (code, SHA-256, id, jar, name), else where they say the same, else where they stand in place of it.
"""

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from typing import Any

NAMED_BY = ("code", "sha256", "id", "jar", "name")
Tables = dict[str, Any]
Row = tuple[str, Any, int]  # what tells a row from the others: ("base", its place, 0) or ("new", its name, which)


class _Absent:
    """Where a key is not."""

    def __repr__(self) -> str:
        return "absent"


_ABSENT = _Absent()


@dataclass(frozen=True)
class Merged:
    """What two people said together. `both` has, by its key, what each said of what both changed: (theirs, mine),
    None where it was taken out; there `tables` has theirs."""

    tables: Tables
    both: dict[str, tuple[Any, Any]] = field(default_factory=dict)


def merged(base: Mapping[str, Any], theirs: Mapping[str, Any], mine: Mapping[str, Any]) -> Merged:
    """What became of `base` when one person made it `theirs` and another `mine`.

    Where nothing is in `both`, swapping the two gives the same tables. Rows keep the order of who moved them; rows
    that both added after the same row stand in an order that does not depend on who came first.
    """
    both: dict[str, tuple[Any, Any]] = {}
    return Merged(_merged(dict(base), dict(theirs), dict(mine), "", both), both)


def _same(one: Any, other: Any) -> bool:
    """Whether two say the same; to Python 1 and true are equal, to a document they are not."""
    if one is _ABSENT or other is _ABSENT:
        return one is other
    return _text(one) == _text(other)


def _text(value: Any) -> str:
    return json.dumps(value, sort_keys=True, ensure_ascii=False)


def _merged(base: Any, theirs: Any, mine: Any, path: str, both: dict[str, tuple[Any, Any]]) -> Any:
    if _same(theirs, mine) or _same(mine, base):
        return theirs
    if _same(theirs, base):
        return mine
    if isinstance(theirs, dict) and isinstance(mine, dict) and isinstance(base, dict | _Absent):
        return _tables_merged(base if isinstance(base, dict) else {}, theirs, mine, path, both)
    if _rows(theirs) and _rows(mine) and (base is _ABSENT or _rows(base)):
        return _rows_merged([] if base is _ABSENT else base, theirs, mine, path, both)
    return _left_open(theirs, mine, path, both)


def _left_open(theirs: Any, mine: Any, path: str, both: dict[str, tuple[Any, Any]]) -> Any:
    both[path] = (None if theirs is _ABSENT else theirs, None if mine is _ABSENT else mine)
    return theirs


def _rows(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(row, dict) for row in value)


def _tables_merged(base: Tables, theirs: Tables, mine: Tables, path: str, both: dict[str, tuple[Any, Any]]) -> Tables:
    found: Tables = {}
    for key in (*base, *sorted((theirs.keys() | mine.keys()) - base.keys())):
        here = f"{path}.{key}" if path else key
        said = _merged(base.get(key, _ABSENT), theirs.get(key, _ABSENT), mine.get(key, _ABSENT), here, both)
        if said is not _ABSENT:
            found[key] = said
    return found


def _rows_merged(
    base: list[Tables], theirs: list[Tables], mine: list[Tables], path: str, both: dict[str, tuple[Any, Any]]
) -> list[Tables]:
    was = {("base", at, 0): row for at, row in enumerate(base)}
    them = dict(zip(_told_apart(base, theirs), theirs, strict=True))
    me = dict(zip(_told_apart(base, mine), mine, strict=True))
    kept: dict[Row, Tables] = {}
    for row in (*was, *sorted((them.keys() | me.keys()) - was.keys(), key=str)):
        before, they, i = was.get(row, _ABSENT), them.get(row, _ABSENT), me.get(row, _ABSENT)
        shown = next(one for one in (before, they, i) if isinstance(one, dict))
        said = _merged(before, they, i, f"{path}[{_called(row, shown)}]", both)
        if said is not _ABSENT:
            kept[row] = said
    return [kept[row] for row in _in_order(list(was), list(them), list(me), kept, path, both, (theirs, mine))]


def _name(row: Tables) -> str | None:
    """The name a row goes by, with the key that holds it."""
    return next((f"{key} {row[key]}" for key in NAMED_BY if isinstance(row.get(key), str) and row[key]), None)


def _called(row: Row, said: Tables) -> str:
    name = _name(said)
    if name:
        return name.partition(" ")[2]
    return str(row[1] + 1) if row[0] == "base" else "new"


def _told_apart(base: list[Tables], side: list[Tables]) -> list[Row]:
    """For each row of a side which row of the base it was, or that it is new."""
    told: dict[int, Row] = {}
    free = dict(enumerate(base))

    def pair(at: int, place: int) -> None:
        told[at] = ("base", place, 0)
        del free[place]

    for at, row in enumerate(side):  # the same name, else the same words
        name = _name(row)
        says = name or _text(row)
        place = next((place for place, old in free.items() if says == (_name(old) if name else _text(old))), None)
        if place is not None:
            pair(at, place)
    matcher = SequenceMatcher(None, [_text(row) for row in base], [_text(row) for row in side], autojunk=False)
    for act, first, last, begins, ends in matcher.get_opcodes():  # as many rows in place of as many: the same, changed
        if act == "replace" and last - first == ends - begins:
            for place, at in zip(range(first, last), range(begins, ends), strict=True):
                if at not in told and place in free and not _name(side[at]) and not _name(base[place]):
                    pair(at, place)
    met: Counter[str] = Counter()
    found: list[Row] = []
    for at, row in enumerate(side):
        if at not in told:
            name = _name(row) or _text(row)
            told[at] = ("new", name, met[name])
            met[name] += 1
        found.append(told[at])
    return found


def _in_order(
    was: Sequence[Row],
    theirs: Sequence[Row],
    mine: Sequence[Row],
    kept: Mapping[Row, Tables],
    path: str,
    both: dict[str, tuple[Any, Any]],
    said: tuple[Any, Any],
) -> Iterator[Row]:
    """The rows that are kept, in the order of whoever moved them; new ones behind the row they were put behind."""
    stayed = [row for row in was if row in kept and row in set(theirs) & set(mine)]
    orders = [[row for row in side if row in set(stayed)] for side in (theirs, mine)]
    moved = [order for order in orders if order != stayed]
    if len(moved) == 2 and moved[0] != moved[1]:
        _left_open(*said, path, both)
    spine = moved[0] if moved else stayed
    runs: dict[Row | None, list[list[Row]]] = {anchor: [[], []] for anchor in (None, *spine)}
    for number, side in enumerate((theirs, mine)):
        anchor: Row | None = None
        for row in side:
            if row in runs:
                anchor = row
            elif row in kept:
                runs[anchor][number].append(row)
    once: dict[Row, None] = {}
    for anchor, added in runs.items():
        for row in ([anchor] if anchor else []) + [row for run in sorted(added, key=str) for row in run]:
            once.setdefault(row)
    yield from once
