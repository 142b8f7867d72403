"""Readings for the date, the wood and the finish: tick what was seen, see the odds, and the look most worth having."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from witnessmark.documents import Faulty, Refused
from witnessmark.odds import BadReading
from witnessmark.record import the_shop
from witnessmark.survey import Survey

from .changing import Amiss, Place, body_of, change_table, says
from .clock import now
from .piece import state_of, voice_now
from .piece_named import piece_named
from .readings_told import (
    Feature,
    Told,
    date_features,
    date_told,
    finish_features,
    finish_told,
    wood_features,
    wood_told,
)
from .survey_pages import part_choices

_TITLES = {"date": "When it was made", "wood": "Which wood it is", "finish": "What the old finish is"}
_SHOWN = 3  # best looks that stand open on top
_LISTED = 60


@require_http_methods(["GET", "HEAD", "POST"])
def readings(request: HttpRequest, piece: str, about: str) -> HttpResponse:
    """One question: what was read, what it says, what to look at next, and every feature, searchable."""
    if about not in _TITLES:
        raise Http404("date, wood or finish")
    if request.method == "POST":
        return _read(request, piece, about)
    return render(request, "desk/readings.html", shown_of(request, piece_named(piece), about))


def shown_of(request: HttpRequest, survey: Survey, about: str, **more: Any) -> dict[str, Any]:
    words = request.GET.get("q", "").strip().lower()
    part = request.GET.get("part", "").strip().upper() or _first_part(survey, about)
    features = _features(survey, about)
    fits = [
        one for one in features if all(word in f"{one.name} {one.do} {one.group}".lower() for word in words.split())
    ]
    try:
        told = _told(survey, about, part)
    except (Faulty, BadReading) as error:
        told = Told(f"One of the readings can’t be read: {error}")
    best = [one.key for one in told.next[:_SHOWN]]
    body = body_of(survey.id)
    codes = part_choices(body.body)
    return {
        "place": "stock", "survey": survey, "piece": survey.piece, "id": survey.id, "voice": voice_now(),
        "twin_heads": ("Clue", "Where", "What it says", "Counted"),
        "about": about, "title": _TITLES[about], "told": told, "best": told.next[:_SHOWN], "q": words, "part": part,
        "features": [one for one in fits if one.key not in best or words][:_LISTED], "more": len(fits) > _LISTED,
        "codes": [("", "The piece, or don’t know"), *codes], "number": body.number,
        "read_of": sorted({one.part for one in survey.reading if one.part and one.about.value == about}),
    } | more  # fmt: skip


def _first_part(survey: Survey, about: str) -> str:
    """Wood is told of one part: where nobody asks for one, the first that was read."""
    return next((one.part for one in survey.reading if one.part and one.about.value == about), "")


def _features(survey: Survey, about: str) -> list[Feature]:
    match about:
        case "date":
            return date_features()
        case "wood":
            return wood_features()
    return finish_features("US" if survey.piece.region.value == "US" else "UK")


def _told(survey: Survey, about: str, part: str) -> Told:
    match about:
        case "date":
            return date_told(survey)
        case "wood":
            return wood_told(survey, part)
    return finish_told(survey)


def _read(request: HttpRequest, piece: str, about: str) -> HttpResponse:
    """One reading, or one test, written into the survey; said again of the same part it takes the other’s place."""
    survey = piece_named(piece)
    piece = survey.id
    post = {key: request.POST.get(key, "").strip() for key in ("feature", "state", "seen", "part", "later", "year")}
    part = {"part": post["part"]} if post["part"] else {}
    if about == "finish":
        today = now().astimezone(the_shop().shop.zone_info).date().isoformat()
        row: dict[str, Any] = {"test": post["feature"], "state": post["state"], **part, "on": today,
                               "who": str(request.user)}  # fmt: skip
        place = Place("test", None, True)
    else:
        row = {"about": about, "feature": post["feature"], "seen": post["seen"] or "seen", **part}
        if post["state"] or post["year"]:
            row["state"] = post["year"] or post["state"]
        if post["later"]:
            row["later"] = "yes"
        place = Place("reading", _said_before(survey, about, post["feature"], post["part"]), True)
        if place.at is not None:
            row |= {key: None for key in ("state", "later", "part") if key not in row}
    try:
        change_table(piece, body_of(piece).number, place, row, str(request.user), f"a look for the {about}")
    except Amiss as error:
        words = "; ".join([*error.here.values(), *(says(fault) for fault in error.beside)])
        shown = shown_of(request, survey, about, faulty=post["feature"], fault=words, typed=post)
        return render(request, "desk/readings.html", shown, status=422)
    except Refused as error:
        messages.error(request, f"{error}")
    return redirect(f"{reverse('readings', args=[piece, about])}{'?part=' + post['part'] if post['part'] else ''}")


def _said_before(survey: Survey, about: str, feature: str, part: str) -> int | None:
    return next(
        (at for at, one in enumerate(survey.reading)
         if (one.about.value, one.feature, one.part or "") == (about, feature, part)),
        None,
    )  # fmt: skip


@require_POST
def unread(request: HttpRequest, piece: str, about: str, row: int) -> HttpResponse:
    """Takes a reading, or a test, out of the survey again; its history keeps it."""
    piece = piece_named(piece).id
    number = request.POST.get("number", "")
    if not number.isdecimal() or not state_of(piece, int(number)):
        raise Http404("which state of the survey was looked at is not said")
    key = "test" if about == "finish" else "reading"
    try:
        change_table(piece, int(number), Place(key, row, True), None, str(request.user), "a reading taken back")
    except (Amiss, Refused) as error:
        messages.error(request, f"Not taken back: {error}")
    return redirect("readings", piece, about)
