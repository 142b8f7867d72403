"""A part is born as it comes off: its code, where it sat, its fixings, and the entry that it is off, all or none."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.http import HttpRequest

from witnessmark.daybook import What
from witnessmark.documents import Fault, Faulty, Refused
from witnessmark.record import DayBookEntry
from witnessmark.survey import FixingKind, Held, PieceKind, Survey, free_code, main_body_of, stem_for

from .daybook_posts import post_said
from .rewriting import Tables, codes_ever, fixings_in, rewritten, row_of

MOST_FIXINGS = 60  # of one part: more is a slip of the thumb
# What a fixing holds a joint by, and the stem of its code.
_HELD = {
    FixingKind.SCREW: (Held.SCREWED, "S"), FixingKind.NAIL: (Held.NAILED, "N"), FixingKind.BOLT: (Held.BOLTED, "B"),
    FixingKind.PEG: (Held.PEGGED, "G"), FixingKind.PIN: (Held.NAILED, "N"), FixingKind.WEDGE: (Held.WEDGED, "W"),
    FixingKind.BLOCK: (Held.GLUED, "K"),
}  # fmt: skip
_OTHERWISE = (Held.UNKNOWN, "F")
BODY = "body"  # of the choice what it was held to: the main body, which may have no code yet


@dataclass(frozen=True)
class Spot:
    """A place on a photograph: shares of its width and height, and the way the part's top points, in degrees."""

    photograph: str
    x: float
    y: float
    up: float | None = None

    def mark(self, code: str) -> Tables:
        row: Tables = {"code": code, "x": round(self.x, 4), "y": round(self.y, 4)}
        return row if self.up is None else {**row, "up": round(self.up, 1) % 360}


@dataclass(frozen=True)
class Fixings:
    """So many fixings of a kind, where they are kept, and the part they held it to."""

    count: int
    kind: FixingKind
    kept: str
    to: str


@dataclass(frozen=True)
class NewPart:
    """What was said of a part as it came off; an empty name waits till tea."""

    name: str
    kept: str
    sat: str
    photograph: str
    spot: Spot | None
    fixings: Fixings | None


def part_born(request: HttpRequest, survey: Survey, new: NewPart) -> str:
    """The code of a new part that is off. Asked again with the same entry it is the same part. Raises Faulty."""
    entry = request.POST.get("entry", "")
    with transaction.atomic():
        known = DayBookEntry.objects.filter(id=entry).values_list("body__part", flat=True).first() if entry else None
        if known:
            return str(known)
        taken = codes_ever(survey.id)
        code = free_code(stem_for(survey.piece.kind, new.name), taken)
        rewritten(survey.id, str(request.user), f"{code} came off", lambda tables: _add(tables, code, new, taken))
        post_said(request, What.OFF, survey.id, part=code, photograph=new.photograph)
    return code


def unborn(request: HttpRequest, piece: str, entry: DayBookEntry) -> None:
    """Takes back a birth: the part leaves the survey, its code stays used, the entry is struck out.

    Raises Refused where more was logged of it since, Faulty where the survey names it elsewhere.
    """
    code = str(entry.body.get("part", ""))
    others = DayBookEntry.objects.filter(piece=piece, body__part=code).exclude(id=entry.id)
    if entry.what != What.OFF.value or others.exists():
        raise Refused("more was logged of it since: undo that first")
    with transaction.atomic():
        rewritten(piece, str(request.user), f"{code} taken back", lambda tables: _remove(tables, code))
        post_said(request, What.CORRECTS, piece, corrects=entry.id)


def mark_put(tables: Tables, code: str, spot: Spot) -> None:
    """Puts the mark of a part or a fixing on a photograph; where it had one there it moves."""
    photograph = row_of(tables, "photograph", "sha256", spot.photograph)
    if photograph is None:
        raise Faulty([Fault("survey", "photograph", spot.photograph[:12], "a photograph of this piece: add it first")])
    kept = [mark for mark in photograph.get("mark", ()) if mark.get("code") != code]
    photograph["mark"] = [*kept, spot.mark(code)]


def fixings_added(tables: Tables, code: str, fixings: Fixings, taken: set[str]) -> None:
    """Adds a joint that has come apart, with these fixings in it. `taken`: codes never to be given."""
    if not 1 <= fixings.count <= MOST_FIXINGS:
        raise Faulty([Fault("survey", "count", str(fixings.count), f"a number from 1 to {MOST_FIXINGS}")])
    taken = taken | {code} | _codes_in(tables)
    held, stem = _HELD.get(fixings.kind, _OTHERWISE)
    to = _body_in(tables, taken) if fixings.to == BODY else fixings.to
    taken |= {to}
    joint: Tables = {"code": free_code("J", taken), "parts": [code, to], "held": [held.value], "state": "open"}
    rows = []
    for _ in range(fixings.count):
        own = free_code(stem, taken)
        taken |= {own}
        rows.append({"code": own, "kind": fixings.kind.value} | ({"kept": fixings.kept} if fixings.kept else {}))
    tables["joint"] = [*tables.get("joint", ()), joint | {"fixing": rows}]


def _add(tables: Tables, code: str, new: NewPart, taken: set[str]) -> None:
    said = {"name": new.name, "kept": new.kept, "sat": new.sat}
    row = {"code": code, "name": new.name} | {key: value for key, value in said.items() if value}
    tables["part"] = [*tables.get("part", ()), row]
    if new.spot:
        mark_put(tables, code, new.spot)
    if new.fixings:
        fixings_added(tables, code, new.fixings, taken)


def _body_in(tables: Tables, taken: set[str]) -> str:
    """The code of the main body the others come off from; it is listed first where it is not yet.

    It shows nothing of its own: its faces are those of the parts it is of.
    """
    body = main_body_of(PieceKind(tables["piece"]["kind"]))
    listed = row_of(tables, "part", "name", body.name)
    if listed:
        return str(listed["code"])
    code = free_code(body.stem, taken)
    tables["part"] = [*tables.get("part", ()), {"code": code, "name": body.name, "show": ["nothing"]}]
    return code


def _remove(tables: Tables, code: str) -> None:
    tables["part"] = [part for part in tables.get("part", ()) if part["code"] != code]
    gone = {code}
    for joint in tables.get("joint", ()):
        if code in joint["parts"]:
            gone |= {fixing["code"] for fixing in joint.get("fixing", ())}
    tables["joint"] = [joint for joint in tables.get("joint", ()) if code not in joint["parts"]]
    for photograph in tables.get("photograph", ()):
        _without(photograph, "mark", [mark for mark in photograph.get("mark", ()) if mark.get("code") not in gone])
        _without(photograph, "shows", [shown for shown in photograph.get("shows", ()) if shown != code])


def _without(row: Tables, key: str, left: Sequence[Any]) -> None:
    if left:
        row[key] = list(left)
    else:
        row.pop(key, None)


def _codes_in(tables: Tables) -> set[str]:
    rows = (*tables.get("part", ()), *tables.get("joint", ()), *fixings_in(tables))
    return {row["code"] for row in rows}
