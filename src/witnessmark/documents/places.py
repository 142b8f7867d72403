"""Where in a TOML text a key stands, for saying on which line to mend it.

The grammar is tree-sitter's; arrays of tables, dotted keys and inline tables are followed as TOML 1.0 has them.
"""

import tomllib

import tree_sitter_toml
from tree_sitter import Language, Node, Parser

Path = tuple[str | int, ...]


def _key_parts(node: Node) -> list[str]:
    """The parts of a bare, quoted or dotted key."""
    if node.type == "dotted_key":
        return [part for child in node.named_children for part in _key_parts(child)]
    text = (node.text or b"").decode("utf-8")
    return list(tomllib.loads(f"{text} = 0")) if node.type == "quoted_key" else [text]


class Places:
    """Where every table, key and value of one TOML text stands. Empty where the text is not sound TOML."""

    def __init__(self, text: str) -> None:
        self.values: dict[Path, Node] = {}  # the value of a key, or the item of a list
        self.pairs: dict[Path, Node] = {}  # the whole “key = value”
        self.headers: dict[Path, Node] = {}  # a [table] or one [[element]], with the pairs under it
        self._lines: dict[Path, int] = {}
        root = Parser(Language(tree_sitter_toml.language())).parse(text.encode("utf-8")).root_node
        if not root.has_error:
            self._walk(root)

    def line_of(self, path: Path) -> int | None:
        """The line (from 1) on which `path` stands; that of its table where the key itself is missing.

        None when the text was not fully understood, or nothing of the path is there: never a wrong line.
        """
        for length in range(len(path), 0, -1):
            if path[:length] in self._lines:
                return self._lines[path[:length]]
        return None

    def _note(self, path: Path, node: Node) -> None:
        self._lines.setdefault(path, node.start_point[0] + 1)

    def _walk(self, root: Node) -> None:
        counts: dict[Path, int] = {}

        def resolved(parts: list[str]) -> Path:
            # A header below an array of tables speaks of its last element.
            path: Path = ()
            for part in parts:
                path = (*path, part)
                if path in counts:
                    path = (*path, counts[path])
            return path

        for node in root.named_children:
            if node.type == "pair":
                self._pair(node, ())
            elif node.type in {"table", "table_array_element"}:
                header = _key_parts(node.named_children[0])
                path = (*resolved(header[:-1]), header[-1])
                for length in range(1, len(path) + 1):
                    self._note(path[:length], node)
                if node.type == "table_array_element":
                    counts[path] = counts.get(path, -1) + 1
                    path = (*path, counts[path])
                    self._note(path, node)
                self.headers[path] = node
                self._pairs(node.named_children[1:], path)

    def _pairs(self, nodes: list[Node], base: Path) -> None:
        for node in nodes:
            if node.type == "pair":
                self._pair(node, base)

    def _pair(self, node: Node, base: Path) -> None:
        key, value = node.named_children[0], node.named_children[1]
        path = base
        for part in _key_parts(key):
            path = (*path, part)
            self._note(path, node)
        self.pairs[path] = node
        self._value(value, path)

    def _value(self, value: Node, path: Path) -> None:
        self._note(path, value)
        self.values[path] = value
        if value.type == "inline_table":
            self._pairs(value.named_children, path)
        elif value.type == "array":
            items = [child for child in value.named_children if child.type != "comment"]
            for index, item in enumerate(items):
                self._value(item, (*path, index))
