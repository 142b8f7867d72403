"""A record of many pieces and a long day book, for the other files here: the demo shop, and years of work before it.

A few pieces are kept through the record as anybody's are: a survey of the demo under an id of its own, its plan worked
through step by step, entry by entry. The rows that the record wrote for them are then copied in bulk, each copy with
ids, days, code and owner of its own, into the same tables. Nearly all pieces are out; what is here is about 25, or
all of them where a shop has fewer.
"""

import json
import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

DEMO = Path(__file__).resolve().parents[1] / "demo"
NOW = datetime(2026, 11, 25, 8, tzinfo=UTC)
HERE = 25  # pieces in the shop
YEARS = 20  # in which all the others came and went
AT_A_TIME = 20  # pieces whose entries stand mixed in the day book
OWNERS = 700


def demo_surveys() -> list[Any]:
    """The surveys of the demo, but for its job cards."""
    from witnessmark.shop import shop_from
    from witnessmark.survey import survey_from

    shop = shop_from((DEMO / "shop.toml").read_text("utf-8"), "shop.toml")
    files = [*sorted(DEMO.glob("*.toml")), *sorted((DEMO / "stock").glob("*.toml"))]
    read = [survey_from(one.read_text("utf-8"), one.name, shop.context) for one in files if one.name != "shop.toml"]
    return [survey for survey in read if survey.part]


def named(survey: Any, code: str, at: datetime) -> Any:
    """The same survey as another piece."""
    from witnessmark.record import new_id

    return survey.model_copy(update={"id": new_id(at), "piece": survey.piece.model_copy(update={"code": code})})


def history(survey: Any, start: datetime, entries: int) -> Iterator[dict[str, Any]]:
    """So many entries on a piece: its plan worked through, a little each time, till it is out and paid."""
    from witnessmark.daybook import DayBook
    from witnessmark.desk.demo_shop import _amounts
    from witnessmark.plan import plan_piece, step_as_logged
    from witnessmark.record import new_id, the_shop

    steps = [one for one in plan_piece(survey, the_shop(), DayBook(), start).steps if one.step.labour != "wait"]
    worked = max(1, (entries - 2) // len(steps) - 1)
    said: list[dict[str, Any]] = []
    for planned in steps:
        step = step_as_logged(planned)
        minutes = f"{max(5, round(planned.minutes.p50 / worked))} min"
        said += [{"what": "worked", "minutes": minutes, "step": step} for _ in range(worked)]
        amounts = [{**amount, "jar": "B"} if planned.step.basis.value == "area" else amount
                   for amount in _amounts(planned)]  # fmt: skip
        said.append({"what": "done", "step": step} | ({"amounts": amounts} if amounts else {}))
    said = said[: entries - 2]
    said += [{"what": "note", "note": "seen to"} for _ in range(entries - 2 - len(said))]
    said += [{"what": "stage", "to": "out"}, {"what": "paid", "sum": "£420"}]
    for number, one in enumerate(said):
        at = start + timedelta(hours=4 * number)
        yield {"id": new_id(at), "who": "Ines", "piece": survey.id, "happened": at.isoformat(), **one}


@dataclass
class Pattern:
    """The rows that the record wrote for one piece."""

    revision: Any
    row: Any
    entries: list[Any]


def pattern_of(survey: Any, entries: int) -> Pattern:
    """A piece kept through the record, in and out long ago."""
    from witnessmark.record import DayBookEntry, Revision, StockRow, keep_survey, post_entries

    start = NOW - timedelta(days=YEARS * 365 + entries)
    survey = named(survey, f"Y{survey.piece.code}", start)
    keep_survey(survey, "Ines", start)
    post_entries(list(history(survey, start, entries)), start)
    written = list(DayBookEntry.objects.filter(piece=survey.id).order_by("cursor"))
    row = StockRow.objects.get(piece=survey.id)
    assert row.stage == "out", f"{row.title} stands at {row.stage}"
    return Pattern(Revision.objects.get(document=survey.id), row, written)


def fill(pieces: int, entries: int) -> None:
    """The record that is open, empty till now, holds so many pieces and day-book entries, near enough."""
    from django.db import transaction

    from witnessmark.desk.demo_shop import keep_demo
    from witnessmark.record import Person, StockRow, keep_survey

    keep_demo(DEMO, NOW)
    for name, role in (("Ines", "owner"), ("Tobias", "helper")):
        Person.objects.create_user(name, role)
    surveys = demo_surveys()
    here = StockRow.objects.exclude(stage="out").count()
    for number in range(HERE - here):
        keep_survey(named(surveys[number % len(surveys)], f"H{number}", NOW), "Ines", NOW - timedelta(days=9))
    patterns = [pattern_of(survey, entries // pieces) for survey in surveys]
    chance = random.Random(pieces)
    more = pieces - StockRow.objects.count()
    with transaction.atomic():
        for first in range(0, more, AT_A_TIME):
            group = range(first, min(more, first + AT_A_TIME))
            copied([(patterns[number % len(patterns)], number / more, chance) for number in group])
        airs(chance)


def copied(group: list[tuple[Pattern, float, random.Random]]) -> None:
    """Pieces copied from their patterns; `number / more` tells how far into the years each came."""
    from witnessmark.record import DayBookEntry, Revision, StockRow, new_id
    from witnessmark.record.finding import keep_words

    revisions, rows, books = [], [], []
    for pattern, share, chance in group:
        later = timedelta(days=int(share * (YEARS * 365 - 10)))
        piece, owner = new_id(pattern.row.touched + later), f"Owner {chance.randrange(OWNERS)}"
        code = f"Z{int(share * 1e6)}"
        body = {**pattern.revision.body, "id": piece}
        body["piece"] = body["piece"] | {"code": code, "owner": owner}
        revisions.append(_again(pattern.revision, body=body, document=piece, at=pattern.revision.at + later, pk=None))
        words = f"{code} {owner} {pattern.row.words}".lower()
        rows.append(_again(pattern.row, piece=piece, code=code, owner=owner, words=words,
                           since=pattern.row.since + later, touched=pattern.row.touched + later))  # fmt: skip
        keep_words(piece, words)
        books.append([(entry, piece, later) for entry in pattern.entries])
    Revision.objects.bulk_create(revisions)
    StockRow.objects.bulk_create(rows)
    fields = [field for field in DayBookEntry._meta.concrete_fields if not field.primary_key]
    mixed = [one for at_once in zip(*_even(books), strict=True) for one in at_once if one]
    insert_many(DayBookEntry, fields, (_entry_again(fields, *one) for one in mixed))


def _even(books: list[list[Any]]) -> list[list[Any]]:
    longest = max(len(book) for book in books)
    return [book + [None] * (longest - len(book)) for book in books]


def _again(row: Any, **other: Any) -> Any:
    fields = {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
    if "pk" in other:
        del fields[row._meta.pk.attname], other["pk"]
    return type(row)(**fields | other)


def _entry_again(fields: list[Any], entry: Any, piece: str, later: timedelta) -> list[Any]:
    from witnessmark.record import new_id

    happened, arrived = entry.happened + later, entry.arrived + later
    ident = new_id(happened)
    body = {**entry.body, "id": ident, "piece": piece, "happened": happened.isoformat(), "arrived": arrived.isoformat()}
    changed = {"id": ident, "piece": piece, "happened": _stored(happened), "arrived": _stored(arrived),
               "body": json.dumps(body)}  # fmt: skip
    return [changed.get(field.attname, getattr(entry, field.attname)) for field in fields]


def _stored(at: datetime) -> str:
    """An instant as the database holds it."""
    return str(at.astimezone(UTC).replace(tzinfo=None))


def insert_many(model: Any, fields: list[Any], rows: Iterator[list[Any]]) -> None:
    """Rows as `bulk_create` writes them, without an object for each: a million are many."""
    from django.db import connection

    names = ", ".join(field.column for field in fields)
    with connection.cursor() as cursor:
        marks = ", ".join(["%s"] * len(fields))
        cursor.executemany(f"INSERT INTO {model._meta.db_table} ({names}) VALUES ({marks})", list(rows))


def airs(chance: random.Random) -> None:
    """The air of the shop, read every morning of all these years."""
    from witnessmark.record import new_id, post_entries

    for year in range(YEARS, 0, -1):
        at = [NOW - timedelta(days=365 * year - day) for day in range(365)]
        entries = [{"id": new_id(one), "what": "air", "who": "Ines", "happened": one.isoformat(),
                    "temperature": f"{chance.randrange(14, 23)} °C", "rh": f"{chance.randrange(40, 66)} %"}
                   for one in at]  # fmt: skip
        post_entries(entries, at[-1])
