"""How far a piece is apart right now: which parts are off, which are back, which fixings still want their ending.

What may come off is the survey's; what did come off is the day book's. A part goes with what hangs on it: a drawer
front that is logged takes its sides along. A fixing is out once its joint has come apart, or once somebody wrote
down where it is kept, and stays open until the survey says how it ends.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from functools import cached_property
from typing import Any

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.shop import Shop, plain_shop
from witnessmark.survey import Ends, Fixing, Joint, Survey
from witnessmark.takedown import Refit, Takedown, takedown_as_json
from witnessmark.treatment import AT_ONCE

from .apart import apart_of, together
from .outside import instant_json


class Place(StrEnum):
    """Where a part is."""

    ON = "on"
    OFF = "off"
    BACK = "back"


@dataclass(frozen=True)
class Marked:
    """Where it sat, on which photograph: shares of the picture, and degrees its top points."""

    photograph: str
    x: float
    y: float
    up: float | None

    def as_json(self) -> dict[str, Any]:
        return {"photograph": self.photograph, "x": self.x, "y": self.y, "up": self.up}


@dataclass(frozen=True)
class FixingNow:
    """A fixing of a joint, and whether it is out of its hole. `open`: out, and nobody yet said how it ends."""

    fixing: Fixing
    joint: str
    part: str
    out: bool
    marks: tuple[Marked, ...] = ()

    @property
    def open(self) -> bool:
        return self.out and self.fixing.ends is Ends.OPEN

    @property
    def says(self) -> str:
        """As a line of what is still open: “S7 of TOP (top rail, left), kept in tin 3”."""
        where = f" ({self.fixing.hole})" if self.fixing.hole else ""
        kept = f", kept in {self.fixing.kept}" if self.fixing.kept else ""
        return f"{self.fixing.code} of {self.part}{where}{kept}"

    def as_json(self) -> dict[str, Any]:
        fixing = self.fixing
        return {
            "code": fixing.code, "kind": fixing.kind.value, "size": fixing.size, "hole": fixing.hole,
            "kept": fixing.kept, "ends": fixing.ends.value, "why": fixing.why, "by": fixing.by,
            "joint": self.joint, "part": self.part, "out": self.out, "open": self.open,
            "marks": [mark.as_json() for mark in self.marks],
        }  # fmt: skip


@dataclass(frozen=True)
class PartNow:
    """A part, where it is and since when, by whom. `along` is the part it came off with, where not by itself.

    `photograph` is the last picture of it; `known` is False of a part the survey does not have yet.
    """

    code: str
    name: str
    place: Place
    since: datetime | None = None
    who: str = ""
    along: str = ""
    photograph: str | None = None
    marks: tuple[Marked, ...] = ()
    sat: str = ""
    up: str = ""
    kept: str = ""
    note: str = ""
    known: bool = True
    fixings: tuple[FixingNow, ...] = ()

    def as_json(self) -> dict[str, Any]:
        return {
            "code": self.code, "name": self.name, "place": self.place.value, "since": instant_json(self.since),
            "who": self.who, "along": self.along, "photograph": self.photograph,
            "marks": [mark.as_json() for mark in self.marks],
            "sat": self.sat, "up": self.up, "kept": self.kept, "note": self.note, "known": self.known,
            "fixings": [fixing.as_json() for fixing in self.fixings],
        }  # fmt: skip


@dataclass(frozen=True)
class ToPutBack:
    """One thing to put back, with what goes in along with it. `stage` is the glue-up it belongs to, from 1."""

    part: str
    along: tuple[str, ...]
    fixings: tuple[FixingNow, ...]
    stage: int | None
    note: str

    def as_json(self) -> dict[str, Any]:
        return {
            "part": self.part, "along": list(self.along), "fixings": [one.as_json() for one in self.fixings],
            "stage": self.stage, "note": self.note,
        }  # fmt: skip


@dataclass(frozen=True)
class ApartNow:
    """The piece as it lies about. `to_put_back` begins with what goes back next; `stages` are the glue-ups in order.

    `stages` are as the plan has them, each with its `number`, its `parts` and whether it is `done`.
    """

    parts: tuple[PartNow, ...]
    open: tuple[FixingNow, ...]
    to_put_back: tuple[ToPutBack, ...]
    stages: tuple[Mapping[str, Any], ...] = ()

    @cached_property
    def off(self) -> tuple[PartNow, ...]:
        """The parts that were logged off and are not back: those that came along with one are not counted again."""
        return tuple(part for part in self.parts if part.place is Place.OFF and not part.along)

    @cached_property
    def came_off(self) -> tuple[PartNow, ...]:
        """Every part that was ever logged off."""
        return tuple(part for part in self.parts if part.place is not Place.ON and not part.along)

    @property
    def together(self) -> bool:
        """Whether it came apart, and all of it is back with every fixing ended."""
        return bool(self.came_off) and not self.holds

    @cached_property
    def holds(self) -> tuple[str, ...]:
        """What keeps it from being called together, a line each."""
        return (*(_called(part) for part in self.off), *(f"{fixing.says}: still open" for fixing in self.open))

    def as_json(self) -> dict[str, Any]:
        return {
            "parts": [part.as_json() for part in self.parts],
            "off": [part.code for part in self.off],
            "back": [part.code for part in self.came_off if part.place is Place.BACK],
            "open": [fixing.as_json() for fixing in self.open],
            "to_put_back": [one.as_json() for one in self.to_put_back],
            "glue_stages": [dict(stage) for stage in self.stages],
            "together": self.together,
            "holds": list(self.holds),
        }


def _called(part: PartNow) -> str:
    name = f", {part.name}" if part.name else ""
    return f"{part.code}{name}: still off"


def apart_now(survey: Survey, daybook: DayBook, shop: Shop | None = None) -> ApartNow:
    """The piece as it lies about. Glue-ups go by the hands and cramps of `shop`, or of a plain one."""
    entries = daybook.on_piece(survey.id, survey.piece.code)
    moved = moved_in(entries)
    apart = together(apart_of(survey), survey, shop or plain_shop())
    fixings = _fixings(survey, moved, apart.taken)
    parts = tuple(_parts(survey, entries, moved, apart.taken, fixings))
    stages = takedown_as_json(apart.taken, apart.stages)["glue_stages"] if apart.taken else []
    stages = [stage | _of_stage(number, stage, survey, entries) for number, stage in enumerate(stages, 1)]
    off = {code for code, entry in moved.items() if entry.what is What.OFF}
    back = tuple(_to_put_back(off, moved, apart.taken, fixings, stages))
    return ApartNow(parts, tuple(fixing for fixing in fixings if fixing.open), back, tuple(stages))


def moved_in(entries: Iterable[Entry]) -> dict[str, Entry]:
    """The last coming off or going back of each part that was ever logged, by its code."""
    moved: dict[str, Entry] = {}
    for entry in entries:
        if entry.what in {What.OFF, What.REFIT}:
            moved.pop(entry.part, None)  # so that they stand in the order they were last moved
            moved[entry.part] = entry
    # A part put back that never came off did not come apart.
    off = {entry.part for entry in entries if entry.what is What.OFF}
    return {code: entry for code, entry in moved.items() if code in off}


def open_fixings(survey: Survey, moved: Mapping[str, Entry]) -> tuple[FixingNow, ...]:
    """The fixings that are out and have no ending. `moved` is as `moved_in` gives it."""
    taken = apart_of(survey).taken if moved else None
    return tuple(fixing for fixing in _fixings(survey, moved, taken) if fixing.open)


# --- what goes with what ---


def _with(code: str, survey: Survey, taken: Takedown | None) -> set[str]:
    """A part and all that comes off with it: as taking apart has it, else all that is part of it."""
    for each in taken.order if taken else ():
        if each.take == code:
            return {code, *each.along}
    group = {code}
    while more := {part.code for part in survey.part if part.of in group} - group:
        group |= more
    return group


def _opened_by(code: str, survey: Survey, taken: Takedown | None) -> list[Joint]:
    """The joints that part when it comes off: those from it, and what goes along, to anything else."""
    group = _with(code, survey, taken)
    return [joint for joint in survey.joint if group & set(joint.parts) and set(joint.parts) - group]


def _fixings(survey: Survey, moved: Mapping[str, Entry], taken: Takedown | None) -> tuple[FixingNow, ...]:
    """Every fixing of the piece, under the part it came out with."""
    under: dict[str, str] = {}
    for code in moved:
        for joint in _opened_by(code, survey, taken):
            under.setdefault(joint.code, code)
    marks = _marks(survey)
    return tuple(
        FixingNow(
            fixing,
            joint.code,
            under.get(joint.code, joint.parts[0]),
            joint.code in under or bool(fixing.kept),
            marks.get(fixing.code, ()),
        )
        for joint in survey.joint
        for fixing in joint.fixing
    )


# --- the parts ---


def _parts(
    survey: Survey,
    entries: Sequence[Entry],
    moved: Mapping[str, Entry],
    taken: Takedown | None,
    fixings: Sequence[FixingNow],
) -> Iterable[PartNow]:
    along: dict[str, str] = {}
    for code in moved:
        along |= {other: code for other in _with(code, survey, taken) if other not in moved}
    joints = {joint.code: set(joint.parts) for joint in survey.joint}
    marks = _marks(survey)
    listed = [(part.code, part) for part in survey.part]
    codes = {code for code, _ in listed}
    for code, part in (*listed, *((code, None) for code in moved if code not in codes)):
        leader = along.get(code, "")
        entry = moved.get(leader or code)
        yield PartNow(
            code=code,
            name=part.name if part else "",
            place=Place.ON if entry is None else Place.OFF if entry.what is What.OFF else Place.BACK,
            since=entry.happened if entry else None,
            who=entry.who if entry else "",
            along=leader,
            photograph=_picture(code, survey, entries),
            marks=marks.get(code, ()),
            sat=part.sat if part else "",
            up=part.up if part else "",
            kept=part.kept if part else "",
            note=entry.note if entry and not leader else "",
            known=part is not None,
            fixings=tuple(fixing for fixing in fixings if code in joints[fixing.joint]),
        )


def _marks(survey: Survey) -> dict[str, tuple[Marked, ...]]:
    found: dict[str, tuple[Marked, ...]] = {}
    for photograph in survey.photograph:
        for mark in photograph.mark:
            if mark.code is None:  # of damage, not of a part
                continue
            marked = Marked(photograph.sha256, mark.x, mark.y, mark.up)
            found[mark.code] = (*found.get(mark.code, ()), marked)
    return found


def _picture(code: str, survey: Survey, entries: Sequence[Entry]) -> str | None:
    """The last picture of a part: by the day book, else one of the survey that is marked for it or shows it."""
    logged = [entry.photograph for entry in entries if entry.part == code and entry.photograph]
    marked = [one.sha256 for one in survey.photograph if any(mark.code == code for mark in one.mark)]
    shown = [one.sha256 for one in survey.photograph if code in one.shows]
    return next(iter([*logged[::-1], *marked[::-1], *shown[::-1]]), None)


# --- back again ---


def _to_put_back(
    off: set[str],
    moved: Mapping[str, Entry],
    taken: Takedown | None,
    fixings: Sequence[FixingNow],
    stages: Sequence[Mapping[str, Any]],
) -> Iterable[ToPutBack]:
    """What is off, in the order it goes back: first what nobody planned to take off, the last off first."""
    refits = [refit for refit in (taken.refit if taken else ()) if refit.part in off]
    planned = {refit.part for refit in refits}
    for code in reversed([code for code in moved if code in off - planned]):
        yield ToPutBack(code, (), tuple(one for one in fixings if one.part == code and one.out), None, "")
    for refit in refits:
        own = tuple(one for one in fixings if one.joint in refit.joints)
        along = tuple(code for code in refit.along if code not in moved)
        yield ToPutBack(refit.part, along, own, _stage_of(refit, stages), refit.note)


def _stage_of(refit: Refit, stages: Sequence[Mapping[str, Any]]) -> int | None:
    open_ones = [stage for stage in stages if not stage["done"] and set(stage["joints"]) & set(refit.joints)]
    return open_ones[0]["number"] if open_ones else None


def _of_stage(number: int, stage: Mapping[str, Any], survey: Survey, entries: Iterable[Entry]) -> dict[str, Any]:
    """Its number, the parts that meet in it, and whether its step is logged as done."""
    joints = {joint.code: joint for joint in survey.joint}
    parts = tuple(dict.fromkeys(part for code in stage["joints"] for part in joints[code].parts))
    done = any(
        entry.what is What.DONE
        and entry.step is not None
        and (entry.step.id == AT_ONCE or (entry.step.id.startswith("glue_up.") and entry.step.parts == parts))
        for entry in entries
    )
    return {"number": number, "parts": list(parts), "done": done}
