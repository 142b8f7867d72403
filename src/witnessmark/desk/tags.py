"""Tags and screw cards of a piece, set when asked for: a sheet to cut up, or a strip, one tag after the other."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from witnessmark.documents import Refused
from witnessmark.papers import TagForm, screw_cards_of, tags_of
from witnessmark.plan import PiecePlan
from witnessmark.record import daybook_of, plan_made, the_shop

from .apart import shown_of
from .apart_page import piece_apart
from .clock import now
from .piece_named import piece_named

_LOOPBACK = ("localhost", "127.0.0.1", "[::1]")


@require_safe
def tags(request: HttpRequest, piece: str) -> HttpResponse:
    """Which tags to print, and on what."""
    survey = piece_named(piece)
    standing = piece_apart(survey, daybook_of(survey.id), the_shop())
    off = {line.code for line in standing.lines if line.state == "off"}
    shown = shown_of(survey, parts=survey.part, off=off, address=address_said(request),
                     fixings=sum(len(joint.fixing) for joint in survey.joint))  # fmt: skip
    return render(request, "desk/tags.html", shown)


@require_safe
def tags_pdf(request: HttpRequest, piece: str) -> HttpResponse:
    """The tags of a piece, all or those of the parts asked for, on sheets or on a strip."""
    survey = piece_named(piece)
    asked = request.GET.getlist("part")
    known = [code for code in asked if code in survey.parts_by_code()]
    if asked and not known:
        raise Http404("no such part of this piece")
    form = TagForm.STRIP if request.GET.get("form") == TagForm.STRIP else TagForm.SHEET
    pdf = tags_of(_plan(survey.id), form, known, address_said(request))
    return _sent(pdf, f"tags-{survey.piece.code or 'piece'}-{form.value}.pdf")


@require_safe
def cards_pdf(request: HttpRequest, piece: str) -> HttpResponse:
    """The screw cards of a piece."""
    survey = piece_named(piece)
    return _sent(screw_cards_of(_plan(survey.id)), f"screw-cards-{survey.piece.code or 'piece'}.pdf")


def address_said(request: HttpRequest) -> str:
    """The address a tag may say where the shop wrote none: the desk's own, unless nobody else could reach it."""
    host = request.get_host()
    return "" if host.rsplit(":", 1)[0] in _LOOPBACK else f"{request.scheme}://{host}"


def _plan(piece: str) -> PiecePlan:
    try:
        return plan_made(piece, now())
    except Refused as error:
        raise Http404(f"no plan, and so no tags yet: {error}") from None


def _sent(pdf: bytes, name: str) -> HttpResponse:
    safe = "".join(sign if sign.isalnum() or sign in "-." else "-" for sign in name)
    return HttpResponse(pdf, content_type="application/pdf",
                        headers={"Content-Disposition": f'inline; filename="{safe}"'})  # fmt: skip
