"""One part, as a scanned tag opens it: where it goes, which way up, its fixings, what is due on it; off and back."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.db.models import Exists, OuterRef
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from witnessmark.daybook import What
from witnessmark.documents import Faulty, Refused
from witnessmark.papers import Voice
from witnessmark.plan import FixingNow, PartNow, apart_now
from witnessmark.quantities import Length
from witnessmark.record import Revision, StockRow, daybook_of, plan_of, the_shop
from witnessmark.survey import Ends, FixingKind, Survey, part_names_for

from .apart import fixings_said, shown_of
from .apart_page import PieceApart, held_by, piece_apart, when_said
from .changing import BothSaid, Gone, Place, body_of, change_table, says, table_at
from .clock import now
from .coming_off import fixings_added
from .daybook_posts import post_said
from .drawings import Hole
from .drawings.marked import way_in_words
from .photographs import seen_of
from .piece_named import piece_named, pieces_coded
from .rewriting import Tables, codes_ever, fixings_in, rewritten

MOST_NAMED = 200  # pieces that a bare code is looked for in
WRITTEN = ("name", "kept", "sat", "up", "note")  # what is written down of a part on its page


@dataclass(frozen=True)
class Due:
    """A step of the plan on this part. `state` is the day book's word; empty where it is not begun."""

    name: str
    state: str
    starts: str


@require_safe
def part(request: HttpRequest, piece: str, code: str) -> HttpResponse:
    """The page of a part."""
    found = pieces_coded(piece)
    if len(found) > 1:
        return _which(request, code, found, f"Several pieces have {piece} on their tape")
    survey = piece_named(piece)
    return render(request, "desk/part.html", part_shown(survey, code))


@require_safe
def bare_code(request: HttpRequest, code: str) -> HttpResponse:
    """A tag without an address says its code alone: the pieces that have such a part."""
    now_has = StockRow.objects.filter(piece=OuterRef("document"), revision=OuterRef("number"))
    rows = Revision.objects.filter(Exists(now_has.filter(words__icontains=code.lower())))
    parts = rows.values_list("document", "body__part")[:MOST_NAMED]
    found = [piece for piece, listed in parts if any(part["code"] == code for part in listed or ())]
    if len(found) == 1:
        return redirect("part", found[0], code)
    return _which(request, code, found, f"{code} is a part of several pieces" if found else f"No part is called {code}")


def _which(request: HttpRequest, code: str, pieces: list[str], head: str) -> HttpResponse:
    rows = StockRow.objects.filter(piece__in=pieces).order_by("-touched")
    shown = {"place": "stock", "code": code, "rows": rows, "head": head}
    return render(request, "desk/which_piece.html", shown, status=200 if pieces else 404)


def part_shown(survey: Survey, code: str, **more: Any) -> dict[str, Any]:
    """What the page of a part shows. Raises Http404."""
    shop = the_shop()
    voice = Voice.of(shop.shop, now())
    standing = piece_apart(survey, daybook_of(survey.id), shop)
    here = next((one for one in standing.now.parts if one.code == code), None)
    if here is None:
        raise Http404(f"no part {code} of this piece")
    listed = survey.parts_by_code().get(code)
    seen = [one for one in seen_of(survey) if any(spot.code == code for spot in one.spots)]
    ups = [spot.up for one in seen for spot in one.spots if spot.code == code and spot.up is not None]
    line = next((line for line in standing.lines if line.code == code), None)
    fixings = [one for one in here.fixings if one.part == code] or list(here.fixings)
    return shown_of(
        survey,
        code=code,
        part=here,
        listed=listed,
        line=line,
        when=when_said(here, voice),
        seen=[(one, one.drawn(f"seen{at}", code), one.drawn(f"near{at}", code, near=True))
              for at, one in enumerate(seen)],
        other_photographs=[one for one in seen_of(survey) if one not in seen],
        up=here.up or (way_in_words(ups[-1]) + " on the photograph" if ups else ""),
        way_up=_way_up(survey, here, fixings, ups),
        fixings=fixings,
        open=[one for one in fixings if one.open],
        joints=[held_by(joint) for joint in survey.joint if code in joint.parts],
        goes_to=_neighbours(survey, code),
        due=list(_due(survey.id, code, voice)),
        names=[one.name for one in part_names_for(survey.piece.kind) if not one.main],
        kinds=[kind.value for kind in FixingKind if kind is not FixingKind.UNKNOWN],
        turn=_turn_back(standing, code),
        number=body_of(survey.id).number,
        written=more.get("typed") or {key: getattr(listed, key) for key in WRITTEN if listed},
        **more,
    )  # fmt: skip


def _way_up(survey: Survey, here: PartNow, fixings: Iterable[FixingNow], ups: list[float]) -> dict[str, Any]:
    """What the drawing of a part as marked takes."""
    listed = survey.parts_by_code().get(here.code)
    sides = [side.millimetres for side in listed.size.value if isinstance(side, Length)] if (
        listed and listed.size and listed.size.known) else []  # fmt: skip
    told = here.up or (f"{way_in_words(ups[-1])} on the photograph" if ups else "")
    holes = [Hole(one.fixing.code, says=one.fixing.hole[:24]) for one in fixings]
    wide, high = (sides[0], sides[1]) if len(sides) > 1 else (None, None)
    return {"code": here.code, "up": told, "fixings": holes, "wide": wide, "high": high}


def _neighbours(survey: Survey, code: str) -> list[str]:
    """The parts it meets."""
    met = [other for joint in survey.joint if code in joint.parts for other in joint.parts if other != code]
    return list(dict.fromkeys(met))


def _due(piece: str, code: str, voice: Voice) -> Iterable[Due]:
    """The steps of the piece's plan that name this part, in order."""
    body = plan_of(piece, now()).body
    for step in (body or {}).get("steps", ()):
        if code in step["parts"]:
            state = (step.get("logged") or {}).get("state", "")
            yield Due(voice.ours(step["trade_name"]), state, step.get("starts") or "")


def _turn_back(standing: PieceApart, code: str) -> str:
    """What must go back before this part does; empty where it is its turn."""
    waiting = standing.now.to_put_back
    at = next((at for at, one in enumerate(waiting) if code in {one.part, *one.along}), 0)
    return ", ".join(one.part for one in waiting[:at])


# ---- back, edited, its fixings ----


@require_POST
def back(request: HttpRequest, piece: str, code: str) -> HttpResponse:
    """A part is back; with `fixings` all of its open fixings are back too."""
    survey = piece_named(piece)
    standing = apart_now(survey, daybook_of(survey.id), the_shop())
    here = next((one for one in standing.parts if one.code == code), None)
    if here is None:
        raise Http404(f"no part {code} of this piece")
    ended = [one.fixing.code for one in standing.open if one.part == code] if request.POST.get("fixings") else []
    try:
        with transaction.atomic():
            if ended:
                rewritten(survey.id, str(request.user), f"{code} back with {', '.join(ended)}"[:400],
                          lambda tables: end_fixings(tables, ended, Ends.BACK, ""))  # fmt: skip
            posted = post_said(request, What.REFIT, survey.id, part=code)
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    else:
        undo = reverse("take_back", args=[survey.id, *posted.accepted, *posted.known])
        left = [one for one in standing.open if one.part == code and one.fixing.code not in ended]
        more = f" Still open: {', '.join(one.fixing.code for one in left)}." if left else ""
        messages.success(request, f"{code} is back.{more}", extra_tags=f"{undo}?fixings={','.join(ended)}")
    return redirect("part" if request.POST.get("next") == "part" else "together",
                    *([survey.id, code] if request.POST.get("next") == "part" else [survey.id]))  # fmt: skip


@require_POST
def edit_part(request: HttpRequest, piece: str, code: str) -> HttpResponse:
    """Name, where it is kept, where it sat, what tells which way up, a note; more fixings."""
    survey = piece_named(piece)
    if code not in survey.parts_by_code():
        raise Http404(f"no part {code} of this piece")
    number = _whole(request.POST.get("number", "")) or body_of(survey.id).number
    faults: dict[str, str] = {}
    try:
        more = fixings_said(request.POST, faults)
        if not faults:
            with transaction.atomic():
                _keep_row(request, survey.id, number, code)
                if more:
                    taken = codes_ever(survey.id)
                    rewritten(survey.id, str(request.user), f"fixings of {code}",
                              lambda tables: fixings_added(tables, code, more, taken))  # fmt: skip
    except BothSaid as both:
        number = both.current.number
        faults = {one.key: f"{both.current.who} wrote “{one.theirs or 'nothing'}” meanwhile. Keep it again to write "
                  "yours over that." for one in both.both}  # fmt: skip
    except Faulty as error:
        faults = {fault.key.rpartition(".")[2]: says(fault) for fault in error.faults}
    except Refused as error:
        faults = {"name": str(error)}
    if faults:
        shown = part_shown(survey, code, typed=request.POST, faults=faults) | {"number": number}
        return render(request, "desk/part.html", shown, status=422)
    messages.success(request, f"{code} is written down.")
    return redirect("part", survey.id, code)


def _keep_row(request: HttpRequest, piece: str, number: int, code: str) -> None:
    """Keeps what was changed of a part's row since revision `number`. Raises BothSaid, Faulty, Refused."""
    base = body_of(piece, number).body
    rows = [row["code"] for row in base.get("part", ())]
    if code not in rows:
        raise Gone(f"{code} came into the survey after this page was opened: open it again")
    place = Place("part", rows.index(code), True)
    stood = table_at(base, place)
    wrote = {key: request.POST[key].strip() for key in WRITTEN if key in request.POST}
    changed = {key: words if words or key == "name" else None for key, words in wrote.items()
               if words != stood.get(key, "")}  # fmt: skip
    if changed:
        change_table(piece, number, place, changed, str(request.user), f"{code} written down")


def _whole(text: str) -> int:
    return int(text[:9]) if text.isdecimal() else 0


@require_POST
def fixings(request: HttpRequest, piece: str) -> HttpResponse:
    """How fixings end: back, not going back and why, or replaced and by what; or they are open again."""
    survey = piece_named(piece)
    said = request.POST if "ends" in request.POST else request.GET  # an undo says all in its address
    codes, words = said.getlist("fixing"), said.get("words", "").strip()
    try:
        ends = Ends(said.get("ends", ""))
    except ValueError:
        raise Http404("no such ending") from None
    if ends in {Ends.NOT_BACK, Ends.REPLACED} and not words:
        want = "why not" if ends is Ends.NOT_BACK else "what replaces it"
        messages.error(request, f"{', '.join(codes)}: say {want}.")
        return redirect(f"{reverse('together', args=[survey.id])}#fixings")
    try:
        rewritten(survey.id, str(request.user), f"{', '.join(codes)}: {ends.value}"[:400],
                  lambda tables: end_fixings(tables, codes, ends, words))  # fmt: skip
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    else:
        undo = QueryDict(mutable=True)
        undo["ends"] = Ends.OPEN.value
        undo.setlist("fixing", codes)
        back_to = f"{reverse('fixings', args=[survey.id])}?{undo.urlencode()}" if ends is not Ends.OPEN else ""
        messages.success(request, f"{', '.join(codes)}: {ends.value}.", extra_tags=back_to)
    return redirect(f"{reverse('together', args=[survey.id])}#fixings")


def end_fixings(tables: Tables, codes: list[str], ends: Ends, words: str) -> None:
    """Writes how these fixings end; `words` are why one does not go back, or what replaces it."""
    for fixing in fixings_in(tables):
        if fixing["code"] in codes:
            for key in ("ends", "why", "by"):
                fixing.pop(key, None)
            if ends is not Ends.OPEN:
                fixing["ends"] = ends.value
            if ends is Ends.NOT_BACK:
                fixing["why"] = words
            if ends is Ends.REPLACED:
                fixing["by"] = words
