"""The words for what is amiss: the condition terms, their synonyms and what their severities mean."""

from dataclasses import dataclass
from functools import cache

from witnessmark.documents import amiss, nearest
from witnessmark.sources import Row, table


@dataclass(frozen=True)
class ConditionTerm:
    """One term of `condition_terms.csv`; `severity` says what slight, moderate and major mean of it."""

    key: str
    term: str
    category: str
    definition: str
    severity: str
    urgency: str


def _spoken(text: str) -> str:
    return " ".join(text.casefold().replace("_", " ").split())


@cache
def _terms() -> dict[str, ConditionTerm]:
    def term_of(row: Row) -> ConditionTerm:
        return ConditionTerm(row.key, row["term"], row["category"], row["definition"], row["severity"], row["urgency"])

    rows = table("survey", "condition_terms.csv")
    found = {_spoken(row["term"]): term_of(row) for row in rows}
    for row in rows:
        for word in (row.key, *row.keys_in("synonyms")):
            if not word.startswith("see "):
                found.setdefault(_spoken(word), term_of(row))
    return found


def condition_terms() -> tuple[ConditionTerm, ...]:
    """Every term a survey may use; each has synonyms besides."""
    return tuple(dict.fromkeys(_terms().values()))


def condition_named(text: str) -> ConditionTerm:
    """The term for a word or synonym. Raises KeyError where there is none."""
    return _terms()[_spoken(text)]


def known_term(text: str) -> str:
    """The text, if it is a condition term. Raises a fault with the nearest right one."""
    if _spoken(text) not in _terms():
        raise amiss("a condition term; “witnessmark survey terms” lists them", nearest(text, _terms()))
    return text
