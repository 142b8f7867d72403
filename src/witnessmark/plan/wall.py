"""The wall: the weeks ahead, a row a piece, with its list by day in words."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import Any

from witnessmark.quantities import Span, say
from witnessmark.schedule import FOUR_IN_FIVE, Calendar, CalendarSlot, Promise, stamp
from witnessmark.shop import Shop

SCHEMA_VERSION = 1


def wall_of(
    calendar: Calendar, shop: Shop, now: datetime, weeks: int, pieces: Mapping[str, Mapping[str, Any]]
) -> dict[str, Any]:
    """What the wall draws and what its table says, as plain JSON, from Monday of this week for so many weeks.

    `pieces`: of each piece its `code` and `title`, by id. A row has `bars` (labour, mixing, stirring: one a session and
    day, with the person's initial), `waits`, `fit` (when a jar may be used) and its promise; `days` is the same as a
    list. How wide a week is drawn is the drawing's.
    """
    zone = shop.shop.zone_info
    today = now.astimezone(zone).date()
    first = today - timedelta(days=today.weekday())
    begin = datetime.combine(first, time(), zone)
    last = first + timedelta(weeks=weeks)
    end = datetime.combine(last, time(), zone)
    shown = [slot for slot in calendar.slots if slot.start < end and slot.end > begin and slot.piece in pieces]
    initials = initials_of([person.name for person in shop.person])
    promises = {promise.piece: promise for promise in calendar.promises}
    rows = [piece for piece in calendar.order if piece in pieces]
    of_piece: dict[str, list[CalendarSlot]] = {}
    for slot in shown:
        of_piece.setdefault(slot.piece, []).append(slot)
    return {
        "schema": SCHEMA_VERSION,
        "made_at": stamp(calendar.made_at),
        "now": stamp(now),
        "zone": shop.shop.zone,
        "from": stamp(begin),
        "to": stamp(end),
        "people": [{"name": name, "initial": initial} for name, initial in initials.items()],
        "weeks": [_week(first + timedelta(weeks=number), shop) for number in range(weeks)],
        "rows": [
            _row(piece, pieces[piece], of_piece.get(piece, []), promises.get(piece), initials, shop) for piece in rows
        ],
        "days": [
            {"date": day.isoformat(), "lines": lines}
            for day, lines in _by_day(shown, pieces, promises, initials, shop)
            if first <= day < last
        ],
        "moved": [{"piece": moved.piece, "says": moved.says} for moved in calendar.moved],
        "broken": list(calendar.broken),
        "notes": list(calendar.notes),
    }  # fmt: skip


def initials_of(names: Sequence[str]) -> dict[str, str]:
    """The fewest first letters that tell people apart: “I” and “T”; “An” and “Al”; the whole name where none do."""
    found: dict[str, str] = {}
    for name in names:
        others = [other.casefold() for other in names if other != name]
        letters = (name[:n] for n in range(1, len(name) + 1))
        found[name] = next((some for some in letters if not any(o.startswith(some.casefold()) for o in others)), name)
    return found


def _week(monday: date, shop: Shop) -> dict[str, Any]:
    days = [monday + timedelta(days=number) for number in range(7)]
    return {
        "monday": monday.isoformat(),
        "days": [{"date": day.isoformat(), "in": [p.name for p in shop.person if _in(p, shop, day)]} for day in days],
    }


def _in(person: Any, shop: Shop, day: date) -> bool:
    return bool(person.week[day.weekday()]) and day not in (*person.days_off, *shop.closed)


def _row(
    piece: str,
    about: Mapping[str, Any],
    slots: Sequence[CalendarSlot],
    promise: Promise | None,
    initials: Mapping[str, str],
    shop: Shop,
) -> dict[str, Any]:
    jars = {slot.step for slot in slots if slot.kind == "mix"}
    waits = [slot for slot in slots if slot.kind == "wait"]
    return {
        "piece": piece,
        "code": about.get("code") or "",
        "title": about["title"],
        "bars": [_bar(group, initials) for group in _sessions(slots, shop)],
        "waits": [
            {"step": slot.step, "trade_name": slot.trade_name, "start": stamp(slot.start), "end": stamp(slot.end),
             "done": slot.done, "jar": _of_a_jar(slot, jars)}
            for slot in waits
        ],
        "fit": [{"step": slot.step, "trade_name": slot.trade_name, "at": stamp(slot.end)}
                for slot in waits if _of_a_jar(slot, jars)],
        "promise": _promise(promise) if promise else None,
    }  # fmt: skip


def _of_a_jar(slot: CalendarSlot, jars: set[str]) -> bool:
    return slot.step in jars or slot.step.startswith("mix.")


def _sessions(slots: Sequence[CalendarSlot], shop: Shop) -> Iterator[list[CalendarSlot]]:
    """The stretches of one session on one day together: work goes on after lunch."""
    groups: dict[tuple[Any, ...], list[CalendarSlot]] = {}
    for slot in slots:
        if slot.kind != "wait":
            day = slot.start.astimezone(shop.shop.zone_info).date()
            groups.setdefault((*slot.key, slot.who, day), []).append(slot)
    yield from groups.values()


def _bar(group: Sequence[CalendarSlot], initials: Mapping[str, str]) -> dict[str, Any]:
    first, last = group[0], group[-1]
    minutes = sum((slot.end - slot.start for slot in group), timedelta()).total_seconds() / 60
    return {
        "step": first.step, "trade_name": first.trade_name, "kind": first.kind, "session": first.session,
        "of": first.of, "who": first.who, "initial": initials.get(first.who, first.who[:1]), "done": first.done,
        "start": stamp(first.start), "end": stamp(last.end), "minutes": round(minutes, 1),
        "says": say(Span(minutes)),
    }  # fmt: skip


def _promise(promise: Promise) -> dict[str, Any]:
    return {
        "promised": promise.promised and promise.promised.isoformat(), "odds": promise.odds,
        "thin": promise.odds is not None and promise.odds < FOUR_IN_FIVE, "p50": stamp(promise.likely),
        "p80": stamp(promise.safe), "p95": stamp(promise.sure), "says": promise.says,
    }  # fmt: skip


def _by_day(
    slots: Sequence[CalendarSlot],
    pieces: Mapping[str, Mapping[str, Any]],
    promises: Mapping[str, Promise],
    initials: Mapping[str, str],
    shop: Shop,
) -> Iterator[tuple[date, list[dict[str, Any]]]]:
    """The wall as a list: what is done when and by whom, what is over when, what is promised."""
    zone = shop.shop.zone_info
    days: dict[date, list[dict[str, Any]]] = {}
    for group in _sessions(slots, shop):
        bar = _bar(group, initials)
        session = f", {bar['session']} of {bar['of']}" if bar["of"] > 1 else ""
        start = group[0].start.astimezone(zone)
        days.setdefault(start.date(), []).append(
            _line(start, group[0], pieces, f"{bar['trade_name']}{session}", bar["who"], bar["done"], bar["kind"])
        )
    for slot in slots:
        if slot.kind == "wait":
            over = slot.end.astimezone(zone)
            says = "fit for use" if slot.step.startswith("mix.") else "its wait is over"
            days.setdefault(over.date(), []).append(
                _line(over, slot, pieces, f"{slot.trade_name}: {says}", "", slot.done, "over")
            )
    for piece, promise in promises.items():
        if promise.promised and piece in pieces:
            code = pieces[piece].get("code") or ""
            days.setdefault(promise.promised, []).append(
                {"at": None, "piece": piece, "code": code, "who": "", "done": False, "kind": "promise",
                 "says": promise.says}
            )  # fmt: skip
    for day in sorted(days):
        yield day, sorted(days[day], key=lambda one: (one["at"] is None, one["at"] or "", one["code"], one["says"]))


def _line(
    at: datetime,
    slot: CalendarSlot,
    pieces: Mapping[str, Mapping[str, Any]],
    says: str,
    who: str,
    done: bool,
    kind: str,
) -> dict[str, Any]:
    return {
        "at": stamp(at), "piece": slot.piece, "code": pieces[slot.piece].get("code") or "", "who": who, "done": done,
        "kind": kind, "says": says,
    }  # fmt: skip
