"""Photographs in pages: taken in many at once, shown re-encoded, marked where parts sat."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.files.uploadedfile import UploadedFile
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from witnessmark.documents import Faulty
from witnessmark.record import LIMITS, BadPicture, NoSuchPhotograph, Person, Photograph, album, keep_photograph
from witnessmark.survey import Survey

from .changing import says
from .clock import now
from .coming_off import Spot, mark_put
from .drawings import marked
from .photographs_in import added
from .piece_named import piece_named
from .rewriting import Tables, rewritten, row_of

SIDES = {"small": 320, "phone": 800, "large": 1600}  # px of the long side
_FOR_EVER = "private, max-age=31536000, immutable"
ORIGINAL = "original"


# ---- shown ----


@require_safe
def photograph(request: HttpRequest, sha256: str, size: str = "phone") -> HttpResponseBase:
    """A photograph as it is shown, at one of SIDES; the original, bit for bit, to those who work here."""
    etag = quote_etag(f"{sha256}-{size}")
    try:
        if size == ORIGINAL:
            return _original(request, sha256)
        if size not in SIDES:
            raise Http404(f"a photograph is shown {', '.join(SIDES)}")
        file = album().shown(sha256, SIDES[size])
        unchanged = get_conditional_response(request, etag=etag)
        response = unchanged or HttpResponse(file.read_bytes(), content_type="image/jpeg")
    except NoSuchPhotograph as error:
        raise Http404(str(error)) from None
    response["ETag"], response["Cache-Control"] = etag, _FOR_EVER
    return response


def _original(request: HttpRequest, sha256: str) -> HttpResponseBase:
    person = request.user
    if not (isinstance(person, Person) and person.may_work):
        raise PermissionDenied("an original may say where and when it was taken: it is for those who work here")
    kept = Photograph.objects.filter(sha256=sha256).first()
    file = album().original(sha256)
    if kept is None or not file.is_file():
        raise NoSuchPhotograph(f"no photograph {sha256} is kept here")
    ending = kept.media.rpartition("/")[2].replace("jpeg", "jpg")
    response = HttpResponse(file.read_bytes(), content_type=kept.media)
    response["Content-Disposition"] = f'attachment; filename="{sha256[:12]}.{ending}"'
    response["Cache-Control"] = _FOR_EVER
    return response


@dataclass(frozen=True)
class Seen:
    """A photograph of a piece as a page shows it, with its marks."""

    sha256: str
    caption: str
    width: int
    height: int
    spots: tuple[marked.Spot, ...] = ()
    damage: tuple[marked.Spot, ...] = ()

    @property
    def address(self) -> str:
        return reverse("photograph", args=[self.sha256, "phone"])

    def drawn(self, key: str, only: str = "", near: bool = False) -> SafeString:
        """The picture with its marks over it, or with those of one part; `near`: close by."""
        spots = [spot for spot in self.spots if spot.code == only] if only else [*self.spots, *self.damage]
        return self._drawn(key, spots, near)

    def with_damage(self, key: str) -> SafeString:
        """The picture with the marks of damage over it and no others."""
        return self._drawn(key, self.damage)

    def _drawn(self, key: str, spots: Sequence[marked.Spot], near: bool = False) -> SafeString:
        says = self.caption or "Photograph of the piece"
        size = "large" if near else "phone"
        address = reverse("photograph", args=[self.sha256, size])
        return mark_safe(marked.marked(key, address, (self.width, self.height), says, spots, near))


def seen_of(survey: Survey) -> tuple[Seen, ...]:
    """The photographs of a piece that are kept here, as its survey lists them."""
    kept = Photograph.objects.in_bulk([one.sha256 for one in survey.photograph])
    damage = survey.damage_marks()
    return tuple(
        Seen(
            one.sha256,
            one.caption,
            kept[one.sha256].width,
            kept[one.sha256].height,
            tuple(marked.Spot(mark.code, mark.x, mark.y, mark.up) for mark in one.mark if mark.code),
            tuple(
                marked.Spot(str(number), mark.x, mark.y, says=mark.says or "")
                for number, sha256, mark in damage
                if sha256 == one.sha256
            ),
        )
        for one in survey.photograph
        if one.sha256 in kept
    )


def seen_named(survey: Survey, sha256: str) -> Seen:
    """One photograph of a piece. Raises Http404."""
    found = next((one for one in seen_of(survey) if one.sha256 == sha256), None)
    if found is None:
        raise Http404("no such photograph of this piece")
    return found


# ---- taken in ----


@dataclass(frozen=True)
class Refused:
    """A file that was not kept, and why. `status` is 413 where it is too large, 415 where it is no photograph."""

    name: str
    why: str
    status: int


@require_POST
def more_photographs(request: HttpRequest, piece: str) -> HttpResponse:
    """Photographs of a piece, as many as are sent; those that can be read are kept, of the others it says why not."""
    survey = piece_named(piece)
    files = [file for file in request.FILES.getlist("photograph") if isinstance(file, UploadedFile)]
    kept, refused = taken_in(request, survey, files)
    onward = _onward(request, survey, kept)
    status = max((one.status for one in refused), default=422)
    if request.headers.get("Accept") == "application/json":
        said = {"kept": kept, "next": onward, "refused": [f"{one.name}: {one.why}" for one in refused]}
        return JsonResponse(said, status=200 if kept else status)
    if not kept:
        shown = {"place": "stock", "survey": survey, "piece": survey.piece, "id": survey.id, "refused": refused,
                 "next": request.POST.get("next", ""), "megabytes": LIMITS.bytes // 1_000_000,
                 "megapixels": LIMITS.pixels // 1_000_000}  # fmt: skip
        return render(request, "desk/photographs_refused.html", shown, status=status)
    for one in refused:
        messages.error(request, f"{one.name}: {one.why}")
    messages.success(request, "1 photograph kept." if len(kept) == 1 else f"{len(kept)} photographs kept.")
    return redirect(onward)


def taken_in(
    request: HttpRequest, survey: Survey, files: Sequence["UploadedFile[Any]"]
) -> tuple[list[str], list[Refused]]:
    """Keeps the files and adds them to the survey of a piece: the SHA-256 of those kept, and what was refused."""
    at, who = now(), str(request.user)
    rows: list[dict[str, Any]] = []
    refused: list[Refused] = []
    for file in files:
        name = (file.name or "A photograph")[:100]
        try:
            taken = keep_photograph(file, who, at)
        except BadPicture as error:
            refused.append(Refused(name, str(error), 413 if (file.size or 0) > LIMITS.bytes else 415))
        else:
            rows.append({"sha256": taken.sha256, "file": name} | _when(taken.taken))
    if rows:
        many = "a photograph" if len(rows) == 1 else f"{len(rows)} photographs"
        rewritten(survey.id, who, many, lambda tables: tables.update(photograph=added(tables, rows)))
    return [row["sha256"] for row in rows], refused


def _when(taken: datetime | None) -> Tables:
    return {"taken": taken.isoformat()} if taken else {}


def _onward(request: HttpRequest, survey: Survey, kept: Sequence[str]) -> str:
    """Where to go once they are kept: on with the part that came off, or back to where they were sent from."""
    match request.POST.get("next"):
        case "new_part":
            return f"{reverse('new_part', args=[survey.id])}" + (f"?photograph={kept[-1]}" if kept else "")
        case "apart":
            return f"{reverse('apart', args=[survey.id])}#photographs"
        case _:
            return f"{reverse('piece', args=[survey.id])}#photographs"


# ---- marked ----


def spot_said(post: Any, sha256: str) -> Spot | None:
    """Where a finger was put on a photograph: exactly, or by one of its nine squares; None where it was not.

    Raises Faulty where it lies off the picture.
    """
    x, y, up = (_number(post.get(key, "")) for key in ("x", "y", "up"))
    if x is None or y is None:
        across, _, down = post.get("square", "").partition(" ")
        x, y = _number(across), _number(down)
    if x is None or y is None or not sha256:
        return None
    return Spot(sha256, min(max(x, 0.0), 1.0), min(max(y, 0.0), 1.0), up % 360 if up is not None else None)


def _number(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if abs(number) < 1e6 else None


def squares() -> list[tuple[str, str]]:
    """The nine squares of a picture: what its choice sends, and its words."""
    shares = (1 / 6, 1 / 2, 5 / 6)
    return [(f"{x:.3f} {y:.3f}", marked.place_in_words(x, y)) for y in shares for x in shares]


def ways_up() -> list[tuple[str, str]]:
    """The eight ways the top of a part may point on its picture, and that nobody knows."""
    return [("", "not known"), *((str(degrees), marked.way_in_words(degrees)) for degrees in range(0, 360, 45))]


@require_http_methods(["GET", "HEAD", "POST"])
def marks(request: HttpRequest, piece: str, sha256: str) -> HttpResponse:
    """A photograph with its marks; a mark is put, moved or taken away."""
    survey = piece_named(piece)
    seen = seen_named(survey, sha256)
    if request.method == "POST":
        return _mark(request, survey, seen)
    shown = {"place": "stock", "survey": survey, "piece": survey.piece, "id": survey.id, "seen": seen,
             "picture": seen.drawn("seen"), "codes": codes_to_mark(survey, seen), "code": request.GET.get("code", ""),
             "squares": squares(), "ways_up": ways_up()}  # fmt: skip
    return render(request, "desk/marks.html", shown)


def codes_to_mark(survey: Survey, seen: Seen) -> list[tuple[str, str]]:
    """Parts and fixings with their words: those without a mark on this photograph first."""
    named = [(part.code, part.name or "not named yet") for part in survey.part]
    named += [(fixing.code, fixing.kind.value) for joint in survey.joint for fixing in joint.fixing]
    there = {spot.code for spot in seen.spots}
    return sorted(named, key=lambda pair: pair[0] in there)


def _mark(request: HttpRequest, survey: Survey, seen: Seen) -> HttpResponse:
    code, who = request.POST.get("code", ""), str(request.user)
    back = redirect("marks", survey.id, seen.sha256)
    try:
        if number := request.POST.get("away_damage"):
            rewritten(survey.id, who, f"mark of damage {number} taken away",
                      lambda tables: _unmark_damage(tables, seen, number))  # fmt: skip
            messages.success(request, "The mark of damage is taken away.")
            return back
        if request.POST.get("away"):
            rewritten(survey.id, who, f"mark of {code} taken away", lambda tables: _unmark(tables, seen.sha256, code))
            messages.success(request, f"The mark of {code} is taken away.")
            return back
        spot = spot_said(request.POST, seen.sha256)
        if spot is None or not code:
            messages.error(request, "Tap where it sat, and say which part it is.")
            return back
        rewritten(survey.id, who, f"{code} marked on a photograph", lambda tables: mark_put(tables, code, spot))
        messages.success(request, f"{code} is marked.")
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    return back


def _unmark(tables: Tables, sha256: str, code: str) -> None:
    row = row_of(tables, "photograph", "sha256", sha256)
    if row is not None:
        row["mark"] = [mark for mark in row.get("mark", ()) if mark.get("code") != code]


def _unmark_damage(tables: Tables, seen: Seen, number: str) -> None:
    row = row_of(tables, "photograph", "sha256", seen.sha256)
    gone = {(spot.says, spot.x, spot.y) for spot in seen.damage if spot.code == number}
    if row is not None:
        row["mark"] = [mark for mark in row.get("mark", ()) if (mark.get("says"), mark["x"], mark["y"]) not in gone]
