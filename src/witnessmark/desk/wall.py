"""The wall: the weeks ahead as the forward pass lays them, and the same by day in words."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, time
from typing import Any, Literal

from django.contrib import messages
from django.core.cache import cache
from django.db import connection
from django.db.models import Max
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from witnessmark.documents import Refused
from witnessmark.papers import Voice
from witnessmark.plan import plan_shop, wall_of
from witnessmark.record import DayBookEntry, Revision, daybook_here, latest, plans_here, post_calendar, the_shop
from witnessmark.schedule import Calendar
from witnessmark.shop import Shop

from .clock import now
from .drawings import Bar, Promise, Row

WEEKS = 3
DRAWN = 24  # papers on the wall; the list by day has them all
_CALENDAR = "calendar"
_KEPT_FOR = 15 * 60  # seconds; the key changes with whatever is posted


@require_safe
def wall(request: HttpRequest) -> HttpResponse:
    """The weeks, the promises, what moved and why, what is amiss, and who else is waited for."""
    at, shop = now(), the_shop()
    voice = Voice.of(shop.shop, at)
    shown: dict[str, Any] = {
        "place": "wall",
        "voice": voice,
        "may_write": bool(getattr(request.user, "may_work", False)),
    }
    try:
        told = wall_now(shop, at)
    except Refused as reason:
        return render(request, "desk/wall.html", shown | {"refused": str(reason)})
    today = voice.local(at).date().isoformat()
    names = {row["piece"]: row for row in told["rows"]}
    posted = latest(_CALENDAR)
    shown |= {
        "told": told, "weeks": drawn(told, shop, voice, at), "undrawn": len(told["rows"][DRAWN:]), "posted": posted,
        "days": [days_of(one, told, voice, at) for one in told["days"] if one["date"] >= today],
        "promises": list(promises_of(told, voice)), "away": told["away"],
        "moved": [_moved(one, names.get(one["piece"]), voice) for one in told["moved"]],
        "broken": [voice.ours(line) for line in told["broken"]], "notes": [voice.ours(line) for line in told["notes"]],
    }  # fmt: skip
    return render(request, "desk/wall.html", shown)


@require_POST
def post_wall(request: HttpRequest) -> HttpResponse:
    """Posts the days as they stand: what changes from now on is shown against them."""
    at, shop = now(), the_shop()
    try:
        calendar, _ = _calendar(shop, at)
    except Refused as reason:
        messages.error(request, f"Not posted: {reason}.")
    else:
        post_calendar(calendar, str(request.user), at)
        messages.success(request, "Posted: these are the days people have read.")
    return redirect("wall")


def wall_now(shop: Shop, at: datetime) -> dict[str, Any]:
    """The wall of the next weeks. The same minute, entries and documents give the one that was made before."""
    cursor = DayBookEntry.objects.aggregate(last=Max("cursor"))["last"] or 0
    revision = Revision.objects.aggregate(last=Max("pk"))["last"] or 0
    first = DayBookEntry.objects.order_by("cursor").values_list("id", flat=True).first()
    key = f"wall {connection.settings_dict['NAME']} {first} {cursor} {revision} {at:%Y%m%d%H%M}".replace(" ", "_")
    known: dict[str, Any] | None = cache.get(key)
    if known is None:
        calendar, plans = _calendar(shop, at)
        known = wall_of(calendar, shop, at, WEEKS, {plan["piece"]["id"]: plan["piece"] for plan in plans})
        known["away"] = [{"piece": plan["piece"], "says": line} for plan in plans for line in plan["away"]]
        cache.set(key, known, _KEPT_FOR)
    return known


def _calendar(shop: Shop, at: datetime) -> tuple[Calendar, list[dict[str, Any]]]:
    plans, posted = plans_here(at), latest(_CALENDAR)
    return plan_shop(plans, shop, daybook_here(at), at, posted.body if posted else None), plans


# ---- drawn ----


def drawn(told: Mapping[str, Any], shop: Shop, voice: Voice, at: datetime) -> dict[str, Any]:
    """What the drawing takes: a paper for each piece, and the days the shop is shut."""
    days = [day for week in told["weeks"] for day in week["days"]]
    worked = {date.fromisoformat(day["date"]).weekday() for day in days if day["in"]}
    stretches = [stretch for person in shop.person for day in person.week.values() for stretch in day]
    opens = min((stretch.start for stretch in stretches), default=8 * 60)
    closes = max((stretch.end for stretch in stretches), default=17 * 60)
    last = max((day["date"] for day in days if day["in"]), default=days[-1]["date"])
    return {
        "rows": [_paper(row, voice) for row in told["rows"][:DRAWN]], "now": voice.local(at),
        "first": date.fromisoformat(days[0]["date"]), "last": date.fromisoformat(last),
        "shut": tuple(set(range(7)) - worked), "opens": _clock(opens), "closes": _clock(closes),
    }  # fmt: skip


def _clock(minutes: int) -> time:
    return time(min(minutes // 60, 23), minutes % 60 if minutes < 24 * 60 else 59)


def _moved(moved: Mapping[str, Any], row: Mapping[str, Any] | None, voice: Voice) -> dict[str, str]:
    """A step that moved, its piece's code on tape and not again in the sentence."""
    code = str(row["code"]) if row else ""
    return {"code": code, "says": voice.ours(moved["says"]).removeprefix(f"{code}: ")}


def _paper(row: Mapping[str, Any], voice: Voice) -> Row:
    return Row(row["title"], row["code"], "", tuple(_bars(row, voice)), _pennon(row["promise"], voice))


def _bars(row: Mapping[str, Any], voice: Voice) -> Iterator[Bar]:
    for wait in row["waits"]:
        yield Bar("wait", _local(wait["start"], voice), _local(wait["end"], voice))
    for bar in row["bars"]:
        kind = _kind(bar)
        word = f"{bar['session']} of {bar['of']}" if bar["of"] > 1 else voice.ours(bar["trade_name"])
        yield Bar(kind, _local(bar["start"], voice), _local(bar["end"], voice), bar["initial"], word)


def _kind(bar: Mapping[str, Any]) -> Literal["done", "tocome", "mix", "stir"]:
    match bar["kind"]:
        case "mix":
            return "mix"
        case "stir":
            return "stir"
    return "done" if bar["done"] else "tocome"


def _pennon(promise: Mapping[str, Any] | None, voice: Voice) -> Promise | None:
    if promise is None or promise["promised"] is None:
        return None
    on = datetime.combine(date.fromisoformat(promise["promised"]), time(17), voice.zone)
    ends = tuple(_local(promise[key], voice) for key in ("p50", "p80", "p95"))
    odds = None if promise["odds"] is None else round(promise["odds"] * 100)
    return Promise(on, odds, promise["thin"], ends)


def _local(instant: str, voice: Voice) -> datetime:
    return voice.local(datetime.fromisoformat(instant))


# ---- in words ----


def days_of(day: Mapping[str, Any], told: Mapping[str, Any], voice: Voice, at: datetime) -> dict[str, Any]:
    """A day as a list: hours, hands, tape and what is done."""
    on = date.fromisoformat(day["date"])
    initials = {one["name"]: one["initial"] for one in told["people"]}
    today = on == voice.local(at).date()
    lines = [
        line | {"clock": voice.clock(datetime.fromisoformat(line["at"])) if line["at"] else "",
                "initial": initials.get(line["who"], line["who"][:1]), "says": voice.ours(line["says"])}
        for line in day["lines"]
    ]  # fmt: skip
    return {"date": on, "says": f"Today, {voice.date(on)}" if today else voice.date(on), "lines": lines}


def promises_of(told: Mapping[str, Any], voice: Voice) -> Iterator[dict[str, Any]]:
    """Every promise: its day, how sure, and by when the piece is done 50, 80 and 95 times in a hundred."""
    for row in told["rows"]:
        promise = row["promise"]
        if promise:
            ends: Sequence[str] = [voice.day(datetime.fromisoformat(promise[key])) for key in ("p50", "p80", "p95")]
            promised = promise["promised"]
            yield {
                "piece": row["piece"], "code": row["code"], "title": row["title"], "ends": ends,
                "promised": voice.date(date.fromisoformat(promised)) if promised else "",
                "odds": promise["odds"], "thin": promise["thin"], "says": promise["says"],
            }  # fmt: skip
