"""Trial patches: a small area timed, and what it teaches about the rate of that work on this piece.

A patch that was not good enough says only that the rate is no faster than it was. The first patch holds the finding
out and counts with double variance.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from witnessmark.quantities import Unknown, usual
from witnessmark.sources import Input, Working, formula, given, rule, table, work

if TYPE_CHECKING:
    from witnessmark.survey import Trial


@dataclass(frozen=True)
class Patch:
    """One timed patch: minutes a square metre, and how many times the usual variance it counts with."""

    rate: float
    variance: float = 1.0


@formula("ln rate = (ln usual ÷ spread² + Σ ln patch ÷ its variance) ÷ (1 ÷ spread² + Σ 1 ÷ its variance)")
def patched_rate(
    usual_rate: float,
    spread: float,
    patch_spread: float,
    patches: tuple[float, ...],
    variances: tuple[float, ...],
    no_faster_than: tuple[float, ...] = (),
) -> float:
    """Median minutes a square metre, the usual rate and the patches weighed by how sure each is.

    `spread`: log spread of pieces about the usual rate; `patch_spread`: of a patch about its piece; `variances`:
    how many times that variance each patch counts with. A rate is never taken below a patch that failed.
    The normal-normal conjugate rule on logarithms.
    """
    known = 1 / spread**2
    weights = [1 / (patch_spread**2 * times) for times in variances]
    logs = (weight * math.log(patch) for weight, patch in zip(weights, patches, strict=True))
    middle = (known * math.log(usual_rate) + math.fsum(logs)) / (known + math.fsum(weights))
    return max(math.exp(middle), *no_faster_than, 0.0)


@formula("weight = Σ 1 ÷ patch variance ÷ (1 ÷ spread² + Σ 1 ÷ patch variance)")
def patch_weight(spread: float, patch_spread: float, variances: tuple[float, ...]) -> float:
    """How far the patches, rather than the usual rate, decide: 0 not at all, 1 alone."""
    weights = math.fsum(1 / (patch_spread**2 * times) for times in variances)
    return weights / (1 / spread**2 + weights)


def doubt_left(spread: float, patches: Sequence[Patch], patch_spread: float | None = None) -> float:
    """The log spread of the rate that is left once the patches are counted."""
    sigma = rule("schedule", "patch_spread").value if patch_spread is None else patch_spread
    weight = patch_weight(spread, sigma, tuple(patch.variance for patch in patches)) if patches else 0.0
    return spread * math.sqrt(1 - weight)


def rate_with_patches(
    usual_rate: Input, spread: float, patches: Sequence[Patch], no_faster_than: Sequence[float]
) -> Working[Any]:
    """The rate with its working. `spread` is that of the usual rate."""
    return work(
        patched_rate,
        usual_rate=usual_rate,
        spread=given("spread of the usual rate", spread),
        patch_spread=rule("schedule", "patch_spread"),
        patches=given("trial patches, minutes a square metre", tuple(patch.rate for patch in patches)),
        variances=given("how many times the variance each counts with", tuple(patch.variance for patch in patches)),
        no_faster_than=given("patches not good enough", tuple(no_faster_than)),
    )


def patches_for(labour: str, trials: Sequence["Trial"]) -> tuple[tuple[Patch, ...], tuple[float, ...]]:
    """The patches of this work, and the rates of those that were not good enough.

    Only the earliest that calls itself first is one: who times a second patch has found out already.
    """
    patches: list[Patch] = []
    bounds: list[float] = []
    for trial in trials:
        area, minutes = trial.area.value, trial.minutes.value
        if labour_named(trial.step) != labour or isinstance(area, Unknown) or isinstance(minutes, Unknown):
            continue
        if usual(area).magnitude <= 0 or usual(minutes).magnitude <= 0:
            continue
        rate = usual(minutes).minutes / usual(area).square_metres
        if not trial.good_enough:
            bounds.append(rate)
            continue
        first = trial.first and not patches
        patches.append(Patch(rate, rule("schedule", "first_patch").value if first else 1.0))
    return tuple(patches), tuple(bounds)


@cache
def labour_named(text: str) -> str | None:
    """The labour of labour_rates.csv that somebody's words mean: “stripping the top” is `strip`; None if none.

    The longest saying found in the words decides, so that “wax clean” is not a clean.
    """
    said = bare_words(text)
    found: tuple[int, str] | None = None
    for cells in table("schedule", "labour_rates.csv"):
        for saying in (cells.key.replace("_", " "), cells["trade_name"], *cells.keys_in("also_said")):
            words = bare_words(saying)
            fits = all(word in said for word in words) if words else False
            if fits and (found is None or len(words) > found[0]):
                found = (len(words), cells.key)
    return found[1] if found else None


# “patch” and “test” too: in “sanding patch” they say that it is a trial.
_SMALL = frozenset(
    ["a", "an", "and", "be", "is", "it", "of", "on", "patch", "test", "the", "to", "trial", "what", "with"]
)


def bare_words(text: str) -> frozenset[str]:
    """The words that count, without their endings: “stripping” and “stripped” are “strip”."""
    return frozenset(_stem(word) for word in re.findall(r"[a-z]+", text.lower()) if word not in _SMALL)


def _stem(word: str) -> str:
    for ending in ("ing", "ed", "es", "s"):
        if word.endswith(ending) and len(word) - len(ending) >= 3:
            word = word.removesuffix(ending)
            break
    doubled = len(word) > 3 and word[-1] == word[-2] and word[-1] not in "ls"
    return word[:-1] if doubled else word.removesuffix("e")
