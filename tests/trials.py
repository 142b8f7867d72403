"""Trials of the odds of wood and old finish: a specimen shows what the tables say it may, and is then told.

A specimen drawn from the tables tests the method, not the woods: it can only show what the tables list. Seeds are
fixed.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from random import Random

from witnessmark.finish import by_finish, finish_question, old_finishes, spot_tests
from witnessmark.odds import Found, How, Look, Question, Reading
from witnessmark.sources import rule
from witnessmark.wood import (
    Seen,
    Whereabouts,
    lens_features,
    tell_wood,
    weight_before,
    wood_question,
    woods_told_apart,
)

Specimen = dict[str, str]  # feature -> the state it shows


def specimen(question: Question, key: str, hand: Random | None, listed_only: bool = True) -> Specimen:
    """What one specimen shows: drawn as often as the tables say, or, without a hand, each feature's usual state."""
    at = [one.key for one in question.candidates].index(key)
    shown: Specimen = {}
    for place, feature in enumerate(question.features):
        if listed_only and key not in feature.chances:
            continue
        table, trust = question.tables[place, : len(feature.states)], _trust().get(feature.key, 1.0)
        chances = [(each[at] - (1 - trust) * each[-1]) / trust for each in table]  # as it is, not as it is believed
        state = hand.choices(feature.states, chances)[0] if hand else feature.states[chances.index(max(chances))]
        shown[feature.key] = state
    return shown


@cache
def _trust() -> dict[str, float]:
    return {one.key: one.trust for one in lens_features()}


def half_hidden(shown: Specimen, hand: Random) -> Specimen:
    return {key: state for key, state in shown.items() if hand.random() < 0.5}


def misread(shown: Specimen, question: Question, share: float, hand: Random) -> Specimen:
    """The same, with a share of the states read as any other of the feature."""
    return {
        key: hand.choice([other for other in question.feature(key).states if other != state])
        if hand.random() < share
        else state
        for key, state in shown.items()
    }


def as_seen(shown: Specimen) -> list[Seen]:
    """An engine's features as the tables have them: “vessel_contents.dark_gum”, “present”."""
    seen = []
    for key, state in shown.items():
        feature, _, part = key.partition(".")
        if not part:
            seen.append(Seen(feature, state))
        else:
            seen.append(Seen(feature, part, How.SEEN if state == "present" else How.NOT_SEEN))
    return seen


def wood_in_first(
    places: int, change: Callable[[Specimen, Random], Specimen], times: int, typical: bool = False, seed: int = 1
) -> float:
    """The share of specimens whose own wood stands in the first so many places."""
    hand, question, right, total = Random(seed), wood_question(), 0, 0
    for key in woods_told_apart():
        for _ in range(times):
            shown = change(specimen(question, key, None if typical else hand), hand)
            found = tell_wood(as_seen(shown)).found
            right += key in list(found.probabilities)[:places]
            total += 1
    return right / total


def wood_in_first_by_place(change: Callable[[Specimen, Random], Specimen], times: int, seed: int = 2) -> float:
    """The same for the first three, where the region and the place in the piece are known too, as at the bench."""
    hand, question, right, total = Random(seed), wood_question(), 0, 0
    for key in woods_told_apart():
        for _ in range(times):
            abouts = [Whereabouts(region, None, use) for region in ("UK", "US", "FR", "DE")
                      for use in ("show", "secondary", "lining", "veneer", "inlay", "carving", "chair", "seat",
                                  "turned")]  # fmt: skip
            about = hand.choices(abouts, [weight_before(key, one) for one in abouts])[0]
            shown = change(specimen(question, key, hand), hand)
            found = tell_wood(as_seen(shown), about=about).found
            right += key in list(found.probabilities)[:3]
            total += 1
    return right / total


@dataclass(frozen=True)
class Walk:
    """How one specimen was told: looks taken, minutes and harm spent, and where it ended."""

    key: str
    looks: tuple[Look, ...]
    reached: bool
    found: Found

    @property
    def minutes(self) -> float:
        return sum(look.minutes for look in self.looks)

    @property
    def harm(self) -> int:
        return max((look.harm for look in self.looks), default=0)


def walk(
    question: Question,
    key: str,
    shown: Specimen,
    choose: Callable[[Found, set[str]], str | None],
    believed: Callable[[str, str], float],
    chances: Callable[[Found], dict[str, float]] = lambda found: found.probabilities,
    bar: float = 0.9,
) -> Walk:
    """Looks one after the other until some candidate reaches the bar, or no look is left."""
    readings: list[Reading] = []
    taken: list[Look] = []
    found = question.weigh([])
    while max(chances(found).values()) < bar:
        look = choose(found, {reading.feature for reading in readings})
        if look is None:
            return Walk(key, tuple(taken), False, found)
        feature = question.feature(look)
        taken.append(Look(look, feature.name, 0.0, feature.harm, feature.minutes))
        readings.append(Reading(look, shown[look], reliability=believed(look, shown[look])))
        found = question.weigh(readings)
    return Walk(key, tuple(taken), True, found)


def best_next(found: Found, taken: set[str]) -> str | None:
    return found.next_looks[0].key if found.next_looks else None


def in_order(question: Question, most_harm: int = 2) -> Callable[[Found, set[str]], str | None]:
    """A fixed order: mildest first, else as the tables list them."""
    order = [one.key for one in sorted(question.features, key=lambda one: one.harm) if one.harm <= most_harm]
    return lambda found, taken: next((key for key in order if key not in taken), None)


def wood_walks(
    choose: Callable[[Found, set[str]], str | None], times: int, every: int = 1, seed: int = 3
) -> Iterator[Walk]:
    """Each wood, or `every` so manieth, walked to its name; the same seed shows both orders the same specimens."""
    sure = How.SEEN.reliability
    hand, question = Random(seed), wood_question()
    for key in woods_told_apart()[::every]:
        for _ in range(times):
            shown = specimen(question, key, hand, listed_only=False)
            yield walk(question, key, shown, choose, lambda look, state: sure)


def finish_walks(choose: Callable[[Found, set[str]], str | None], times: int, seed: int = 4) -> Iterator[Walk]:
    """Each finish, bare of wax, tested until it may be named."""
    trust = {one.key: one.trust for one in spot_tests()}
    sure, told = How.SEEN.reliability, float(rule("odds", "told").value)
    hand, question = Random(seed), finish_question()
    for key in old_finishes():
        for _ in range(times):
            shown = specimen(question, key, hand)
            yield walk(question, key, shown, choose, lambda look, state: sure * trust[look], by_finish, told)
