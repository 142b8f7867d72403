"""Changing a survey from a form, by two people at once: different keys go together, one key shows what both said."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from witnessmark.documents import Fault, Faulty, Refused
from witnessmark.record import BothChanged, NoSuchPiece, Revision, keep_survey, latest, survey_checked

from .clock import now
from .survey_forms import Tables, told

_TRIES = 4  # somebody may keep something between our look and our keeping


@dataclass(frozen=True)
class Place:
    """A table of the survey: which, and of several alike which one, counted from 0; `new` where it is to be added."""

    key: str
    at: int | None = None
    many: bool = False

    @property
    def new(self) -> bool:
        return self.many and self.at is None


@dataclass(frozen=True)
class Both:
    """One key that two people changed, as each left it."""

    key: str
    theirs: Any
    mine: Any


class BothSaid(Refused):
    """Somebody changed the same keys meanwhile: a person chooses. `current` is what now stands."""

    def __init__(self, both: tuple[Both, ...], current: Revision) -> None:
        super().__init__(f"{current.who} has changed the same meanwhile")
        self.both, self.current = both, current


class Gone(Refused):
    """What was to be changed was taken out meanwhile."""


class Amiss(Faulty):
    """Faults of the survey, those of this table apart: `here` by key of the table, `beside` the rest."""

    def __init__(self, faults: tuple[Fault, ...], before: str) -> None:
        super().__init__(faults)
        self.here = {fault.key[len(before) :]: says(fault) for fault in faults if fault.key.startswith(before)}
        self.beside = [fault for fault in faults if not fault.key.startswith(before)]


def says(fault: Fault) -> str:
    """A fault as it stands beside its field."""
    hint = f" Did you mean “{fault.nearest}”?" if fault.nearest else ""
    found = f"“{fault.found}”: " if fault.found else ""
    return f"{found}expected {fault.expected}.{hint}"[:1].upper() + f"{found}expected {fault.expected}.{hint}"[1:]


def body_of(piece: str, number: int | None = None) -> Revision:
    """The survey of a piece as it stands, or stood. Raises NoSuchPiece."""
    revision = latest(piece, number)
    if revision is None:
        raise NoSuchPiece(f"no piece {piece} is kept here")
    return revision


def table_at(body: Mapping[str, Any], place: Place) -> Tables:
    """The table at a place; empty where there is none yet."""
    if not place.many:
        return dict(body.get(place.key) or {})
    rows = body.get(place.key) or []
    return dict(rows[place.at]) if place.at is not None and place.at < len(rows) else {}


def change_table(
    piece: str, number: int, place: Place, changes: Tables | None, who: str, why: str = "", mine: bool = False
) -> Revision:
    """Keeps a table with these keys changed; None takes a row out. `number`: the revision the person looked at.

    `mine` says that the person has seen what the other wrote, and wants their own. Raises BothSaid, Gone, Amiss.
    """
    base = body_of(piece, number)
    for _ in range(_TRIES):
        current = body_of(piece)
        place_now = _where_now(base.body, current.body, place)
        before = table_at(base.body, place)
        stands = table_at(current.body, place_now)
        if not mine and current.number != number:
            _both_said(before, stands, changes, current)
        try:
            survey = survey_checked(_with(current.body, place_now, stands, changes))
        except Faulty as error:
            raise Amiss(error.faults, _before(place_now, current.body)) from None
        try:
            return keep_survey(survey, who, now(), why, expected=current.number)
        except BothChanged:
            continue
    raise Refused("others keep changing this piece just now: try again")


def add_row(piece: str, key: str, row: Tables, who: str, why: str = "") -> Revision:
    """Keeps one more row of a table. Raises Amiss."""
    return change_table(piece, body_of(piece).number, Place(key, None, True), row, who, why)


def _both_said(before: Tables, stands: Tables, changes: Tables | None, current: Revision) -> None:
    if changes is None:
        return
    both = tuple(
        Both(key, stands.get(key), said)
        for key, said in changes.items()
        if stands.get(key) != before.get(key) and stands.get(key) != said
    )
    if both:
        raise BothSaid(both, current)


def _where_now(base: Mapping[str, Any], current: Mapping[str, Any], place: Place) -> Place:
    """The same row in what now stands: rows may have moved. Raises Gone."""
    if not place.many or place.at is None or base is current:
        return place
    was = table_at(base, place)
    rows = current.get(place.key) or []
    same = "code" if was.get("code") else "sha256" if was.get("sha256") else ""
    for at in sorted(range(len(rows)), key=lambda at: at != place.at):  # where it was comes first
        if rows[at] == was or (same and rows[at].get(same) == was[same]):
            return Place(place.key, at, True)
    if not same and place.at < len(rows) and len(rows) == len(base.get(place.key) or []):
        return place
    raise Gone("it was taken out, or changed all over, by somebody else meanwhile")


def _with(body: Mapping[str, Any], place: Place, stands: Tables, changes: Tables | None) -> Tables:
    if not place.many:
        return {**body, place.key: told(stands, changes or {})}
    rows = list(body.get(place.key) or [])
    if place.at is None:
        rows.append(told({}, changes or {}))
    elif changes is None:
        del rows[place.at]
    else:
        rows[place.at] = told(stands, changes)
    return {**body, place.key: rows}


def _before(place: Place, body: Mapping[str, Any]) -> str:
    """What the core's faults of this table begin with."""
    if not place.many:
        return f"{place.key}."
    at = len(body.get(place.key) or []) if place.at is None else place.at
    return f"{place.key}[{at + 1}]."
