"""`takedown`: how a piece comes apart, or one part of it free; and how it goes together again."""

from collections.abc import Iterable, Iterator
from typing import Any

import click

from witnessmark import finish
from witnessmark.materials import fits, material_named
from witnessmark.quantities import Range, Span, say, usual
from witnessmark.safety import Level, Task, cautions_for, hazards_in
from witnessmark.shop import Shop, shop_from
from witnessmark.survey import Fixing, Survey, survey_from
from witnessmark.takedown import (
    Cramps,
    Glue,
    Hands,
    Offered,
    Spring,
    Stage,
    Takedown,
    Taken,
    glue_stages,
    harm_in_words,
    part_named,
    takedown_as_json,
    workings_of,
)
from witnessmark.takedown import takedown as taken_down

from .checks import named, words_of
from .frame import Answer, answers, text_of

_USUAL_GLUE = "hide glue, hot"


@click.command()
@click.argument("file")
@click.option("--free", "part", help="Free this part only, by its code or name, at the least harm.")
@click.option("--shop", help="The shop's document: people, cramps and warmth for gluing up.")
@click.option("--glue", default=_USUAL_GLUE, show_default=True, help="What it is glued up with.")
@answers
def takedown(file: str, part: str | None, shop: str | None, glue: str) -> Answer:
    """Take a piece apart with the least harm, and put it together again."""
    the_shop = shop_from(text_of(shop), shop) if shop else None
    survey = survey_from(text_of(file), file, the_shop.context if the_shop else None)
    with_glue, warnings = _glue_named(glue)
    taken = taken_down(survey, part_named(survey, part, "--free") if part else None, with_glue)
    others = [_facts(other) for other in finish.adhesives() if other.key != with_glue.key]
    stages = glue_stages(survey, taken, with_glue, _hands(the_shop), others)
    if stages and the_shop is None:
        warnings.append("no shop given: one pair of hands; cramps and warmth are not counted; add --shop for your own")
    return Answer(
        takedown_as_json(taken, stages),
        list(_says(survey, taken, stages, with_glue)),
        _cautions(survey, taken, the_shop),
        [*taken.warnings, *warnings],
        workings_of(taken, stages),
    )


# --- facts for the room ---


def _facts(glue: finish.Adhesive) -> Glue:
    return Glue(glue.key, glue.name, glue.open_time, glue.temperature, glue.gap_filling)


def _glue_named(text: str) -> tuple[Glue, list[str]]:
    """The glue by any of its names. One that stands for several goes by the first whose open time is known."""
    found = named(lambda name: material_named(name, kinds=["adhesive"]), "--glue", text, "a glue, such as hide glue")
    like = [glue for glue in finish.adhesives() if glue.key == found.key]
    like += [glue for glue in finish.adhesives() if glue.key != found.key and fits(found.key, glue.key)]
    chosen = next((glue for glue in like if glue.open_time), like[0] if like else None)
    if chosen is None:
        return Glue(found.key, found.name, None), []
    warnings = [] if chosen.key == found.key else [f"{found.name} is reckoned as {chosen.name}"]
    return _facts(chosen), warnings


def _hands(shop: Shop | None) -> Hands:
    if shop is None:
        return Hands()
    warm = [room.day_temperature for room in shop.room if room.day_temperature and room.day_temperature.known]
    cramps = tuple((cramp.length.value, cramp.count) for cramp in shop.cramp if cramp.length.known)
    return Hands(len(shop.person), cramps or None, warm[0].value if warm else None)


def _cautions(survey: Survey, taken: Takedown, shop: Shop | None) -> list[str]:
    """Stop before Mind; hidden metal before glass and weight, since it is met first."""
    if not taken.order:
        return []
    region = words_of(shop, survey)
    found = tuple(hazard.key for hazard in hazards_in(survey, region))
    asked = cautions_for(Task("take apart", lifting=True, found=found), region=region)
    stop, mind = ([f"{each.level}: {each.says}" for each in asked if each.level is level] for level in Level)
    if taken.looks:
        mind.insert(0, f"Mind: Look for the last man's screw under a plug in {', '.join(taken.looks)} before you pull.")
    return [*stop, *mind]


# --- in words ---


def _says(survey: Survey, taken: Takedown, stages: tuple[Stage, ...], glue: Glue) -> Iterator[str]:
    names = {part.code: part.name for part in survey.part}
    yield click.style(survey.piece.title or survey.piece.kind.value, bold=True)
    if taken.free:
        opens = ", ".join(taken.free.joints) or "nothing: no joint is written for it"
        harm = harm_in_words(taken.free.harm.value)
        yield f"To free {taken.free.part}, {names[taken.free.part]}: opens {opens}; {harm}."
    elif not taken.order:
        yield "Nothing asks to come apart."
    if taken.order:
        yield from _headed("Apart", _apart(taken.order, names))
    kept: dict[str, list[str]] = {}
    for code in taken.stays_shut:
        kept.setdefault(taken.why_shut[code], []).append(code)
    yield from _headed("Stays shut", (f"{', '.join(codes)}: {why}" for why, codes in kept.items()))
    yield from _headed("Spring it and run glue in", _spring(taken.spring))
    if taken.order:
        yield from _headed("Together again", _together(taken))
    if stages:
        yield from _headed(f"Glue up with {glue.name}", _stages(stages))
    still_off = (f"{each.part}: {_codes(each.fixings)}" for each in taken.still_off)
    yield from _headed("Still off: say how each ends", still_off)


def _headed(head: str, lines: Iterable[str]) -> Iterator[str]:
    for number, line in enumerate(lines):
        if not number:
            yield ""
            yield click.style(head, bold=True)
        yield f"  {line}"


def _apart(order: tuple[Taken, ...], names: dict[str, str]) -> Iterator[str]:
    for number, taken in enumerate(order, 1):
        way = f", {taken.way}" if taken.way else ""
        along = f", as one with {', '.join(taken.along)}" if taken.along else ""
        opens = f" Opens {', '.join(taken.joints)}." if taken.joints else ""
        harm = harm_in_words(taken.harm).capitalize()
        yield f"{number:>2}  {taken.take}, {names[taken.take]}{way}{along}.{opens} {harm}."
        if taken.note:
            yield f"    {taken.note}"
        if taken.fixings:
            yield f"    {_holes(taken.fixings)}."


def _together(taken: Takedown) -> Iterator[str]:
    for number, back in enumerate(taken.refit, 1):
        along = f" with {', '.join(back.along)}" if back.along else ""
        holes = f": {_holes(back.fixings)}" if back.fixings else ""
        yield f"{number:>2}  {back.part}{along}{holes}.{' ' + back.note if back.note else ''}"


def _holes(fixings: tuple[Fixing, ...]) -> str:
    return "; ".join(f"{fixing.code} {fixing.hole}".rstrip() for fixing in fixings)


def _codes(fixings: tuple[Fixing, ...]) -> str:
    return ", ".join(fixing.code for fixing in fixings)


def _spring(springs: tuple[Spring, ...]) -> Iterator[str]:
    """Joints of which the same is said stand together."""
    said: dict[tuple[Offered, tuple[str, ...]], list[Spring]] = {}
    for each in springs:
        said.setdefault((each.offered, each.why), []).append(each)
    words = {Offered.YES: "yes", Offered.NO: "no", Offered.ASK: "perhaps"}
    for (offered, why), alike in said.items():
        yield f"{', '.join(each.joint for each in alike)}: {words[offered]}. {' '.join(why)}"
    for each in springs:
        if len(each.opening) > 1:
            yield f"A true opening of {each.joint} takes {', '.join(each.opening)}: {harm_in_words(each.harm)}."
    if leaves := next((each.leaves for each in springs if each.leaves), ""):
        yield leaves


def _stages(stages: tuple[Stage, ...]) -> Iterator[str]:
    for number, stage in enumerate(stages, 1):
        open_time = f" of {_seconds(stage.open_time.value)} open" if stage.open_time else ""
        people = f", {stage.people} people" if stage.people > 1 else ""
        yield f"{number:>2}  {', '.join(stage.joints)}: {_seconds(stage.seconds.value)}{open_time}{people}"
        cramps = "; ".join(_cramps(need) for need in stage.cramps)
        if cramps:
            yield f"    {cramps}."
        yield f"    {' '.join(stage.notes)}"


def _cramps(need: Cramps) -> str:
    length = f" of {say(need.length.value)} or more" if need.length else ", of what length nobody measured"
    have = f" ({need.have} there)" if need.have is not None and need.short_by else ""
    return f"{need.count} cramp{'s' if need.count > 1 else ''}{length}{have}"


def _seconds(span: Span | Range[Span]) -> str:
    """In seconds, as a glue-up is counted, to ten; a long open time in minutes."""
    seconds = usual(span).minutes * 60
    return f"{seconds:.0f} s" if seconds < 100 else f"{round(seconds, -1):.0f} s" if seconds < 900 else say(usual(span))


COMMANDS: dict[str, Any] = {"takedown": takedown}
