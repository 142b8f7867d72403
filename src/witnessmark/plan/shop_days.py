"""The shop's days over all its pieces, and today's list of each person, frozen once somebody has looked at it."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from witnessmark.daybook import DayBook
from witnessmark.schedule import Calendar, CalendarSlot, forward_pass, stamp
from witnessmark.shop import Person, Shop

from .shop_problem import shop_problem

_DAYS_AHEAD = 60  # looked through for somebody's next day in


def plan_shop(
    piece_plans: Sequence[Mapping[str, Any]],
    shop: Shop,
    daybook: DayBook,
    now: datetime,
    posted: Mapping[str, Any] | None = None,
    effort: int = 0,
) -> Calendar:
    """The days of all these pieces. Pure: the same documents, now and effort give the same calendar.

    `piece_plans`: plans as JSON, one a piece still in the shop. `posted`: the calendar people have read, as its own
    JSON; the new one keeps to it where it can, and says what moved and why. `effort`: how many times the days are
    played through for the odds of the promises; 0 reckons them at once, a little on the safe side. Raises Refused:
    nobody works, or steps wait for one another.
    """
    return forward_pass(shop_problem(piece_plans, shop, daybook, now, posted), effort)


def today_list(calendar: Calendar, posted: Mapping[str, Any] | None, shop: Shop, now: datetime) -> dict[str, Any]:
    """Today's list of each person, and the one of their next day.

    `posted`: today's list as people have read it, this function's own answer, or None where nobody has looked yet. A
    list of today that was read stays as it is: each item says how it stands now; what came up since is under
    `tomorrow`, with the reason. Lists of other days are not looked at.
    """
    today = now.astimezone(shop.shop.zone_info).date()
    read = posted if posted and posted["date"] == today.isoformat() else None
    return {
        "date": today.isoformat(),
        "looked_at": read["looked_at"] if read else stamp(now),
        "people": [_person(person, calendar, read, shop, today) for person in shop.person],
    }


def _person(
    person: Person, calendar: Calendar, read: Mapping[str, Any] | None, shop: Shop, today: date
) -> dict[str, Any]:
    zone = shop.shop.zone_info
    mine = [slot for slot in calendar.slots if slot.who == person.name and slot.kind != "wait"]
    now_today = _items(slot for slot in mine if slot.start.astimezone(zone).date() == today)
    tomorrow = _next_day(person, shop, today)
    later = _items(slot for slot in mine if tomorrow and slot.start.astimezone(zone).date() == tomorrow)
    if read is None:
        items = now_today
    else:
        items = next((one["items"] for one in read["people"] if one["name"] == person.name), [])
        items = [_as_it_stands(item, calendar, shop, today) for item in items]
        known = {_key(item) for one in read["people"] for item in one["items"]}
        came_up = [item for item in now_today if _key(item) not in known and not item["done"]]
        later = [_for_tomorrow(item, calendar) for item in (*came_up, *later)]
    return {
        "name": person.name,
        "works": _works(person, shop, today),
        "items": items,
        "tomorrow": {"date": tomorrow and tomorrow.isoformat(), "items": later},
    }


def _items(slots: Any) -> list[dict[str, Any]]:
    """One item a session, however many stretches it takes, in the order they begin."""
    items: dict[tuple[str, str, int], dict[str, Any]] = {}
    for slot in slots:
        item = items.setdefault(slot.key, _item(slot))
        item["end"] = max(item["end"], stamp(slot.end))
    return sorted(items.values(), key=lambda item: (item["start"], item["piece"], item["step"], item["session"]))


def _item(slot: CalendarSlot) -> dict[str, Any]:
    return {
        "piece": slot.piece, "step": slot.step, "session": slot.session, "of": slot.of, "trade_name": slot.trade_name,
        "kind": slot.kind, "start": stamp(slot.start), "end": stamp(slot.end), "done": slot.done, "says": "",
    }  # fmt: skip


def _key(item: Mapping[str, Any]) -> tuple[str, str, int]:
    return item["piece"], item["step"], item["session"]


def _as_it_stands(item: Mapping[str, Any], calendar: Calendar, shop: Shop, today: date) -> dict[str, Any]:
    """An item people have read, where it was: done, still to do, or what became of it."""
    slots = [slot for slot in calendar.slots if slot.key == _key(item) and slot.kind != "wait"]
    of_step = [
        slot for slot in calendar.slots if (slot.piece, slot.step) == (item["piece"], item["step"]) and slot.done
    ]
    done = any(slot.done for slot in slots) or (not slots and bool(of_step))
    says = ""
    if not slots and not done:
        says = "no longer called for"
    elif not done and slots[0].start.astimezone(shop.shop.zone_info).date() > today:
        says = _why(item, calendar) or "moved to another day"
    return {**item, "done": done, "says": says}


def _for_tomorrow(item: Mapping[str, Any], calendar: Calendar) -> dict[str, Any]:
    return {**item, "says": _why(item, calendar) or item["says"]}


def _why(item: Mapping[str, Any], calendar: Calendar) -> str:
    moved = next((one for one in calendar.moved if (one.piece, one.step, one.session) == _key(item)), None)
    return f"moved because {moved.because}" if moved else ""


def _works(person: Person, shop: Shop, day: date) -> bool:
    return bool(person.week[day.weekday()]) and day not in (*person.days_off, *shop.closed)


def _next_day(person: Person, shop: Shop, today: date) -> date | None:
    days = (today + timedelta(days=ahead) for ahead in range(1, _DAYS_AHEAD))
    return next((day for day in days if _works(person, shop, day)), None)
