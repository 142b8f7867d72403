"""Reading: documents as they stand, the part of the day book a piece's plan needs, and its plan, till it ages."""

import json
from collections.abc import Iterable
from datetime import UTC, datetime, time, timedelta
from functools import lru_cache
from typing import Any

from django.db import connection, transaction
from django.db.models import Max, Q, QuerySet

from witnessmark.daybook import DayBook, Entry, entry_in
from witnessmark.documents import Refused
from witnessmark.plan import PiecePlan, plan_as_json, plan_piece, waiting_on
from witnessmark.shop import Shop, plain_shop, shop_in
from witnessmark.survey import Survey, survey_in

from .models import DayBookEntry, Kind, PlanKept, Revision, StockRow

LEARNS_FROM = 1500  # a shop's pace fades with age: older timed work than this many entries no longer speaks
AIR_DAYS = 30  # how far back the air of the shop still tells of the air of a coat


class NoSuchPiece(Refused):
    """A piece the record does not hold."""


class NoSuchState(Refused):
    """A state of a document that never was."""


def latest(document: str, number: int | None = None) -> Revision | None:
    """A document as it stands, or as of a revision."""
    revisions = Revision.objects.filter(document=document)
    return (revisions.filter(number=number) if number else revisions.order_by("-number")).first()


def history_of(document: str) -> QuerySet[Revision]:
    """Every state of a document, the newest first: who, when, why."""
    return Revision.objects.filter(document=document).order_by("-number")


def shop_revision() -> int:
    """The number of the shop's document that now holds; 0 before there is any."""
    return _shop_state()[0]


def the_shop() -> Shop:
    """The shop's document as it stands; the plain shop before anybody wrote one."""
    number, at = _shop_state()
    # The name of the database keeps tests, and shops, apart.
    return _shop_of(number, f"{connection.settings_dict['NAME']} {at}") if number else plain_shop()


def _shop_state() -> tuple[int, Any]:
    """The number of the shop's document and when it was kept. In SQL, since a page asks for it several times."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT number, at FROM record_revision WHERE document = 'shop' ORDER BY number DESC LIMIT 1")
        return cursor.fetchone() or (0, None)


@lru_cache(maxsize=4)
def _shop_of(number: int, of: str) -> Shop:
    revision = latest("shop", number)
    return plain_shop() if revision is None else shop_in(revision.body, "shop")


def survey_of(piece: str, number: int | None = None) -> Survey:
    """The survey of a piece as it stands, or as of a revision. Raises NoSuchPiece."""
    revision = latest(piece, number)
    if revision is None or revision.kind != Kind.SURVEY:
        raise NoSuchPiece(f"no piece {piece} is kept here")
    return _survey_in(json.dumps(revision.body), tuple(the_shop().context.items()))


@lru_cache(maxsize=64)
def _survey_in(body: str, context: tuple[tuple[str, Any], ...]) -> Survey:
    """A survey is frozen: whoever asks for the same words gets the same one, and a long one is checked but once."""
    return survey_in(json.loads(body), "survey", dict(context))


def entries_of(rows: Iterable[DayBookEntry]) -> list[Entry]:
    """The entries in these rows."""
    context = the_shop().context
    return [entry_in(row.body, f"entry {row.id}", context) for row in rows]


def daybook_of(piece: str) -> DayBook:
    """The entries on one piece, corrections resolved."""
    return DayBook.of(entries_of(DayBookEntry.objects.filter(piece=piece)))


def daybook_for(piece: str, now: datetime) -> DayBook:
    """What a piece's plan reads: its own entries, the shop's lately timed work, what touches a jar, the last air."""
    shop = the_shop()
    lately = Q(what="air", happened__gte=now - timedelta(days=AIR_DAYS))
    rows = rows_that(Q(piece=piece), lately, timed_lately(), touching_a_jar(shop))
    return DayBook.of(entries_of(rows))


def timed_lately() -> Q:
    """The timed work that the shop's pace is learned from."""
    timed = DayBookEntry.objects.filter(timed=True).order_by("-cursor").values_list("cursor", flat=True)
    return Q(cursor__in=list(timed[:LEARNS_FROM]))


def touching_a_jar(shop: Shop) -> Q:
    """What tells of the jars since the cupboard was looked through."""
    since = shop.cupboard_on
    return ~Q(jar="") & (Q(happened__gte=datetime.combine(since, time(), UTC)) if since else Q())


def rows_that(*are: Q) -> list[DayBookEntry]:
    """The entries that are one of these, with all that corrects them.

    Each is asked for by itself, so that each has its index: all at once would read the whole day book.
    """
    first, *others = (DayBookEntry.objects.filter(one) for one in are)
    rows = {row.cursor: row for row in first.union(*others, all=True)}
    ids = [row.id for row in rows.values()]
    while ids:  # what corrects one of these, and what corrects that
        correcting = DayBookEntry.objects.exclude(corrects="").filter(corrects__in=ids)  # the index leaves out ""
        more = [row for row in correcting if row.cursor not in rows]
        rows.update({row.cursor: row for row in more})
        ids = [row.id for row in more]
    return list(rows.values())


@lru_cache(maxsize=64)
def _body(piece: str, made_from: str, at: datetime) -> dict[str, Any] | None:
    body: dict[str, Any] | None = PlanKept.objects.values_list("body", flat=True).get(piece=piece)
    return body


def plans_kept(pieces: Iterable[str]) -> dict[str, dict[str, Any]]:
    """The plans of these pieces as they are kept, by piece; to be read and left as they are: they are shared."""
    kept = PlanKept.objects.filter(piece__in=list(pieces)).values_list("piece", "made_from", "at")
    bodies = {row[0]: _body(*row) for row in kept}
    return {piece: body for piece, body in bodies.items() if body is not None}


def plan_made(piece: str, now: datetime) -> PiecePlan:
    """The plan of a piece, made afresh: for papers. Raises Refused where none can be made."""
    return plan_piece(survey_of(piece), the_shop(), daybook_for(piece, now), now)


def plan_of(piece: str, now: datetime) -> PlanKept:
    """The plan of a piece as it is kept; made again first where survey, day book, shop or day have moved on."""
    shop = the_shop()
    revision = Revision.objects.filter(document=piece).order_by("-number").values_list("number", flat=True).first()
    if revision is None:
        raise NoSuchPiece(f"no piece {piece} is kept here")
    cursor = DayBookEntry.objects.filter(piece=piece).aggregate(last=Max("cursor"))["last"] or 0
    day = now.astimezone(shop.shop.zone_info).date()
    made_from = f"{_made_from(revision, cursor, shop_revision())}{day.isoformat()}"
    kept = PlanKept.objects.filter(piece=piece).defer("body").first()
    if kept is not None and kept.made_from == made_from:
        kept.body = _body(piece, kept.made_from, kept.at)
        return kept
    fields: dict[str, Any] = {"made_from": made_from, "at": now, "body": None, "refused": ""}
    fields |= {"likely_day": None, "safe_day": None, "minutes_to_come": None, "done": "", "next": ""}
    survey, book = survey_of(piece), daybook_for(piece, now)
    try:
        plan = plan_piece(survey, shop, book, now)
    except Refused as reason:
        fields["refused"] = str(reason)
    else:
        fields |= _told(plan)
    waits = "; ".join(one.says for one in waiting_on(survey, book, fields["body"], shop, now))
    with transaction.atomic():
        kept, _ = PlanKept.objects.update_or_create(piece=piece, defaults=fields)
        StockRow.objects.filter(piece=piece).update(waits_on=waits[:400])
    return kept


def plan_aged(kept: PlanKept, revision: int, cursor: int, shop: int) -> bool:
    """Whether survey, day book or shop have moved on since a plan was made; that the day has is nothing."""
    return not kept.made_from.startswith(_made_from(revision, cursor, shop))


def _made_from(revision: int, cursor: int, shop: int) -> str:
    return f"survey {revision}, day book {cursor}, shop {shop}, "


def _told(plan: PiecePlan) -> dict[str, Any]:
    zone = plan.shop.shop.zone_info
    done = [step for step in plan.steps if step.logged and step.logged["state"] == "done"]
    to_come = [step for step in plan.steps if step not in done]
    return {
        "body": plan_as_json(plan),
        "done": done[-1].step.trade_name if done else "",
        "next": to_come[0].step.trade_name if to_come else "",
        "likely_day": plan.likely_day.astimezone(zone).date() if plan.likely_day else None,
        "safe_day": plan.safe_day.astimezone(zone).date() if plan.safe_day else None,
        "minutes_to_come": plan.total.p50 if plan.total else 0.0,
    }
