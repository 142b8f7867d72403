"""What was found on the piece that can hurt someone: the rows of findings.csv that the survey calls for.

A row is found by the old finish, the kind of piece, the shape of a part, a condition term, or a word somebody
wrote down. Where `hazard_ids` name rows of hazards.csv with a last year, the finding is left out if the piece
can't be so old: nothing on it is older than the piece. An unknown date or finish never rules a danger out,
and no test with a swab does.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from witnessmark.quantities import Mass, high
from witnessmark.sources import Row, row, table

from .when_made import first_year

if TYPE_CHECKING:
    from witnessmark.survey import Survey


@dataclass(frozen=True)
class Hazard:
    """One finding: its key (for `Task.found`), how it is said, the facts it rests on, and the parts it is on.

    No parts: the whole piece. `do` is the usual care and `test` what would settle it; `ask` is who knows better;
    `as_of` the date of the oldest text it rests on, so that a newer one never hides how old the rest is.
    """

    key: str
    says: str
    cites: tuple[str, ...]
    parts: tuple[str, ...] = ()
    ask: str = ""
    as_of: str = ""
    do: str = ""
    test: str = ""
    rule: str = ""


@cache
def hazard_keys() -> frozenset[str]:
    """Every key a finding may have."""
    return frozenset(row.key for row in table("safety", "findings.csv"))


def hazards_in(survey: "Survey", region: str = "UK") -> tuple[Hazard, ...]:
    """The findings of this survey that can hurt someone, in table order, each once.

    `region` (UK, US) decides which ban a paint is dated against.
    Raises Faulty with every reading of the date that can't be read.
    """
    earliest, dated_by = first_year(survey)
    found = []
    for cells in table("safety", "findings.csv"):
        # What is seen on the piece itself tells more than that such pieces may have it.
        seen = list(_seen(cells, survey)) or list(_by_kind_or_weight(cells, survey))
        if not seen:
            continue
        rules = [row("safety", "hazards.csv", key) for key in cells.keys_in("hazard_ids")]
        until = _last_year(rules, region)
        if until is not None and earliest is not None and earliest >= until:
            continue
        cites = dict.fromkeys(place for place, _ in seen)
        if until is not None and earliest is not None:
            cites |= dict.fromkeys(dated_by)
        # The whole piece, as soon as one of the facts is about the whole piece.
        parts = () if any(not code for _, code in seen) else tuple(dict.fromkeys(code for _, code in seen))
        asked = dict.fromkeys(rule["defer_to"] for rule in rules)
        dated = min((rule["as_of"] for rule in rules if rule["as_of"][:2].isdigit()), default="")
        here = _of_region(rules, region) or rules
        care = dict.fromkeys(rule["caution"] for rule in here)
        found.append(
            Hazard(
                cells.key, cells["found"], tuple(cites), parts, "; ".join(asked), dated, " ".join(care), cells["test"],
                "; ".join(f"{rule.key} {rule['hazard']}" for rule in here),
            )
        )  # fmt: skip
    return tuple(found)


def _seen(cells: Row, survey: "Survey") -> Iterator[tuple[str, str]]:
    """The facts that call for this row: the place of each, and the code of its part (empty: the whole)."""
    finishes, shapes, terms = (cells.keys_in(column) for column in ("finishes", "shapes", "terms"))
    unsaid = [part for part in survey.part if part.finish is None]
    # A piece whose every part has a finish of its own is not described by the finish of the whole.
    if survey.finish.kind in finishes and (unsaid or not survey.part):
        yield "finish.kind", ""
    for part in survey.part:
        if part.finish in finishes:
            yield f"part.{part.code}.finish", part.code
        if part.shape in shapes:
            yield f"part.{part.code}.shape", part.code
    for fact, condition in survey.condition_facts():
        if condition.term.lower() in terms:
            yield fact, condition.part or ""
    if cells["words"]:
        for place, code, text in texts_of(survey):
            if any(says_so(text, phrase) for phrase in cells.keys_in("words")):
                yield place, code


def _by_kind_or_weight(cells: Row, survey: "Survey") -> Iterator[tuple[str, str]]:
    weight, heavier = survey.piece.weight, cells.number("heavier_than_kg")
    if heavier is None:
        if survey.piece.kind in cells.keys_in("kinds"):
            yield "piece.kind", ""
    elif weight and weight.known:
        if high(weight.value) >= Mass.kilograms(heavier):
            yield "piece.weight", ""
    elif survey.piece.kind in cells.keys_in("kinds"):
        yield "piece.kind", ""


def texts_of(survey: "Survey") -> Iterator[tuple[str, str, str]]:
    """Everything somebody wrote in their own words, with its place and the code of its part."""
    yield "piece.title", "", survey.piece.title
    yield "piece.note", "", survey.piece.note
    yield "finish.state", "", survey.finish.state
    yield "finish.note", "", survey.finish.note
    for part in survey.part:
        yield f"part.{part.code}.name", part.code, part.name
        yield f"part.{part.code}.note", part.code, part.note
    for fact, condition in survey.condition_facts():
        yield fact, condition.part or "", condition.note


def says_so(text: str, phrase: str) -> bool:
    """Whether the phrase is said, and not denied just before it: “no asbestos”, but not “not sure if asbestos”."""
    for match in re.finditer(rf"\b{re.escape(phrase)}", text.lower()):
        if not re.search(r"\b(no|not|without)\s+$", text.lower()[: match.start()]):
            return True
    return False


def _of_region(rules: list[Row], region: str) -> list[Row]:
    """The rules of this region, and those of any."""
    return [rule for rule in rules if rule["jurisdiction"].startswith((region, "any"))]


def _last_year(rules: list[Row], region: str) -> float | None:
    """The last year of danger in this region: its own rules where there are any, else the latest of all."""
    dated = [rule for rule in rules if rule.number("trigger_to_year") is not None]
    own = _of_region(dated, region)
    return max((rule.number("trigger_to_year") or 0 for rule in own or dated), default=None)
