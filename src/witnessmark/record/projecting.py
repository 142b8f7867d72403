"""What lists need of each piece, projected from its survey and its entries; `rebuild` makes all of it again.

A row says what a piece waits on as far as survey and entries alone tell: who has it, which fixings are open. What the
days tell beside, drying and hands, its plan adds when it is made.
"""

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.plan import away_in, stage_of
from witnessmark.quantities import usual
from witnessmark.shop import Shop
from witnessmark.survey import Survey

from .finding import forget_words, keep_words
from .models import DayBookEntry, Kind, PlanKept, Revision, StockRow
from .reading import daybook_of, latest, survey_of, the_shop

_LONG = {"title": 200, "owner": 200, "job": 400, "code": 40, "waits_on": 400}


def project_piece(piece: str) -> None:
    """The row of a piece in the stock, as survey and entries now have it. Nothing where it is no piece of ours."""
    revision = latest(piece)
    if revision is None or revision.kind != Kind.SURVEY:
        return
    row = row_of(survey_of(piece), daybook_of(piece), revision, the_shop())
    StockRow.objects.update_or_create(piece=piece, defaults=row)
    keep_words(piece, row["words"])


def row_of(survey: Survey, book: DayBook, revision: Revision, shop: Shop) -> dict[str, Any]:
    """The fields of a piece's row."""
    piece = survey.piece
    standing = stage_of(survey, book)
    title = piece.title or piece.kind.value
    waits = [*away_in(book, shop, survey.id, piece.code), *(standing.holds if standing.refused else ())]
    last = DayBookEntry.objects.filter(piece=survey.id).order_by("-cursor").values_list("cursor", "arrived").first()
    row: dict[str, Any] = {
        "code": piece.code,
        "title": title,
        "kind": piece.kind.value,
        "owner": piece.owner,
        "job": piece.job,
        "stage": standing.stage.value,
        "since": standing.since,
        "waits_on": "; ".join(waits),
        "promised": piece.promised,
        "paid": any(entry.what is What.PAID for entry in book.entries),
        "minutes": sum(_minutes(entry) for entry in book.entries),
        "picture": survey.photograph[0].sha256 if survey.photograph else "",
        "revision": revision.number,
        "cursor": last[0] if last else 0,
        "touched": max(revision.at, last[1]) if last else revision.at,
        "words": " ".join(_words(survey)).lower(),
    }
    return row | {key: row[key][:most] for key, most in _LONG.items()}


def _words(survey: Survey) -> Iterable[str]:
    """All that a piece may be found by, each once."""
    piece = survey.piece
    said = [piece.code, piece.title, piece.kind.value, piece.owner, piece.job, piece.note, piece.marks]
    said += [word for part in survey.part for word in (part.code, part.name)]
    return dict.fromkeys(word for word in said if word)


def _minutes(entry: Entry) -> float:
    return usual(entry.minutes.value).minutes if entry.minutes and entry.minutes.known else 0.0


def rebuild() -> int:
    """Every projection made again from what is kept, or none is; how many pieces there are."""
    with transaction.atomic():
        pieces = list(Revision.objects.filter(kind=Kind.SURVEY).values_list("document", flat=True).distinct())
        StockRow.objects.all().delete()
        PlanKept.objects.all().delete()
        forget_words()
        for piece in pieces:
            project_piece(piece)
    return len(pieces)
