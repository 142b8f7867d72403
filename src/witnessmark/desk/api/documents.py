"""Surveys, plans and the shop's document over the wire.

A PUT says what it was made from: `If-Match` with the ETag of the state that was read, or `If-None-Match: *` for a new
document; with neither nothing is changed (428). Where somebody kept a newer state meanwhile, different keys are
merged and the merged document comes back (200); where both changed the same key, 412 brings both versions.
"""

from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.http import parse_etags
from ninja import Router
from ninja.errors import HttpError
from ninja.params.functions import Path, Query

from witnessmark.desk.clock import now
from witnessmark.documents import Fault, Faulty, Refused
from witnessmark.record import (
    BothChanged,
    Kind,
    NoSuchPiece,
    Revision,
    Role,
    StockRow,
    found,
    keep_shop,
    keep_survey,
    latest,
    plan_of,
    shop_checked,
    survey_checked,
)

from .asking import OWNERS, WORKERS, table_in, who
from .shapes import Conflict, Pieces, PieceShape, Refusal, Tables, answer_of, body_of, etag_of, number_in, ref

router = Router(tags=["documents"])
PIECE = Path(..., description="The id of the piece's survey.", max_length=40)
PAGE = 200
_READ = {200: None, 304: None, 401: Refusal, 404: Refusal, 422: Refusal, 429: Refusal}
_CHANGE = {200: None, 400: Refusal, 401: Refusal, 403: Refusal, 412: Conflict, 413: Refusal, 415: Refusal,
           422: Refusal, 428: Refusal, 429: Refusal}  # fmt: skip
_SAID = {"parameters": [
    {"name": name, "in": "header", "required": False, "schema": {"type": "string"}, "description": says}
    for name, says in (("If-Match", "The ETag of the state it was made from."),
                       ("If-None-Match", "“*”: there is no such document yet."))
]}  # fmt: skip


@router.get("/pieces", response={200: Pieces, 401: Refusal, 422: Refusal, 429: Refusal}, auth=WORKERS,
            summary="The pieces, or those with all the words of q")  # fmt: skip
def pieces(
    request: HttpRequest,
    q: str = Query("", max_length=200),
    stage: str = Query("", max_length=20),
    after: str = Query("", max_length=40, description="The id the last page ended with."),
    limit: int = Query(PAGE, ge=1, le=PAGE),
) -> Pieces:
    """In the order of their ids, a page at a time; with `q` the best fits first, on one page."""
    if q.strip():
        rows = [row for row in found(q, limit) if not stage or row.stage == stage.lower()]
        return Pieces(pieces=_shaped(rows), next=None)
    kept = StockRow.objects.filter(piece__gt=after).order_by("piece")
    rows = list((kept.filter(stage=stage.lower()) if stage else kept)[: limit + 1])
    return Pieces(pieces=_shaped(rows[:limit]), next=rows[limit - 1].piece if len(rows) > limit else None)


def _shaped(rows: list[StockRow]) -> list[PieceShape]:
    kept = [key for key in PieceShape.model_fields if key != "id"]
    return [PieceShape(id=row.piece, **{key: getattr(row, key) for key in kept}) for row in rows]


@router.get("/pieces/{piece}/survey", response=_READ, auth=WORKERS, openapi_extra=answer_of(ref("Survey")),
            summary="The survey of a piece as it stands")  # fmt: skip
def survey(request: HttpRequest, piece: str = PIECE) -> HttpResponse:
    """With an ETag that a PUT then names."""
    return _shown(request, _state(piece, Kind.SURVEY))


@router.put("/pieces/{piece}/survey", response=_CHANGE, auth=WORKERS, summary="Keep the survey of a piece",
            openapi_extra=body_of(ref("Survey")) | answer_of(ref("Survey")) | _SAID)  # fmt: skip
def put_survey(request: HttpRequest, piece: str = PIECE) -> HttpResponse:
    """`If-Match` with the ETag it was made from, or `If-None-Match: *` for a new piece. What others changed meanwhile
    is merged and comes back; 412 where both changed the same key. A price is decided by an owner."""
    tables = table_in(request)
    expected = _made_from(request, piece, Kind.SURVEY, tables)
    tables.setdefault("id", piece)
    if tables["id"] != piece:
        raise Faulty([Fault("survey", "id", str(tables["id"])[:80], f"the id in the address, {piece[:80]}")])
    _price_by_an_owner(request, piece, expected, tables)
    checked = survey_checked(tables)
    try:
        kept = keep_survey(checked, str(who(request)), now(), "by the API", expected)
    except BothChanged as error:
        return _conflict(error.current, str(error), tables, error.both)
    return _shown(request, kept, whole=True)


def _price_by_an_owner(request: HttpRequest, piece: str, expected: int | None, tables: Tables) -> None:
    """Raises HttpError 403 where a helper decides on money."""
    if who(request).role == Role.OWNER:
        return
    before = latest(piece, expected) if expected else None
    if _prices(before.body if before else {}) != _prices(tables):
        raise HttpError(403, "a price is decided by an owner: ask one")


def _prices(tables: Tables) -> list[Any]:
    rows = tables.get("decision")
    decided = rows if isinstance(rows, list) else []
    return [row for row in decided if isinstance(row, dict) and row.get("about") == "price"]


@router.get("/pieces/{piece}/plan", response=_READ, auth=WORKERS, openapi_extra=answer_of(ref("Plan")),
            summary="The plan of a piece")  # fmt: skip
def plan(request: HttpRequest, piece: str = PIECE) -> HttpResponse:
    """As plan.json; made afresh where survey, day book, shop or day have moved on. 422 where none can be made."""
    kept = plan_of(piece, now())
    if kept.body is None:
        raise Refused(kept.refused)
    return JsonResponse(kept.body)


@router.get("/shop", response=_READ, auth=WORKERS, openapi_extra=answer_of(ref("Shop")),
            summary="The shop's document as it stands")  # fmt: skip
def shop(request: HttpRequest) -> HttpResponse:
    """404 before anybody wrote one."""
    return _shown(request, _state("shop", Kind.SHOP))


@router.put("/shop", response=_CHANGE, auth=OWNERS, summary="Keep the shop's document",
            openapi_extra=body_of(ref("Shop")) | answer_of(ref("Shop")) | _SAID)  # fmt: skip
def put_shop(request: HttpRequest) -> HttpResponse:
    """As the PUT of a survey; by an owner."""
    tables = table_in(request)
    expected = _made_from(request, "shop", Kind.SHOP, tables)
    try:
        kept = keep_shop(shop_checked(tables), str(who(request)), now(), "by the API", expected)
    except BothChanged as error:
        return _conflict(error.current, str(error), tables, error.both)
    return _shown(request, kept, whole=True)


def _state(document: str, kind: Kind) -> Revision:
    state = latest(document)
    if state is None or state.kind != kind:
        raise NoSuchPiece(f"no {kind.value} {document if kind == Kind.SURVEY else ''}".rstrip() + " is kept here")
    return state


def _shown(request: HttpRequest, state: Revision, whole: bool = False) -> HttpResponse:
    """A document with its ETag; nothing but that where the asker has it already."""
    etag = etag_of(state)
    known = {one.removeprefix("W/") for one in parse_etags(request.headers.get("If-None-Match", ""))}
    answer = HttpResponse(status=304) if etag in known and not whole else JsonResponse(state.body)
    answer["ETag"] = etag
    answer["Cache-Control"] = "private, no-cache"
    return answer


class NotAsThought(Refused):
    """What the headers say of the document is not so."""

    def __init__(self, says: str, state: Revision | None, mine: Tables) -> None:
        super().__init__(says)
        self.state, self.mine = state, mine

    def answer(self) -> HttpResponse:
        return _conflict(self.state, str(self), self.mine, {})


def _made_from(request: HttpRequest, document: str, kind: Kind, mine: Tables) -> int | None:
    """The number of the state a PUT was made from; None for a document that is new.

    Raises HttpError 428 where it does not say, NotAsThought where it can't be so.
    """
    state = latest(document)
    if state is not None and state.kind != kind:
        raise NoSuchPiece(f"{document} is no {kind.value}")
    if (said := request.headers.get("If-Match")) is not None:
        if state is None:
            raise NotAsThought("there is no such document yet: send If-None-Match: *", None, mine)
        if said.strip() == "*":
            return state.number
        number = number_in(said)
        base = latest(document, number) if number else None
        if base is None or etag_of(base) != said.strip().removeprefix("W/"):
            raise NotAsThought("If-Match names no state of this document", state, mine)
        return number
    if request.headers.get("If-None-Match", "").strip() == "*":
        if state is not None:
            raise NotAsThought("there is such a document already: read it, and send If-Match", state, mine)
        return None
    raise HttpError(428, "say what this was made from: If-Match with its ETag, or If-None-Match: * where it is new")


def _conflict(state: Revision | None, says: str, mine: Tables, both: dict[str, tuple[Any, Any]]) -> HttpResponse:
    etag = etag_of(state) if state else ""
    told = {key: {"theirs": theirs, "mine": ours} for key, (theirs, ours) in both.items()}
    body = {"refused": says, "etag": etag, "theirs": state and state.body, "mine": mine, "both": told}
    answer = JsonResponse(body, status=412)
    if etag:
        answer["ETag"] = etag
    return answer
