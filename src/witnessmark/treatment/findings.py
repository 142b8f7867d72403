"""What the survey shows, in the trade's words: a finding with the facts it rests on.

Every rule of the treatment looks at findings, never at the survey itself, so that each step can say which facts
called for it: take the fact away and the step goes with it.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from witnessmark.materials import wood_named
from witnessmark.quantities import Unknown, high, low, say
from witnessmark.safety import Hazard
from witnessmark.sources import Working, given, row, rule
from witnessmark.survey import (
    Came,
    CameFrom,
    Held,
    Joint,
    JointState,
    OldFinish,
    Part,
    Sawn,
    Severity,
    Shape,
    Survey,
    YesNo,
    condition_named,
)
from witnessmark.wood import Sawn as Grain
from witnessmark.wood import driest_and_dampest, movement_of, species

_SOLUBLE = frozenset({"shellac", "french polish", "spirit varnish", "nitrocellulose lacquer"})
_PAINTED = frozenset({"oil paint", "milk paint"})
_BARE = frozenset({"none"})
# What keeps a film from being called sound; paint and gilding are not films of that kind.
_NOT_SOUND = frozenset(
    ("finish_worn", "finish_broken", "finish_ruined", "faded", "flaking", "bare", "film_unknown", "painted", "gilded")
)
_WEIGHED = frozenset({"old_lead_paint"})  # hazards that also weigh on which way is taken


@dataclass(frozen=True)
class Finding:
    """Something found: its key, how it is said, the facts it rests on, and where and how often."""

    key: str
    says: str
    cites: tuple[str, ...]
    parts: tuple[str, ...] = ()
    count: int = 1
    working: Working[Any] | None = None


def findings_in(survey: Survey, hazards: Sequence[Hazard] = ()) -> tuple[Finding, ...]:
    """Every finding of the survey, in a fixed order; the same key may come several times, once a place.

    `hazards` are safety's findings of the same survey: old paint that may hold lead speaks against stripping.
    """
    found: list[Finding] = [
        Finding(hazard.key, hazard.says, hazard.cites, hazard.parts) for hazard in hazards if hazard.key in _WEIGHED
    ]
    for source in (_piece, _finish, _wishes, _conditions, _joints, _hardware):
        found += source(survey)
    keys = {finding.key for finding in found}
    if not keys & {"ruinous"}:
        found.append(Finding("not_ruinous", "it stands", ()))
    if not keys & _NOT_SOUND:
        found.append(Finding("film_sound", "nothing amiss was noted with the film", ("finish.kind",)))
    return tuple(found)


def _piece(survey: Survey) -> Iterator[Finding]:
    piece = survey.piece
    if piece.came is Came.CUSTOMER:
        yield Finding("customers_own", "it belongs to a customer", ("piece.came",))
    if piece.came_from in {CameFrom.BARN, CameFrom.VAN, CameFrom.COLD_HOUSE}:
        yield Finding("out_of_condition", f"it comes from a {piece.came_from}", ("piece.came_from",))
    veneered = [part for part in survey.part if part.veneered is YesNo.YES]
    if piece.veneered is YesNo.YES or veneered:
        cites = ("piece.veneered",) if piece.veneered is YesNo.YES else tuple(
            f"part.{part.code}.veneered" for part in veneered)  # fmt: skip
        yield Finding("veneered", "it is veneered", cites, tuple(part.code for part in veneered))
    least = rule("treatment", "thin_veneer")
    for place, thickness in [("piece.veneer_thickness", piece.veneer_thickness)] + [
        (f"part.{part.code}.veneer_thickness", part.veneer_thickness) for part in survey.part
    ]:
        if thickness and thickness.known and low(thickness.value) < least.value:
            yield Finding(
                "veneer_thin",
                f"the veneer is {say(thickness.value)} where under {say(least.value)} nothing is scraped",
                (place,),
            )


def _finish(survey: Survey) -> Iterator[Finding]:
    kind, where = survey.finish.kind, ("finish.kind",)
    if kind is OldFinish.UNKNOWN:
        yield Finding("film_unknown", "the old finish is not known", where)
    elif kind in _BARE:
        yield Finding("bare", "the wood is bare", where)
    elif kind in _PAINTED:
        yield Finding("painted", f"it is in {kind}", where)
    elif kind is OldFinish.GILDING:
        yield Finding("gilded", "it is gilded", where)
    if kind is not OldFinish.UNKNOWN and kind not in _PAINTED:
        yield Finding("not_painted", "it is not painted", where)
    if kind is not OldFinish.UNKNOWN and kind not in _SOLUBLE | _BARE:
        yield Finding("film_not_soluble", f"spirit does not melt {kind}", where)
    if kind is OldFinish.WAX:
        yield Finding("waxed_over", "it is waxed", where)
    elif survey.finish.waxed_over is YesNo.YES:
        yield Finding("waxed_over", "the film is waxed over", ("finish.waxed_over",))


_WISHES: dict[str, dict[str, tuple[str, str]]] = {
    "keep": {
        "old surface": ("keep_surface", "the old surface is to be kept"),
        "colour": ("keep_colour", "the colour is to be kept"),
        "paint": ("keep_paint", "the paint is to be kept"),
        "nothing": ("keep_nothing", "nothing of the surface need be kept"),
    },
    "use": {"daily": ("daily_use", "it is for daily use"), "display": ("display_use", "it is for show")},
    "sheen": {
        "gloss": ("gloss_wanted", "gloss is wanted"),
        "dull": ("dull_wanted", "a dull surface is wanted"),
    },
    "undoable": {"yes": ("undoable_wanted", "the work must be undoable")},
}


def _wishes(survey: Survey) -> Iterator[Finding]:
    for wish, answers in _WISHES.items():
        answer = answers.get(getattr(survey.wishes, wish))
        if answer:
            yield Finding(answer[0], answer[1], (f"wishes.{wish}",))


def _conditions(survey: Survey) -> Iterator[Finding]:
    for fact, condition in survey.condition_facts():
        term = condition_named(condition.term).term
        try:
            entry = row("treatment", "findings.csv", term, key="term")
        except KeyError:
            continue  # patina, an old repair: recorded, asking for nothing
        major = condition.severity is Severity.MAJOR
        key = entry["when_major"] if major else entry["finding"]
        if key == "flaking" and not condition.part and survey.finish.kind in _SOLUBLE:
            key = "finish_ruined" if major else "finish_broken"
        cites: tuple[str, ...] = (fact,)
        if key == "missing":
            key = _missing(_shape_of(survey, condition.part))
            cites = (fact, f"part.{condition.part}.shape") if key != "missing_unknown" else (fact,)
        where = f" on {condition.part}" if condition.part else ""
        words = f"{condition.severity} {term}" if condition.severity is not Severity.UNKNOWN else term
        yield Finding(
            key,
            f"{words}{where}",
            cites,
            (condition.part,) if condition.part else (),
            condition.count,
        )


def _joints(survey: Survey) -> Iterator[Finding]:
    parts = survey.parts_by_code()
    for joint in survey.joint:
        if joint.state in {JointState.LOOSE, JointState.OPEN}:
            yield Finding(
                "loose_joints",
                f"joint {joint.code} is {joint.state}",
                (f"joint.{joint.code}.state",),
                joint.parts,
            )
        blocked = _blocked(survey, joint, parts)
        if blocked:
            yield blocked


def _blocked(survey: Survey, joint: Joint, parts: dict[str, Part]) -> Finding | None:
    """Cross-grain fixing whose play is less than the wood's movement through the seasons.

    Why it broke comes before how to mend it: a split top is mostly blocked shrinkage. Common practice.
    """
    held = {Held.GLUED, Held.SCREWED, Held.NAILED, Held.BOLTED}
    if joint.across_grain is not YesNo.YES or not held & set(joint.held):
        return None
    part = parts.get(joint.parts[0])
    if part is None or part.size is None or not part.size.known or len(part.size.value) < 2:
        return None
    wood_text = part.wood if part.wood != "don't know" else survey.piece.show_wood
    if wood_text == "don't know":
        return None
    named = wood_named(wood_text, survey.piece.region)
    sawn = Grain.QUARTER if part.sawn is Sawn.QUARTER else Grain.FLAT
    dry, damp = driest_and_dampest(survey.piece.region)
    moves = movement_of(
        [species(key) for key in ([named.default] if named.is_group else [named.key])],
        sawn, given(f"part.{part.code}.size", part.size.value[1]), dry, damp,
    )  # fmt: skip
    slack = joint.slack.value if joint.slack and joint.slack.known else rule("treatment", "usual_slack").value
    if isinstance(slack, Unknown) or low(moves.value) <= high(slack):
        return None
    cites = (
        f"joint.{joint.code}.across_grain", f"joint.{joint.code}.held", f"part.{part.code}.size",
        f"joint.{joint.code}.slack",
    )  # fmt: skip
    return Finding(
        "blocked_movement",
        f"{part.name} moves {say(moves.value)} with the seasons; joint {joint.code} lets it move {say(slack)}",
        cites if joint.slack else cites[:3],
        (part.code,),
        working=moves,
    )


_FITTED = {Shape.GLASS: "glass", Shape.LEATHER: "leather", Shape.HARDWARE: "lock"}


_OF_WOOD = frozenset({Shape.BOARD, Shape.PANEL, Shape.FRAME, Shape.TURNED, Shape.MOULDING, Shape.CARVED})


def _missing(shape: Shape | None) -> str:
    """A missing part of wood is made, one of metal found or cast; of one nobody knows the make, look first."""
    if shape in _OF_WOOD:
        return "missing"
    return "missing_unknown" if shape in {None, Shape.UNKNOWN} else "missing_metal"


def _shape_of(survey: Survey, code: str | None) -> Shape | None:
    part = survey.parts_by_code().get(code or "")
    return part.shape if part else None


def _hardware(survey: Survey) -> Iterator[Finding]:
    """Metal, locks, glass, leather: what is sound is left alone; a mirror is always said, for what is behind it."""
    amiss = {condition.part: fact for fact, condition in survey.condition_facts() if condition.part}
    for part in survey.part:
        here: tuple[str, ...] = (part.code,)
        cites: tuple[str, ...] = (f"part.{part.code}.shape",)
        if part.count > 1:
            cites = (*cites, f"part.{part.code}.count")
        if part.shape is Shape.MIRROR:
            yield Finding("mirror", part.name, cites, here, part.count)
        elif part.shape is Shape.HARDWARE and not re.search(r"\blocks?\b", part.name.lower()):
            yield Finding("hardware_on", part.name, cites, here, part.count)
        elif part.code in amiss and part.shape in _FITTED:
            yield Finding(_FITTED[part.shape], part.name, (*cites, amiss[part.code]), here, part.count)
