"""Where numbers come from: tables in; cited figures, and answers with their workings, out."""

from .bibliography import Source, bibliography
from .figures import Figure, Standing, weakest
from .tables import BadTable, Row, all_figures, row, rule, table
from .workings import (
    FORMULAS,
    Formula,
    Given,
    Input,
    Working,
    evaluate,
    formula,
    given,
    recomputed,
    table_of,
    work,
)

__all__ = [
    "FORMULAS", "BadTable", "Figure", "Formula", "Given", "Input", "Row", "Source", "Standing", "Working",
    "all_figures", "bibliography", "evaluate", "formula", "given", "recomputed", "row", "rule", "table",
    "table_of", "weakest", "work",
]  # fmt: skip
