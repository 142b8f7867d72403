"""Taking apart: the map and the order, what is next off, parts that are born as they come off, and their names."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from witnessmark.daybook import What
from witnessmark.documents import Faulty, Refused
from witnessmark.papers import Voice
from witnessmark.record import DayBookEntry, daybook_of, the_shop
from witnessmark.survey import FixingKind, Survey, main_body_of, part_names_for

from .apart_page import cautions_apart, freed_part, next_off, piece_apart, when_said
from .changing import says
from .clock import now
from .coming_off import BODY, Fixings, NewPart, part_born, unborn
from .daybook_posts import fresh_id, post_said
from .photographs import seen_of, spot_said, squares, ways_up
from .piece_named import piece_named
from .rewriting import Tables, rewritten, row_of

PEOPLES_KINDS = (FixingKind.SCREW, FixingKind.NAIL, FixingKind.BOLT, FixingKind.PEG, FixingKind.BLOCK, FixingKind.OTHER)


def shown_of(survey: Survey, **more: Any) -> dict[str, Any]:
    """What every page about a piece lying apart shows."""
    voice = Voice.of(the_shop().shop, now())
    return {"place": "stock", "survey": survey, "piece": survey.piece, "id": survey.id, "voice": voice,
            "entry": fresh_id()} | more  # fmt: skip


@require_safe
def apart(request: HttpRequest, piece: str) -> HttpResponse:
    """The taking-apart page of a piece."""
    survey, shop = piece_named(piece), the_shop()
    standing = piece_apart(survey, daybook_of(survey.id), shop)
    voice = Voice.of(shop.shop, now())
    free = request.GET.get("free", "").strip()
    seen = seen_of(survey)
    shown = shown_of(
        survey,
        apart=standing,
        cautions=cautions_apart(survey, standing.taken, shop.shop.words.value),
        next=next_off(standing),
        map=standing.map(),
        in_order=[line for line in standing.lines if line.turn is not None or (line.state in {"off", "back"}
                  and not line.now.along)],
        lines=[(line, when_said(line.now, voice)) for line in standing.planned],
        unplanned_off=[(line, when_said(line.now, voice)) for line in standing.lines
                       if line.turn is None and line.state in {"off", "back"} and not line.now.along],
        count_off=len(standing.now.off),
        free=freed_part(survey, free) if free else None,
        seen=[(one, one.drawn(f"seen{at}")) for at, one in enumerate(seen)],
        why_shut=standing.taken.why_shut if standing.taken else {},
    )  # fmt: skip
    return render(request, "desk/apart.html", shown)


# ---- off, one tap ----


@require_POST
def off(request: HttpRequest, piece: str, code: str) -> HttpResponse:
    """A part that has a code is off. One tap; twice is once."""
    survey = piece_named(piece)
    if code not in survey.parts_by_code():
        raise Http404(f"no part {code} of this piece")
    try:
        posted = post_said(request, What.OFF, survey.id, part=code, note=request.POST.get("note", "").strip())
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    else:
        undo = reverse("take_back", args=[survey.id, *posted.accepted, *posted.known])
        messages.success(request, f"{code} is off.", extra_tags=undo)
    return redirect(_back_to(request, survey.id, code))


def _back_to(request: HttpRequest, piece: str, code: str) -> str:
    if request.POST.get("next") == "part":
        return reverse("part", args=[piece, code])
    return reverse("together" if request.POST.get("next") == "together" else "apart", args=[piece])


@require_POST
def take_back(request: HttpRequest, piece: str, entry: str) -> HttpResponse:
    """Undoes a part's coming off, or going back; a part that was born with the entry goes with it."""
    survey = piece_named(piece)
    row = DayBookEntry.objects.filter(id=entry, piece=survey.id, what__in=[What.OFF.value, What.REFIT.value]).first()
    if row is None:
        raise Http404("no such entry on this piece")
    code = str(row.body.get("part", ""))
    try:
        if request.GET.get("born"):
            unborn(request, survey.id, row)
        else:
            reopened = [each for each in request.GET.get("fixings", "").split(",") if each]
            if reopened:
                rewritten(survey.id, str(request.user), f"fixings of {code} open again",
                          lambda tables: fixings_open(tables, reopened))  # fmt: skip
            post_said(request, What.CORRECTS, survey.id, corrects=row.id)
    except (Faulty, Refused) as error:
        messages.error(request, f"{code} can’t be taken back: {error}")
    else:
        messages.success(request, f"Taken back: {code} is as it was.")
    return redirect("together" if row.what == What.REFIT.value else "apart", survey.id)


def fixings_open(tables: Tables, codes: list[str]) -> None:
    """Takes the endings of these fixings away again."""
    for joint in tables.get("joint", ()):
        for fixing in joint.get("fixing", ()):
            if fixing["code"] in codes:
                for key in ("ends", "why", "by"):
                    fixing.pop(key, None)


# ---- a new part ----


@require_http_methods(["GET", "HEAD", "POST"])
def new_part(request: HttpRequest, piece: str) -> HttpResponse:
    """A part that has no code yet comes off: photograph, tap, off; all else may wait."""
    survey = piece_named(piece)
    if request.method == "POST":
        return _born(request, survey)
    return render(request, "desk/new_part.html", _new_part_shown(request, survey))


def _new_part_shown(request: HttpRequest, survey: Survey, **more: Any) -> dict[str, Any]:
    seen = seen_of(survey)
    asked = request.POST.get("photograph") or request.GET.get("photograph", "")
    chosen = next((one for one in seen if one.sha256 == asked), seen[-1] if seen and asked != "none" else None)
    body = main_body_of(survey.piece.kind)
    off = {part.code for part in piece_apart(survey, daybook_of(survey.id), the_shop()).now.off}
    return shown_of(
        survey,
        seen=seen,
        chosen=chosen,
        picture=chosen.drawn("chosen") if chosen else "",
        names=[one.name for one in part_names_for(survey.piece.kind) if not one.main],
        squares=squares(),
        ways_up=ways_up(),
        kinds=[kind.value for kind in PEOPLES_KINDS],
        held_to=[(BODY, f"the {body.name}"), *((part.code, f"{part.code} {part.name}".strip()) for part in survey.part
                                             if part.code not in off and part.name != body.name)],
        **more,
    )  # fmt: skip


def _born(request: HttpRequest, survey: Survey) -> HttpResponse:
    post = request.POST
    sha256 = post.get("photograph", "")
    if sha256 and sha256 not in {one.sha256 for one in survey.photograph}:
        raise Http404("no such photograph of this piece")
    faults: dict[str, str] = {}
    fixings = fixings_said(post, faults)
    new = NewPart(
        name=(post.get("own_name", "").strip() or post.get("name", "")).strip(),
        kept=post.get("kept", "").strip(),
        sat=post.get("sat", "").strip(),
        photograph=sha256,
        spot=spot_said(post, sha256),
        fixings=fixings,
    )
    if not faults:
        try:
            code = part_born(request, survey, new)
        except Faulty as error:
            faults = {(fault.key or "name").rpartition(".")[2]: says(fault) for fault in error.faults}
    if faults:
        return render(request, "desk/new_part.html", _new_part_shown(request, survey, typed=post, faults=faults),
                      status=422)  # fmt: skip
    undo = reverse("take_back", args=[survey.id, post.get("entry")]) + "?born=1" if post.get("entry") else ""
    messages.success(request, f"{code} is off. Tie its tag on: {code}.", extra_tags=undo)
    onward = reverse("new_part", args=[survey.id])
    return redirect(f"{onward}?photograph={sha256 or 'none'}")


def fixings_said(post: Any, faults: dict[str, str]) -> Fixings | None:
    """The fixings as the form has them; None where none are said. Puts what is amiss into `faults`."""
    count = post.get("fixings", "").strip()
    if not count or count == "0":
        return None
    if not count.isdecimal():
        faults["fixings"] = f"“{count[:20]}”: expected a number, such as 4."
        return None
    try:
        kind = FixingKind(post.get("kind") or FixingKind.UNKNOWN.value)
    except ValueError:
        faults["kind"] = "Choose what they are."
        return None
    return Fixings(int(count[:4]), kind, post.get("fixings_kept", "").strip(), post.get("held_to") or BODY)


# ---- names, at tea ----


@require_http_methods(["GET", "HEAD", "POST"])
def names(request: HttpRequest, piece: str) -> HttpResponse:
    """Names for the parts that were only counted as they came off, each beside a close look at where it sat."""
    survey = piece_named(piece)
    if request.method == "POST":
        given = {part.code: request.POST.get(f"name-{part.code}", "").strip() for part in survey.part}
        given = {code: name for code, name in given.items() if name}
        try:
            if given:
                rewritten(survey.id, str(request.user), f"named: {', '.join(given)}"[:400],
                          lambda tables: _named(tables, given))  # fmt: skip
        except Faulty as error:
            messages.error(request, "; ".join(says(fault) for fault in error.faults))
            return redirect("names", survey.id)
        if given:
            messages.success(request, f"Named: {', '.join(given)}.")
        return redirect("apart", survey.id)
    seen = seen_of(survey)
    nameless = [
        (part, next((one.drawn(f"near-{part.code}", part.code, near=True) for one in seen
                     if any(spot.code == part.code for spot in one.spots)), ""))
        for part in survey.part if not part.name
    ]  # fmt: skip
    known = [one.name for one in part_names_for(survey.piece.kind) if not one.main]
    return render(request, "desk/names.html", shown_of(survey, nameless=nameless, names=known))


def _named(tables: Tables, given: dict[str, str]) -> None:
    for code, name in given.items():
        row = row_of(tables, "part", "code", code)
        if row is not None:
            row["name"] = name
