"""The day book, the photographs and the bench over the wire: what was done is posted here and nowhere else."""

from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse, JsonResponse
from ninja import Router
from ninja.errors import HttpError
from ninja.params.functions import Path, Query

from witnessmark.desk.clock import now
from witnessmark.documents import Fault, Faulty
from witnessmark.record import (
    LIMITS,
    SIZES,
    DayBookEntry,
    NoSuchPhotograph,
    Photograph,
    album,
    bench_now,
    keep_photograph,
    post_entries,
)

from .asking import WORKERS, json_in, who
from .shapes import Accepted, PhotographShape, Refusal, answer_of, body_of, ref

router = Router(tags=["work"])
MOST_ENTRIES = 1000  # in one list
_PAGE = 500
_FORM = 4096  # bytes, more than a form adds to its file
_LAST_CURSOR = 2**63 - 1
_READ = {401: Refusal, 404: Refusal, 422: Refusal, 429: Refusal}
_POST = {400: Refusal, 401: Refusal, 403: Refusal, 413: Refusal, 415: Refusal, 422: Refusal, 429: Refusal}
_LIST = {"type": "array", "items": ref("Entry"), "maxItems": MOST_ENTRIES}
_PAGE_OF_ENTRIES = {
    "type": "object", "required": ["entries", "next", "more"],
    "properties": {"entries": {"type": "array", "items": ref("Entry")}, "next": {"type": "integer"},
                   "more": {"type": "boolean"}},
}  # fmt: skip
_BYTES = {"schema": {"type": "string", "format": "binary"}}
_PICTURE = {"requestBody": {"required": True, "content": {
    "image/jpeg": _BYTES, "image/png": _BYTES, "image/webp": _BYTES, "image/heic": _BYTES,
    "application/octet-stream": _BYTES,
    "multipart/form-data": {"schema": {"type": "object", "required": ["photograph"],
                                       "properties": {"photograph": {"type": "string", "format": "binary"}}}},
}}}  # fmt: skip


@router.post("/daybook", response={200: Accepted} | _POST, auth=WORKERS, openapi_extra=body_of(_LIST),
             summary="Entries, all or none")  # fmt: skip
def post_daybook(request: HttpRequest) -> Accepted:
    """Each with an id made where it happened; one that is known by its id counts once, so sending again does no harm.
    When this answers, they outlast a power cut. The same id with other words is a fault."""
    entries = json_in(request)
    if not isinstance(entries, list):
        raise HttpError(400, "the body is JSON but no list: entries come in square brackets")
    if len(entries) > MOST_ENTRIES:
        raise HttpError(413, f"{len(entries)} entries: at most {MOST_ENTRIES} at once")
    faults = [
        Fault(f"entry {number}", "", str(entry)[:60], "an entry in curly brackets")
        for number, entry in enumerate(entries, 1)
        if not isinstance(entry, dict)
    ]
    if faults:
        raise Faulty(faults)
    posted = post_entries(entries, now())
    return Accepted(accepted=list(posted.accepted), known=list(posted.known))


@router.get("/daybook", response={200: None} | _READ, auth=WORKERS, openapi_extra=answer_of(_PAGE_OF_ENTRIES),
            summary="The entries that came after a cursor")  # fmt: skip
def daybook(
    request: HttpRequest,
    after: int = Query(0, ge=0, le=_LAST_CURSOR, description="The `next` of the page before; 0 for the first."),
    limit: int = Query(_PAGE, ge=1, le=MOST_ENTRIES),
) -> HttpResponse:
    """In the order they arrived, those struck out too. `next` is the cursor to ask with next time, also when nothing
    new has come; `more` says that something has."""
    rows = list(DayBookEntry.objects.filter(cursor__gt=after).order_by("cursor")[: limit + 1])
    page = rows[:limit]
    entries = [row.body | {"arrived": row.arrived.isoformat()} for row in page]
    following = page[-1].cursor if page else after
    return JsonResponse({"entries": entries, "next": following, "more": len(rows) > limit})


@router.post("/photographs", response={200: PhotographShape} | _POST, auth=WORKERS, openapi_extra=_PICTURE,
             summary="Keep a photograph")  # fmt: skip
def post_photograph(request: HttpRequest) -> PhotographShape:
    """The bytes themselves, or a form with one file: JPEG, PNG, WebP or HEIC, told by content. Twice is once; an entry
    or a survey names it by the SHA-256 in the answer."""
    kind = request.headers.get("Content-Type", "").partition(";")[0].strip().lower()
    length = request.headers.get("Content-Length", "")
    if length.isdecimal() and int(length) > LIMITS.bytes + _FORM:
        raise _too_large()
    if kind == "multipart/form-data":
        files = [file for _, files in request.FILES.lists() for file in files if isinstance(file, UploadedFile)]
        if len(files) != 1:
            says = "one file, in the field photograph"
            raise Faulty([Fault("photograph", "photograph", f"{len(files)} files", says)])
        if (files[0].size or 0) > LIMITS.bytes:
            raise _too_large()
        stream: Any = files[0]
    elif kind.startswith("image/") or kind == "application/octet-stream":
        stream = request
    else:
        raise HttpError(415, f"the body is “{kind[:80]}”: send the photograph as image/jpeg, or a form with the file")
    taken = keep_photograph(stream, str(who(request)), now())
    return PhotographShape(sha256=taken.sha256, media=taken.media, bytes=taken.size, width=taken.width,
                           height=taken.height, taken=taken.taken)  # fmt: skip


def _too_large() -> HttpError:
    return HttpError(413, f"the file is larger than {LIMITS.bytes / 1e6:g} MB, the most a photograph may have")


@router.get("/photographs/{sha256}", response={200: None, 403: Refusal} | _READ, auth=WORKERS,
            summary="A photograph, for show or as it was taken",
            openapi_extra={"responses": {200: {"description": "OK", "content": {"image/jpeg": _BYTES}}}})  # fmt: skip
def photograph(
    request: HttpRequest,
    sha256: str = Path(..., max_length=64),
    side: int = Query(SIZES[-1], description=f"The longest side in pixels, one of {SIZES}."),
    original: bool = Query(False, description="Bit for bit as it was taken, with its place and time: not for readers."),
) -> HttpResponse:
    """For show: upright, in plain colours, without place, time and names."""
    known = Photograph.objects.filter(sha256=sha256).first()
    if known is None:
        raise NoSuchPhotograph(f"no photograph {sha256} is kept here")
    if original and not who(request).may_work:
        raise HttpError(403, f"{who(request)} may see photographs as they are shown; originals are for those who work")
    if original:
        answer = HttpResponse(_read(sha256), content_type=known.media)
        answer["Content-Disposition"] = f'attachment; filename="{sha256[:12]}"'
    else:
        answer = HttpResponse(album().shown(sha256, side).read_bytes(), content_type="image/jpeg")
    answer["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer


def _read(sha256: str) -> bytes:
    try:
        return album().original(sha256).read_bytes()
    except FileNotFoundError:
        raise NoSuchPhotograph(f"the file of photograph {sha256} is missing") from None


@router.get("/bench", response={200: None} | _READ, auth=WORKERS, openapi_extra=answer_of(ref("Bench")),
            summary="The one document the bench reads")  # fmt: skip
def bench(request: HttpRequest) -> HttpResponse:
    """For each person what is ready, today's list, what becomes ready when, waits, jars, the air of the day."""
    return JsonResponse(bench_now(now(), str(who(request))))
