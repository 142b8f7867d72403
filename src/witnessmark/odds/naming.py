"""From typed words to a feature and its state: “smell”, “cedar” is odour, sweet_cedar. Never by guessing."""

from collections.abc import Iterable, Mapping
from functools import cached_property

from witnessmark.documents import Refused
from witnessmark.materials import AmbiguousName, Names, UnknownName

_NEGATIVE = frozenset({"absent", "no", "none", "not", "nothing"})


class BadReading(Refused):
    """Words that name no feature, no state, or several: what was found, what was expected, the nearest."""

    def __init__(self, found: str, expected: str, nearest: str | None = None) -> None:
        self.found, self.expected, self.nearest = found, expected, nearest
        hint = f" Did you mean “{nearest}”?" if nearest else ""
        super().__init__(f"found “{found}”; expected {expected}.{hint}")


class ReadingWords:
    """How the features of one question, and their states, are named.

    `features` gives the spellings of each by key, the one to show first; `states` the plain words of each state by
    feature. `there` are states that a feature is in when it is named alone: “ripple marks” is ripple_marks, present.
    """

    def __init__(
        self,
        what: str,
        features: Mapping[str, list[str]],
        states: Mapping[str, Mapping[str, str]],
        there: Iterable[str] = (),
    ) -> None:
        self.what, self.features, self.states, self.there = what, features, states, tuple(there)

    def reading(self, text: str, state: str = "") -> tuple[str, str]:
        """The keys that these words mean. Without a state, `text` may be one that a single feature has.

        Raises BadReading with the nearest.
        """
        try:
            feature = self._names.find(text, self.features)
        except (AmbiguousName, UnknownName) as error:
            if not state and (meant := self._by_state_alone(text)):
                return meant
            if isinstance(error, AmbiguousName):
                raise BadReading(text, f"one of: {'; '.join(error.choices)}") from None
            near = error.nearest[0] if error.nearest else None
            raise BadReading(text, f"a {self.what}, such as {' or '.join(list(self.features)[:2])}", near) from None
        if state:
            return feature, self.state(feature, state)
        there = next((key for key in self.there if key in self.states[feature]), None)
        if there is None:
            raise BadReading(text, f"{feature}=STATE, the state one of {', '.join(self.states[feature])}")
        return feature, there

    def state(self, feature: str, text: str) -> str:
        """The state of a feature that these words mean. Raises BadReading with the nearest."""
        states = self.states[feature]
        try:
            return Names("state", {key: [says] for key, says in states.items()}).find(text, states)
        except (AmbiguousName, UnknownName) as error:
            having = _having(text, states)
            if len(having) == 1:
                return having[0]
            near = None
            if not having and isinstance(error, UnknownName):
                near = next((key for key, says in states.items()
                             if error.nearest[:1] in ([says], [key.replace("_", " ")])), None)  # fmt: skip
            raise BadReading(text, f"of {feature} one of {', '.join(having or states)}", near) from None

    @cached_property
    def _names(self) -> Names:
        return Names(self.what, dict(self.features))

    def _by_state_alone(self, text: str) -> tuple[str, str] | None:
        exact = [(feature, key) for feature, states in self.states.items() for key, says in states.items()
                 if _words(text) in (_words(key), _words(says))]  # fmt: skip
        loose = [(feature, key) for feature, states in self.states.items() for key in _having(text, states)]
        having = exact or loose
        return having[0] if len(having) == 1 else None


def _having(text: str, states: Mapping[str, str]) -> list[str]:
    """The states that have all these words; “greasy” is not “not greasy”."""
    typed = set(_words(text))
    having = {key: set(_words(f"{key} {says}")) for key, says in states.items()}
    found = [key for key, words in having.items() if typed and typed <= words]
    plain = [key for key in found if not _NEGATIVE & having[key]]
    return plain if plain and not _NEGATIVE & typed else found


def _words(text: str) -> list[str]:
    for mark in "_-,;:()":
        text = text.replace(mark, " ")
    return text.casefold().split()
