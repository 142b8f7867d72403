"""Writing back: a value changes, a table is added, and everything else stays as the person wrote it.

The text itself is spliced at the places the grammar gives, so comments, order and spacing outside the change
are kept byte for byte; what comes out is read again and must say exactly what was wanted.
"""

import re
import tomllib
from collections.abc import Mapping
from copy import deepcopy
from enum import Enum
from itertools import pairwise
from typing import Any

import tomlkit

from .faults import Refused
from .places import Path, Places
from .reading import key_text
from .toml import plain, toml_from


def set_in(text: str, path: Path, value: Any) -> str:
    """The TOML text with `value` at `path`; tables on the way are made, and None takes the key out.

    A number in the path counts from 0; one past the last adds an item: `("decision", 2)`. A value is text, a
    number, true or false, a day, an instant, a list or a mapping of these.
    Raises Refused where the path leads nowhere, Faulty where the text is not TOML.
    """
    tables, text = toml_from(text, "the text to change"), plain(text)
    wanted = [_with(tables, path, value)]
    taken = path
    while value is None and len(taken) > 1 and not _at(wanted[0], taken[:-1]):
        taken = taken[:-1]  # a list without its only [[element]], a table without its only dotted key, is gone too
        wanted.append(_with(tables, taken, None))
    edited = _spliced(text, path, value)
    if not any(_says(edited, one) for one in wanted):
        raise Refused(f"{key_text(path)} can't be changed in this text without rewriting it: change it by hand.")
    return edited


def _says(text: str, wanted: dict[str, Any]) -> bool:
    try:
        return tomllib.loads(text) == wanted
    except tomllib.TOMLDecodeError:
        return False


def _at(value: Any, path: Path) -> Any:
    for step in path:
        value = value[step]
    return value


def toml_text(tables: Mapping[str, Any]) -> str:
    """Tables as a fresh TOML text, plain keys first, lists of tables as [[tables]]."""
    return tomlkit.dumps(_ordered(tables))


def _ordered(value: Any) -> Any:
    """Plain keys before tables, as TOML needs them; an empty list of tables says nothing."""
    if isinstance(value, Mapping):
        items = [(key, _ordered(item)) for key, item in value.items() if item is not None]
        return dict(sorted(items, key=lambda item: isinstance(item[1], dict) or _is_tables(item[1])))
    if isinstance(value, list | tuple):
        return [_ordered(item) for item in value]
    return value.value if isinstance(value, Enum) else value


def _is_tables(value: Any) -> bool:
    return isinstance(value, list | tuple) and bool(value) and all(isinstance(item, Mapping) for item in value)


def _with(tables: dict[str, Any], path: Path, value: Any) -> dict[str, Any]:
    """The same change on plain tables: what the text must say afterwards."""
    if not path:
        raise Refused("a change needs the key it is for.")
    changed = deepcopy(tables)
    at: Any = changed
    for step, following in pairwise(path):
        empty: Any = [] if isinstance(following, int) else {}
        if isinstance(at, dict) and isinstance(step, str):
            at = at.setdefault(step, empty)
        elif isinstance(at, list) and isinstance(step, int) and step <= len(at):
            if step == len(at):
                at.append(empty)
            at = at[step]
        else:
            raise Refused(f"there is no {key_text(path)} to change.")
    last = path[-1]
    if isinstance(at, dict) and isinstance(last, str):
        at.pop(last, None) if value is None else at.__setitem__(last, _plain_value(value))
    elif isinstance(at, list) and isinstance(last, int) and last < len(at) + (value is not None):
        at[last : last + 1] = [] if value is None else [_plain_value(value)]
    else:
        raise Refused(f"there is no {key_text(path)} to change.")
    return changed


def _plain_value(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _plain_value(item) for key, item in value.items() if item is not None}
    if isinstance(value, list | tuple):
        return [_plain_value(item) for item in value]
    return value


def _spliced(text: str, path: Path, value: Any) -> str:
    page = _Page(text)
    if value is None:
        return page.without(path)
    if path in page.places.values:
        return page.replaced(path, _literal(value))
    if path in page.places.headers or page.keys_under(path):
        return _merged(text, path, value, page.keys_under(path))
    parent, last = path[:-1], path[-1]
    if parent in page.places.values:
        return page.with_item(parent, value if isinstance(last, int) else {last: value})
    if isinstance(last, int):
        if isinstance(value, Mapping) and page.is_table(parent[:-1]):
            return page.with_table(parent, value, element=True)
        return _spliced(text, parent, [value])
    if not page.is_table(parent):
        if page.keys_under(parent):  # a table made of dotted keys alone goes on in dotted keys
            return page.with_dotted_line(parent, last, value)
        return _spliced(text, parent, {last: value})
    if isinstance(value, Mapping):
        return page.with_table(path, value, element=False)
    if _is_tables(value):
        for block in value:
            text = _Page(text).with_table(path, block, element=True)
        return text
    return page.with_line(parent, f"{_key(last)} = {_literal(value)}")


def _merged(text: str, path: Path, value: Any, keys: set[str | int]) -> str:
    """A table, or a list of them, that stands in several lines: changed key by key, so that its comments stay."""
    alike = all(isinstance(key, int) for key in keys) and path not in _Page(text).places.headers
    if isinstance(value, Mapping) and not any(isinstance(key, int) for key in keys):
        wanted: dict[Any, Any] = {key: item for key, item in value.items() if item is not None}
    elif _is_tables(value) and alike:
        wanted = dict(enumerate(value))
    else:
        return _spliced(_Page(text).without(path), path, value)
    for key, item in wanted.items():
        text = _spliced(text, (*path, key), item)
    # From the last down, so that the numbers of those still to go stay what they were.
    for gone in sorted(keys - wanted.keys(), key=lambda key: key if isinstance(key, int) else -1, reverse=True):
        text = _spliced(text, (*path, gone), None)
    return text


class _Page:
    """A text being spliced: bytes, since the grammar counts in bytes."""

    def __init__(self, text: str) -> None:
        self.places = Places(text)
        self._bytes = text.encode("utf-8")
        self._newline = b"\r\n" if b"\r\n" in self._bytes else b"\n"

    def is_table(self, path: Path) -> bool:
        return not path or path in self.places.headers

    def keys_under(self, path: Path) -> set[str | int]:
        """The keys or the numbers of what stands under `path`, in whatever lines."""
        known = [*self.places.pairs, *self.places.headers]
        return {one[len(path)] for one in known if len(one) > len(path) and one[: len(path)] == path}

    def replaced(self, path: Path, literal: str) -> str:
        node = self.places.values[path]
        return self._splice(node.start_byte, node.end_byte, literal.encode())

    def without(self, path: Path) -> str:
        """Without the pair or the item, or without the table and all that is under it."""
        if path in self.places.values and not self._has_its_own_line(path):
            return self._without_item(path)
        cuts = {
            (self._line_start(node.start_byte), self._line_end(node.end_byte))
            for at, node in self.places.pairs.items()
            if at[: len(path)] == path and self._has_its_own_line(at)
        }
        cuts |= {
            (self._line_start(node.start_byte), self._own_end(at))
            for at, node in self.places.headers.items()
            if at[: len(path)] == path
        }
        left, upto = b"", 0
        for start, end in sorted(cuts):
            left, upto = left + self._bytes[upto : max(start, upto)], max(end, upto)
        return (left + self._bytes[upto:]).decode()

    def _has_its_own_line(self, path: Path) -> bool:
        pair = self.places.pairs.get(path)
        return pair is not None and pair.parent is not None and pair.parent.type != "inline_table"

    def _without_item(self, path: Path) -> str:
        """Without an item of a list or a key of an inline table, and without the comma after or before it."""
        node = self.places.pairs.get(path, self.places.values[path])
        start, end = node.start_byte, node.end_byte
        comma = re.match(rb"\s*,\s*", self._bytes[end:])
        if comma:
            end += comma.end()
        elif before := re.search(rb"\s*,\s*$", self._bytes[:start]):
            start = before.start()
        return self._splice(start, end, b"")

    def with_item(self, path: Path, item: Any) -> str:
        """With one more item in the list at `path`, or one more pair, `{key: value}`, in the inline table there."""
        node = self.places.values[path]
        inline = node.type == "inline_table"
        literal = ", ".join(f"{_key(k)} = {_literal(v)}" for k, v in item.items()) if inline else _literal(item)
        items = [child for child in node.named_children if child.type != "comment"]
        if items:
            return self._splice(items[-1].end_byte, items[-1].end_byte, f", {literal}".encode())
        whole = f"{{ {literal} }}" if inline else f"[{literal}]"
        return self._splice(node.start_byte, node.end_byte, whole.encode())

    def with_dotted_line(self, table: Path, key: str, value: Any) -> str:
        """With one more dotted key below the last one that speaks of `table`."""
        kin = [at for at in self.places.pairs if at[: len(table)] == table and self._has_its_own_line(at)]
        last = self.places.pairs[max(kin, key=lambda at: self.places.pairs[at].end_byte)]
        owners = [at for at, node in self.places.headers.items() if last.parent == node]
        dotted = [*table[len(owners[0]) if owners else 0 :], key]
        line = ".".join(_key(str(step)) for step in dotted)
        return self._inserted(self._line_end(last.end_byte), f"{line} = {_literal(value)}")

    def with_line(self, table: Path, line: str) -> str:
        """With one more line under a table, after its last own pair."""
        return self._inserted(self._own_end(table), line)

    def with_table(self, path: Path, value: Mapping[str, Any], element: bool) -> str:
        """With a new [table] or [[element]] after all that belongs to its parent, or to its last sister."""
        name = ".".join(_key(step) for step in path if isinstance(step, str))
        lines = [f"[[{name}]]" if element else f"[{name}]"]
        nested: list[tuple[str, Any]] = []
        for key, item in value.items():
            if isinstance(item, Mapping) or _is_tables(item):
                nested.append((key, item))
            elif item is not None:
                lines.append(f"{_key(key)} = {_literal(item)}")
        kin = [at for at in self.places.headers if at[: len(path)] == path]
        owner = path if kin else path[:-1]
        blank = "" if not self._bytes.strip() else self._newline.decode()
        at = self._extent_end(owner)
        text = self._inserted(at, blank + self._newline.decode().join(lines))
        if element:
            count = sum(1 for one in self.places.headers if one[:-1] == path)
            path = (*path, count)
        for key, item in nested:
            text = _spliced(text, (*path, key), item)
        return text

    def _inserted(self, at: int, lines: str) -> str:
        start = b"" if at == 0 or self._bytes[:at].endswith(b"\n") else self._newline
        return self._splice(at, at, start + lines.encode() + self._newline)

    def _own_end(self, table: Path) -> int:
        """Where a table's own pairs end: the start of the line below the last one."""
        node = self.places.headers.get(table)
        if node is not None:
            last = [child for child in node.named_children if child.type != "comment"][-1]
            return self._line_end(last.end_byte)
        inside = [pair.end_byte for pair in self.places.pairs.values() if self._is_at_root(pair)]
        return self._line_end(max(inside)) if inside else 0

    @staticmethod
    def _is_at_root(pair: Any) -> bool:
        return pair.parent is not None and pair.parent.type == "document"

    def _extent_end(self, path: Path) -> int:
        """Where all ends that belongs to a table: its own pairs and every table under it."""
        under = [self._own_end(at) for at in self.places.headers if at[: len(path)] == path]
        return max([*under, len(self._bytes) if not path else 0])

    def _line_start(self, at: int) -> int:
        return self._bytes.rfind(b"\n", 0, at) + 1

    def _line_end(self, at: int) -> int:
        end = self._bytes.find(b"\n", at)
        return len(self._bytes) if end < 0 else end + 1

    def _splice(self, start: int, end: int, new: bytes) -> str:
        return (self._bytes[:start] + new + self._bytes[end:]).decode()


def _literal(value: Any) -> str:
    """A value as TOML writes it on one line; text of several lines between three quotes."""
    if isinstance(value, Mapping):
        pairs = ", ".join(f"{_key(key)} = {_literal(item)}" for key, item in value.items() if item is not None)
        return f"{{ {pairs} }}" if pairs else "{}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(_literal(item) for item in value)}]"
    if isinstance(value, str):
        return tomlkit.string(value, multiline="\n" in value).as_string()
    return str(tomlkit.item(value).as_string())


def _key(key: str) -> str:
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else tomlkit.string(key).as_string()
