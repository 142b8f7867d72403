"""Papers of a piece: which there are, those under way, those that are set, and the plan each came from."""

from collections.abc import Iterator
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from witnessmark.documents import Refused
from witnessmark.papers import chosen_papers
from witnessmark.record import (
    PLAN_PAPERS,
    PaperKept,
    PaperState,
    daybook_here,
    paper_file,
    papers_wanted,
    plan_made,
    plan_of,
    plans_here,
)

from .clock import now
from .piece import voice_now
from .piece_named import piece_named

# In the order a piece goes through the shop: key, name, what it is for.
KINDS = (
    ("receipt", "Handing-in receipt", "What came in, in which state; both sign"),
    ("condition_report", "Condition report", "What was found, with photographs"),
    ("quotation", "Quotation", "What is to be done, for how much, and the other way"),
    (PLAN_PAPERS, "The plan", "With its diary, shopping and data, as one set"),
    ("tags", "Tags of its parts", "To cut up and tie on"),
    ("screw_cards", "Screw cards", "Each screw to its own hole"),
    ("mixing_card", "Mixing card", "What to weigh out into what"),
    ("solvent_sheet", "Solvents, jar labels, cabinet and waste", "What each can do, a label for each jar we fill"),
    ("day_sheet", "Day sheet", "Today’s steps of this piece, to tick"),
    ("end_of_day", "End of the day", "Rags, lids, waste, heat"),
    ("week", "The week", "This piece’s days"),
    ("treatment_record", "Treatment record", "What was done, why, with what"),
    ("care_card", "Care card", "For whoever lives with it"),
    ("listing", "Listing", "To sell it, in honest words"),
    ("hang_tag", "Hang tag", "For the shop floor"),
)  # fmt: skip
MONEY = frozenset(["quotation", PLAN_PAPERS])  # these say what the shop reckons with: for owners
_TYPES = {"pdf": "application/pdf", "txt": "text/plain; charset=utf-8", "json": "application/json",
          "ics": "text/calendar; charset=utf-8", "csv": "text/csv; charset=utf-8"}  # fmt: skip
_UNDER_WAY = (PaperState.WAITING, PaperState.SETTING)


@require_safe
def papers(request: HttpRequest, piece: str) -> HttpResponse:
    """The papers of a piece; a fragment of it where htmx asks how far they are."""
    survey = piece_named(piece)
    rows = list(_rows(request, survey.id))
    shown: dict[str, Any] = {
        "place": "stock", "survey": survey, "piece": survey.piece, "id": survey.id, "voice": voice_now(), "rows": rows,
        "under_way": [row for row in rows if row["under_way"]],
        "may_write": bool(getattr(request.user, "may_work", False)),
    }  # fmt: skip
    part = request.headers.get("HX-Request") == "true"
    return render(request, "desk/papers_rows.html" if part else "desk/papers.html", shown)


def _rows(request: HttpRequest, piece: str) -> Iterator[dict[str, Any]]:
    """Each kind of paper with the last that was wanted, and the last that is set."""
    plan = plan_of(piece, now())
    last: dict[str, PaperKept] = {}
    ready: dict[str, PaperKept] = {}
    for paper in PaperKept.objects.filter(piece=piece).order_by("pk"):
        last[paper.which] = paper
        if paper.state == PaperState.READY:
            ready[paper.which] = paper
    for key, name, about in KINDS:
        if key in MONEY and not getattr(request.user, "owns", False):
            continue
        wanted, there = last.get(key), ready.get(key)
        yield {
            "key": key, "name": name, "about": about, "ready": there, "older": _older(there, plan.made_from),
            "under_way": wanted is not None and wanted.state in _UNDER_WAY,
            "setting": wanted is not None and wanted.state == PaperState.SETTING,
            "why": wanted.why if wanted is not None and wanted.state == PaperState.FAILED else "",
        }  # fmt: skip


def _older(paper: PaperKept | None, made_from: str) -> str:
    """In what the plan has moved on since the paper was set."""
    if paper is None or paper.made_from == made_from:
        return ""
    was, stands = paper.made_from.rpartition(", ")[0], made_from.rpartition(", ")[0]
    return "older than the plan now" if was != stands else "of an earlier day"


@require_POST
def want_papers(request: HttpRequest, piece: str) -> HttpResponse:
    """Asks for papers: they are set beside the pages, and stand here when they are."""
    survey = piece_named(piece)
    which = [key for key in request.POST.getlist("which") if key]
    if not getattr(request.user, "owns", False) and MONEY & set(which):
        raise PermissionDenied("a paper that says what the shop reckons with is for owners")
    if not which:
        messages.error(request, "No paper was ticked.")
        return redirect("papers", survey.id)
    try:
        wanted = papers_wanted(survey.id, which, str(request.user), now())
    except Refused as reason:
        messages.error(request, f"Not set: {reason}")
    else:
        if all(one.state == PaperState.READY for one in wanted):
            messages.success(request, "Set already, from the plan as it stands.")
    return redirect("papers", survey.id)


@require_safe
def paper(request: HttpRequest, piece: str, number: int, name: str) -> HttpResponse:
    """One file of a paper, under a name that tells whose it is."""
    survey = piece_named(piece)
    kept = PaperKept.objects.filter(pk=number, piece=survey.id, state=PaperState.READY).first()
    if kept is None:
        raise Http404("no such paper")
    if (kept.which in MONEY or name not in kept.files) and not getattr(request.user, "owns", False):
        raise PermissionDenied("a paper that says what the shop reckons with is for owners")
    try:
        content = paper_file(kept, name)
    except Refused as reason:
        raise Http404(str(reason)) from None
    return sent(content, f"{_plain(survey.piece.code or survey.piece.title or 'piece')}-{name}")


@require_safe
def week_of_the_shop(request: HttpRequest) -> HttpResponse:
    """The week of the shop, over every piece on the wall, set now: some seconds where there are many."""
    at = now()
    plans = [plan_made(plan["piece"]["id"], at) for plan in plans_here(at)[:WEEK_OF]]
    if not plans:
        raise Http404("no piece is planned")
    return sent(chosen_papers(plans, daybook_here(at), ["week"])["week.pdf"], "week.pdf")


WEEK_OF = 20  # pieces on one sheet; nobody reads more of them


def sent(content: bytes, name: str) -> HttpResponse:
    """A file as an answer: shown if it is a paper, else saved."""
    kind = _TYPES.get(name.rpartition(".")[2], "application/octet-stream")
    answer = HttpResponse(content, content_type=kind)
    how = "inline" if kind == "application/pdf" else "attachment"
    answer["Content-Disposition"] = f'{how}; filename="{name}"'
    answer["X-Content-Type-Options"], answer["Cache-Control"] = "nosniff", "private, no-cache"
    return answer


def _plain(words: str) -> str:
    """A name that any machine can save a file under."""
    kept = "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-._") else "-" for sign in words)
    return kept.strip("-.")[:40] or "piece"
