"""What a written paper is built of, as data for `letter.typ`: headings, facts, tables, ticks, lines to write on.

A cell is words, or several lines of them; `strong`, `fine`, `red` and `tape` say how a line stands.
"""

from collections.abc import Iterable, Sequence
from typing import Any

Block = dict[str, Any]
Cell = str | dict[str, str] | Sequence[str | dict[str, str]]


def strong(says: str) -> dict[str, str]:
    return {"says": says, "as": "strong"}


def fine(says: str) -> dict[str, str]:
    return {"says": says, "as": "fine"}


def red(says: str) -> dict[str, str]:
    """May hurt, or can't be undone."""
    return {"says": says, "as": "red"}


def tape(says: str) -> dict[str, str]:
    """The name of a piece, a part or a jar, and nothing else."""
    return {"says": says, "as": "tape"}


def heading(says: str, level: int = 2) -> Block:
    return {"kind": "heading", "says": says, "level": level}


def para(says: str, how: str = "") -> Block:
    """A paragraph; `how`: `strong`, `fine` or `lead`."""
    return {"kind": "para", "says": says, "as": how}


def facts(pairs: Iterable[tuple[str, str]], columns: int = 2) -> Block:
    """Names and what is said of each; a line to write on where nothing is said."""
    return {"kind": "facts", "pairs": [{"name": name, "said": said} for name, said in pairs], "columns": columns}


def table(
    widths: Sequence[float],
    heads: Sequence[str],
    cells: Iterable[Sequence[Any]],
    numbers: Sequence[int] = (),
    empty_rows: int = 0,
) -> Block:
    """Rows of cells (`Cell`) under a head. A width is a share of the paper, or its millimetres less than 0.

    `empty_rows` are to be filled by hand; `numbers` are columns that stand right.
    """
    rows = [[_lines(cell) for cell in row] for row in cells]
    rows += [[[] for _ in heads] for _ in range(empty_rows)]
    return {
        "kind": "table",
        "widths": list(widths),
        "heads": list(heads),
        "cells": rows,
        "numbers": list(numbers),
        "empty_rows": empty_rows,
    }


def _lines(cell: Cell) -> list[dict[str, str]]:
    lines = [cell] if isinstance(cell, str | dict) else cell
    told = [line if isinstance(line, dict) else {"says": line, "as": ""} for line in lines]
    return [line for line in told if line["says"]]


def points(items: Iterable[str], columns: int = 1) -> Block:
    return {"kind": "points", "items": list(items), "columns": columns}


def ticks(items: Iterable[str], columns: int = 1) -> Block:
    """Boxes to tick, each with its words."""
    return {"kind": "ticks", "items": list(items), "columns": columns}


def slip(items: Iterable[tuple[str, str]], end: str = "") -> Block:
    """Cautions: a level, or nothing, and plain orders; `end` stands beneath them."""
    return {"kind": "slip", "items": [{"level": level, "says": says} for level, says in items], "end": end}


def fronts(items: Iterable[tuple[str, str, str, str]]) -> Block:
    """Figures somebody acts on: label, figure, range, note."""
    return {
        "kind": "fronts",
        "items": [
            {"label": label, "figure": figure, "range": wide, "note": note} for label, figure, wide, note in items
        ],
    }


def pictures(items: Iterable[dict[str, Any]]) -> Block:
    """Photographs, two in a row: `svg`, `wide`, `alt`, `caption`, and `lines` beneath."""
    return {"kind": "pictures", "items": list(items)}


def drawing(svg: str, alt: str) -> Block:
    """A drawing across the paper, made smaller where it would be too high; `alt` is it in words."""
    return {"kind": "drawing", "svg": svg, "alt": alt}


def lines(label: str, count: int) -> Block:
    """Ruled lines to write on."""
    return {"kind": "lines", "label": label, "count": count}


def signatures(roles: Iterable[str], words: Sequence[str] = ("name", "signature", "date")) -> Block:
    """A line each to sign on."""
    return {"kind": "signatures", "roles": list(roles), "words": list(words)}


def jar_label(**said: Any) -> Block:
    """A label to cut out: `jar`, `name`, `piece`, `signal`, `says`, `orders`, `holds`, `moments`, `by_hand`, `end`."""
    return {"kind": "jar_label", **said, "moments": [{"name": name, "said": when} for name, when in said["moments"]]}


def kept_together(*blocks: Block) -> Block:
    return {"kind": "together", "blocks": list(blocks)}


def boxed(*blocks: Block) -> Block:
    return {"kind": "boxed", "blocks": list(blocks)}


def sources(items: Iterable[str]) -> Block:
    return {"kind": "sources", "items": list(items)}


NEW_PAGE: Block = {"kind": "new_page"}
