"""The shopping list as a table any program opens."""

import csv
import io
from typing import Any

from witnessmark.plan import PiecePlan
from witnessmark.quantities import as_json
from witnessmark.sources import Working

from .voice import Voice

_COLUMNS = ("material", "name", "need", "need_high", "need_unit", "on_shelf", "on_shelf_unit", "buy", "packs",
            "price", "price_high", "currency")  # fmt: skip


def shopping_of(plan: PiecePlan, voice: Voice) -> bytes:
    """`shopping.csv`: exact amounts, each with its unit in the next column; the pack to ask for in words."""
    text = io.StringIO(newline="")
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow(_COLUMNS)
    for line in plan.shopping:
        need, need_high, unit = _number(line.need)
        shelf, _, shelf_unit = _number(line.on_shelf)
        price, price_high, currency = _number(line.price)
        rows.writerow(
            (
                line.material, _harmless(voice.ours(line.name)), need, need_high, unit, shelf, shelf_unit,
                _harmless(line.buy), line.packs, price, price_high, currency,
            )
        )  # fmt: skip
    return text.getvalue().encode()


def _number(amount: Any) -> tuple[Any, Any, str]:
    """Its usual, its high end where it is a range, and its unit."""
    shown = as_json(amount.value if isinstance(amount, Working) else amount)
    return (shown["value"], shown.get("high", ""), shown["unit"]) if isinstance(shown, dict) else ("", "", "")


def _harmless(text: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return f"'{text}" if text[:1] in {"=", "+", "-", "@", "\t", "\r"} else text
