"""What the survey shows, in the trade's words: a finding with the facts it rests on.

Every rule of the treatment looks at findings, never at the survey itself, so that each step can say which facts
called for it: take the fact away and the step goes with it.
"""

from collections.abc import Iterator, Sequence

from witnessmark.quantities import low, say
from witnessmark.safety import Hazard
from witnessmark.sources import rule
from witnessmark.survey import Came, CameFrom, OldFinish, Survey, YesNo
from witnessmark.takedown import Takedown

from .finding import Finding
from .joint_findings import counted_once, joints
from .old_finish import TakenFor, old_finish_of
from .part_findings import amiss, fittings, one_slight_mark
from .repairs import repairs

# What keeps a film from being called sound; paint and gilding are not films of that kind.
_NOT_SOUND = frozenset(
    ("finish_worn", "finish_broken", "finish_ruined", "faded", "flaking", "bare", "film_unknown", "painted", "gilded")
)
_WEIGHED = frozenset({"old_lead_paint"})  # hazards that also weigh on which way is taken


def findings_in(survey: Survey, hazards: Sequence[Hazard] = (), taken: Takedown | None = None) -> tuple[Finding, ...]:
    """Every finding of the survey, in a fixed order; the same key may come several times, once a place.

    `hazards` are safety's findings of the same survey: old paint that may hold lead speaks against stripping.
    `taken` is how the piece comes apart, where that could be told.
    """
    old = old_finish_of(survey)
    weighed = [hazard for hazard in hazards if hazard.key in _WEIGHED]
    found = [Finding(hazard.key, hazard.says, hazard.cites, hazard.parts) for hazard in weighed]
    found += [
        *_piece(survey), *_finish(survey, old), *_wishes(survey), *one_slight_mark(amiss(survey, old)),
        *joints(survey, taken), *fittings(survey, old),
    ]  # fmt: skip
    found = counted_once(found)
    found += repairs(survey, found)
    found += _touched_up_on_wax(found)
    keys = {finding.key for finding in found}
    if "ruinous" not in keys:
        found.append(Finding("not_ruinous", "it stands", ()))
    if not keys & _NOT_SOUND:
        found.append(Finding("film_sound", "nothing amiss was noted with the film", old.cites))
    return tuple(found)


_TOUCHED_UP = frozenset(
    ("split", "veneer_loss", "loss", "missing", "rot", "marked", "film_marked", "small_loss")
)  # fmt: skip


def _touched_up_on_wax(found: Sequence[Finding]) -> Iterator[Finding]:
    """Where a film under wax is to be mended: the wax comes off there first, whatever is done elsewhere."""
    waxed = next((f for f in found if f.key == "waxed_over"), None)
    if waxed is None or any(f.key == "waxed_finish" for f in found):
        return
    for finding in found:
        if finding.key in _TOUCHED_UP:
            yield Finding(
                "touched_up_on_wax", f"{finding.says}, under wax", (*waxed.cites, *finding.cites), finding.parts,
                finding.count,
            )  # fmt: skip


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


def _finish(survey: Survey, old: TakenFor) -> Iterator[Finding]:
    kind, where, cells = old.kind, old.cites, old.cells
    if cells is None:
        yield Finding("film_unknown", "the old finish is not known", where)
        if survey.finish.waxed_over is YesNo.YES:
            yield Finding("waxed_over", "the film is waxed over", ("finish.waxed_over",))
        return
    sort = cells["sort"]
    yield Finding("old_finish", f"it is in {kind}", where, material=cells["material_key"])
    if sort == "paint":
        yield Finding("painted", f"it is in {kind}", where)
        if kind is OldFinish.MILK_PAINT:
            yield Finding("milk_painted", f"it is in {kind}", where)
    else:
        yield Finding("not_painted", "it is not painted", where)
    if sort == "gilding":
        yield Finding("gilded", "it is gilded", where)
    elif not any(part.finish is OldFinish.GILDING for part in survey.part):
        yield Finding("not_gilded", "it is not gilded", where)
    said = {"bare": ("bare", "the wood is bare"), "wax": ("waxed_finish", "it is waxed"),
            "oil": ("oiled_finish", "it is oiled")}.get(sort)  # fmt: skip
    if said:
        yield Finding(said[0], said[1], where)
    if sort != "bare" and cells["melts_in_spirit"] == "no":
        yield Finding("film_not_soluble", f"spirit does not melt {kind}", where)
    elif kind is OldFinish.LACQUER:
        yield Finding("melts_in_thinner", f"its thinner melts {kind}", where)
    elif cells["melts_in_spirit"] == "yes":
        yield Finding("melts_in_spirit", f"spirit melts {kind}", where)
    if sort == "wax":
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
