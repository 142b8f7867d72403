"""What is looked for in a wood: the features, their states in plain words, and how they are named.

Tables: features.csv (how to look, and its harm), feature_states.csv (states and how often each is met at large),
identification.csv (how often a wood shows a state), weight_classes.csv.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from witnessmark.odds import ReadingWords
from witnessmark.sources import table

WEIGHT = "weight"  # not a row of the tables: reckoned from the densities


@dataclass(frozen=True)
class State:
    """One state of a feature. `background` is how often it is met over all the woods listed."""

    key: str
    says: str
    background: float


@dataclass(frozen=True)
class LensFeature:
    """One thing to look for. `harm` runs from 0 (looking) to 5; `harm_if_not_clean` where no clean bare spot exists.

    States exclude each other unless `exclusive` is False. Features of one `hangs_with` are seen by one look and
    count once; `trust` is how far a clear reading of it is believed. `applies_to` names the woods it tells apart:
    all, hardwood, softwood, ring_porous.
    """

    key: str
    name: str
    what_to_do: str
    exclusive: bool
    applies_to: str
    hangs_with: str
    harm: int
    harm_if_not_clean: int
    minutes: float
    trust: float
    states: tuple[State, ...]

    def state(self, key: str) -> State:
        """Raises KeyError."""
        return {state.key: state for state in self.states}[key]


@cache
def lens_features() -> tuple[LensFeature, ...]:
    """Every feature of the tables, in table order."""
    states: dict[str, list[State]] = {}
    for cells in table("wood", "feature_states.csv"):
        state = State(cells["state"], cells["says"], cells.number("background") or 0.0)
        states.setdefault(cells["feature"], []).append(state)
    return tuple(
        LensFeature(
            key=cells.key,
            name=cells["name"],
            what_to_do=cells["what_to_do"],
            exclusive=cells["exclusive"] == "yes",
            applies_to=cells["applies_to"],
            hangs_with=cells["hangs_with"],
            harm=int(cells.number("harm_0_5") or 0),
            harm_if_not_clean=int(cells.number("harm_if_not_clean_0_5") or 0),
            minutes=cells.number("minutes") or 0.0,
            trust=cells.number("trust") or 0.0,
            states=tuple(states[cells.key]),
        )
        for cells in table("wood", "features.csv")
    )


@cache
def shown_by() -> Mapping[str, Mapping[str, Mapping[str, float]]]:
    """Feature → wood → state → how often, where somebody has said so."""
    found: dict[str, dict[str, dict[str, float]]] = {}
    for cells in table("wood", "identification.csv"):
        by_wood = found.setdefault(cells["feature"], {})
        by_wood.setdefault(cells["wood_key"], {})[cells["state"]] = cells.number("probability") or 0.0
    return found


@dataclass(frozen=True)
class WeightClass:
    """How heavy, between two densities in kg/m³; an open end is 0 or infinity."""

    key: str
    says: str
    least: float
    most: float


@cache
def weight_classes() -> tuple[WeightClass, ...]:
    """From the lightest to what sinks."""
    return tuple(
        WeightClass(cells.key, cells["says"], cells.number("from_kg_m3") or 0.0,
                    cells.number("below_kg_m3") or float("inf"))
        for cells in table("wood", "weight_classes.csv")
    )  # fmt: skip


@cache
def wood_words() -> ReadingWords:
    """How the features of wood and their states are named."""
    return ReadingWords(
        "feature of wood",
        {cells.key: [cells["name"], *cells.keys_in("also")] for cells in table("wood", "features.csv")}
        | {WEIGHT: ["weight", "heft", "density"]},
        {one.key: {state.key: state.says for state in one.states} for one in lens_features()}
        | {WEIGHT: {one.key: one.says for one in weight_classes()}},
        there=("present", "greasy_waxy", "interlocked_ribbon"),
    )
