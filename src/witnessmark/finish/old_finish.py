"""What is on it now? Tests of an old finish go in; how likely each finish is, layer by layer, comes out.

Solvent tests speak of one solubility, drops of water and oil of one openness: each counts once. A film may lie under
wax, and then the lamp, the drops and the scrape speak of the wax; it is wiped off the spot before a solvent is tried.
Chances: finish_tests.csv; what the survey calls each finish: old_finishes.csv.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from math import prod
from typing import Protocol

from witnessmark.materials import material, members_of
from witnessmark.odds import (
    Candidate,
    Conflict,
    Feature,
    Found,
    How,
    Look,
    Question,
    Reading,
    ReadingWords,
    strength_of,
)
from witnessmark.sources import rule, table

from .spot_tests import spot_tests

WAX = "wax"
_UNDER_WAX = "_under_wax"
_GROUPS = ("any_varnish", "any_film")  # narrowest first: what may be said when no single finish can
UNKNOWN = "don't know"


@dataclass(frozen=True)
class Tried:
    """One test as it came out: keys of the tables, as `finish_words` gives them; the part it was made on."""

    test: str
    state: str
    part: str = ""
    how: How = How.SEEN


class TestRow(Protocol):
    """A test as a survey holds it: words, and perhaps the part."""

    @property
    def test(self) -> str: ...
    @property
    def state(self) -> str: ...
    @property
    def part(self) -> str | None: ...


@dataclass(frozen=True)
class Said:
    """What one test did: how many times it multiplied the odds on the likeliest finish, and in words."""

    key: str
    state: str
    ratio: float
    says: str


@dataclass(frozen=True)
class Layer:
    """One layer: each finish with its chance, likeliest first; the chance that wax lies over it.

    `told` is the finish where it may be named, else None; `group` then the narrowest group that may be.
    """

    probabilities: dict[str, float]
    none_of_these: float
    waxed: float
    told: str | None
    group: tuple[str, float] | None
    readings: tuple[Said, ...]
    conflicts: tuple[Conflict, ...]
    next_looks: tuple[Look, ...]
    enough: str | None


@dataclass(frozen=True)
class Surface:
    """One part's finish, the uppermost layer first; `part` is empty for the piece at large."""

    part: str
    layers: tuple[Layer, ...]


@dataclass(frozen=True)
class OldFinishTold:
    """All tests of a piece. `layer` is the uppermost of all surfaces together, or of the first where they differ.

    `same` is the chance that all surfaces carry one finish: None where only one was tested.
    """

    layer: Layer
    surfaces: tuple[Surface, ...]
    same: float | None


def old_finishes() -> tuple[str, ...]:
    """The key of every finish that can be told, in table order."""
    return tuple(cells.key for cells in table("finish", "old_finishes.csv", "finish_key"))


def survey_words() -> dict[str, str]:
    """Each finish key with what the survey's `finish.kind` calls it; “don't know” where it has no word."""
    return {cells.key: cells["old_finish"] for cells in table("finish", "old_finishes.csv", "finish_key")}


@cache
def finish_words() -> ReadingWords:
    """How the tests and their states are named."""
    states: dict[str, dict[str, str]] = {}
    for cells in table("finish", "test_states.csv"):
        states.setdefault(cells["test"], {})[cells["state"]] = cells["says"]
    return ReadingWords("test of an old finish", {one.key: [one.name, *one.also] for one in spot_tests()}, states)


@cache
def finish_question() -> Question:
    """Every finish, bare and under wax, and every test in the order to try them."""
    waxed = float(rule("finish", "waxed_over").value)
    candidates: list[Candidate] = []
    for cells in table("finish", "old_finishes.csv", "finish_key"):
        name = material(cells.key).name
        groups = (cells.key, *(group for group in _GROUPS if cells.key in members_of(group)))
        met = float(rule("finish", f"met_{cells['met']}").value)
        over = waxed if cells["may_be_waxed"] == "yes" else 0.0
        candidates.append(Candidate(cells.key, name, met * (1 - over), groups))
        if over:
            candidates.append(Candidate(cells.key + _UNDER_WAX, f"{name} under wax", met * over, groups))
    chances: dict[str, dict[str, dict[str, float]]] = {}
    for cells in table("finish", "finish_tests.csv"):
        by_finish = chances.setdefault(cells["test"], {})
        by_finish.setdefault(cells["finish_key"], {})[cells["state"]] = cells.number("probability") or 0.0
    features = tuple(
        Feature(
            key=test.key,
            name=test.name,
            states=test.states,
            chances=chances[test.key]
            | {key + _UNDER_WAX: chances[test.key][WAX if test.wax_hides else key] for key in old_finishes()},
            group=test.hangs_with,
            minutes=test.minutes,
            harm=test.harm,
            words=finish_words().states[test.key],
        )
        for test in spot_tests()
    )
    return Question(tuple(candidates), features)


def tell_finish(tried: Sequence[Tried]) -> OldFinishTold:
    """The odds of each finish after the tests, surface by surface and all together.

    A test without a part speaks of every surface. A test made again on the same part with another answer speaks of
    the layer beneath, laid bare since.
    """
    parts = list(dict.fromkeys(one.part for one in tried if one.part))
    at_large = [one for one in tried if not one.part]
    surfaces = tuple(
        Surface(part, tuple(_layer(layer) for layer in _layers([one for one in tried if one.part in {"", part}])))
        for part in parts or [""]
    )
    if len(parts) < 2:
        return OldFinishTold(surfaces[0].layers[0], surfaces, None)
    same = _same([_chances(_layers([one for one in tried if one.part == part])[0]) for part in parts])
    tops = [_layers([one for one in tried if one.part == part])[0] for part in parts]
    together = _layer([*at_large, *(one for top in tops for one in top)])
    return OldFinishTold(together if same >= 0.5 else surfaces[0].layers[0], surfaces, same)


def told(tests: Iterable[TestRow], part: str = "") -> dict[str, float]:
    """The chance of each word of the survey's `finish.kind`, from its tests; of `part` alone where one is named.

    “don't know” takes what the survey has no word for and what is none of these. Where surfaces differ and no part
    is named, each surface counts alike. Without a test all is “don't know”. Raises BadReading on a test or state
    that nobody knows.
    """
    tried = [tried_in(row) for row in tests]
    tried = [one for one in tried if not part or one.part in {"", part}]
    if not tried:
        return {UNKNOWN: 1.0}
    found = tell_finish(tried)
    apart = found.same is not None and found.same < 0.5
    layers = [surface.layers[0] for surface in found.surfaces] if apart else [found.layer]
    words, chances = survey_words(), {UNKNOWN: 0.0}
    for layer in layers:
        chances[UNKNOWN] += layer.none_of_these / len(layers)
        for key, chance in layer.probabilities.items():
            chances[words[key]] = chances.get(words[key], 0.0) + chance / len(layers)
    return dict(sorted(chances.items(), key=lambda item: -item[1]))


def tried_in(row: TestRow) -> Tried:
    """A survey's test in the keys of the tables. Raises BadReading."""
    test, state = finish_words().reading(row.test, row.state)
    return Tried(test, state, row.part or "")


def _layers(tried: Sequence[Tried]) -> list[list[Tried]]:
    """The tests of one surface, layer by layer, uppermost first."""
    layers: list[list[Tried]] = [[]]
    for one in tried:
        again = next((before for before in layers[-1] if before.test == one.test), None)
        if again and again.state != one.state and How.SEEN is again.how is one.how:
            layers.append([])
        layers[-1].append(one)
    return layers


def _weigh(tried: Sequence[Tried]) -> Found:
    trust = {test.key: test.trust for test in spot_tests()}
    return finish_question().weigh(
        [Reading(one.test, one.state, one.how, one.how.reliability * trust[one.test]) for one in tried]
    )


def by_finish(found: Found) -> dict[str, float]:
    """The chances of the finishes, waxed or not; likeliest first."""
    chances: dict[str, float] = {}
    for key, chance in found.probabilities.items():
        bare = key.removesuffix(_UNDER_WAX)
        chances[bare] = chances.get(bare, 0.0) + chance
    return dict(sorted(chances.items(), key=lambda item: -item[1]))


def _chances(tried: Sequence[Tried]) -> dict[str, float]:
    found = _weigh(tried)
    return by_finish(found) | {"": found.none_of_these}


def _same(surfaces: Sequence[dict[str, float]]) -> float:
    """The chance that surfaces tested apart carry one finish: Bayes' factor of one against each its own."""
    before = _chances([])
    factor = sum(before[key] * prod(surface[key] / before[key] for surface in surfaces) for key in before)
    share = float(rule("finish", "one_finish_throughout").value)
    return share * factor / (share * factor + 1 - share)


def _layer(tried: Sequence[Tried]) -> Layer:
    found = _weigh(tried)
    chances = by_finish(found)
    bar = float(rule("odds", "told").value)
    lead = next(iter(chances))
    sure = lead if chances[lead] >= bar else None
    return Layer(
        probabilities=chances,
        none_of_these=found.none_of_these,
        waxed=sum(chance for key, chance in found.probabilities.items() if key.endswith(_UNDER_WAX)),
        told=sure,
        group=None if sure else found.group,
        readings=tuple(_said(tried, at, found, lead) for at in range(len(tried))),
        conflicts=found.conflicts,
        next_looks=found.next_looks,
        enough=found.enough,
    )


def _said(tried: Sequence[Tried], at: int, found: Found, lead: str) -> Said:
    """One test against all the others, of the finish whether waxed or not."""
    with_it, without = (by_finish(one)[lead] for one in (found, _weigh([*tried[:at], *tried[at + 1 :]])))
    ratio = (with_it / (1 - with_it)) / (without / (1 - without))
    one, counted = tried[at], found.readings[at].counted
    name, state = finish_words().features[one.test][0], finish_words().states[one.test][one.state]
    how = {How.SEEN: "", How.NOT_SEEN: "not ", How.UNSURE: "perhaps "}[one.how]
    aside = "" if counted else "; another test of the same property counts in its place"
    return Said(one.test, one.state, ratio, f"{name}: {how}{state}: {strength_of(ratio, material(lead).name)}{aside}")
