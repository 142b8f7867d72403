"""The demo pieces, their shop and its day book, for every room's tests: read once, frozen, so safe to share."""

import hashlib
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

from witnessmark.daybook import DayBook, daybook_from
from witnessmark.shop import Shop, shop_from
from witnessmark.survey import Survey, survey_from

DEMO = Path(__file__).resolve().parents[1] / "demo"
PIECES = ("chest", "chair", "slope", "dresser")
NOW = datetime(2026, 11, 25, 8, tzinfo=UTC)  # the morning after the demo day book ends


def text_of(name: str) -> str:
    """The text of a file of the demo, such as `chest.toml`."""
    return (DEMO / name).read_text("utf-8")


@cache
def piece(name: str) -> Survey:
    """One of PIECES, read as its shop reads it."""
    return survey_from(text_of(f"{name}.toml"), f"demo/{name}.toml", shop().context)


def chest() -> Survey:
    """The Victorian mahogany chest of drawers: the full survey."""
    return piece("chest")


def chair() -> Survey:
    """The ash and elm Windsor chair: a customer's, ten facts and the parts that matter."""
    return piece("chair")


def slope() -> Survey:
    """The walnut writing slope: veneered, its escutcheon of bone or ivory."""
    return piece("slope")


def dresser() -> Survey:
    """The pine dresser in old lead paint."""
    return piece("dresser")


@cache
def shop() -> Shop:
    """The demo shop: two people, two rooms, a cupboard."""
    return shop_from(text_of("shop.toml"), "demo/shop.toml")


@cache
def daybook() -> DayBook:
    """A week of the demo shop's entries."""
    return daybook_from(text_of("daybook.jsonl"), "demo/daybook.jsonl", shop().context)


@cache
def photographs() -> dict[str, bytes]:
    """The demo's pictures by the SHA-256 of their files."""
    files = [file.read_bytes() for file in sorted((DEMO / "pictures").glob("*.png"))]
    return {hashlib.sha256(content).hexdigest(): content for content in files}
