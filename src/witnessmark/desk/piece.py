"""A piece, in the order of the work; choosing a way, steps by hand, its stage, its history, undoing an entry."""

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from witnessmark.daybook import Stage, What
from witnessmark.documents import Faulty, Refused
from witnessmark.papers import Voice
from witnessmark.plan import stage_of
from witnessmark.record import (
    DayBookEntry,
    Kind,
    NoSuchPiece,
    NoSuchState,
    Posted,
    Revision,
    Role,
    brought_back,
    daybook_of,
    plan_of,
    survey_of,
    the_shop,
)
from witnessmark.survey import About, Survey

from .changing import Amiss, Place, add_row, body_of, change_table, says
from .clock import now
from .daybook_posts import fresh_id, post_said
from .door import for_role
from .photographs import seen_of
from .piece_named import piece_named, pieces_coded
from .piece_page import (
    about_money,
    boards_of,
    branches_of,
    came,
    changed_keys,
    decided,
    facts_of,
    figures_of,
    logged_of,
    other_figures,
    promise,
    said_caution,
    steps_of,
    ways_of,
)

ENTRIES = 12  # of the day book on the page of the piece; the rest behind a link


def voice_now() -> Voice:
    """The voice of the shop's pages."""
    return Voice.of(the_shop().shop, now())


def by_code(code: str) -> HttpResponse:
    """The page of the piece that has this code on its tape; a choice where several have."""
    found = pieces_coded(code)
    if not found:
        raise Http404(f"no piece here has {code} on its tape")
    return redirect("piece", found[0]) if len(found) == 1 else redirect(f"{reverse('find')}?q={code}")


@require_safe
def piece(request: HttpRequest, piece: str) -> HttpResponse:
    """The page of a piece, by its id or the code on its tape."""
    try:
        survey = survey_of(piece)
    except NoSuchPiece:
        return by_code(piece)
    return render(request, "desk/piece.html", shown_of(request, survey))


def shown_of(request: HttpRequest, survey: Survey, **more: Any) -> dict[str, Any]:
    """All that the page of a piece shows."""
    owns = bool(getattr(request.user, "owns", False))
    kept, book, voice = plan_of(survey.id, now()), daybook_of(survey.id), voice_now()
    standing = stage_of(survey, book)
    logged = logged_of(book)
    shown: dict[str, Any] = {
        "place": "stock", "survey": survey, "piece": survey.piece, "id": survey.id, "voice": voice, "owns": owns,
        "boards": boards_of(standing, voice), "standing": standing, "stages": [*Stage], "came": came(survey, voice),
        "promise": "" if standing.stage is Stage.OUT else promise(survey, kept, voice),
        "kept": kept, "entry": fresh_id(),
        "photographs": _photographs(survey), "decisions": [(one, decided(one)) for one in survey.decision
                                                        if owns or one.about is not About.PRICE],
        "logged": logged[:ENTRIES], "more_logged": len(logged) > ENTRIES,
    }  # fmt: skip
    if kept.body is not None:
        plan = kept.body
        shown |= {
            "plan": plan, "workings": workings_for(plan, owns), "facts": facts_of(survey.id, plan, voice),
            "figures": figures_of(plan, owns, voice), "ways": ways_of(plan, owns, voice),
            "steps": steps_of(plan, voice), "branches": branches_of(plan, voice), "jars": plan["mixes"],
            "cautions": [said_caution(one, voice) for one in plan["cautions"]],
        }  # fmt: skip
    return shown | more


def _photographs(survey: Survey) -> list[dict[str, Any]]:
    """Each photograph as the survey names it, and the damage marked on it."""
    seen = {one.sha256: one for one in seen_of(survey) if one.damage}
    return [
        {"of": one, "damage": seen[one.sha256].damage, "drawn": seen[one.sha256].with_damage(f"damage{at}")}
        if one.sha256 in seen
        else {"of": one}
        for at, one in enumerate(survey.photograph)
    ]


def workings_for(plan: dict[str, Any], owns: bool) -> dict[str, Any]:
    """The workings that somebody may open: those of money are an owner's."""
    if owns:
        return dict(plan["workings"])
    return {ident: one for ident, one in plan["workings"].items() if not about_money(one)}


@require_safe
def figures(request: HttpRequest, piece: str) -> HttpResponse:
    """Every figure of the plan, each with its working."""
    survey = piece_named(piece)
    kept = plan_of(survey.id, now())
    owns = bool(getattr(request.user, "owns", False))
    plan = kept.body or {"workings": {}}
    shown = {"place": "stock", "survey": survey, "piece": survey.piece, "id": survey.id, "voice": voice_now(),
             "workings": workings_for(plan, owns), "idents": other_figures(plan, owns)}  # fmt: skip
    return render(request, "desk/figures.html", shown)


# ---- deciding ----


@require_POST
def choose_way(request: HttpRequest, piece: str) -> HttpResponse:
    """Chooses a way to go about it, with why."""
    return _decide(request, piece, {"about": "way", "choose": request.POST.get("way", "")})


@for_role(Role.OWNER)
@require_POST
def accept_price(request: HttpRequest, piece: str) -> HttpResponse:
    """A price, decided by an owner."""
    return _decide(request, piece, {"about": "price", "price": request.POST.get("price", "").strip()})


@require_POST
def step_by_hand(request: HttpRequest, piece: str) -> HttpResponse:
    """Leaves a step out, or adds one, with why."""
    post = {key: request.POST.get(key, "").strip() for key in ("step", "choose", "minutes", "after", "part")}
    if request.POST.get("about") == "skip":
        return _decide(request, piece, {"about": "skip", "step": post["step"]})
    row = {"about": "add"} | {key: value for key, value in post.items() if value and key != "step"}
    return _decide(request, piece, row)


def _decide(request: HttpRequest, piece: str, row: dict[str, Any]) -> HttpResponse:
    survey = piece_named(piece)
    shop = the_shop()
    row |= {"who": str(request.user), "on": now().astimezone(shop.shop.zone_info).date().isoformat(),
            "why": request.POST.get("why", "").strip()}  # fmt: skip
    named = {"way": "choose", "price": "price", "skip": "step", "add": "choose"}[row["about"]]
    faults = {} if row["why"] else {"why": "Say why, in a few words: whoever comes after wants to know."}
    if not row.get(named):
        faults[named] = "Write what is decided."
    if not faults:
        try:
            add_row(survey.id, "decision", row, str(request.user), f"decided: {row['about']}")
        except Amiss as error:
            faults = error.here | {f"other{at}": says(fault) for at, fault in enumerate(error.beside)}
        except Refused as error:
            faults = {"why": str(error)}
    if faults:
        shown = shown_of(request, survey, typed=request.POST.dict(), faults=faults, faulty=row["about"])
        return render(request, "desk/piece.html", shown, status=422)
    messages.success(request, "Decided, and kept with its reason.")
    return redirect(f"{reverse('piece', args=[piece])}#{'steps' if row['about'] in {'add', 'skip'} else 'ways'}")


def done(request: HttpRequest, words: str, posted: Posted) -> None:
    """Says what was done, with its undo beside it."""
    entries = posted.accepted or posted.known
    messages.success(request, words, extra_tags=reverse("undo", args=[entries[0]]))


@require_POST
def move_stage(request: HttpRequest, piece: str) -> HttpResponse:
    """Moves a piece to a stage by hand. It is called together only when nothing is off and nothing open."""
    survey = piece_named(piece)
    to = request.POST.get("to", "")
    if to == Stage.TOGETHER.value and (holds := stage_of(survey, daybook_of(survey.id)).holds):
        messages.error(request, f"Not together yet: {'; '.join(holds)}.")
        return redirect("piece", piece)
    try:
        posted = post_said(request, What.STAGE, survey.id, to=to, note=request.POST.get("note", "").strip())
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    else:
        done(request, f"{Stage(to).words}.", posted)
    return redirect("piece", piece)


@require_POST
def pay(request: HttpRequest, piece: str) -> HttpResponse:
    """Money taken for a piece."""
    survey = piece_named(piece)
    try:
        posted = post_said(request, What.PAID, survey.id, sum=request.POST.get("sum", "").strip())
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    else:
        done(request, "Paid.", posted)
    return redirect("piece", piece)


@require_POST
def note(request: HttpRequest, piece: str) -> HttpResponse:
    """A note in the day book of a piece."""
    survey = piece_named(piece)
    text = request.POST.get("note", "").strip()
    try:
        if text:
            done(request, "Noted.", post_said(request, What.NOTE, survey.id, note=text))
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    return redirect(f"{reverse('piece', args=[piece])}#daybook")


@require_POST
def undo(request: HttpRequest, entry: str) -> HttpResponse:
    """Strikes an entry out: by a new one that corrects it."""
    row = DayBookEntry.objects.filter(id=entry).first()
    if row is None:
        raise Http404("no such entry")
    try:
        post_said(request, What.CORRECTS, row.piece, corrects=row.id)
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    else:
        messages.success(request, "Struck out. It can still be read.")
    return redirect(f"{reverse('piece', args=[row.piece])}#daybook") if row.piece else redirect("stock")


# ---- its day book and its history ----


@require_safe
def piece_daybook(request: HttpRequest, piece: str) -> HttpResponse:
    """The whole day book of a piece, paged."""
    survey = piece_named(piece)
    page = Paginator(logged_of(daybook_of(survey.id)), 100).get_page(request.GET.get("page"))
    shown = {"place": "stock", "survey": survey, "piece": survey.piece, "id": survey.id, "voice": voice_now(),
             "page": page, "logged": page.object_list, "asked": "all=1", "entry": fresh_id()}  # fmt: skip
    return render(request, "desk/piece_daybook.html", shown)


@require_safe
def history(request: HttpRequest, piece: str) -> HttpResponse:
    """Every state of the survey: who, when, why, and what changed."""
    survey = piece_named(piece)
    states = Revision.objects.filter(document=survey.id, kind=Kind.SURVEY).order_by("-number")
    page = Paginator(states, 30).get_page(request.GET.get("page"))
    rows = list(page.object_list)
    before = {one.number: one for one in states.filter(number__in=[row.number - 1 for row in rows])}
    told = [(row, changed_keys(before[row.number - 1].body, row.body) if row.number - 1 in before else ())
            for row in rows]  # fmt: skip
    shown = {"place": "stock", "survey": survey, "piece": survey.piece, "id": survey.id, "voice": voice_now(),
             "states": told, "page": page, "asked": "all=1", "last": states[0].number}  # fmt: skip
    return render(request, "desk/piece_history.html", shown)


def state_of(piece: str, number: int) -> Revision:
    """A state of a survey. Raises Http404 where there is none of that number."""
    try:
        return body_of(piece, number)
    except NoSuchPiece as error:
        raise Http404(str(error)) from None


@require_POST
def bring_back(request: HttpRequest, piece: str, number: int) -> HttpResponse:
    """The survey as it stood at a revision, as a new state; nothing is lost."""
    survey = piece_named(piece)
    try:
        brought_back(survey.id, number, str(request.user), now())
    except NoSuchState as error:
        raise Http404(str(error)) from None
    messages.success(request, f"Brought back: the survey is again as in state {number}.")
    return redirect("history", piece)


@require_POST
def caption(request: HttpRequest, piece: str, sha256: str) -> HttpResponse:
    """The caption of a photograph."""
    survey = piece_named(piece)
    at = next((at for at, one in enumerate(survey.photograph) if one.sha256 == sha256), None)
    if at is None:
        raise Http404("no such photograph")
    words = request.POST.get("caption", "").strip()
    try:
        change_table(survey.id, body_of(survey.id).number, Place("photograph", at, True), {"caption": words or None},
                     str(request.user), "a caption", mine=True)  # fmt: skip
    except (Amiss, Refused) as error:
        messages.error(request, str(error))
    return redirect(f"{reverse('piece', args=[piece])}#photographs")
