"""The words for what is amiss: the condition terms, their synonyms and what their severities mean."""

from dataclasses import dataclass
from functools import cache

from pydantic_core import PydanticCustomError

from witnessmark.documents import nearest
from witnessmark.sources import table


@dataclass(frozen=True)
class ConditionTerm:
    """One term of `condition_terms.csv`."""

    term: str
    category: str
    definition: str
    severity_scale: str


@cache
def _terms() -> dict[str, ConditionTerm]:
    found: dict[str, ConditionTerm] = {}
    for row in table("survey", "condition_terms.csv", key="term"):
        term = ConditionTerm(row.key, row["category"], row["definition"], row["severity_scale"])
        found[row.key.lower()] = term
    for row in table("survey", "condition_terms.csv", key="term"):
        for synonym in row.keys_in("synonyms"):
            if not synonym.startswith("see "):
                found.setdefault(synonym.lower(), found[row.key.lower()])
    return found


def condition_terms() -> tuple[str, ...]:
    """Every term and synonym a survey may use."""
    return tuple(_terms())


def condition_named(text: str) -> ConditionTerm:
    """The term for a word or synonym. Raises a fault with the nearest right term."""
    term = _terms().get(" ".join(text.lower().split()))
    if term is None:
        raise PydanticCustomError(
            "fault", "{expected}",
            {"expected": "a condition term (survey terms lists them)", "nearest": nearest(text, condition_terms())},
        )  # fmt: skip
    return term
