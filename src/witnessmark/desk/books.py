"""The books, for owners: what each piece has cost, will cost and may least go for; and the same as a table to keep."""

import csv
import io
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from witnessmark.money import ACCOUNTANT, Taxed
from witnessmark.papers import Voice
from witnessmark.plan import Books, books_of
from witnessmark.quantities import Money, Range, high, low, usual
from witnessmark.record import Revision, daybook_here, plans_here, small_jobs, survey_of, the_shop

from .clock import now
from .door import owners_only

_SUMS = ("so_far", "to_come", "floor", "quote", "agreed", "paid", "clears", "next_hour")


@owners_only
@require_safe
def books(request: HttpRequest) -> HttpResponse:
    """Every piece that is here with its sums, and all of them together."""
    at, shop = now(), the_shop()
    voice, told = Voice.of(shop.shop, at), books_now(at)
    jobs = [(job, survey_of(job.piece).piece.price_said) for job in small_jobs()[:JOBS]]
    shown = {
        "place": "books", "voice": voice, "shop_of": shop, "accountant": voice.ours(ACCOUNTANT),
        "rows": [{"row": row, "taxed": _taxed(row.taxed)} | {key: voice.amount(getattr(row, key)) for key in _SUMS}
                 for row in told.rows],
        "totals": {key: voice.amount(getattr(told, key)) for key in ("so_far", "to_come", "floor", "quote", "paid")},
        "jobs": [(job, said.text if said is not None else "") for job, said in jobs],
        "under": [row for row in told.rows if row.under_floor],
    }  # fmt: skip
    return render(request, "desk/books.html", shown)


JOBS = 8  # small jobs listed: each asks the record for its card


@owners_only
@require_safe
def books_csv(request: HttpRequest) -> HttpResponse:
    """The same as a CSV: a sum that is not known to the penny has its low, usual and high end."""
    at = now()
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\r\n")
    ends = [f"{key}_{end}" for key in _SUMS for end in ("low", "usual", "high")]
    table.writerow(["piece", "code", "title", "currency", *ends, "vat"])
    currency = the_shop().shop.currency.value
    for row in books_now(at).rows:
        sums = [end for key in _SUMS for end in _ends(getattr(row, key))]
        table.writerow([row.piece, _cell(row.code), _cell(row.title), currency, *sums, row.taxed.value])
    answer = HttpResponse(text.getvalue(), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="books-{_day(at)}.csv"'
    return answer


def books_now(at: datetime) -> Books:
    """The books over the pieces that are here."""
    plans = plans_here(at)
    came: dict[str, str] = {}
    decisions: dict[str, list[Mapping[str, Any]]] = {}
    states = Revision.objects.filter(document__in=[plan["piece"]["id"] for plan in plans]).order_by("number")
    for piece, how, decided in states.values_list("document", "body__piece__came", "body__decision"):
        came[piece], decisions[piece] = how or "", decided or []  # the last state of each stays
    return books_of(plans, daybook_here(at), the_shop(), came, decisions)


def _taxed(how: Taxed) -> str:
    return {Taxed.NOT: "no VAT", Taxed.WHOLE: "VAT on the whole", Taxed.MARGIN: "may go under the margin scheme"}[how]


def _ends(sum_: Money | Range[Money] | None) -> list[str]:
    return ["", "", ""] if sum_ is None else [str(end(sum_).rounded().amount) for end in (low, usual, high)]


def _cell(words: str) -> str:
    """A text that no spreadsheet takes for a sum of its own."""
    return f"'{words}" if words[:1] in ("=", "+", "-", "@", "\t", "\r") else words


def _day(at: datetime) -> str:
    return at.astimezone(the_shop().shop.zone_info).date().isoformat()
