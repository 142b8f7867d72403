"""What a command checks before it asks a room, and how a room's reasons become a refusal."""

import functools
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from witnessmark.documents import Fault, Faulty, Refused
from witnessmark.materials import AmbiguousName, UnknownName
from witnessmark.quantities import Amount, low
from witnessmark.sources import Input, Working

from .frame import AmountOf, Answer

if TYPE_CHECKING:
    from witnessmark.shop import Shop
    from witnessmark.survey import Survey


def refuses(*reasons: type[ValueError]) -> Callable[[Callable[..., Answer]], Callable[..., Answer]]:
    """Turns a room's reasons into refusals: understood, not done, and why."""

    def guarded(command: Callable[..., Answer]) -> Callable[..., Answer]:
        @functools.wraps(command)
        def run(*args: Any, **kwargs: Any) -> Answer:
            try:
                return command(*args, **kwargs)
            except reasons as reason:
                raise Refused(str(reason)) from None

        return run

    return guarded


class Some(AmountOf):
    """An amount that must be more than nothing."""

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        amount = super().convert(value, param, context)
        if isinstance(low(amount), Amount) and low(amount).magnitude <= 0:
            option = param.opts[0] if param else "?"
            raise Faulty([Fault(option, "", str(value), "more than nothing")])
        return amount


def one_of(options: dict[str, Any]) -> str:
    """The single option given of several. Raises Faulty where none is, or more than one."""
    there = [name for name, value in options.items() if value is not None]
    if len(there) != 1:
        found = " and ".join(there) or "none of them"
        raise Faulty([Fault("command line", "", found, f"exactly one of {', '.join(options)}")])
    return there[0]


def together(options: dict[str, Any]) -> None:
    """Raises Faulty where one of these is given without the others, naming what is missing."""
    there = [name for name, value in options.items() if value is not None]
    missing = [name for name in options if name not in there]
    if there and missing:
        raise Faulty([Fault(name, "", "", f"{name} beside {' and '.join(there)}") for name in missing])


def named(look: Callable[[str], Any], option: str, text: str, expected: str) -> Any:
    """What the text names, by `look`. Raises Faulty with the nearest name, or with those that it could be."""
    try:
        return look(text)
    except UnknownName as error:
        near = error.nearest[0] if error.nearest else None
        raise Faulty([Fault(option, "", text, expected, nearest=near)]) from None
    except AmbiguousName as error:
        raise Faulty([Fault(option, "", text, f"one of: {'; '.join(error.choices)}")]) from None


def result(**found: Input | None) -> dict[str, Any]:
    """The result by its names: workings as they are, what was given or read from a table as its value."""
    return {name: item if item is None or isinstance(item, Working) else item.value for name, item in found.items()}


def words_of(shop: "Shop | None", survey: "Survey") -> str:
    """Whose words and bans, UK or US: the shop's, else those of where the piece is from, else the UK's."""
    if shop:
        return shop.shop.words.value
    return "US" if survey.piece.region.value == "US" else "UK"
