"""What is asked: candidates with their chances beforehand, and the features that tell them apart."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from typing import TYPE_CHECKING, Any

from witnessmark.documents import Refused, nearest
from witnessmark.sources import rule

if TYPE_CHECKING:
    from .says import Found

NONE_OF_THESE = "none_of_these"


class BadOdds(Refused):
    """A question or a reading that makes no sense: what was found and what was expected."""


class How(Enum):
    """How a state was read."""

    SEEN = "seen"
    NOT_SEEN = "not"
    UNSURE = "unsure"

    @property
    def reliability(self) -> float:
        """The share of such readings that are right, unless the reading says its own."""
        return float(rule("odds", f"reliability_{self.value}").value)


@dataclass(frozen=True)
class Candidate:
    """One thing it may be. `prior` is a weight, of any size; `groups` run from the narrowest to the widest."""

    key: str
    name: str
    prior: float = 1.0
    groups: tuple[str, ...] = ()


@dataclass(frozen=True)
class Feature:
    """Something to look at: its states exclude each other, and one of them is always so.

    `chances[candidate][state]` is how often the candidate shows the state. Cells left out take their share of
    `background`, how often the state is met at large (the mean over the candidates where not given). Features of
    one `group` come of one act or cause and count once. `harm` runs from 0 (looking) to 5 (lasting visible loss).
    `words` are the states as they are said to people; the state itself where left out.
    """

    key: str
    name: str
    states: tuple[str, ...]
    chances: Mapping[str, Mapping[str, float]]
    background: Mapping[str, float] = field(default_factory=dict)
    group: str = ""
    minutes: float = 1.0
    harm: int = 0
    words: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Reading:
    """What somebody saw. An empty state is the feature's first; `reliability` is that of `how` unless given."""

    feature: str
    state: str = ""
    how: How = How.SEEN
    reliability: float | None = None


@dataclass(frozen=True)
class Measured:
    """A measurement: how likely this very figure is for each candidate, and at large. Only ratios count."""

    key: str
    says: str
    chances: Mapping[str, float]
    background: float
    group: str = ""


@dataclass(frozen=True)
class Question:
    """Candidates and features, asked once and weighed as often as there are readings. Raises BadOdds."""

    candidates: tuple[Candidate, ...]
    features: tuple[Feature, ...]
    none_prior: float | None = None

    def __post_init__(self) -> None:
        if not self.candidates or sum(one.prior for one in self.candidates) <= 0:
            raise BadOdds("There is nothing to weigh: give at least one candidate with a chance above 0.")
        for what, keys in (
            ("candidate", [one.key for one in self.candidates]),
            ("feature", [one.key for one in self.features]),
        ):
            twice = sorted({key for key in keys if keys.count(key) > 1})
            if twice:
                raise BadOdds(f"{what} {', '.join(twice)}: found twice, expected once.")

    def weigh(self, readings: Sequence[Reading | Measured]) -> "Found":
        """How likely each candidate is after the readings, and why."""
        from .weighing import weigh  # numpy costs more to load than most sums at the bench

        return weigh(self, readings)

    def feature(self, key: str) -> Feature:
        """The feature of this key. Raises BadOdds with the nearest."""
        try:
            return self._by_key[key]
        except KeyError:
            near = nearest(key, self._by_key)
            hint = f" Did you mean “{near}”?" if near else ""
            raise BadOdds(f"“{key}” is nothing to look for here.{hint}") from None

    def state_of(self, reading: Reading) -> int:
        """Which of its feature's states a reading names. Raises BadOdds with the nearest."""
        feature = self.feature(reading.feature)
        state = reading.state or feature.states[0]
        if state not in feature.states:
            near = nearest(state, feature.states)
            hint = f" Did you mean “{near}”?" if near else ""
            raise BadOdds(f"{feature.key}: found “{reading.state}”, expected one of {', '.join(feature.states)}.{hint}")
        return feature.states.index(state)

    @cached_property
    def _by_key(self) -> dict[str, Feature]:
        return {feature.key: feature for feature in self.features}

    @cached_property
    def prior(self) -> Any:
        """Chances beforehand, the last one for none of these: array (candidates + 1)."""
        import numpy as np

        none = float(rule("odds", "none_prior").value) if self.none_prior is None else self.none_prior
        weights = np.array([one.prior for one in self.candidates])
        return np.append(weights / weights.sum() * (1 - none), none)

    @cached_property
    def tables(self) -> Any:
        """How often each candidate shows each state: array (features, states, candidates + 1).

        The last column, none of these, shows every feature as it is met at large. Rows beyond a feature's own
        states are 0.
        """
        import numpy as np

        most = max((len(feature.states) for feature in self.features), default=0)
        filled = np.zeros((len(self.features), most, len(self.candidates) + 1))
        for at, feature in enumerate(self.features):
            filled[at, : len(feature.states)] = self._table_of(feature)
        return filled

    def _table_of(self, feature: Feature) -> Any:
        import numpy as np

        cells = np.array(
            [[feature.chances.get(one.key, {}).get(state, np.nan) for one in self.candidates]
             for state in feature.states]
        )  # fmt: skip
        known, missing = np.nan_to_num(cells).sum(axis=0), np.isnan(cells)
        if (np.nan_to_num(cells) < 0).any() or (known > 1 + 1e-9).any():
            at = int(np.argmax(known))
            raise BadOdds(
                f"{feature.key}, {self.candidates[at].key}: the states add up to {known[at]:g}; expected chances "
                "from 0 to 1 that add up to 1 at most."
            )
        background = self._background_of(feature, cells)
        share = np.where(missing, background[:, None], 0.0)
        total = share.sum(axis=0)
        table = np.where(missing, share * np.divide(1 - known, total, out=np.zeros_like(total), where=total > 0),
                         cells)  # fmt: skip
        whole = table.sum(axis=0)
        if (whole <= 0).any():
            raise BadOdds(f"{feature.key}, {self.candidates[int(np.argmin(whole))].key}: no state has a chance.")
        return np.column_stack([table / whole, background])

    def _background_of(self, feature: Feature, cells: Any) -> Any:
        """How often each state is met at large: as given, else the mean of the candidates that say, else even."""
        import numpy as np

        if feature.background:
            at_large = np.array([feature.background.get(state, 0.0) for state in feature.states], dtype=float)
        else:
            full = ~np.isnan(cells).any(axis=0)
            weights = self.prior[:-1] * full
            even = np.ones(len(feature.states))
            at_large = np.nan_to_num(cells) @ weights if weights.sum() > 0 else even
        if at_large.sum() <= 0:
            raise BadOdds(f"{feature.key}: its background adds up to 0; expected a chance for at least one state.")
        return at_large / at_large.sum()
