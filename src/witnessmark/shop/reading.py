"""The shop's way in: TOML or JSON to a checked `Shop`; and the plain shop that stands in where nobody wrote one."""

from collections.abc import Iterator, Mapping
from importlib import resources
from string import Template
from typing import Any

from witnessmark.documents import Amiss, document_from, document_in, schema_of, toml_text
from witnessmark.quantities import Currency, Gallon, say
from witnessmark.sources import rule

from .model import FORM, Shop


def shop_from(text: str, where: str) -> Shop:
    """The shop in a TOML text. Raises Faulty with every fault, each with its key and line.

    Pints and pounds cut are read by its own gallon, bare sums of money in its own currency; where the text says
    no gallon, a measure that needs one is a fault, not a guess.
    """
    return document_from(text, where, FORM, reading_context, _across)


def shop_in(tables: dict[str, Any], where: str) -> Shop:
    """The shop in tables that came as JSON. Raises Faulty, without lines."""
    return document_in(tables, where, FORM, reading_context(tables), _across)


def shop_text(shop: Shop) -> str:
    """The shop as a TOML text that reads back as the same shop."""
    return toml_text(shop.model_dump(by_alias=True, exclude_unset=True, exclude_none=True))


def shop_schema() -> dict[str, Any]:
    """The JSON Schema of the shop's document."""
    return schema_of(FORM)


def reading_context(tables: Mapping[str, Any]) -> dict[str, Any]:
    """The gallon and the currency the rest of the document is read by, from its raw `[shop]` table.

    The gallon is None where nobody said which.
    """
    settings = tables.get("shop")
    settings = settings if isinstance(settings, Mapping) else {}
    gallons = {kind.value: kind for kind in Gallon}
    currencies = {kind.value: kind for kind in Currency}
    return {
        "gallon": gallons.get(str(settings.get("gallon"))),
        "currency": currencies.get(str(settings.get("currency")), Currency.GBP),
    }


def starter() -> str:
    """The starter of a shop's document: a short TOML text with comments, which its own check passes."""
    return _template("starter.toml")


def plain_shop() -> Shop:
    """The shop that stands in where nobody wrote one: see `plain_shop_says`. Its hours are in `rules.csv`."""
    return shop_from(_template("plain.toml"), "the plain shop")


def plain_shop_says() -> tuple[str, ...]:
    """What the plain shop takes for granted, as warnings to print wherever it is used."""
    shop = plain_shop()
    hours, share = shop.person[0].hours["mon-fri"], say(rule("shop", "bench_fraction").value)
    return (
        f"no shop was given: reckoned with one person, Monday to Friday {hours}, {share} of it at the bench",
        f"no shop was given: hours in the zone {shop.shop.zone}, money in {shop.shop.currency.value}, pints and pounds "
        "cut on the US gallon",
        "no shop was given: its costs, rooms, air and cupboard are not known; “witnessmark shop new” starts one",
    )


def _template(name: str) -> str:
    text = resources.files("witnessmark.shop").joinpath(name).read_text("utf-8")
    times = ("day_begins", "lunch_begins", "lunch_ends", "day_ends")
    return Template(text).substitute({time: _clock(rule("shop", time).value.in_hours) for time in times})


def _clock(hours: float) -> str:
    whole, minutes = divmod(round(hours * 60), 60)
    return f"{whole}:{minutes:02}"


def _across(tables: Mapping[str, Any]) -> Iterator[Amiss]:
    """People, rooms, jars and what is stored are known by their names: each once."""
    named = (("person", "name", "person"), ("room", "name", "room"), ("cupboard", "jar", "jar"),
             ("store", "code", "thing in the store"))  # fmt: skip
    for table, key, what in named:
        rows = tables.get(table)
        met: set[str] = set()
        for index, row in enumerate(rows if isinstance(rows, list) else []):
            name = row.get(key) if isinstance(row, dict) else None
            if isinstance(name, str) and name:
                if name in met:
                    yield Amiss((table, index, key), name, f"a name of its own: there is a {what} of this name above")
                met.add(name)
