"""The day sheet: today's list on paper, ticked with a wet thumb, and the same sheet to enter at night."""

from datetime import UTC, datetime, time
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from witnessmark.daybook import What
from witnessmark.documents import Faulty, Refused
from witnessmark.papers import bench_sheet
from witnessmark.plan import closing_of
from witnessmark.record import bench_now, plans_here, the_shop

from .bench import all_said, id_after, tables_of
from .bench_deeds import step_in
from .bench_page import key_of, line_of
from .clock import now
from .daybook_posts import fresh_id
from .deeds import hand, post_deed
from .piece import voice_now

LINES = 1000  # more than a sheet has: the ids of what is written beside them begin after


@require_safe
def day_sheet_pdf(request: HttpRequest) -> HttpResponse:
    """Today's sheet, to print: a page for each who works today."""
    at = now()
    pdf = bench_sheet(bench_now(at, str(request.user)), the_shop(), at)
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="day-sheet.pdf"'
    return answer


@require_http_methods(["GET", "HEAD", "POST"])
def day_sheet(request: HttpRequest) -> HttpResponse:
    """The sheet as it was ticked: each line with its box and its minutes, entered at one stroke."""
    said = request.POST if request.method == "POST" else request.GET
    who, voice = hand(request, said.get("who", "")), voice_now()
    shown: dict[str, Any] = {"place": "bench", "who": who, "voice": voice}
    try:
        document = bench_now(now(), str(request.user))
    except Refused as reason:
        return render(request, "desk/day_sheet.html", shown | {"refused": str(reason)})
    shown |= {
        "hands": [one["name"] for one in document["people"]],
        "entry": request.POST.get("entry") or fresh_id(),
        "may_write": bool(getattr(request.user, "may_work", False)),
        "said": request.POST.get("said", ""),
    }
    items = items_down(document, who)
    shown["lines"] = [row_of(item, number, request.POST, voice) for number, item in enumerate(items)]
    if request.method == "POST":
        try:
            entries = [*ticked(request, items), *beside(request, who)]
            post_deed(request, entries)
        except Faulty as error:
            return render(request, "desk/day_sheet.html", shown | {"faults": all_said(error)}, status=422)
        messages.success(request, f"Entered: {len(entries)} lines." if len(entries) != 1 else "Entered: one line.")
        return redirect("bench")
    return render(request, "desk/day_sheet.html", shown)


def items_down(document: dict[str, Any], who: str) -> list[dict[str, Any]]:
    """Today's items of one person as the list has them, done or not: their places on the sheet stay."""
    mine = [one for one in document["people"] if one["name"] == who]
    items = [item for one in mine for item in (*one["ready"], *one["then"], *one["done"])]
    return sorted(items, key=lambda item: (item["start"], key_of(item)))


def row_of(item: dict[str, Any], number: int, posted: Any, voice: Any) -> dict[str, Any]:
    """A line of the sheet with what was typed on it."""
    key = f"{key_of(item)}/{item['session']['number'] if item['session'] else 1}"
    return line_of(item, voice) | {
        "number": number, "name": key, "ticked": posted.get(f"done:{key}") == "yes",
        "minutes": posted.get(f"minutes:{key}", ""), "usual": item["minutes"]["says"] if item["minutes"] else "",
        "jar": item["jar"]["name"] if item["jar"] else "", "took": posted.get(f"took:{key}", ""),
        "takes": item["jar"]["takes_says"] if item["jar"] else "",
    }  # fmt: skip


def ticked(request: HttpRequest, items: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The entries of what was ticked, or given minutes: done, a coat laid, or worked on and not done yet."""
    plans = {plan["piece"]["id"]: plan for plan in plans_here(now())}
    post, first, when = request.POST, request.POST.get("entry", "") or fresh_id(), evening(request)
    made: list[dict[str, Any]] = []
    for number, item in enumerate(items):
        key = f"{key_of(item)}/{item['session']['number'] if item['session'] else 1}"
        done, minutes = post.get(f"done:{key}") == "yes", post.get(f"minutes:{key}", "").strip()
        if not item["piece"] or not (done or minutes):
            continue
        piece, minutes = item["piece"]["id"], f"{minutes} min" if minutes.isdigit() else minutes
        step = step_in(plans.get(piece), item["step"]["id"], item["step"]["trade_name"])
        on = {"piece": piece, "step": step, "happened": when.isoformat()} | ({"minutes": minutes} if minutes else {})
        # Two numbers a line: a coat and, with the last, that the step is done.
        facts = _facts(item, on, done, post.get(f"took:{key}", "").strip())
        made += [one | {"id": id_after(first, 2 * number + at)} for at, one in enumerate(facts)]
    return made


def beside(request: HttpRequest, who: str) -> list[dict[str, Any]]:
    """What was written on the empty lines of the sheet, said as on the bench: “3 h chest”."""
    text, first = request.POST.get("said", "").strip(), request.POST.get("entry", "")
    tables = tables_of(text, who) if text else []
    when = evening(request).isoformat()
    return [table | {"happened": when, "id": id_after(first, LINES + number)} for number, table in enumerate(tables)]


def _facts(item: dict[str, Any], on: dict[str, Any], done: bool, took: str) -> list[dict[str, Any]]:
    if not done:
        return [on | {"what": What.WORKED.value}]
    if item["kind"] == "stir":
        return [on | {"what": What.STIRRED.value}]
    if item["session"] is None and item["jar"] is None:
        return [on | {"what": What.DONE.value}]
    coat = on | {"what": What.COAT.value}
    if item["jar"]:
        took = f"{took} ml" if took.isdigit() else took
        from_jar = {"material": item["jar"]["of"], "jar": item["jar"]["name"], "volume": took}
        coat["amounts"] = [{key: value for key, value in from_jar.items() if value}]
    last = item["session"] is None or item["session"]["number"] >= item["session"]["of"]
    over = {key: value for key, value in on.items() if key != "minutes"} | {"what": What.DONE.value}
    return [coat, over] if last else [coat]


def evening(request: HttpRequest) -> datetime:
    """When a sheet is taken to have been worked: by closing, or by now where it is not closing time yet."""
    shop, at = the_shop(), now()
    morning = datetime.combine(at.astimezone(shop.shop.zone_info).date(), time(0, 1), shop.shop.zone_info)
    return min(closing_of(shop, hand(request, request.POST.get("who", "")), morning).astimezone(UTC), at)
