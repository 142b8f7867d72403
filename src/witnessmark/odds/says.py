"""What comes out: odds, and what each reading says, in words."""

from dataclasses import dataclass

from witnessmark.quantities import Span
from witnessmark.sources import rule

from .question import How


@dataclass(frozen=True)
class Told:
    """What one reading did. `ratio` is how many times it multiplied the odds on the leader.

    A reading not `counted` hangs together with a stronger one; its ratio is what it would have done in its place.
    """

    key: str
    state: str
    how: How | None
    ratio: float
    says: str
    counted: bool = True


@dataclass(frozen=True)
class Conflict:
    """A reading the others do not bear out: `ratio` is its chance after them over its chance before them."""

    key: str
    state: str
    ratio: float
    without: str
    says: str


@dataclass(frozen=True)
class Look:
    """Something worth looking at next: expected gain in bits, harm from 0 to 5, minutes."""

    key: str
    name: str
    gain: float
    harm: int
    minutes: float

    @property
    def price(self) -> float:
        """Minutes it costs, its harm counted as minutes."""
        harm: Span = rule("odds", f"harm_{self.harm}").value
        return self.minutes + harm.minutes


@dataclass(frozen=True)
class Found:
    """The odds after all readings.

    `probabilities` holds the candidates, likeliest first; with `none_of_these` they add up to 1. `leader` is the
    likeliest key, which may be none_of_these; `told` is the leader where it may be named; `group` is the narrowest
    group that may be named, with its probability. `entropy` is the doubt left, in bits. `enough` says why no look
    is worth having; then `next_looks` is empty.
    """

    probabilities: dict[str, float]
    none_of_these: float
    leader: str
    told: str | None
    group: tuple[str, float] | None
    readings: tuple[Told, ...]
    conflicts: tuple[Conflict, ...]
    entropy: float
    next_looks: tuple[Look, ...]
    enough: str | None


def strength_of(ratio: float, of: str) -> str:
    """A ratio in words: “speaks strongly for walnut”."""
    nothing, something, much = (
        float(rule("odds", key).value) for key in ("says_nothing", "says_something", "says_much")
    )
    size = max(ratio, 1 / ratio) if ratio > 0 else float("inf")
    way = "for" if ratio >= 1 else "against"
    if size < nothing:
        return f"says next to nothing about {of}"
    if size < something:
        return f"speaks a little {way} {of}"
    if size < much:
        return f"speaks {way} {of}"
    return f"speaks strongly {way} {of}"
