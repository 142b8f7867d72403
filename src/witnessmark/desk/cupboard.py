"""The cupboard: jars drawn to what they hold, what to mix, what to buy, what burns; and the keys that write it down."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from witnessmark.daybook import DayBook, Dried, What
from witnessmark.documents import Faulty
from witnessmark.papers import Voice, hazard_words
from witnessmark.plan import (
    JarNow,
    JarUse,
    MixToCome,
    Reach,
    burns_now,
    cupboard_today,
    goes_in,
    jars_now,
    mixes_to_come,
    to_buy,
)
from witnessmark.quantities import Mass, Volume, from_json, say, to_mark, usual
from witnessmark.record import daybook_here, plans_here, the_shop
from witnessmark.shop import Shop

from .bench import all_said
from .bench_deeds import entry as written
from .bench_deeds import step_in
from .bench_page import drawn
from .changing import says
from .clock import now
from .deeds import Ask, Deed, entries_in, post_deed

SOON = 6  # jars to mix that the page shows; the rest are counted
_STATE = {Reach.ENOUGH: "face", Reach.MAYBE: "short", Reach.SHORT: "short", Reach.UNKNOWN: "open"}


@dataclass(frozen=True)
class Stands:
    """One jar or tin as the page shows it."""

    jar: JarNow
    drawn: Mapping[str, Any] | None
    of: str
    mark: str
    words: str
    next: str
    lines: Sequence[str]
    hazards: Sequence[str]
    deeds: Sequence[Deed]

    @property
    def left(self) -> str:
        return self.drawn["content_said"] if self.drawn else ""


@require_safe
def cupboard(request: HttpRequest) -> HttpResponse:
    """What stands in the cupboard, and what is to be mixed and bought."""
    return page(request)


def page(request: HttpRequest, faulty: str = "", faults: Sequence[str] = ()) -> HttpResponse:
    """The page, and in the form of that name what was typed and is amiss."""
    at, shop = now(), the_shop()
    voice, today = Voice.of(shop.shop, at), at.astimezone(shop.shop.zone_info).date()
    plans, book = plans_here(at), daybook_here(at)
    by_piece = {plan["piece"]["id"]: plan for plan in plans}
    standing = [stands(jar, by_piece, voice, at) for jar in jars_now(shop, book, by_piece, at)]
    mixes = [to_mix(one, by_piece[one.piece], shop, voice) for one in mixes_to_come(_up_to(book, at), by_piece)]
    burns = burns_now(cupboard_today(shop, book), "US" if voice.american else "UK")
    shown: dict[str, Any] = {
        "place": "cupboard", "voice": voice, "at": at, "today": today, "shop_of": shop, "standing": standing,
        "jars": [one for one in standing if one.drawn], "tins": [one for one in standing if not one.drawn],
        "mixes": mixes[:SOON], "more_mixes": len(mixes[SOON:]), "burns": burns, "held": voice.amount(burns.held),
        "room": voice.amount(burns.room) if burns.room is not None else "",
        "over": voice.amount(burns.over) if burns.over is not None else "",
        "buying": list(_buying(plans, shop, voice, today)), "stored": len(shop.store),
        "may_write": bool(getattr(request.user, "may_work", False)), "who": str(request.user),
    }  # fmt: skip
    if faulty:
        shown = {key: _with_faults(value, faulty, request.POST.dict(), faults) for key, value in shown.items()}
        shown["amiss"] = list(faults)
    return render(request, "desk/cupboard.html", shown, status=422 if faulty else 200)


def _up_to(book: DayBook, at: datetime) -> DayBook:
    return DayBook(tuple(entry for entry in book.entries if entry.happened <= at))


def _with_faults(shown: Any, name: str, posted: dict[str, str], faults: Sequence[str]) -> Any:
    """The same, the form of that name with what was typed into it and what is amiss."""
    match shown:
        case Stands():
            deeds = [_with_faults(deed, name, posted, faults) for deed in shown.deeds]
            return Stands(**{**vars(shown), "deeds": deeds})
        case dict():
            return {key: _with_faults(value, name, posted, faults) for key, value in shown.items()}
        case list():
            return [_with_faults(value, name, posted, faults) for value in shown]
        case Deed():
            return shown.again(posted, faults) if shown.name == name else shown
    return shown


# ---- a jar ----


def stands(jar: JarNow, plans: Mapping[str, Mapping[str, Any]], voice: Voice, at: datetime) -> Stands:
    """A jar with its level, its state in a mark and a word, what it is for next, and what may be done with it."""
    mark, words = _state(jar, voice, at)
    use = jar.next_use
    return Stands(
        jar, _drawing(jar, use, voice), _content(jar, voice), mark, words, _next(use, plans, voice) if use else "",
        list(_fine(jar, voice, at)), [voice.ours(one) for one in hazard_words(jar.hazards)],
        list(_deeds(jar)) if jar.jar else (),
    )  # fmt: skip


def _content(jar: JarNow, voice: Voice) -> str:
    cut = f", {voice.amount(jar.cut)}" if jar.cut is not None else ""
    return voice.ours(f"{jar.material[:1].upper()}{jar.material[1:]}{cut}")


def _state(jar: JarNow, voice: Voice, at: datetime) -> tuple[str, str]:
    """What matters most of a jar now: it failed, it is old, it is not ready, it is short; else that it reaches."""
    if jar.dried_hard is False:
        return "short", "Did not dry hard: not for a finish"
    if jar.best_before and jar.best_before < at.astimezone(voice.zone).date():
        return "short", f"Past its day, {voice.date(jar.best_before)}: try a drop on glass"
    if jar.ready_at and jar.ready_at > at:
        return "wait", f"Not ready till {voice.moment(jar.ready_at)}"
    use = jar.next_use
    if use is None:
        return "open", "Not called for"
    if use.reach is Reach.SHORT and use.short_by is not None:
        return "short", f"Short by {voice.amount(use.short_by)}"
    return _STATE[use.reach], use.reach.value[:1].upper() + use.reach.value[1:].replace("don't", "don’t")


def _next(use: JarUse, plans: Mapping[str, Mapping[str, Any]], voice: Voice) -> str:
    piece = plans[use.piece]["piece"]
    day = f", {voice.day(use.starts)}" if use.starts else ""
    takes = voice.amount(use.wants)
    return f"{piece['code'] or piece['title']}, {voice.ours(use.trade_name)}{day}: takes {takes}"


def _drawing(jar: JarNow, use: JarUse | None, voice: Voice) -> dict[str, Any] | None:
    if not jar.jar or not isinstance(jar.left, Volume):
        return None
    wants = use.wants if use and isinstance(usual(use.wants), Volume) else None
    told = (
        drawn(f"Jar {jar.jar}", jar.left, wants) if wants is not None else drawn(f"Jar {jar.jar}", jar.left, Volume(0))
    )
    if wants is None:
        told |= {"takes": None, "low": None, "high": None}
    resting = jar.ready_at is not None and jar.ready_at > now()
    return told | {"dissolving": resting, "content_said": voice.amount(jar.left)}


def _fine(jar: JarNow, voice: Voice, at: datetime) -> Iterator[str]:
    """When it was mixed, stirred, and how long it is good; what its drop on glass did."""
    if jar.mixed_at or jar.mixed_on:
        when = voice.moment(jar.mixed_at) if jar.mixed_at else voice.date(jar.mixed_on) if jar.mixed_on else ""
        yield f"mixed {when}"
    if jar.stir_due:
        yield f"stir {'now, due since ' if jar.stir_due < at else ''}{voice.moment(jar.stir_due)}"
    if jar.best_before:
        yield f"best before {voice.date(jar.best_before)}"
    if jar.dried_hard is not None:
        yield "a drop on glass dried hard" if jar.dried_hard else "a drop on glass stayed soft"


def _deeds(jar: JarNow) -> Iterator[Deed]:
    """Stir, use, weigh, try on glass, throw away."""
    of = {"material": jar.material, "jar": jar.jar}
    much = [Ask("set.0.amounts.0.amount", "How much", unit="ml", required=True, hint="such as 60 ml or 20 g")]
    holds = [Ask("set.0.amounts.0.amount", "It holds now", unit="ml", required=True, hint="such as 180 ml, or 0 ml")]
    why = [Ask("set.0.note", "Why", hint="such as gone cloudy")]
    glass = [Ask("set.0.to", "The drop, next morning", Dried.HARD.value, kind="radio",
                 options=[(word.value, word.value.capitalize()) for word in Dried])]  # fmt: skip
    if jar.cut is not None:
        yield Deed(f"stir-{jar.jar}", "Stirred", [written(What.STIRRED, amounts=[of])])
    yield Deed(f"use-{jar.jar}", "Used", [written(What.USED, amounts=[of])], asks=much)
    yield Deed(f"count-{jar.jar}", "Weighed or measured", [written(What.COUNTED, amounts=[of])], asks=holds)
    yield Deed(f"glass-{jar.jar}", "A drop on glass", [written(What.TESTED, amounts=[of])], asks=glass)
    yield Deed(f"away-{jar.jar}", "Thrown away", [written(What.DISCARDED, amounts=[of])], asks=why)


# ---- what to mix, what to buy ----


def to_mix(one: MixToCome, plan: Mapping[str, Any], shop: Shop, voice: Voice) -> dict[str, Any]:
    """A jar that a plan wants mixed: so much of what into so much of what, its working, when, and that it is done."""
    amounts = [
        {"name": need.name, "said": voice.amount(to_mark(usual(from_json(dict(need.amount))))),
         "exact": from_json(dict(need.amount)), "working": need.working}
        for need in goes_in(one.mix, plan, shop)
    ]  # fmt: skip
    return {
        "piece": plan["piece"], "name": voice.ours(one.mix["name"]), "amounts": amounts, "workings": plan["workings"],
        "make": voice.amount(from_json(one.mix["make"])) if one.mix["make"] else "", "at": one.mix_at,
        "stir_at": one.mix["stir_at"], "ready_at": one.mix["ready_at"], "best_before": one.mix["best_before"],
        "deed": _mixed(one, plan, amounts),
    }  # fmt: skip


def _mixed(one: MixToCome, plan: Mapping[str, Any], needs: Sequence[Mapping[str, Any]]) -> Deed:
    amounts: list[dict[str, Any]] = []
    asks = []
    for need in needs:
        much = to_mark(usual(need["exact"]))
        if isinstance(much, Mass | Volume):
            place = f"set.0.amounts.{len(amounts)}.amount"
            amounts.append({"material": need["name"], "mass" if isinstance(much, Mass) else "volume": say(much)})
            asks.append(Ask(place, need["name"][:1].upper() + need["name"][1:], say(much)))
    jar = Ask("set.0.amounts.*.jar", "Name on the jar’s lid", hint="such as D, or 11", required=True)
    on = {"piece": one.piece, "step": step_in(plan, one.step, one.mix["name"])}
    made = written(What.MIXED, **on, amounts=amounts or [{"material": one.mix["name"]}])
    return Deed(f"mix-{one.piece[-6:]}-{one.step}", "Mixed", [made], asks=[*asks, jar])


def _buying(plans: Sequence[Mapping[str, Any]], shop: Shop, voice: Voice, today: date) -> Iterator[dict[str, Any]]:
    for one in to_buy(plans, shop, today):
        line = one.line
        yield {
            "name": voice.ours(line.name), "held": voice.amount(line.on_shelf), "need": voice.amount(line.need),
            "buy": line.buy if line.packs else "", "price": voice.amount(line.price), "by": one.by,
            "pieces": ", ".join(one.pieces),
        }  # fmt: skip


# ---- written down ----


@require_POST
def cupboard_write(request: HttpRequest) -> HttpResponse:
    """Writes what a key of the cupboard says."""
    try:
        posted = post_deed(request, entries_in(request))
    except Faulty as error:
        return page(request, request.POST.get("form", "?"), all_said(error))
    if posted.accepted:
        messages.success(
            request, "Written in the day book.", extra_tags=reverse("cupboard_undo", args=[posted.accepted[0]])
        )
    return redirect("cupboard")


@require_POST
def cupboard_undo(request: HttpRequest, entry: str) -> HttpResponse:
    """Strikes an entry out: by a new one that corrects it."""
    try:
        post_deed(request, [written(What.CORRECTS, corrects=entry)])
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    else:
        messages.success(request, "Struck out. It can still be read.")
    return redirect("cupboard")
