"""One item of the bench: a session of a step, with what is needed to do it without looking anything up."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cached_property
from typing import Any

from witnessmark.daybook import DayBook, What
from witnessmark.quantities import Range, Span, as_json, from_json, high, low, mapped, say, to_mark, up_to_mark, usual
from witnessmark.safety import Level
from witnessmark.schedule import instant, stamp
from witnessmark.shop import Shop

from .jars_now import JarNow, Reach
from .ready import Readiness
from .timers import closing_of


@dataclass(frozen=True)
class BenchSeen:
    """What items are made from. `plans` by the piece's id."""

    plans: Mapping[str, Mapping[str, Any]]
    shop: Shop
    daybook: DayBook
    now: datetime
    jars: Sequence[JarNow]
    readiness: Readiness

    @cached_property
    def steps(self) -> dict[tuple[str, str], Mapping[str, Any]]:
        return {(piece, step["id"]): step for piece, plan in self.plans.items() for step in plan["steps"]}

    @cached_property
    def acknowledged(self) -> frozenset[tuple[str, str]]:
        """Cautions read, by piece and key. A piece goes by its id or its code."""
        names: dict[str, str] = {}
        for plan in self.plans.values():
            piece = plan["piece"]
            names |= {piece["id"]: piece["id"]} | ({piece["code"]: piece["id"]} if piece.get("code") else {})
        return frozenset(
            (names[entry.piece], entry.to)
            for entry in self.daybook.entries
            if entry.what is What.ACKNOWLEDGED and entry.piece in names
        )

    def piece_json(self, piece: str) -> dict[str, Any]:
        about = self.plans[piece]["piece"]
        return {"id": piece, "code": about.get("code") or "", "title": about["title"]}


def item_of(
    listed: Mapping[str, Any], who: str, seen: BenchSeen, others: Sequence[Mapping[str, Any]]
) -> dict[str, Any]:
    """An item of a list with all that the bench shows of it. `others`: the other items of today, for begin-by."""
    step = seen.steps.get((listed["piece"], listed["step"]))
    job = seen.readiness.jobs.get(f"{listed['piece']}/{listed['step']}")
    bare = {
        "piece": seen.piece_json(listed["piece"]) if listed["piece"] in seen.plans else None,
        "who": who, "start": listed["start"], "end": listed["end"], "kind": listed["kind"],
        "session": _session(listed, step), "done": listed["done"], "says": listed["says"],
    }  # fmt: skip
    if step is None or job is None:
        return bare | _nothing(listed)
    holding = seen.readiness.holding(job["id"])
    ready_at = seen.readiness.ready_at(job["id"])
    clock = _clock(job, who, seen.shop)
    by, by_why = _begin_by(listed, job, who, clock, seen, others)
    amounts = [_amount(step, need, listed["of"], seen) for need in step["amounts"]]
    minutes = {odds: job["minutes"][odds] / max(job["sessions"], 1) for odds in ("p50", "p80")}
    return bare | {
        "step": {
            "id": step["id"], "rule": step["rule"], "labour": step.get("labour", ""), "trade_name": step["trade_name"],
            "parts": list(step["parts"]), "faces": list(step["faces"]), "area": step["area"],
            "area_says": say(from_json(step["area"])) if step["area"] else "",
        },
        "ready": not holding and not listed["done"],
        "ready_at": ready_at and stamp(ready_at),
        "by": by and stamp(by),
        "by_why": by_why,
        "amounts": amounts,
        "jar": _jar(step, listed, seen),
        "minutes": minutes | {"says": f"{say(Span(minutes['p50']))} ({say(Span(minutes['p80']))})"},
        "cautions": _cautions(step, listed["piece"], seen),
        "undo": step["undo"],
        "tools": list(step["tools"]),
        "after": [
            {"step": one.step, "trade_name": one.trade_name, "until": one.until and stamp(one.until), "jar": one.jar}
            for one in holding
        ],
        "why": [reason["says"] for reason in step["why"]],
    }  # fmt: skip


def _nothing(listed: Mapping[str, Any]) -> dict[str, Any]:
    """What is left of an item whose step the plan no longer has."""
    return {
        "step": {
            "id": listed["step"], "rule": "", "labour": "", "trade_name": listed["trade_name"], "parts": [],
            "faces": [], "area": None, "area_says": "",
        },
        "ready": False, "ready_at": None, "by": None, "by_why": "", "amounts": [], "jar": None, "minutes": None,
        "cautions": [], "undo": None, "tools": [], "after": [], "why": [],
    }  # fmt: skip


def _session(listed: Mapping[str, Any], step: Mapping[str, Any] | None) -> dict[str, Any] | None:
    """“coat 3 of 5”; padding is sessions, what is brushed is coats. None where there is one only."""
    if listed["of"] < 2:
        return None
    word = "coat" if step is not None and step.get("labour", "").endswith("_coat") else "session"
    says = f"{word} {listed['session']} of {listed['of']}"
    return {"number": listed["session"], "of": listed["of"], "word": word, "says": says}


def _clock(job: Mapping[str, Any], who: str, shop: Shop) -> timedelta:
    """How long one session takes this person by the clock."""
    share = next((person.bench_fraction for person in shop.person if person.name == who), 1.0)
    return timedelta(minutes=math.ceil(job["minutes"]["p50"] / max(job["sessions"], 1) / share))


def _begin_by(
    listed: Mapping[str, Any],
    job: Mapping[str, Any],
    who: str,
    clock: timedelta,
    seen: BenchSeen,
    others: Sequence[Mapping[str, Any]],
) -> tuple[datetime | None, str]:
    """By when it must be begun today: before a window closes, before closing, or for what is to follow today."""
    if listed["done"]:
        return None, ""
    ends: list[tuple[datetime, str]] = []
    if window := seen.readiness.window(job["id"]):
        ends.append((window, "the window of what was done before closes"))
    if job["unbroken"]:
        ends.append((closing_of(seen.shop, who, instant(listed["start"])) - clock, "it is not broken off at closing"))
    followers = {f"{one['piece']}/{one['step']}" for one in seen.readiness.followers.get(job["id"], [])}
    wait = timedelta(minutes=job["wait"]["usual"] if job["wait"] else 0)
    between = timedelta(minutes=job["between"]["usual"] if job["between"] else 0)
    for other in others:
        same = (other["piece"], other["step"]) == (listed["piece"], listed["step"])
        if same and other["session"] == listed["session"] + 1:
            ends.append((instant(other["start"]) - between - clock, f"session {other['session']} is today as well"))
        elif wait and f"{other['piece']}/{other['step']}" in followers and other["session"] == 1:
            ends.append((instant(other["start"]) - wait - clock, f"“{other['trade_name']}” is today as well"))
    return min(ends, default=(None, ""))


def _amount(step: Mapping[str, Any], need: Mapping[str, Any], sessions: int, seen: BenchSeen) -> dict[str, Any]:
    """What one session takes, said as the jug or the scale shows it; the exact sum beside."""
    share = mapped(from_json(need["amount"]), lambda end: end * (1 / max(sessions, 1)))
    return {
        "material": need["material"], "name": need["name"], "says": _as_marked(share), "exact": as_json(share),
        "working": need["working"],
    }  # fmt: skip


def _as_marked(amount: Any) -> str:
    """“70 ml; have 90 ml to be safe”."""
    try:
        usually, safe = say(to_mark(usual(amount))), say(up_to_mark(high(amount)))
    except KeyError:  # no tool here is marked in it
        return say(amount)
    return usually if usually == safe else f"{usually}; have {safe} to be safe"


def _jar(step: Mapping[str, Any], listed: Mapping[str, Any], seen: BenchSeen) -> dict[str, Any] | None:
    """The jar a session draws on, whether it reaches before the session is begun, and what stays in it."""
    mixes = seen.plans[listed["piece"]]["mixes"]
    drawn = next(((mix, use) for mix in mixes for use in mix["uses"] if use["step"] == step["id"]), None)
    if drawn is None:
        return None
    mix, whole = drawn[0], from_json(drawn[1]["volume"])
    takes = mapped(whole, lambda end: end * (1 / max(listed["of"], 1)))
    about = {"mix": mix["id"], "of": mix["name"], "takes": as_json(takes), "takes_says": _as_marked(takes)}
    about |= {"working": next((need["working"] for need in step["amounts"]), None)}
    jar, use = next(
        ((jar, use) for jar in seen.jars for use in jar.uses
         if (use.piece, use.step) == (listed["piece"], step["id"])),
        (None, None),
    )  # fmt: skip
    if jar is None or use is None:
        return about | {
            "name": mix["from_shelf"] or "", "level": None, "level_says": "", "reaches": Reach.UNKNOWN.value,
            "short_by": None, "stays": None, "for_all": Reach.UNKNOWN.value, "ready_at": None, "best_before": None,
            "says": "not mixed yet" if not mix["from_shelf"] else "nobody has written down what is in it",
        }  # fmt: skip
    reach, short, stays = _reach(jar.left, takes)
    says = [f"{say(jar.left)} in the jar" if jar.left is not None else "nobody knows what is in it"]
    says += [f"the session takes {say(takes)}"]
    says += [f"short by {say(up_to_mark(usual(short)))}"] if reach is Reach.SHORT else []
    says += [f"{say(stays)} stays"] if stays is not None and reach is not Reach.SHORT else []
    return about | {
        "name": jar.jar, "level": as_json(jar.left), "level_says": say(jar.left) if jar.left is not None else "",
        "reaches": reach.value, "short_by": as_json(short), "stays": as_json(stays), "for_all": use.reach.value,
        "ready_at": jar.ready_at and stamp(jar.ready_at),
        "best_before": jar.best_before and jar.best_before.isoformat(), "says": "; ".join(says),
    }  # fmt: skip


def _reach(left: Any, takes: Any) -> tuple[Reach, Any, Any]:
    """Whether so much is enough for one session; what it lacks; what stays when it takes what it usually does."""
    if left is None or type(left) is not type(usual(takes)):
        return Reach.UNKNOWN, None, None
    short = Range(*(max(end - left, left * 0) for end in (low(takes), usual(takes), high(takes))))
    stays = max(left - usual(takes), left * 0)
    if not short.high.magnitude:
        return Reach.ENOUGH, None, stays
    return (Reach.SHORT if short.usual.magnitude else Reach.MAYBE), short, stays


def _cautions(step: Mapping[str, Any], piece: str, seen: BenchSeen) -> list[dict[str, Any]]:
    """Those of this step's few that bind, Stop before Mind. One that was read is not said again, but for a Stop."""
    open_ones = (
        {**caution, "acknowledged": (piece, caution["key"]) in seen.acknowledged}
        for caution in step["cautions"]
        if caution["level"] == Level.STOP.value or (piece, caution["key"]) not in seen.acknowledged
    )
    ordered = sorted(open_ones, key=lambda caution: caution["level"] != Level.STOP.value)
    return ordered


def jars_to_mix(calendar_slots: Sequence[Any], seen: BenchSeen, days: Sequence[Any]) -> Iterator[dict[str, Any]]:
    """What is to be mixed or soaked on these days, with what goes in."""
    zone = seen.shop.shop.zone_info
    for slot in calendar_slots:
        if slot.kind != "mix" or slot.start.astimezone(zone).date() not in days or slot.piece not in seen.plans:
            continue
        mixes = seen.plans[slot.piece]["mixes"]
        mix = next((mix for mix in mixes if mix["id"] == f"jar.{slot.step.removeprefix('mix.')}"), None)
        if mix is None:
            continue
        goes_in = [from_json(mix[key]) for key in ("resin", "solvent") if mix[key]]
        yield {
            "piece": seen.piece_json(slot.piece), "step": slot.step, "mix": mix["id"], "trade_name": slot.trade_name,
            "name": mix["name"], "who": slot.who, "at": stamp(slot.start), "done": slot.done, "make": mix["make"],
            "make_says": say(from_json(mix["make"])), "resin": mix["resin"], "solvent": mix["solvent"],
            "goes_in_says": " in ".join(say(one) for one in goes_in),
            "cut": mix["cut"],
            "cut_says": say(from_json(mix["cut"]), gallon=seen.shop.shop.gallon) if mix["cut"] else "",
            "for": [use["step"] for use in mix["uses"]],
        }  # fmt: skip
