"""Workings: an answer with its formula and what went in, so that anyone can do the sum again.

A formula is a plain function with its words beside it:

    @formula("solvent = flakes ÷ cut")
    def solvent_for(flakes: Mass, cut: Cut) -> Volume: ...

Called, it is the plain function. `work(solvent_for, flakes=given("--flakes", Mass(60)), cut=…)` gives a
`Working`: the same value, with its inputs by reference. Inputs are what somebody gave (`Given`), cited
numbers (`Figure`) or other workings; their values are amounts, numbers, texts or tuples of these, so that the
working can be done again from what it shows. Where an input is a Range, the formula is worked at every
corner: exact as long as it only rises or only falls with each ranged input, as a formula here must.
"""

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import Any, Generic, TypeVar

from witnessmark.quantities import UNKNOWN, Amount, Money, Range, Unknown, as_json, from_json

from .figures import Figure, Standing, weakest

V = TypeVar("V")


@dataclass(frozen=True)
class Formula(Generic[V]):
    """A named sum: callable as the plain function it wraps."""

    key: str
    says: str
    function: Callable[..., V]
    source: Figure | None = None

    def __call__(self, *args: Any, **kwargs: Any) -> V:
        return self.function(*args, **kwargs)


FORMULAS: dict[str, Formula[Any]] = {}


def formula(says: str, source: Figure | None = None) -> Callable[[Callable[..., V]], Formula[V]]:
    """Makes the function below a formula.

    `says` is the sum in words; `source` the figure that backs its form. The key is its room and name: raises
    ValueError where two functions of a room share one.
    """

    def named(function: Callable[..., V]) -> Formula[V]:
        room = function.__module__.removeprefix("witnessmark.").split(".")[0]
        key = f"{room}.{function.__name__}"
        known = FORMULAS[key].function if key in FORMULAS else function
        if (known.__module__, known.__qualname__) != (function.__module__, function.__qualname__):
            raise ValueError(f"two formulas are called {key}: rename one")
        FORMULAS[key] = Formula(key, says, function, source)
        return FORMULAS[key]

    return named


@dataclass(frozen=True)
class Given:
    """What somebody measured or decided: its place (`--flakes`, `parts.top.size`) and its value."""

    place: str
    value: Any


def given(place: str, value: Any) -> Given:
    """An input straight from a person or a document."""
    return Given(place, value)


@dataclass(frozen=True)
class Working(Generic[V]):
    """An answer with its sum: the value, the formula, and each input by reference."""

    formula: Formula[Any]
    inputs: "tuple[tuple[str, Given | Figure | Working[Any]], ...]"
    value: Any

    @cached_property
    def id(self) -> str:
        """Readable and the same tomorrow: the formula and a short hash of what went in."""
        import hashlib  # only an answer that is written down gets a name: a sum on the screen needs none

        text = json.dumps([[name, _reference(item)] for name, item in self.inputs], sort_keys=True)
        return f"{self.formula.key}:{hashlib.sha256(text.encode()).hexdigest()[:10]}"

    @cached_property
    def standing(self) -> Standing:
        """The weakest standing of all that went in."""
        standings = [item.standing for _, item in self.inputs if isinstance(item, Figure | Working)]
        if self.formula.source:
            standings.append(self.formula.source.standing)
        return weakest(standings)


Input = Given | Figure | Working[Any]


def _reference(item: Input) -> dict[str, Any]:
    match item:
        case Working():
            return {"working": item.id}
        case Figure():
            return {
                "figure": item.name,
                "shown": _shown(item.value),
                "standing": item.standing.value,
                "source": item.source_key,
            }
    return {"given": item.place, "shown": _shown(item.value)}


def _shown(value: Any) -> Any:
    """A value as JSON, from which `_understood` makes the same value."""
    match value:
        case tuple() | list():
            return [_shown(item) for item in value]
        case bool() | str():
            return value
        case int() | float():
            return {"value": float(f"{value:.12g}") if isinstance(value, float) else value, "unit": "1"}
        case Amount() | Money() | Range() | Unknown():
            return as_json(value)
    raise TypeError(f"{value!r} can't stand in a working: give an amount, a number, a text or a tuple of these")


def _understood(shown: Any) -> Any:
    match shown:
        case list():
            return tuple(_understood(item) for item in shown)
        case dict():
            return from_json(shown)
        case None:
            return UNKNOWN
    return shown


def evaluate(function: Callable[..., V], values: dict[str, Any]) -> Any:
    """The function at these values; a Range where any of them is one, worked at every corner."""
    ranged = [name for name, value in values.items() if isinstance(value, Range)]
    usual = function(**{name: v.usual if isinstance(v, Range) else v for name, v in values.items()})
    corners = [usual]
    for ends in product(("low", "high"), repeat=len(ranged)) if ranged else ():
        picked = {name: getattr(values[name], end) for name, end in zip(ranged, ends, strict=True)}
        corners.append(function(**{**values, **picked}))
    if isinstance(usual, tuple):
        return tuple(_spread(part) for part in zip(*corners, strict=True))
    return _spread(corners)


def _spread(corners: Sequence[Any]) -> Any:
    """From the usual and the corners: the value, or the Range where they differ."""
    usual = corners[0]
    # Ends that differ by the noise of a sum alone are no range: they would show as one.
    if all(corner == usual or _shown(corner) == _shown(usual) for corner in corners):
        return usual
    return Range(min(corners), usual, max(corners))


def work(made: Formula[V], **inputs: Input) -> Working[V]:
    """The answer of a formula with its working. Raises what the formula raises."""
    value = evaluate(made.function, {name: item.value for name, item in inputs.items()})
    return Working(made, tuple(inputs.items()), value)


def table_of(workings: Iterable[Working[Any]]) -> dict[str, Any]:
    """The workings, and all that they rest on, as one flat table by id: plain JSON."""
    flat: dict[str, Any] = {}

    def add(item: Working[Any]) -> None:
        if item.id in flat:
            return
        for _, part in item.inputs:
            if isinstance(part, Working):
                add(part)
        flat[item.id] = {
            "formula": item.formula.key,
            "says": item.formula.says,
            "inputs": {name: _reference(part) for name, part in item.inputs},
            "value": _shown(item.value),
            "standing": item.standing.value,
        }
        if item.formula.source:
            flat[item.id]["source"] = item.formula.source.source_key

    for working in workings:
        add(working)
    return flat


def recomputed(flat: dict[str, Any], working_id: str) -> Any:
    """The value of one working of a flat table, done again from its own inputs, as JSON.

    For tests and for the doubtful. Raises KeyError where an input refers to a working not in the table.
    """
    entry = flat[working_id]
    values = {
        name: _understood(flat[ref["working"]]["value"] if "working" in ref else ref["shown"])
        for name, ref in entry["inputs"].items()
    }
    return _shown(evaluate(FORMULAS[entry["formula"]].function, values))
