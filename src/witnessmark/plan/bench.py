"""The one document that the bench reads: for each person what is ready, what comes then, what waits, what is due."""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from importlib import resources
from typing import Any

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.quantities import Span, as_json, say
from witnessmark.schedule import Calendar, air_of_the_day, air_wanted, stamp
from witnessmark.shop import Shop
from witnessmark.wood import BadAir

from .bench_item import BenchSeen, item_of, jars_to_mix
from .closing import closing_list
from .jars_now import JarNow, jars_now
from .ready import Readiness
from .shop_problem import shop_problem
from .timers import running_in

SCHEMA_VERSION = 1
_MORNING_ENDS = 12


def bench_of(
    plans: Sequence[Mapping[str, Any]],
    shop: Shop,
    daybook: DayBook,
    now: datetime,
    calendar: Calendar,
    today: Mapping[str, Any],
    cursor: int | str | None = None,
) -> dict[str, Any]:
    """Everything the bench shows, as plain JSON: its schema is `bench_schema()`.

    `plans`: plans as JSON, one a piece still in the shop. `daybook`: their entries, today's air and clocks, and what
    touches a jar. `calendar`: `plan_shop`'s. `today`: `today_list`'s. `cursor`: the last entry of the day book that
    this rests on, handed back as it is.
    """
    by_piece = {plan["piece"]["id"]: plan for plan in plans}
    problem = shop_problem(plans, shop, daybook, now)
    jars = jars_now(shop, daybook, by_piece, now)
    seen = BenchSeen(by_piece, shop, daybook, now, jars, Readiness(problem, shop))
    zone = shop.shop.zone_info
    day = now.astimezone(zone).date()
    listed = [item for one in today["people"] for item in one["items"]]
    people = [_person(one, seen, listed) for one in today["people"]]
    clocks = [clock.as_json() for clock in running_in(daybook, shop, now)]
    waiting = [_waiting(wait, seen) for wait in seen.readiness.running()]
    stir = list(_stirring(seen, jars, day))
    return {
        "schema": SCHEMA_VERSION,
        "now": stamp(now),
        "zone": shop.shop.zone,
        "date": day.isoformat(),
        "looked_at": today["looked_at"],
        "people": people,
        "waiting": waiting,
        "stir": stir,
        "timers": [clock for clock in clocks if not clock["asks"]],
        "asks": [clock for clock in clocks if clock["asks"]],
        "air": _air([item for one in people for item in (*one["ready"], *one["then"])], seen, day),
        "mixes_today": list(jars_to_mix(calendar.slots, seen, (day,))),
        "moved": _moved(calendar, seen, today),
        "end_of_day": closing_list(seen, listed, waiting, stir, day),
        "cursor": cursor,
    }  # fmt: skip


def _person(one: Mapping[str, Any], seen: BenchSeen, listed: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """What one person may begin now, what comes then, what is done; and what waits for tomorrow or may be had early."""
    items = [item_of(item, one["name"], seen, listed) for item in one["items"]]
    tomorrow = [item_of(item, one["name"], seen, listed) for item in one["tomorrow"]["items"]]
    to_do = [item for item in items if not item["done"]]
    return {
        "name": one["name"],
        "works": one["works"],
        "ready": [item for item in to_do if item["ready"]],
        "then": [item for item in to_do if not item["ready"]],
        "done": [item for item in items if item["done"]],
        "tomorrow": {"date": one["tomorrow"]["date"], "items": tomorrow},
    }


def _moved(calendar: Calendar, seen: BenchSeen, today: Mapping[str, Any]) -> list[dict[str, Any]]:
    """What people have read for today or their next day, and is there no more; what moved weeks ahead is the wall's."""
    zone = seen.shop.shop.zone_info
    until = max([today["date"], *(one["tomorrow"]["date"] or "" for one in today["people"])])
    return [
        {"piece": seen.piece_json(one.piece), "says": one.says}
        for one in calendar.moved
        if one.piece in seen.plans and one.was.astimezone(zone).date().isoformat() <= until
    ]


def _waiting(wait: Any, seen: BenchSeen) -> dict[str, Any]:
    left = Span((wait.until - seen.now).total_seconds() / 60)
    return {
        "piece": seen.piece_json(wait.piece), "step": wait.step, "what": wait.trade_name, "kind": wait.kind,
        "began": stamp(wait.began), "until": stamp(wait.until), "left_minutes": round(left.minutes, 1),
        "left": as_json(left), "left_says": say(left),
        "then": seen.readiness.next_after(wait.piece, wait.step),
    }  # fmt: skip


def _stirring(seen: BenchSeen, jars: Sequence[JarNow], day: date) -> Iterator[dict[str, Any]]:
    """Jars to be stirred by tonight: those the cupboard knows, then those that only a plan does."""
    zone = seen.shop.shop.zone_info
    tonight = datetime.combine(day + timedelta(days=1), time(), zone)
    known: set[tuple[str, str]] = set()
    for jar in jars:
        known |= {(use.piece, use.step) for use in jar.uses if jar.mixed_at}
        if jar.stir_due is not None and jar.stir_due < tonight:
            users = [seen.piece_json(use.piece) for use in jar.uses[:1]]
            yield _stir(jar.jar, jar.material, users[0] if users else None, "", jar.stir_due, seen)
    for id_, job in seen.readiness.jobs.items():
        if job["kind"] != "stir" or job["fixed"]:
            continue
        due = seen.readiness.ready_at(id_)
        served = {(one["piece"], one["step"]) for one in seen.readiness.followers.get(id_, [])}
        if due is not None and due < tonight and job["after"] and not served & known:
            yield _stir("", job["trade_name"], seen.piece_json(job["piece"]), job["step"], due, seen)


def _stir(
    jar: str, what: str, piece: Mapping[str, Any] | None, step: str, due: datetime, seen: BenchSeen
) -> dict[str, Any]:
    late = max(0.0, (seen.now - due).total_seconds() / 60)
    return {
        "jar": jar, "what": what, "piece": piece, "step": step, "due": stamp(due), "late_minutes": round(late, 1),
        "says": f"{say(Span(late))} late" if late >= 1 else "",
    }  # fmt: skip


def _air(items: Sequence[Mapping[str, Any]], seen: BenchSeen, day: date) -> dict[str, Any]:
    """What was read today, what today's wet work asks, and whether it may go on; `read` asks for a reading."""
    materials = dict.fromkeys(amount["material"] for item in items for amount in item["amounts"])
    wanted = air_wanted(materials)
    read = [entry for entry in _of_day(seen, day) if entry.what is What.AIR]
    last = read[-1] if read else None
    verdict, says = None, "Nobody has read the air today." if last is None else ""
    temperature = last.temperature.value if last and last.temperature and last.temperature.known else None
    humidity = last.rh.value if last and last.rh and last.rh.known else None
    if wanted is not None and temperature is not None and humidity is not None:
        try:
            # Work that has stood in the room is as warm as the room.
            found = air_of_the_day(temperature, humidity, temperature, wanted)
            verdict, says = found.verdict.value, found.says
        except BadAir:
            says = "Read the air again: there is no such air."
    said = [say(one) for one in (temperature, humidity) if one is not None]
    return {
        "said": ", ".join(said), "at": last and stamp(last.happened), "temperature": as_json(temperature),
        "rh": as_json(humidity), "verdict": verdict, "says": says, "wanted": wanted.says if wanted else "",
        "read": _to_read(read, seen),
        "next": [{"piece": seen.piece_json(id_), "says": one["air"]} for id_, one in seen.plans.items() if one["air"]],
    }  # fmt: skip


def _to_read(read: Sequence[Entry], seen: BenchSeen) -> bool:
    """Morning and evening: whether this half of the day has no reading yet."""
    zone = seen.shop.shop.zone_info

    def half(at: datetime) -> bool:
        return at.astimezone(zone).hour >= _MORNING_ENDS

    return not any(half(entry.happened) == half(seen.now) for entry in read)


def _of_day(seen: BenchSeen, day: date) -> Iterable[Entry]:
    zone = seen.shop.shop.zone_info
    return (
        entry
        for entry in seen.daybook.entries
        if entry.happened <= seen.now and entry.happened.astimezone(zone).date() == day
    )


def bench_schema() -> dict[str, Any]:
    """The published JSON Schema of the bench's document."""
    text = resources.files("witnessmark.plan").joinpath("bench_schema.json").read_text("utf-8")
    schema: dict[str, Any] = json.loads(text)
    return schema
