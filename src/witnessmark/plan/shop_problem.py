"""The shop's problem as one JSON: people with hours, pieces with promises, jobs with minutes, waits and order.

It is made from plans as JSON; the forward pass, a solver and the checker each take it as it stands.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, time, timedelta
from statistics import NormalDist
from typing import Any

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.quantities import Span, Temperature
from witnessmark.schedule import Job, Minutes, as_worked, instant, stamp, still_to_come, wait_spread
from witnessmark.shop import Shop
from witnessmark.treatment import Cure, Wait

from .timers import Running, running_in
from .timing import gates_of, still_before

SCHEMA_VERSION = 1
_KINDS = {"mix": "mix", "soak": "mix", "stir": "stir"}
_LAYS = {"mix": What.MIXED, "stir": What.STIRRED, "labour": What.COAT}  # what a session of each kind is logged as
_SHOP_KEPT: Any = {
    "shop": {"name", "zone", "gallon"},
    "person": {"__all__": {"name", "hours", "bench_fraction", "days_off"}},
    "room": {"__all__": {"name", "day_temperature", "night_temperature"}},
    "closed": True,
}


def shop_problem(
    plans: Sequence[Mapping[str, Any]],
    shop: Shop,
    daybook: DayBook,
    now: datetime,
    posted: Mapping[str, Any] | None = None,
) -> dict[str, Any]:
    """The problem of these pieces, as plain JSON: minutes of labour and of waits, instants in UTC.

    `plans`: as `plan_as_json` gives them, one a piece still in the shop. `posted`: the calendar people have read, as
    its own JSON. `daybook`: at least the coats laid on these pieces, and the days that show the shares at the bench.
    """
    clocks = running_in(daybook, shop, now)
    return {
        "schema": SCHEMA_VERSION,
        "now": stamp(now),
        "shop": as_worked(shop, daybook).model_dump(
            mode="json", by_alias=True, exclude_unset=True, exclude_none=True, include=_SHOP_KEPT
        ),
        "pieces": [_piece(plan, shop, now) for plan in plans],
        "jobs": [job for plan in plans for job in _jobs(plan, shop, daybook, now, clocks)],
        "posted": _still_posted(posted, shop, now),
        "posted_order": list(posted["order"]) if posted else [],
    }


def names_of(piece: Mapping[str, Any]) -> tuple[str, ...]:
    """What the day book and pins may call a piece: its id, its code."""
    return tuple(name for name in (piece["id"], piece.get("code")) if name)


def _piece(plan: Mapping[str, Any], shop: Shop, now: datetime) -> dict[str, Any]:
    """Its promised day, pins counted, and how long it would take had it the shop to itself."""
    piece = plan["piece"]
    days = [pin.on.isoformat() for pin in shop.pin if pin.piece in names_of(piece) and not pin.step]
    promised = min(day for day in [*days, piece.get("promised")] if day) if days or piece.get("promised") else None
    likely = plan["days"]["likely"]
    alone = (instant(likely) - now).total_seconds() / 60 if likely else 0.0
    return {
        "id": piece["id"],
        "code": piece.get("code") or "",
        "title": piece["title"],
        "promised": promised,
        "alone": max(0.0, round(alone, 1)),
        "begun": any(step["logged"] for step in plan["steps"]),
    }


def _jobs(
    plan: Mapping[str, Any], shop: Shop, daybook: DayBook, now: datetime, clocks: Sequence[Running]
) -> list[dict[str, Any]]:
    piece = plan["piece"]
    laid: dict[str, list[Entry]] = {}
    for entry in daybook.on_piece(*names_of(piece)):
        if entry.step is not None:
            laid.setdefault(entry.step.id, []).append(entry)
    rows: dict[str, dict[str, Any]] = {}
    for step in plan["steps"]:
        for row in _rows(piece["id"], step, laid.get(step["id"], [])):
            rows[row["id"]] = row
    for row in list(rows.values()):
        done = {id_ for id_, other in rows.items() if other["fixed"]}
        row["after"] = list(still_before(row["after"], {id_: other["after"] for id_, other in rows.items()}, done))
        row["after"] = [before for before in row["after"] if before in rows]
    _hold_for_jars(plan, rows)
    _pinned(piece, rows, shop, now)
    for clock in clocks:
        at_it = rows.get(f"{piece['id']}/{clock.step}")
        if clock.piece in names_of(piece) and clock.stopped is None and at_it is not None and not at_it["fixed"]:
            at_it["who"] = [*at_it["who"], clock.who]
    return list(rows.values())


def _rows(piece: str, step: Mapping[str, Any], entries: Sequence[Entry]) -> Iterator[dict[str, Any]]:
    """A step as a job; where some of its coats are laid, those as a job of their own, done before it.

    `entries`: those of the day book that name the step. A jar that is logged as mixed, or as stirred, is done.
    """
    logged, sessions = step["logged"], step["sessions"]
    row = {
        "id": f"{piece}/{step['id']}",
        "piece": piece,
        "step": step["id"],
        "trade_name": step["trade_name"],
        "kind": _KINDS.get(step["rule"], "labour"),
        "minutes": {odds: step["minutes"][odds] for odds in ("p50", "p80", "p95")},
        "sessions": sessions,
        "first": 1,
        "of": sessions,
        "after": [f"{piece}/{before}" for before in step["after"]],
        "wait": _wait(step["wait"], wait_spread(step.get("labour", ""))),
        "between": _wait(step["between"], 0.0) if step["between"] else None,
        "unbroken": step.get("unbroken", False),
        "who": [],
        "earliest": None,
        "latest": None,
        "fixed": [],
        "mixed_for": [],
    }
    coats = [entry for entry in entries if entry.what is _LAYS[row["kind"]]]
    laid = [_as_laid(entry, number) for number, entry in enumerate(coats[:sessions], 1)]
    if logged and logged["state"] == "done" and step["ends"]:
        who = logged["who"][-1] if logged["who"] else ""
        once = {"start": step["starts"], "end": step["ends"], "who": who, "session": 1}
        yield row | {"sessions": 1, "of": 1, "fixed": [once]}
    elif laid and len(laid) >= sessions:
        yield row | {"fixed": laid}
    elif laid:
        done_id, left = f"{row['id']}/laid", sessions - len(laid)
        yield row | {"id": done_id, "sessions": len(laid), "wait": row["between"], "between": None, "fixed": laid}
        share = left / sessions
        minutes = {odds: whole * share for odds, whole in row["minutes"].items()}
        after = [*row["after"], done_id]
        yield row | {"sessions": left, "first": len(laid) + 1, "after": after, "minutes": minutes}
    elif logged and logged["state"] != "done":
        yield row | {"minutes": _left(step["minutes"], logged["minutes"])}
    else:
        yield row


def _as_laid(entry: Entry, session: int) -> dict[str, Any]:
    spent = entry.minutes.value if entry.minutes and entry.minutes.known else Span(0)
    start = entry.happened - timedelta(minutes=spent.minutes)
    return {"start": stamp(start), "end": stamp(entry.happened), "who": entry.who, "session": session}


def _left(minutes: Mapping[str, Any], spent: float) -> dict[str, float]:
    """The minutes left of a step that is begun."""
    p50, p80, p95 = (minutes[odds] for odds in ("p50", "p80", "p95"))
    if p50 <= 0:
        return {"p50": p50, "p80": p80, "p95": p95}
    sigma = math.log(p80 / p50) / NormalDist().inv_cdf(0.8)
    left = still_to_come(Minutes(p50, p80, p95, mu=math.log(p50), sigma_own=sigma), Span(spent))
    return {"p50": left.p50, "p80": left.p80, "p95": left.p95}


def _wait(wait: Mapping[str, Any], spread: float) -> dict[str, Any] | None:
    """Hours of the plan as minutes; `spread` is of the logarithm, where it hangs on others."""
    if not wait["usual"] and wait["latest"] is None:
        return None
    return {
        "usual": wait["usual"] * 60,
        "latest": None if wait["latest"] is None else wait["latest"] * 60,
        "least_temperature": wait.get("least_temperature"),
        "spread": spread,
    }


def _hold_for_jars(plan: Mapping[str, Any], rows: dict[str, dict[str, Any]]) -> None:
    """Users of a jar come after it is fit and stirred."""
    piece = plan["piece"]["id"]
    for mix in plan["mixes"]:
        name = mix["id"].removeprefix("jar.")
        mixing = rows.get(f"{piece}/mix.{name}")
        users = [f"{piece}/{use['step']}" for use in mix["uses"] if f"{piece}/{use['step']}" in rows]
        if mixing is None or mix["from_shelf"] or not users:
            continue
        stirs = [row for id_, row in rows.items() if id_.startswith(f"{piece}/stir.{name}.")]
        wait = mixing["wait"] or {"usual": 0.0, "least_temperature": None}
        warm = wait["least_temperature"]
        usual, warmth = Span(wait["usual"]), None if warm is None else Temperature(warm)
        gates = gates_of(
            mixing["id"], Wait(usual, usual, None, Cure.TOUCH, warmth, ""), [Job(row["id"], 0) for row in stirs]
        )
        mixing |= {"wait": None, "mixed_for": users}
        if mix["best_before"] and mix["mix_at"]:
            mixing["keeps"] = (instant(mix["best_before"]) - instant(mix["mix_at"])).total_seconds() / 60
        for gate in gates:
            if gate.id in rows:
                rows[gate.id]["after"] = list(gate.after)
            else:
                rows[gate.id] = _gate(gate, mixing)
        for user in users:
            if not rows[user]["fixed"]:
                rows[user]["after"] += [gates[0].id, *(row["id"] for row in stirs)]


def _gate(gate: Job, mixing: Mapping[str, Any]) -> dict[str, Any]:
    assert gate.wait is not None
    warm = gate.wait.least_temperature
    waits = {
        "usual": gate.wait.usual.minutes,
        "latest": None,
        "least_temperature": None if warm is None else warm.celsius,
        "spread": 0.0,
    }
    nothing = {"p50": 0.0, "p80": 0.0, "p95": 0.0}
    return {
        **mixing, "id": gate.id, "kind": "gate", "minutes": nothing, "after": list(gate.after), "wait": waits,
        "earliest": None, "latest": None, "fixed": [], "mixed_for": [],
        "who": [],
    }  # fmt: skip


def _pinned(piece: Mapping[str, Any], rows: Mapping[str, dict[str, Any]], shop: Shop, now: datetime) -> None:
    """A step that the shop's document pins to a day is done on that day."""
    zone = shop.shop.zone_info
    for pin in shop.pin:
        if pin.piece not in names_of(piece) or not pin.step or pin.on < now.astimezone(zone).date():
            continue
        for row in rows.values():
            if row["step"] == pin.step or pin.step.lower() in row["trade_name"].lower():
                row["earliest"] = stamp(datetime.combine(pin.on, time(), zone))
                row["latest"] = stamp(datetime.combine(pin.on + timedelta(days=1), time(), zone))


def _still_posted(posted: Mapping[str, Any] | None, shop: Shop, now: datetime) -> list[dict[str, Any]]:
    """What people have read that was not over before today."""
    if posted is None:
        return []
    zone = shop.shop.zone_info
    today = now.astimezone(zone).date()
    return [
        {key: slot[key] for key in ("piece", "step", "session", "who", "start", "end")}
        for slot in posted["slots"]
        if slot["kind"] != "wait" and not slot["done"] and instant(slot["end"]).astimezone(zone).date() >= today
    ]
