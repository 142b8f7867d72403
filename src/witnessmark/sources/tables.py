"""Reading the tables that stand beside the code: CSV in, checked rows out, each number with its source."""

import csv
import io
import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from witnessmark.quantities import Range, Unit, from_json

from .figures import Figure, Standing

# Tables are files of the package and lie beside the code; importlib.resources would cost `mix` a tenth of its time.
PACKAGE = Path(__file__).parents[1]


class BadTable(ValueError):
    """A table of ours that can't be read: which file, line and column, what was found, what was expected."""


@dataclass(frozen=True)
class Row:
    """One row of a table: its cells as text, and figures made of them on asking."""

    table: str
    line: int
    key: str
    cells: dict[str, str] = field(hash=False)

    def __getitem__(self, column: str) -> str:
        return self.cells[column]

    def bad(self, column: str, fault: str) -> BadTable:
        """The complaint about one cell, to raise."""
        return BadTable(f"{self.table}, line {self.line}, {column}: {fault}")

    def keys_in(self, column: str) -> tuple[str, ...]:
        """A `;` list of keys; empty where the cell is."""
        return tuple(part.strip() for part in self.cells[column].split(";") if part.strip())

    def number(self, column: str) -> float | None:
        """The cell as a number; None where it is empty. Raises BadTable where it is neither."""
        text = self.cells[column].strip()
        if not text:
            return None
        if not _is_number(text):
            pointed = text.replace(",", ".")
            example = pointed if _is_number(pointed) else "it as 3.5"
            raise self.bad(column, f"“{text}” is not a number. Write {example}.")
        return float(text)

    def standing(self, group: str | None = None) -> tuple[Standing, str]:
        """How far the figures of this row, or of a group of its columns, can be leant on; their source."""
        standing, source = _cited(self.cells, f"{group}_" if group else "")
        try:
            return Standing(standing), source
        except ValueError:
            known = ", ".join(standing.value for standing in Standing)
            raise self.bad("standing", f"“{standing}” is no standing. Write one of {known}.") from None

    def _figure(self, column: str, value: Any, group: str | None) -> Figure:
        standing, source = self.standing(group)
        return Figure(f"{self.table}:{self.key}:{column}", value, standing, source, self.cells.get("note", ""))

    def figure(self, column: str, kind: Callable[[float], Any], group: str | None = None) -> Figure | None:
        """The cell as a cited figure in `kind`, such as `Length`; None where the cell is empty.

        `group` names the columns `<group>_standing` and `<group>_source_key` where a table keeps them apart.
        """
        number = self.number(column)
        return None if number is None else self._figure(column, kind(number), group)

    def range_figure(
        self, columns: tuple[str, str, str], kind: Callable[[float], Any], group: str | None = None
    ) -> Figure | None:
        """Three cells, low, usual and high, as one cited range; None where the usual is empty.

        An empty end takes the usual; an empty usual takes the middle of two ends that are there. So does a table
        without a column for it, named "" here.
        """
        low, usual, high = (self.number(column) if column else None for column in columns)
        if usual is None and low is not None and high is not None:
            usual = (low + high) / 2
        if usual is None:
            return None
        low, high = usual if low is None else low, usual if high is None else high
        if not low <= usual <= high:
            raise self.bad(columns[0], f"a range runs from low to high, not {low:g}, {usual:g}, {high:g}.")
        value = kind(usual) if low == high else Range(kind(low), kind(usual), kind(high))
        return self._figure(columns[1] or columns[0], value, group)


def _is_number(text: str) -> bool:
    # Stricter than float(), which also takes nan, inf and 1_000.
    return bool(re.fullmatch(r"-?\d+(\.\d+)?([eE][+-]?\d+)?", text)) and math.isfinite(float(text))


def _cited(cells: dict[str, str], prefix: str) -> tuple[str, str]:
    """Standing and source of a group of columns, or of the whole row where the group keeps none."""
    standing = cells.get(f"{prefix}standing") or cells.get("standing", "")
    return standing, cells.get(f"{prefix}source_key") or cells.get("source_key", "")


def _rows(entry: Path, path: str, key: str | None = None) -> tuple[Row, ...]:
    """The rows of a table, keyed by its column `key`, or by its first."""
    reader = csv.reader(io.StringIO(entry.read_text("utf-8"), newline=""))
    header = next(reader, [])
    key = header[0] if key is None and header else key
    if key not in header:
        raise BadTable(f"{path}, line 1: the header has no column “{key}”.")
    rows, line = [], 2
    for cells in reader:
        if len(cells) != len(header):
            raise BadTable(f"{path}, line {line}: {len(cells)} cells where the header has {len(header)}.")
        named = dict(zip(header, cells, strict=True))
        rows.append(Row(path, line, named[key], named))
        line = reader.line_num + 1  # a quoted cell may run over several lines
    return tuple(rows)


@cache
def table(room: str, name: str, key: str = "key") -> tuple[Row, ...]:
    """The rows of `<room>/<name>`, in file order. Raises BadTable on a row of the wrong length.

    A row's `key` is its cell in the column `key`; rows may share one, then `row` gives the first.
    """
    return _rows(PACKAGE / room / name, f"{room}/{name}", key)


@cache
def _by_key(room: str, name: str, key: str) -> dict[str, Row]:
    found: dict[str, Row] = {}
    for row in table(room, name, key):
        found.setdefault(row.key, row)
    return found


def row(room: str, name: str, key_value: str, key: str = "key") -> Row:
    """The first row with this key. Raises KeyError, with the table named, where there is none."""
    try:
        return _by_key(room, name, key)[key_value]
    except KeyError:
        raise KeyError(f"{room}/{name} has no row “{key_value}”") from None


@cache
def rule(room: str, key: str) -> Figure:
    """One constant of `<room>/rules.csv`: `key,value,low,high,unit,standing,source_key,note`.

    The unit is one of `Unit`; `1` is a plain number. An empty end of a range takes the value.
    """
    cells = row(room, "rules.csv", key)
    if cells["unit"] not in {unit.value for unit in Unit}:
        known = ", ".join(unit.value for unit in Unit)
        raise cells.bad("unit", f"“{cells['unit']}” is no unit of ours. Write one of {known}.")
    found = cells.range_figure(
        ("low", "value", "high"), lambda number: from_json({"value": number, "unit": cells["unit"]})
    )
    if found is None:
        raise cells.bad("value", "empty. Write the number the rule stands for.")
    return Figure(f"{cells.table}:{key}", found.value, found.standing, found.source_key, found.note)


# --- listing ---

_SUFFIX_UNITS = {
    "_m2_per_l": "m2/L", "_g_per_m2": "g/m2", "_kg_m3": "kg/m3", "_per_pct_mc": "per % MC", "_wt_pct": "%",
    "_vol_pct": "%", "_pct": "%", "_kpa_20c": "kPa", "_c": "°C", "_h": "h", "_d": "days", "_min": "min",
    "_s": "s", "_g": "g", "_ml": "ml", "_mm": "mm", "_um": "um", "_ppm": "ppm", "_years": "years",
}  # fmt: skip


def _unit_of(column: str, cells: dict[str, str]) -> str:
    if cells.get("unit"):
        return cells["unit"]
    return next((unit for suffix, unit in _SUFFIX_UNITS.items() if column.endswith(suffix)), "1")


def _group_of(column: str, cells: dict[str, str]) -> str:
    """The longest group of columns that this one belongs to by its name; empty for the row at large."""
    groups = [name.removesuffix("standing") for name in cells if name.endswith("_standing")]
    return max((group for group in groups if f"{column}_".startswith(group)), key=len, default="")


def all_figures() -> list[dict[str, Any]]:
    """Every number in every table, with unit, standing and source. What `witnessmark sources` prints."""
    listed: list[dict[str, Any]] = []
    rooms = sorted(PACKAGE.iterdir())
    for room in (entry for entry in rooms if entry.is_dir()):
        for entry in sorted(room.iterdir()):
            if entry.name.endswith(".csv") and entry.name != "bibliography.csv":
                for row in _rows(entry, f"{room.name}/{entry.name}"):
                    listed += _figures_of(row)
    return listed


def _figures_of(row: Row) -> list[dict[str, Any]]:
    figures = []
    for column, text in row.cells.items():
        if column == "note" or not _is_number(text):
            continue
        standing, source = _cited(row.cells, _group_of(column, row.cells))
        figures.append({
            "figure": f"{row.table}:{row.key}:{column}", "line": row.line, "value": float(text),
            "unit": _unit_of(column, row.cells), "standing": standing, "source": source,
        })  # fmt: skip
    return figures
