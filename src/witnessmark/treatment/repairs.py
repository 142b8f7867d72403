"""What goes into a repair: never what is listed, and never a dye on wood that blotches before it is sealed."""

import re
from collections.abc import Iterator, Sequence

from witnessmark.materials import fits, members_of, wood_named
from witnessmark.sources import Row, table
from witnessmark.survey import Part, Survey
from witnessmark.wood import species

from .finding import Finding

LET_IN = frozenset({"split", "veneer_loss", "loss", "missing", "broken", "rot", "missing_metal", "missing_unknown"})
_OF_NO_WOOD = frozenset({"missing_metal", "missing_unknown"})
_COLOURED = frozenset({"split", "veneer_loss", "loss", "missing"})


def repairs(survey: Survey, found: Sequence[Finding]) -> Iterator[Finding]:
    """For each repair among `found`: the listed material that must not go in, and wood that drinks dye unevenly."""
    parts = survey.parts_by_code()
    for finding in found:
        if finding.key not in LET_IN:
            continue
        for code in finding.parts:
            part = parts[code]
            yield from _listed(survey, part, finding)
            if finding.key in _COLOURED:
                yield from _blotchy(survey, part, finding)


def _wood_of(survey: Survey, part: Part, veneer: bool) -> tuple[str, str]:
    """The wood a repair shows, and the fact that says so; empty where nobody knows. What veneers shows on the piece."""
    own, shown = (part.wood, f"part.{part.code}.wood"), (survey.piece.show_wood, "piece.show_wood")
    for said, fact in (shown,) if veneer else (own, shown):
        if said != "don't know":
            return said, fact
    return "", ""


def _listed(survey: Survey, part: Part, finding: Finding) -> Iterator[Finding]:
    """Where only a group is known its strictest member counts: what may be listed is taken to be."""
    said, fact = part.material, f"part.{part.code}.material"
    substitute = _by_word(said)
    if substitute is None and not said and finding.key not in _OF_NO_WOOD:
        said, fact = _wood_of(survey, part, finding.key == "veneer_loss")
        if said:
            listed = [key for key in members_of(wood_named(said, survey.piece.region).key) if _is_listed(key)]
            substitute = next((cells for key in listed if (cells := _substitute(key))), None)
    if substitute:
        says = f"{substitute['says']} is listed: let in {substitute['instead']}, and record it"
        yield Finding("listed", says, (fact, *finding.cites), finding.parts, material=substitute.key)


def _is_listed(wood_key: str) -> bool:
    return bool(species(wood_key).cites_appendix)


def _by_word(text: str) -> Row | None:
    """The substitute for a listed material named in what somebody wrote: “bone or ivory” counts as ivory."""
    for cells in table("treatment", "substitutes.csv"):
        words = (cells.key.replace("_", " "), cells["says"])
        if any(re.search(rf"\b{re.escape(word)}", text.lower()) for word in words):
            return cells
    return None


def _substitute(key: str) -> Row | None:
    return next((cells for cells in table("treatment", "substitutes.csv") if fits(cells.key, key)), None)


def _blotchy(survey: Survey, part: Part, finding: Finding) -> Iterator[Finding]:
    said, fact = _wood_of(survey, part, finding.key == "veneer_loss")
    if not said:
        return
    keys = members_of(wood_named(said, survey.piece.region).key)
    if any(fits(cells["wood_key"], key) for cells in table("treatment", "blotch.csv") for key in keys):
        yield Finding("blotchy", f"{said} drinks dye unevenly", (fact, *finding.cites), finding.parts, finding.count)
