"""What is amiss with a part, by what the part is of: a tear in cane is not a tear in a cover, nor a split in glass one
in wood. Hardware, mirrors and marble are said even where they are sound, for how they are handled."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import cache

from witnessmark.sources import row, table
from witnessmark.survey import Condition, Held, OldFinish, Part, Severity, Shape, Survey, condition_named

from .finding import Finding
from .old_finish import TakenFor

# Whatever it is on, these are dealt with in the same way.
_EVERYWHERE = frozenset({"live_insects", "mould", "loose_joints", "detached"})
_OF_WOOD = frozenset({Shape.BOARD, Shape.PANEL, Shape.FRAME, Shape.TURNED, Shape.MOULDING, Shape.CARVED})
# A fitting that is glued or pinned stays where it is; so does one nobody has tried.
_COMES_OFF = frozenset({Held.SCREWED, Held.BOLTED, Held.HOOKED, Held.SLIDES, Held.RESTS})


@cache
def _made_of() -> tuple[tuple[str, re.Pattern[str] | None, tuple[str, ...]], ...]:
    """The rows of made_of.csv: key, words that say so, shapes that say so."""

    def any_of(words: tuple[str, ...]) -> re.Pattern[str] | None:
        return re.compile(rf"\b({'|'.join(map(re.escape, words))})\b") if words else None

    return tuple((c.key, any_of(c.keys_in("words")), c.keys_in("shapes")) for c in table("treatment", "made_of.csv"))


def made_of(part: Part | None, old: TakenFor) -> tuple[str, tuple[str, ...]]:
    """What a part is of, as a key of made_of.csv (empty: wood, or not known), and the facts that say so.

    No part is the whole piece.
    """
    whole = ("gilded", old.cites) if old.kind is OldFinish.GILDING else ("", ())
    if part is None:
        return whole
    if part.finish is OldFinish.GILDING:
        return "gilded", (f"part.{part.code}.finish",)
    for key, words, shapes in _made_of():
        for text, cites in ((part.material, (f"part.{part.code}.material",)), (part.name, ())):
            if words and words.search(text.lower()):
                return key, cites
        if part.shape in shapes:
            return key, (f"part.{part.code}.shape",)
    return whole if part.finish is None else ("", ())


def amiss(survey: Survey, old: TakenFor) -> Iterator[Finding]:
    """One finding for each thing amiss that asks for something; patina and old repairs ask for nothing."""
    parts = survey.parts_by_code()
    for fact, condition in survey.condition_facts():
        part = parts.get(condition.part or "")
        of, of_cites = made_of(part, old)
        key, cites = _key(condition, of), (fact, *of_cites)
        if not key:
            continue
        if not of:
            cites = (fact,)
        if key == "flaking" and not condition.part and old.cells and old.cells["melts_in_spirit"] == "yes":
            key = "finish_ruined" if condition.severity is Severity.MAJOR else "finish_broken"
            cites = (fact, *old.cites)
        if key == "missing":
            key = _missing(part)
            cites = (fact, f"part.{condition.part}.shape") if key != "missing_unknown" else (fact,)
        where = f" on {condition.part}" if condition.part else ""
        severity = "" if condition.severity is Severity.UNKNOWN else f"{condition.severity} "
        here = (condition.part,) if condition.part else ()
        yield Finding(key, f"{severity}{condition_named(condition.term).term}{where}", cites, here, condition.count)
        yield from _with_it(key, condition, part, fact)


def one_slight_mark(found: Iterable[Finding]) -> list[Finding]:
    """A single slight mark does not make a worn film: it is touched up, and the film counts as sound."""
    told = list(found)
    worn = [finding for finding in told if finding.key in {"finish_worn", "faded"}]
    if len(worn) == 1 and worn[0].says.startswith(f"{Severity.SLIGHT} "):
        told[told.index(worn[0])] = replace(worn[0], key="film_marked")
    return told


def _key(condition: Condition, of: str) -> str:
    """The finding a term stands for on what this part is of; empty where it asks for nothing."""
    term = condition_named(condition.term).term
    try:
        cells = row("treatment", "findings.csv", term, key="term")
        match condition.severity:
            case Severity.MAJOR:
                general = cells["when_major"]
            case Severity.SLIGHT:
                general = cells["when_slight"]
            case _:
                general = cells["finding"]
    except KeyError:
        general = ""
    if general in _EVERYWHERE or not of:
        return general
    for cells in table("treatment", "material_findings.csv"):
        if cells["of"] == of and (cells["terms"] == "any" or term in cells.keys_in("terms")):
            return cells["finding"]
    return ""


def _with_it(key: str, condition: Condition, part: Part | None, fact: str) -> Iterator[Finding]:
    """What comes with a finding: where a film is broken, and whether what is lost must be carved or turned."""
    here = (condition.part,) if condition.part else ()
    if key in {"finish_broken", "finish_ruined"}:
        if part is None:
            yield Finding("broken_all_over", "the film is broken all over", (fact,))
        else:
            yield Finding("broken_in_places", f"the film is broken on {part.code}", (fact,), here, condition.count)
    if part is None or key not in {"missing", "loss"}:
        return
    shape = (fact, f"part.{part.code}.shape")
    if part.shape is Shape.CARVED or part.carving:
        of_it = shape if part.shape is Shape.CARVED else (fact, f"part.{part.code}.carving")
        yield Finding("carving_lost", f"{part.name} is carved", of_it, here, condition.count)
    if key == "missing":
        made = "turning_lost" if part.shape is Shape.TURNED else "making_lost"
        yield Finding(made, f"{part.name} is {part.shape} work", shape, here, condition.count)


def _missing(part: Part | None) -> str:
    """A missing part of wood is made; of one nobody knows the make, look first."""
    return "missing" if part and part.shape in _OF_WOOD else "missing_unknown"


def fittings(survey: Survey, old: TakenFor) -> Iterator[Finding]:
    """Metal, mirrors, marble, drop-in seats and gilt parts."""
    dull = {told.part: fact for fact, told in survey.condition_facts() if _key(told, "metal") == "metal_dull"}
    for part in survey.part:
        here: tuple[str, ...] = (part.code,)
        of, of_cites = made_of(part, old)
        counted = (*of_cites, f"part.{part.code}.count") if part.count > 1 else of_cites
        if of == "mirror":
            yield Finding("mirror", part.name, counted, here, part.count)
        elif of == "stone":
            yield Finding("stone_on", part.name, counted, here, part.count)
        elif of == "metal" and (held := _comes_off(survey, part)) is not None:
            yield Finding("hardware_on", part.name, (*counted, *held), here, part.count)
            if part.code in dull:
                cites = (*counted, *held, dull[part.code])
                yield Finding("metal_comes_off", f"{part.name} is dull", cites, here, part.count)
        elif of == "gilded" and old.kind is not OldFinish.GILDING:
            yield Finding("gilded_part", f"{part.name} is gilded", of_cites, here)
        if re.search(r"\bdrop[- ]in\b", part.name.lower()):
            yield Finding("drop_in", f"{part.name} drops in", (), here)


def _comes_off(survey: Survey, part: Part) -> tuple[str, ...] | None:
    """The facts that let a fitting come off; None where it is fast, or nobody has seen how it is held."""
    joints = [joint for joint in survey.joint if part.code in joint.parts]
    if not joints:
        return ()
    held = tuple(f"joint.{joint.code}.held" for joint in joints if _COMES_OFF & set(joint.held))
    return held or None
