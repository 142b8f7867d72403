"""Changing several tables of a survey at once: what now stands is read, changed, checked and kept, or nothing is."""

import copy
from collections.abc import Callable, Iterator
from typing import Any

from django.db import transaction

from witnessmark.record import DayBookEntry, NoSuchPiece, Revision, keep_survey, latest, survey_checked

from .clock import now

Tables = dict[str, Any]


def rewritten(piece: str, who: str, why: str, change: Callable[[Tables], None]) -> Revision:
    """The survey of a piece with `change` made to its tables. Raises NoSuchPiece, Faulty; then nothing is kept."""
    with transaction.atomic():
        stands = latest(piece)
        if stands is None:
            raise NoSuchPiece(f"no piece {piece} is kept here")
        tables = copy.deepcopy(stands.body)
        change(tables)
        return keep_survey(survey_checked(tables), who, now(), why, expected=stands.number)


def row_of(tables: Tables, table: str, key: str, value: str) -> Tables | None:
    """The row of a list of tables that has this value; None where there is none."""
    return next((row for row in tables.get(table, ()) if row.get(key) == value), None)


def fixings_in(tables: Tables) -> Iterator[Tables]:
    """Every fixing of a survey's tables, whatever joint it is of."""
    for joint in tables.get("joint", ()):
        yield from joint.get("fixing", ())


def codes_ever(piece: str) -> set[str]:
    """Every code a part, a joint or a fixing of this piece has or ever had: none of them is given again."""
    found: set[str] = set()
    for parts, joints in Revision.objects.filter(document=piece).values_list("body__part", "body__joint"):
        tables = {"part": parts or [], "joint": joints or []}
        found |= {row["code"] for row in (*tables["part"], *tables["joint"], *fixings_in(tables))}
    logged = DayBookEntry.objects.filter(piece=piece).values_list("body__part", flat=True).distinct()
    return found | {code for code in logged if code}
