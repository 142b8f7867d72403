"""Odds: candidates, and what was seen, go in; how likely each is, why, and what to look at next come out.

A `Question` is asked once (the woods, the old finishes, the stories of a piece) and weighed with the readings:

    found = Question(candidates, features).weigh([Reading("fleck", "large"), Reading("smell", "sour", How.UNSURE)])
    found.probabilities, found.none_of_these, found.readings, found.conflicts, found.next_looks, found.enough
"""

from typing import TYPE_CHECKING, Any

from .naming import BadReading, ReadingWords
from .question import NONE_OF_THESE, BadOdds, Candidate, Feature, How, Measured, Question, Reading
from .says import Conflict, Found, Look, Told, strength_of

if TYPE_CHECKING:
    from .weighing import best_looks as best_looks
    from .weighing import doubt as doubt
    from .weighing import gains as gains
    from .weighing import moved as moved
    from .weighing import posterior as posterior
    from .weighing import surprise as surprise

# The sums themselves, on arrays, for a room whose candidates are years. They wait, as numpy does, until asked for.
_SUMS = ("best_looks", "doubt", "gains", "moved", "posterior", "surprise")

__all__ = [
    "NONE_OF_THESE", "BadOdds", "BadReading", "Candidate", "Conflict", "Feature", "Found", "How", "Look", "Measured",
    "Question", "Reading", "ReadingWords", "Told", "best_looks", "doubt", "gains", "moved", "posterior", "strength_of",
    "surprise",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _SUMS:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.weighing"), name)
