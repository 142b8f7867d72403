"""What the bench reads: the plans of what is here, the days people have read, and today's list, frozen once looked at.

The first look of a day keeps the calendar and today's list as revisions; every later look says how that list stands.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.core.cache import cache
from django.db import connection, transaction
from django.db.models import Max, Q

from witnessmark.daybook import DayBook, Entry, Stage
from witnessmark.plan import bench_of, plan_shop, today_list
from witnessmark.schedule import Calendar, calendar_in
from witnessmark.shop import Shop

from .models import DayBookEntry, Kind, PlanKept, Revision, StockRow
from .reading import (
    entries_of,
    latest,
    plan_aged,
    plan_of,
    rows_that,
    shop_revision,
    the_shop,
    timed_lately,
    touching_a_jar,
)

TODAY, CALENDAR = "today", "calendar"
LATELY = timedelta(days=2)  # air, timers and closing up of today and of last night
HERE = [stage.value for stage in Stage if stage is not Stage.OUT]  # named, since an index has no “not out”
AT_A_LOOK = 12  # plans made afresh at one look: after a change to the shop's document the rest follow at the next
_KEPT_FOR = 15 * 60  # seconds; the key changes with whatever is posted


@dataclass(frozen=True)
class _Book:
    """The entries read so far: posting adds to them, so that only what is new need be read."""

    of: tuple[Any, ...]
    cursor: int
    newest: str  # the id of the entry at that cursor: a record that was restored has another there
    entries: tuple[Entry, ...]


_BOOKS: dict[str, _Book] = {}


def bench_now(now: datetime, who: str = "the bench") -> dict[str, Any]:
    """The bench's one document (`plan.bench_schema`) as things stand now. `who` looks: the first look freezes the day.

    Raises Refused where nobody works, or steps wait for one another.
    """
    cursor, newest = DayBookEntry.objects.order_by("-cursor").values_list("cursor", "id").first() or (0, "")
    revision = Revision.objects.aggregate(last=Max("pk"))["last"] or 0
    key = f"bench {connection.settings_dict['NAME']} {newest} {revision} {now:%Y%m%d%H%M}".replace(" ", "_")
    known: dict[str, Any] | None = cache.get(key)
    if known is not None:
        return known
    shop = the_shop()
    plans = plans_here(now)
    book = _daybook(plans, now)
    posted, read = latest(CALENDAR), _read_today(shop)
    calendar = plan_shop(plans, shop, book, now, posted.body if posted else None)
    today = today_list(calendar, read.body if read else None, shop, now)
    if read is None or read.body["date"] != today["date"]:
        today, calendar = _looked_at(calendar, today, shop, now, who)
        return bench_of(plans, shop, book, now, calendar, today, cursor)
    document = bench_of(plans, shop, book, now, calendar, today, cursor)
    cache.set(key, document, _KEPT_FOR)
    return document


def plans_here(now: datetime) -> list[dict[str, Any]]:
    """The plan of every piece that is here, as JSON, but for job cards that were never grown into a survey.

    One that only the day has aged is taken as it is: the calendar over all pieces gives it its days afresh. Of those
    that have aged otherwise a few are made again at each look, what was touched last first.
    """
    cards = {row.piece for row in small_jobs()}
    rows = [row for row in StockRow.objects.filter(stage__in=HERE).order_by("-touched") if row.piece not in cards]
    kept = PlanKept.objects.in_bulk([row.piece for row in rows])
    shop = shop_revision()
    found: dict[str, dict[str, Any]] = {}
    afresh = 0
    for row in rows:
        plan = kept.get(row.piece)
        if (plan is None or plan_aged(plan, row.revision, row.cursor, shop)) and afresh < AT_A_LOOK:
            plan, afresh = plan_of(row.piece, now), afresh + 1
        if plan is not None and plan.body is not None:
            found[row.piece] = plan.body
    return [found[piece] for piece in sorted(found)]  # their order must not hang on who was touched last


def small_jobs() -> list[StockRow]:
    """The job cards that are here and never grew into a survey: they say what is to be done and name no part."""
    cards = list(StockRow.objects.exclude(job="").filter(stage__in=HERE).order_by("promised", "piece"))
    states = Revision.objects.filter(document__in=[card.piece for card in cards])
    parts = dict(states.order_by("number").values_list("document", "body__part"))
    return [card for card in cards if not parts.get(card.piece)]


def daybook_here(now: datetime) -> DayBook:
    """The entries the bench rests on: those of the pieces that are here, of the jars, and of these days."""
    return _daybook(plans_here(now), now)


def _daybook(plans: Sequence[Mapping[str, Any]], now: datetime) -> DayBook:
    """Of the pieces that are here, of the jars, the last days, and the timed work that the pace is learned from."""
    shop = the_shop()
    pieces = [plan["piece"]["id"] for plan in plans]
    day = now.astimezone(shop.shop.zone_info).date()
    name = str(connection.settings_dict["NAME"])
    of = (frozenset(pieces), shop_revision(), day)
    known = _BOOKS.get(name)
    rows = (
        DayBookEntry.objects.filter(cursor__gte=known.cursor).order_by("cursor") if known and known.of == of else None
    )
    newer = list(rows) if rows is not None else []
    if known is None or not newer or newer[0].id != known.newest:
        found = _rows(pieces, shop, now)
        last = max(found, key=lambda row: row.cursor, default=None)
        if last is None:
            return DayBook()
        known = _Book(of, last.cursor, last.id, tuple(entries_of(found)))
    elif len(newer) > 1:
        known = _Book(of, newer[-1].cursor, newer[-1].id, (*known.entries, *entries_of(newer[1:])))
    _BOOKS[name] = known
    return DayBook.of(known.entries)


def _rows(pieces: Sequence[str], shop: Shop, now: datetime) -> list[DayBookEntry]:
    return rows_that(Q(piece__in=pieces), Q(happened__gte=now - LATELY), timed_lately(), touching_a_jar(shop))


def post_calendar(calendar: Calendar, who: str, at: datetime) -> Revision:
    """The calendar as the one that people have read: what changes from now on is said against it."""
    with transaction.atomic():
        last = latest(CALENDAR)
        number = last.number + 1 if last else 1
        return Revision.objects.create(
            kind=Kind.CALENDAR, document=CALENDAR, number=number, body=calendar.as_json(), who=who, at=at, why="posted"
        )


def _read_today(shop: Shop) -> Revision | None:
    """The list that was last looked at, unless nobody it was for works here: a shop that has just been written down."""
    read = latest(TODAY)
    here = {person.name for person in shop.person}
    return read if read and any(one["name"] in here for one in read.body["people"] if one["items"]) else None


def _looked_at(
    calendar: Calendar, today: dict[str, Any], shop: Shop, now: datetime, who: str
) -> tuple[dict[str, Any], Calendar]:
    """Today's list and the calendar it is from, kept; those of whoever looked first where two look at once.

    A day on which nothing is down for anybody is not frozen: the first piece may still come in.
    """
    if not any(one["items"] for one in today["people"]):
        return today, calendar
    with transaction.atomic():
        read, posted = _read_today(shop), latest(CALENDAR)
        last_read = latest(TODAY)
        if read is not None and posted is not None and read.body["date"] == today["date"]:
            known = calendar_in(posted.body)
            return today_list(known, read.body, shop, now), known
        for kind, document, body, last in (
            (Kind.CALENDAR, CALENDAR, calendar.as_json(), posted),
            (Kind.TODAY, TODAY, today, last_read),
        ):
            number = last.number + 1 if last else 1
            Revision.objects.create(
                kind=kind, document=document, number=number, body=body, who=who, at=now, why="looked at"
            )
    return today, calendar
