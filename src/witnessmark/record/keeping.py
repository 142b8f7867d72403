"""Keeping: what people said goes in as truth and is projected in the same transaction; nothing is changed in place."""

import json
import os
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import count
from typing import Any

from django.db import transaction
from django.db.models import Max, Q

from witnessmark.daybook import Entry, Stage, entry_in
from witnessmark.documents import Fault, Faulty, Refused, json_of, merged, uuid7
from witnessmark.plan import survey_words
from witnessmark.shop import Shop, shop_in
from witnessmark.survey import Survey, survey_in

from .models import DayBookEntry, Kind, Revision, StockRow
from .projecting import project_piece
from .reading import NoSuchState, latest, the_shop

_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")
SHOP = "shop"  # the one document of its kind
_made = count()  # ids of this process


class BothChanged(Refused):
    """Somebody else changed the same keys meanwhile. `current` is what stands; `both` has, by key, (theirs, mine)."""

    def __init__(self, current: Revision, both: Mapping[str, tuple[Any, Any]]) -> None:
        super().__init__(f"{current.who} has changed the same since you opened it: {', '.join(both)}")
        self.current, self.both = current, dict(both)


@dataclass(frozen=True)
class Posted:
    """What became of entries that were posted: taken in now, or known already. Ids, in the order given."""

    accepted: tuple[str, ...]
    known: tuple[str, ...]


def new_id(at: datetime) -> str:
    """An id for something made now; those that one process makes at one instant stand in the order they were made.

    Source: RFC 9562, section 6.2, method 1: a counter goes before chance.
    """
    number = next(_made) % (1 << 30)
    early, late = number >> 18, number % (1 << 18)
    chance = early << 68 | late << 44 | int.from_bytes(os.urandom(5), "big")
    return uuid7(at, chance.to_bytes(10, "big"))


def keep_survey(survey: Survey, who: str, at: datetime, why: str = "", expected: int | None = None) -> Revision:
    """The survey as a new revision. The same words again make none.

    `expected` is the number it was changed from: what somebody else changed meanwhile is merged into it. Raises
    BothChanged where both changed the same key; Faulty where what both said does not go together.
    """
    return _kept(Kind.SURVEY, survey.id, json_of(survey), who, at, why, expected)


def keep_shop(shop: Shop, who: str, at: datetime, why: str = "", expected: int | None = None) -> Revision:
    """The shop's document as a new revision; as `keep_survey`."""
    return _kept(Kind.SHOP, SHOP, json_of(shop), who, at, why, expected)


def _kept(
    kind: Kind, document: str, body: dict[str, Any], who: str, at: datetime, why: str, expected: int | None
) -> Revision:
    body = json.loads(json.dumps(body))
    with transaction.atomic():
        last = latest(document)
        if expected is not None and last is not None and last.number != expected:
            body = _with_theirs(kind, body, last, expected)
        if last is not None and _said(last.body) == _said(body):
            return last
        number = last.number + 1 if last else 1
        kept = Revision.objects.create(
            kind=kind, document=document, number=number, body=body, who=who, at=at, why=why[:400]
        )
        if kind == Kind.SURVEY:
            project_piece(document)
        return kept


def _said(tables: Any) -> Any:
    """What tables say: a null says no more than a key that is not there, and TOML knows none."""
    if isinstance(tables, dict):
        return {key: _said(value) for key, value in tables.items() if value is not None}
    return [_said(one) for one in tables] if isinstance(tables, list) else tables


def _with_theirs(kind: Kind, mine: dict[str, Any], current: Revision, expected: int) -> dict[str, Any]:
    """My tables with what others changed since `expected`."""
    base = latest(current.document, expected)
    if base is None:
        raise Refused(f"there is no state {expected} of {current.document} that this could be changed from")
    found = merged(base.body, current.body, mine)
    if found.both:
        raise BothChanged(current, found.both)
    where = f"this together with what {current.who} changed meanwhile"
    checked = survey_checked(found.tables, where) if kind == Kind.SURVEY else shop_checked(found.tables, where)
    tables: dict[str, Any] = json.loads(json.dumps(json_of(checked)))
    return tables


def brought_back(document: str, number: int, who: str, at: datetime) -> Revision:
    """A document as it stood at a revision, as a new one: nothing is lost. Raises NoSuchState."""
    was = latest(document, number)
    if was is None:
        raise NoSuchState(f"there is no state {number} of {document}")
    why = f"brought back, as {was.who} left it in state {number}"
    return _kept(Kind(was.kind), document, was.body, who, at, why, None)


def survey_checked(tables: dict[str, Any], where: str = "survey") -> Survey:
    """The survey in tables that came from a form or the API, read as this shop reads it. Raises Faulty."""
    return survey_in(tables, where, the_shop().context, survey_words())


def shop_checked(tables: dict[str, Any], where: str = "shop") -> Shop:
    """The shop in tables that came from a form or the API. Raises Faulty."""
    return shop_in(tables, where)


def post_entries(entries: Sequence[dict[str, Any]], arrived: datetime, as_arrived: bool = False) -> Posted:
    """Day-book entries, all or none. One that is known by its id counts once. Raises Faulty with every fault.

    The same id with other words is a fault: correcting is a new entry. A piece named by its code or its title is
    kept by its id, where one piece here is called so. `as_arrived`: they say themselves when they arrived, since they
    come from a day book that was kept elsewhere.
    """
    context = the_shop().context
    faults: list[Fault] = []
    made: list[Entry] = []
    for number, tables in enumerate(entries, 1):
        try:
            came = tables.get("arrived") if as_arrived else None
            made.append(entry_in({**tables, "arrived": came or arrived.isoformat()}, f"entry {number}", context))
        except Faulty as error:
            faults += error.faults
    if faults:
        raise Faulty(faults)
    with transaction.atomic():
        standing = {row.id: row for row in DayBookEntry.objects.filter(id__in=[entry.id for entry in made])}
        pieces = _by_name(entry.piece for entry in made)
        accepted: dict[str, Entry] = {}
        known: list[str] = []
        for number, entry in enumerate(made, 1):
            named = entry.model_copy(update={"piece": pieces[entry.piece]}) if entry.piece in pieces else entry
            if entry.id in standing or entry.id in accepted:
                before = standing[entry.id].body if entry.id in standing else json_of(accepted[entry.id])
                if not _same(before, json_of(entry)):
                    says = "an id of its own: this one stands for other words"
                    faults.append(Fault(f"entry {number}", "id", entry.id, says))
                known.append(entry.id)
            else:
                accepted[entry.id] = named
        if faults:
            raise Faulty(faults)
        add_entries(accepted.values(), arrived)
        for piece in dict.fromkeys(entry.piece for entry in accepted.values() if entry.piece):
            project_piece(piece)
    return Posted(tuple(accepted), tuple(known))


def _by_name(names: Iterable[str]) -> dict[str, str]:
    """The ids of the pieces that entries name otherwise: by the code or the title that only one piece here has."""
    found: dict[str, str] = {}
    for name in {name for name in names if name and not _ID.fullmatch(name)}:
        rows = StockRow.objects.filter(Q(code__iexact=name) | Q(title__iexact=name))
        here = list((rows.exclude(stage=Stage.OUT.value) or rows).values_list("piece", flat=True))
        if len(here) == 1:
            found[name] = here[0]
    return found


def _same(kept: dict[str, Any], sent: dict[str, Any]) -> bool:
    """Whether an entry that is sent again says what was kept. A name it gave the piece may mean another by now."""
    passed = {"arrived"} if not sent.get("piece") or _ID.fullmatch(sent["piece"]) else {"arrived", "piece"}
    sent = json.loads(json.dumps(sent))
    return all(kept.get(key) == sent.get(key) for key in kept.keys() | sent.keys() if key not in passed)


def add_entries(entries: Iterable[Entry], arrived: datetime) -> None:
    """The rows of these entries, without projecting them: for `post_entries` and for taking in a whole day book."""
    DayBookEntry.objects.bulk_create([_row(entry, arrived) for entry in entries], batch_size=500)


def _row(entry: Entry, arrived: datetime) -> DayBookEntry:
    return DayBookEntry(
        id=entry.id,
        what=entry.what.value,
        who=entry.who,
        piece=entry.piece[:36],
        jar=next((amount.jar for amount in entry.amounts if amount.jar), ""),
        timed=bool(entry.minutes and entry.step and entry.step.labour),
        happened=entry.happened,
        arrived=entry.arrived or arrived,
        corrects=entry.corrects or "",
        body=json_of(entry),
    )


def last_cursor() -> int:
    """The cursor of the newest entry; 0 in an empty day book."""
    found: int | None = DayBookEntry.objects.aggregate(last=Max("cursor"))["last"]
    return found or 0
