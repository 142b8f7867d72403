"""The bench: what is ready now for whoever stands at it, and the keys that write it down."""

from collections.abc import Sequence
from datetime import datetime, time
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from witnessmark.daybook import What, said_in
from witnessmark.documents import Fault, Faulty, Refused, uuid7
from witnessmark.papers import Voice
from witnessmark.plan import PiecePlan, table_said
from witnessmark.record import bench_now, plan_made, plans_here, small_jobs, survey_of, the_shop
from witnessmark.survey import Survey

from .bench_page import shown, written_today
from .changing import says
from .clock import now
from .daybook_posts import fresh_id
from .deeds import entries_in, hand, post_deed
from .photographs_in import photographs_in

LONGEST = 4000  # letters of what somebody says at the end of a day


@require_safe
def bench(request: HttpRequest) -> HttpResponse:
    """The bench of one person: the one asked for, else the one who entered."""
    return page(request)


def page(request: HttpRequest, **more: Any) -> HttpResponse:
    """The page, and with it what was typed and is amiss."""
    at = now()
    said = request.POST if request.method == "POST" else request.GET
    shop = the_shop()
    who, voice = hand(request, said.get("who", ""), shop), Voice.of(shop.shop, at)
    try:
        document = bench_now(at, str(request.user))
    except Refused as reason:
        return render(request, "desk/bench.html", {"place": "bench", "refused": str(reason), "voice": voice})
    if not getattr(request.user, "may_work", False) and who not in (
        names := [one["name"] for one in document["people"]]
    ):
        who = names[0] if names else who  # somebody who only looks has no bench of their own
    since = datetime.combine(at.astimezone(voice.zone).date(), time(), voice.zone)
    written = list(written_today(since, who))
    told = shown(document, who, said.get("at", ""), small_jobs(), written, voice, at)
    faulty = more.get("faulty")
    if faulty:
        told = with_faults(told, faulty, request.POST.dict(), more["faults"])
    told |= {"place": "bench", "entry": fresh_id(), "may_write": bool(getattr(request.user, "may_work", False))}
    return render(request, "desk/bench.html", told | more, status=422 if more else 200)


def with_faults(told: Any, name: str, posted: dict[str, str], faults: Sequence[str]) -> Any:
    """The same page, the form of that name with what was typed into it and what is amiss."""
    if isinstance(told, dict):
        return {key: with_faults(value, name, posted, faults) for key, value in told.items()}
    if isinstance(told, list | tuple):
        return type(told)([with_faults(value, name, posted, faults) for value in told])
    return told.again(posted, faults) if getattr(told, "name", None) == name and hasattr(told, "again") else told


def back(request: HttpRequest) -> HttpResponse:
    """The bench again, as it lay open."""
    asked = {key: request.POST[key] for key in ("who", "at") if request.POST.get(key)}
    return redirect(f"{reverse('bench')}?{urlencode(asked)}" if asked else "bench")


def all_said(error: Faulty) -> list[str]:
    return [f"{fault.where}: {says(fault)}" if fault.where and not fault.where.startswith("entry ") else says(fault)
            for fault in error.faults]  # fmt: skip


@require_POST
def write(request: HttpRequest) -> HttpResponse:
    """Writes what a key of the bench says."""
    try:
        post_deed(request, entries_in(request))
    except Faulty as error:
        return page(request, faulty=request.POST.get("form", "?"), faults=all_said(error))
    return back(request)


@require_POST
def photograph(request: HttpRequest) -> HttpResponse:
    """Photographs taken at the bench, each an entry on its piece."""
    rows, amiss = photographs_in(request)
    piece, note = request.POST.get("piece", ""), request.POST.get("note", "").strip()
    entries = [
        {"id": id_after(request.POST.get("entry", ""), number), "what": What.PHOTOGRAPH.value, "piece": piece,
         "photograph": row["sha256"], "note": note} for number, row in enumerate(rows)
    ]  # fmt: skip
    try:
        post_deed(request, [{key: value for key, value in one.items() if value} for one in entries])
    except Faulty as error:
        amiss += all_said(error)
    for line in amiss:
        messages.error(request, line)
    if not rows and not amiss:
        messages.error(request, "No photograph came with it: choose one first.")
    return back(request)


def id_after(first: str, number: int) -> str:
    """The id of the entry so many places after the first of a form: the same form again gives the same ids."""
    if not number:
        return first or fresh_id()
    head = first.replace("-", "")
    try:
        return uuid7(datetime.fromtimestamp(int(head[:12], 16) / 1000, now().tzinfo), (int(head[12:], 16) + number)
                     .to_bytes(10, "big"))  # fmt: skip
    except (ValueError, OverflowError, OSError):
        return fresh_id()


@require_POST
def say(request: HttpRequest) -> HttpResponse:
    """What somebody says of the day, in one box: “3 h chest, 2 h chair”."""
    text = request.POST.get("said", "").strip()[:LONGEST]
    try:
        tables = tables_of(text, hand(request, request.POST.get("who", "")))
        first = request.POST.get("entry", "") or fresh_id()
        post_deed(request, [{**table, "id": id_after(first, number)} for number, table in enumerate(tables)])
    except Faulty as error:
        return page(request, said=text, said_faults=all_said(error))
    return back(request)


def tables_of(text: str, who: str) -> list[dict[str, Any]]:
    """The entries that are meant, without ids and instants. Raises Faulty with all that was not understood."""
    if not text:
        raise Faulty([Fault("", "", "", "what was done, such as “3 h chest, 2 h chair”")])
    at, plans = now(), {}
    pieces = surveys_here()

    def plan_for(survey: Survey) -> PiecePlan:
        if survey.id not in plans:
            plans[survey.id] = plan_made(survey.id, at)
        return plans[survey.id]

    tables: list[dict[str, Any]] = []
    faults: list[Fault] = []
    for one in said_in(text, ""):
        try:
            tables.append(table_said(one, who, pieces, plan_for))
        except Faulty as error:
            faults += error.faults
        except Refused as reason:
            faults.append(Fault(one.text, "step", one.about, f"a piece that can be planned: {reason}"))
    if faults:
        raise Faulty(faults)
    return tables


def surveys_here() -> list[Survey]:
    """The surveys of what is here, small jobs and all."""
    here = [plan["piece"]["id"] for plan in plans_here(now())] + [job.piece for job in small_jobs()]
    return [survey_of(piece) for piece in here]
