"""Reading the tables that stand beside the code: CSV in, checked rows out, each number with its source."""

import csv
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from typing import Any

from witnessmark.quantities import Range

from .figures import Figure, Standing


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

    def keys_in(self, column: str) -> tuple[str, ...]:
        """A `;` list of keys; empty where the cell is."""
        return tuple(part.strip() for part in self.cells[column].split(";") if part.strip())

    def number(self, column: str) -> float | None:
        """The cell as a number; None where it is empty. Raises BadTable where it is neither."""
        text = self.cells[column].strip()
        if not text:
            return None
        try:
            return float(text)
        except ValueError:
            raise BadTable(
                f"{self.table}, line {self.line}, {column}: “{text}” is not a number. Write it as 3.5."
            ) from None

    def _standing(self, column: str, group: str | None) -> tuple[Standing, str]:
        prefix = f"{group}_" if group and f"{group}_standing" in self.cells else ""
        standing = self.cells[f"{prefix}standing"] or self.cells["standing"]
        source = self.cells.get(f"{prefix}source_key") or self.cells["source_key"]
        return Standing(standing), source

    def figure(self, column: str, kind: Callable[[float], Any], group: str | None = None) -> Figure | None:
        """The cell as a cited figure in `kind`, such as `Length`; None where the cell is empty.

        `group` names the columns `<group>_standing` and `<group>_source_key` where a table keeps them apart.
        """
        number = self.number(column)
        if number is None:
            return None
        standing, source = self._standing(column, group)
        return Figure(f"{self.table}:{self.key}:{column}", kind(number), standing, source, self.cells.get("note", ""))

    def range_figure(
        self, columns: tuple[str, str, str], kind: Callable[[float], Any], group: str | None = None
    ) -> Figure | None:
        """Three cells, low, usual and high, as one cited range; None where the usual is empty.

        An empty end takes the usual; an empty usual takes the middle of two ends that are there, as does a table
        that has no column for it: then give "" for its name.
        """
        low, usual, high = (self.number(column) if column else None for column in columns)
        if usual is None and low is not None and high is not None:
            usual = (low + high) / 2
        if usual is None:
            return None
        low, high = usual if low is None else low, usual if high is None else high
        named = columns[1] or columns[0]
        standing, source = self._standing(named, group)
        value = kind(usual) if low == high else Range(kind(low), kind(usual), kind(high))
        return Figure(f"{self.table}:{self.key}:{named}", value, standing, source, self.cells.get("note", ""))


@cache
def table(room: str, name: str, key: str = "key") -> tuple[Row, ...]:
    """The rows of `<room>/<name>`, in file order. Raises BadTable on a row of the wrong length.

    A row's `key` is its cell in the column `key`; rows may share one, then `row` gives the first.
    """
    text = resources.files(f"witnessmark.{room}").joinpath(name).read_text("utf-8")
    reader = csv.reader(text.splitlines())
    header = next(reader)
    path, rows = f"{room}/{name}", []
    for cells in reader:
        if len(cells) != len(header):
            raise BadTable(f"{path}, line {reader.line_num}: {len(cells)} cells where the header has {len(header)}.")
        named = dict(zip(header, cells, strict=True))
        rows.append(Row(path, reader.line_num, named[key], named))
    return tuple(rows)


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


def rule(room: str, key: str) -> Figure:
    """One constant of `<room>/rules.csv`: `key,value,low,high,unit,standing,source_key,note`."""
    cells = row(room, "rules.csv", key)
    from witnessmark.quantities import from_json

    shown: dict[str, Any] = {"value": cells.number("value"), "unit": cells["unit"]}
    if cells.number("low") is not None and cells.number("high") is not None:
        shown |= {"low": cells.number("low"), "high": cells.number("high")}
    standing = Standing(cells["standing"])
    return Figure(f"{room}/rules.csv:{key}", from_json(shown), standing, cells["source_key"], cells["note"])


_SUFFIX_UNITS = (
    ("_m2_per_l", "m2/L"), ("_g_per_m2", "g/m2"), ("_kg_m3", "kg/m3"), ("_per_pct_mc", "per % MC"), ("_wt_pct", "%"),
    ("_vol_pct", "%"), ("_pct", "%"), ("_kpa_20c", "kPa"), ("_c", "°C"), ("_h", "h"), ("_d", "days"), ("_min", "min"),
    ("_s", "s"), ("_g", "g"), ("_ml", "ml"), ("_mm", "mm"), ("_um", "um"), ("_ppm", "ppm"), ("_years", "years"),
)  # fmt: skip


def _unit_of(column: str, cells: dict[str, str]) -> str:
    if cells.get("unit"):
        return cells["unit"]
    return next((unit for suffix, unit in _SUFFIX_UNITS if column.endswith(suffix)), "1")


def _group_of(column: str, header: list[str]) -> str:
    groups = [name.removesuffix("_standing") for name in header if name.endswith("_standing")]
    fits = [group for group in groups if re.match(rf"{group}(_|$)", column)]
    return max(fits, key=len) if fits else ""


def all_figures() -> list[dict[str, Any]]:
    """Every number in every table: figure, value, unit, standing, source. What `witnessmark sources` prints."""
    listed = []
    root = resources.files("witnessmark")
    for room in sorted(root.iterdir(), key=lambda entry: entry.name):
        if not room.is_dir():
            continue
        for entry in sorted(room.iterdir(), key=lambda entry: entry.name):
            if not entry.name.endswith(".csv") or entry.name == "bibliography.csv":
                continue
            rows = list(csv.DictReader(entry.read_text("utf-8").splitlines()))
            for line, cells in enumerate(rows, 2):
                key = next(iter(cells.values()))
                for column, text in cells.items():
                    if column == "note" or not re.fullmatch(r"-?\d+(\.\d+)?", text or ""):
                        continue
                    group = _group_of(column, list(cells))
                    prefix = f"{group}_" if group else ""
                    listed.append({
                        "figure": f"{room.name}/{entry.name}:{key}:{column}", "line": line,
                        "value": float(text), "unit": _unit_of(column, cells),
                        "standing": cells.get(f"{prefix}standing") or cells["standing"],
                        "source": cells.get(f"{prefix}source_key") or cells["source_key"],
                    })  # fmt: skip
    return listed
