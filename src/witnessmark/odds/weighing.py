"""The sums: posterior, what each reading did, conflicts, and the next best look.

Candidate → state of each feature → what was read of it. A reader is right as often as the reading's reliability
and otherwise names a state as often as it is met at large, so a reading of reliability 0 changes nothing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from witnessmark.sources import rule

from .question import NONE_OF_THESE, BadOdds, Feature, How, Measured, Question, Reading
from .says import Conflict, Found, Look, Told, strength_of

Array = Any  # of floats; the last axis runs over candidates


def posterior(prior: Array, likelihoods: Array) -> Array:
    """Chances after independent likelihoods (blocks × candidates). Raises BadOdds where nothing is left."""
    with np.errstate(divide="ignore"):
        logs = np.log(prior) + np.log(np.reshape(likelihoods, (-1, len(prior)))).sum(axis=0)
    top = logs.max()
    if top == -np.inf:
        raise BadOdds("What was seen cannot all be so: no candidate, nor none of these, could show it.")
    weights = np.exp(logs - top)
    return weights / weights.sum()


def moved(after: Array, before: Array) -> float:
    """How far chances moved, in bits (Kullback and Leibler)."""
    live = after > 0
    return float((after[live] * np.log2(after[live] / before[live])).sum())


def doubt(chances: Array) -> float:
    """Entropy in bits."""
    live = chances[chances > 0]
    return float(-(live * np.log2(live)).sum())


def odds_of(chances: Array, at: int) -> float:
    """Odds on one candidate against all others together."""
    rest = float(chances.sum() - chances[at])
    return float(chances[at]) / rest if rest > 0 else float("inf")


def surprise(others: Array, prior: Array, likelihood: Array) -> float:
    """How likely a reading is after the others, over how likely it was before them. Below 1 they disagree."""
    return float((others @ likelihood) / (prior @ likelihood))


def gains(tables: Array, chances: Array) -> Array:
    """Expected information, in bits, of reading each feature: tables are features × states × candidates."""
    joint = tables * chances
    each = joint.sum(axis=2, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore"):
        bits = np.where(joint > 0, joint * np.log2(tables / each), 0.0)
    return np.maximum(bits.sum(axis=(1, 2)), 0.0)


@dataclass(frozen=True)
class _Item:
    """One reading with its likelihood by state, or a measurement with its likelihood by candidate."""

    key: str
    group: str
    state: str
    how: How | None
    words: str
    by_state: Array
    table: Array


def _items(question: Question, readings: Sequence[Reading | Measured]) -> list[_Item]:
    items = []
    for reading in readings:
        if isinstance(reading, Measured):
            row = np.array([reading.chances.get(one.key, reading.background) for one in question.candidates]
                           + [reading.background])  # fmt: skip
            items.append(_Item(reading.key, reading.group or reading.key, "", None, reading.says, np.ones(1),
                               row[None, :]))  # fmt: skip
            continue
        feature, at = question.feature(reading.feature), question.state_of(reading)
        table = question.tables[question.features.index(feature), : len(feature.states)]
        right = reading.how.reliability if reading.reliability is None else reading.reliability
        if not 0 <= right <= 1:
            raise BadOdds(f"{feature.key}: found a reliability of {right:g}, expected from 0 to 1.")
        said = np.arange(len(feature.states)) == at
        at_large = table[at, -1]
        if reading.how is How.NOT_SEEN:
            said, at_large = ~said, 1 - at_large
        items.append(_Item(feature.key, feature.group or feature.key, feature.states[at], reading.how,
                           _words(feature, feature.states[at], reading.how), right * said + (1 - right) * at_large,
                           table))  # fmt: skip
    return items


def _words(feature: Feature, state: str, how: How) -> str:
    there = len(feature.states) == 2 and state == feature.states[0] and not feature.words
    what = feature.name if there else f"{feature.name}: {feature.words.get(state, state)}"
    return {How.SEEN: what, How.NOT_SEEN: f"not {what}", How.UNSURE: f"{what} (unsure)"}[how]


def _likelihood(items: Sequence[_Item]) -> Array:
    """Of all readings of one feature: each is of the same hidden state."""
    return np.prod([item.by_state for item in items], axis=0) @ items[0].table


def weigh(question: Question, readings: Sequence[Reading | Measured]) -> Found:
    """Weighs the readings. Of a group, the feature that alone moves the odds most counts; the others are listed."""
    prior = question.prior
    items = _items(question, readings)
    by_feature: dict[str, list[_Item]] = {}
    for item in items:
        by_feature.setdefault(item.key, []).append(item)
    likelihood = {key: _likelihood(of_one) for key, of_one in by_feature.items()}
    counted: dict[str, str] = {}
    for key, of_one in by_feature.items():
        best = counted.setdefault(of_one[0].group, key)
        if moved(posterior(prior, likelihood[key]), prior) > moved(posterior(prior, likelihood[best]), prior):
            counted[of_one[0].group] = key
    after = posterior(prior, [likelihood[key] for key in counted.values()])
    lead = int(np.argmax(after))
    name = "none of these" if lead == len(question.candidates) else question.candidates[lead].name
    without = {
        group: posterior(prior, [likelihood[key] for other, key in counted.items() if other != group])
        for group in counted
    }
    told = []
    for item in items:
        fellows = [other for other in by_feature[item.key] if other is not item]
        bare = posterior(without[item.group], _likelihood(fellows)) if fellows else without[item.group]
        full = posterior(without[item.group], likelihood[item.key])
        before = odds_of(bare, lead)
        ratio = odds_of(full, lead) / before if 0 < before < float("inf") else 1.0
        counts = counted[item.group] == item.key
        aside = "" if counts else f"; hangs together with {counted[item.group]}, counted once"
        told.append(
            Told(item.key, item.state, item.how, ratio, f"{item.words}: {strength_of(ratio, name)}{aside}", counts)
        )
    looks, enough = _next(question, after, set(counted))
    return Found(
        probabilities={
            question.candidates[at].key: float(after[at])
            for at in sorted(range(len(question.candidates)), key=lambda at: -after[at])
        },
        none_of_these=float(after[-1]),
        leader=NONE_OF_THESE if lead == len(question.candidates) else question.candidates[lead].key,
        told=_named(question, after, lead),
        group=_group(question, after),
        readings=tuple(told),
        conflicts=tuple(_conflicts(question, by_feature, likelihood, counted, without)),
        entropy=doubt(after),
        next_looks=looks,
        enough=enough,
    )


def _named(question: Question, after: Array, lead: int) -> str | None:
    if after[lead] < float(rule("odds", "told").value) or lead == len(question.candidates):
        return None
    return question.candidates[lead].key


def _group(question: Question, after: Array) -> tuple[str, float] | None:
    """The narrowest group that may be named: the one with fewest members that reaches the bar."""
    chance: dict[str, float] = {}
    size: dict[str, int] = {}
    for at, one in enumerate(question.candidates):
        for group in one.groups:
            chance[group] = chance.get(group, 0.0) + float(after[at])
            size[group] = size.get(group, 0) + 1
    bar = float(rule("odds", "told").value)
    fit = [group for group in chance if chance[group] >= bar]
    best = min(fit, key=lambda group: (size[group], -chance[group]), default=None)
    return None if best is None else (best, chance[best])


def _conflicts(
    question: Question,
    by_feature: dict[str, list[_Item]],
    likelihood: dict[str, Array],
    counted: dict[str, str],
    without: dict[str, Array],
) -> list[Conflict]:
    """Readings far less likely after the others than before them; also those that a group's counted one hides."""
    bar = float(rule("odds", "conflict").value)
    found = []
    for key, of_one in by_feature.items():
        group = of_one[0].group
        others = without[group]
        if counted[group] != key:
            others = posterior(others, likelihood[counted[group]])
        ratio = surprise(others, question.prior, likelihood[key])
        if ratio < bar:
            lead = int(np.argmax(others))
            rest = NONE_OF_THESE if lead == len(question.candidates) else question.candidates[lead].key
            name = "none of these" if lead == len(question.candidates) else question.candidates[lead].name
            found.append(
                Conflict(key, of_one[0].state, ratio, rest, f"{of_one[0].words}: does not go with the rest, "
                         f"which {'point to' if len(by_feature) > 2 else 'points to'} {name}")
            )  # fmt: skip
    return sorted(found, key=lambda conflict: conflict.ratio)


def _next(question: Question, after: Array, read: set[str]) -> tuple[tuple[Look, ...], str | None]:
    """Looks worth having, best first; or why none is."""
    settled = float(rule("odds", "settled").value)
    if after.max() >= settled:
        return (), "what was seen settles it"
    reliability = How.SEEN.reliability
    tables = question.tables
    blurred = reliability * tables + (1 - reliability) * tables[:, :, -1:]
    bits = gains(blurred, after) if len(question.features) else np.zeros(0)
    least = float(rule("odds", "least_gain").value)
    worth = [
        Look(feature.key, feature.name, float(gain), feature.harm, feature.minutes)
        for feature, gain in zip(question.features, bits, strict=True)
        if gain >= least and (feature.group or feature.key) not in read
    ]
    if not worth:
        return (), "no further look is worth it: what is left to see would tell too little"
    wanted = doubt(after) - doubt(np.array([settled, 1 - settled]))
    return best_looks(worth, {feature.key: feature.group or feature.key for feature in question.features}, wanted), None


def best_looks(looks: Sequence[Look], groups: Mapping[str, str], wanted: float) -> tuple[Look, ...]:
    """Looks worth having, best first: expected bits over minutes and harm. `groups` are those that count once.

    Features are independent once the answer is known, so several looks together tell at most the sum of what
    each tells alone. As long as that sum over the milder looks might reach the `wanted` bits, a more harmful one
    is held back.
    """
    least = float(rule("odds", "least_gain").value)
    worth = [look for look in looks if look.gain >= least]
    best_of: dict[str, float] = {}
    allowed: list[Look] = []
    for harm in sorted({look.harm for look in worth}):
        level = [look for look in worth if look.harm == harm]
        allowed += level
        for look in level:
            best_of[groups[look.key]] = max(best_of.get(groups[look.key], 0.0), look.gain)
        if sum(best_of.values()) >= wanted:
            break
    return tuple(sorted(allowed, key=lambda look: (-look.gain / look.price, look.harm, look.key)))
