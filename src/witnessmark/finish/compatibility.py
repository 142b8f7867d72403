"""What may go over what: the rows of compatibility.csv that speak of one layer over another, weighed together.

A row is in force when its `lower_state` is “any” or the state asked for. Several may be: the strictest verdict
counts, and the longest wait. Where no row speaks, nothing is stated, and a patch is tried first.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import cache

from witnessmark.materials import fits
from witnessmark.quantities import Span
from witnessmark.sources import Figure, Row, Standing, table


class Verdict(StrEnum):
    """Whether one layer may go over another, the mildest answer first."""

    ALLOW = "allow"
    CAUTION = "caution"
    CONDITIONAL = "conditional"
    FORBID = "forbid"


@dataclass(frozen=True)
class LayerRule:
    """One row: whether `upper` may go over `lower` in this state, on which condition, and why."""

    key: str
    uppers: tuple[str, ...]
    lowers: tuple[str, ...]
    lower_state: str
    verdict: Verdict
    condition: str
    wait: Figure | None
    reason: str
    source_key: str

    def speaks_of(self, upper: str, lower: str, state: str) -> bool:
        """Whether it is about these two materials, the lower one in this state."""
        return (
            self.lower_state in {"any", state}
            and any(fits(key, upper) for key in self.uppers)
            and any(fits(key, lower) for key in self.lowers)
        )


@dataclass(frozen=True)
class Over:
    """What the rules in force say together. `verdict` is None where none speaks of these two."""

    verdict: Verdict | None
    wait: Figure | None
    rules: tuple[LayerRule, ...]

    @property
    def strictest(self) -> tuple[LayerRule, ...]:
        """The rules that the verdict comes from."""
        return tuple(rule for rule in self.rules if rule.verdict is self.verdict)


@cache
def layer_rules() -> tuple[LayerRule, ...]:
    """Every rule, in table order."""
    return tuple(_rule(cells) for cells in table("finish", "compatibility.csv"))


def over(upper: str, lower: str, state: str = "any") -> Over:
    """Whether the material `upper` may go over `lower`, which is in this state (“dry”, “cured”, “clean_dry” …).

    With “any” only the rules that hold in every state are in force. Raises UnknownName on a key of no material.
    """
    return _weighed([rule for rule in layer_rules() if rule.speaks_of(upper, lower, state)])


def _weighed(rules: Sequence[LayerRule]) -> Over:
    verdicts = list(Verdict)
    strictest = max((rule.verdict for rule in rules), key=verdicts.index, default=None)
    waits = [rule.wait for rule in rules if rule.wait is not None]
    return Over(strictest, max(waits, key=lambda wait: wait.value.minutes, default=None), tuple(rules))


def _rule(cells: Row) -> LayerRule:
    wait = cells.figure("wait_min_h", Span.hours)
    if wait is not None:  # the row's source is that of its verdict: the waits are the trade's own
        wait = replace(wait, standing=Standing(cells["wait_standing"]), source_key="trade_common_practice")
    return LayerRule(
        cells.key, cells.keys_in("upper_keys"), cells.keys_in("lower_keys"), cells["lower_state"],
        Verdict(cells["verdict"]), cells["condition"], wait, cells["reason"],
        cells["source_key"],
    )  # fmt: skip
