"""TOML texts as people write them, for property tests: headers, dotted keys, inline tables, long lists, comments."""

import json
from typing import Any

from hypothesis import strategies as st

_BARE = st.text("abcdefgh-_0123", min_size=1, max_size=5)
_QUOTED = st.sampled_from(["with space", "a.b", 'say "so"', "für", "#no comment", "[x]", "back\\slash"])
KEYS = st.one_of(_BARE, _BARE, _BARE, _QUOTED)
_TEXT = st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=8)
SCALARS = st.one_of(
    st.integers(-999, 999), st.booleans(), _TEXT, st.sampled_from(["# no comment", "[part]", "a = 1", "“x”"])
)
LISTS = st.lists(SCALARS, max_size=3)


def tables_of(depth: int = 2) -> st.SearchStrategy[dict[str, Any]]:
    """Tables with scalars, lists, tables and lists of tables in them."""
    values: Any = st.one_of(SCALARS, SCALARS, LISTS)
    if depth:
        inner = tables_of(depth - 1)
        values = st.one_of(values, values, inner, st.lists(inner, min_size=1, max_size=3))
    return st.dictionaries(KEYS, values, max_size=4)


def key_text(key: str) -> str:
    """A key as TOML spells it."""
    bare = key.isascii() and all(letter.isalnum() or letter in "-_" for letter in key)
    return key if bare and key else json.dumps(key, ensure_ascii=False)


def _scalar(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def is_tables(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(item, dict) for item in value)


@st.composite
def toml_texts(draw: Any, newline: str = "\n") -> tuple[str, dict[str, Any]]:
    """A text and the tables it says. Every comment in it is unlike every other."""
    tables = draw(tables_of())
    lines: list[str] = []
    comments = 0

    def chatter() -> None:
        nonlocal comments
        for _ in range(draw(st.integers(0, 1))):
            comments += 1
            lines.append(draw(st.sampled_from(["", f"# note {comments};", f"  # = [note] {comments};"])))

    def trailing() -> str:
        nonlocal comments
        comments += 1
        return draw(st.sampled_from(["", f"  # aside {comments};"]))

    def inline(value: Any) -> str:
        if isinstance(value, dict):
            return "{" + ", ".join(f"{key_text(key)} = {inline(item)}" for key, item in value.items()) + "}"
        if isinstance(value, list):
            if value and draw(st.booleans()):
                rows = [f"  {inline(item)},{trailing()}" for item in value]
                return "\n".join(["[", *rows, "]"])
            return "[" + ", ".join(inline(item) for item in value) + "]"
        return _scalar(value)

    def on_one_line(value: Any) -> str:
        if isinstance(value, dict):
            return "{" + ", ".join(f"{key_text(key)} = {on_one_line(item)}" for key, item in value.items()) + "}"
        if isinstance(value, list):
            return "[" + ", ".join(on_one_line(item) for item in value) + "]"
        return _scalar(value)

    def dotted(prefix: str, table: dict[str, Any]) -> None:
        for key, value in table.items():
            name = f"{prefix}.{key_text(key)}"
            if isinstance(value, dict) and value:
                dotted(name, value)
            else:
                lines.append(f"{name} = {on_one_line(value)}{trailing()}")

    def body(path: tuple[str, ...], table: dict[str, Any]) -> None:
        headed = []
        for key, value in table.items():
            styles = ["inline"]
            if isinstance(value, dict):
                styles = ["inline", "header", "header"] + (["dotted"] if value else [])
            elif is_tables(value):
                styles = ["inline", "header", "header"]
            style = draw(st.sampled_from(styles))
            chatter()
            if style == "header":
                headed.append((key, value))
            elif style == "dotted":
                dotted(key_text(key), value)
            else:
                # An inline table stands on one line, and so does all that is in it.
                written = on_one_line(value) if isinstance(value, dict) or is_tables(value) else inline(value)
                lines.append(f"{key_text(key)} = {written}{trailing()}")
        for key, value in headed:
            below = (*path, key)
            name = ".".join(map(key_text, below))
            for item in value if isinstance(value, list) else [value]:
                chatter()
                lines.append(f"[[{name}]]{trailing()}" if isinstance(value, list) else f"[{name}]{trailing()}")
                body(below, item)

    body((), tables)
    return newline.join("\n".join(lines).split("\n")) + draw(st.sampled_from(["", newline])), tables


def paths_in(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """The path of everything in tables."""
    items: Any = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [one for key, item in items for one in [(*path, key), *paths_in(item, (*path, key))]]


def at(value: Any, path: tuple[str | int, ...]) -> Any:
    """What stands at a path."""
    for step in path:
        value = value[step]
    return value
