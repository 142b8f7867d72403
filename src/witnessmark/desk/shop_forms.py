"""The forms of the shop's document, of the same make as those of a survey, and keeping what they change."""

import re
from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from witnessmark.documents import Fault, Faulty, json_of
from witnessmark.record import Revision, keep_shop, latest, shop_checked, the_shop
from witnessmark.shop import Costs, Cramp, Person, Pin, Room, Settings, Shop, Stored, plain_shop

from .changing import says
from .clock import now
from .survey_forms import Asked, Section, Shown, Tables, changes_in, fields_of, told

THE_SHOP = "shop"
_FLOATS = frozenset(["bench_fraction", "fan_m3_per_h"])
_LINE = re.compile(r"\s*([A-Za-z][A-Za-z \-–]*?)\s*[:=]?\s*(\d.*|off|closed)?\s*", re.IGNORECASE)


def _asked(*rows: tuple[str, ...]) -> tuple[Asked, ...]:
    return tuple(Asked(*row) for row in rows)


STORED = Section("store", "Old timber and odd hardware", Stored, _asked(
    ("code", "Code on its label", "Short, such as H12"),
    ("kind", "Kind"),
    ("what", "What it is", "Such as swan-neck handle, brass; drawer side, oak"),
    ("wood", "Wood"),
    ("size", "Size: long × wide × thick", "Such as 900 x 220 x 24 mm"),
    ("thickness", "Thickness", "Such as 9 mm"),
    ("centres", "Hole centres", "Between the two holes of a fitting, such as 64 mm"),
    ("colour", "Colour"),
    ("kept", "Where it lies"),
    ("booked", "Put by for", "The code of a piece; empty while it is free"),
    ("note", "Note", "", "area"),
), many=True, one="thing", named_by=("code", "what"))  # fmt: skip

SECTIONS = (
    Section("shop", "Name, words and units", Settings, _asked(
        ("name", "Name of the shop"),
        ("address", "Address"),
        ("web", "The desk’s own address", "For labels, such as http://bench.local:8000"),
        ("zone", "Zone of its clock", "Such as Europe/London"),
        ("words", "Whose words", "UK: rubber, cramp. US: pad, clamp."),
        ("units", "Measured in"),
        ("gallon", "Whose gallon", "For pints, quarts and a pound cut"),
        ("currency", "Money"),
    )),
    Section("", "Benches and closed days", Shop, _asked(
        ("benches", "Benches"),
        ("closed", "Closed days", "A line each, such as 2026-12-25"),
    )),
    Section("costs", "What the shop costs and charges", Costs, _asked(
        ("hour_charged", "An hour is charged"),
        ("hour_earns_elsewhere", "A bench hour earns on other work"),
        ("rent", "Rent a month"),
        ("insurance", "Insurance a month"),
        ("van", "Van a month"),
        ("heat", "Heat and light a month"),
        ("other", "Other a month"),
        ("deposit", "Deposit asked", "Such as 30 %"),
        ("vat_registered", "Registered for VAT"),
        ("margin_scheme", "Uses the margin scheme", "Your accountant decides"),
    )),
    Section("person", "People and their hours", Person, _asked(
        ("name", "Name", "As the day book shall say it"),
        ("role", "Role"),
        ("hours", "Hours", "A line each: mon-fri 8:00-12:30, 13:00-17:00; wed off", "area"),
        ("bench_fraction", "Share of those hours at the bench", "0.6 is six hours in ten"),
        ("days_off", "Days off", "A line each, such as 2026-12-24"),
        ("wage", "An hour costs"),
        ("lifts", "May lift", "Such as 20 kg"),
    ), many=True, one="person", named_by=("name",)),
    Section("room", "Rooms, their air and their fire cabinets", Room, _asked(
        ("name", "Name"),
        ("length", "Length", "Such as 7.2 m"),
        ("width", "Width"),
        ("height", "Height"),
        ("fan_m3_per_h", "Fan, m³ an hour"),
        ("day_temperature", "By day", "Such as 16 to 18 °C"),
        ("night_temperature", "By night"),
        ("rh", "Humidity", "Such as 50 to 65 %"),
        ("cabinet", "Its fire cabinet holds", "Such as 50 l; empty where it has none"),
    ), many=True, one="room", named_by=("name",)),
    Section("cramp", "Cramps", Cramp, _asked(
        ("length", "Length"),
        ("count", "How many"),
    ), many=True, one="length of cramp", named_by=("length", "count")),
    Section("pin", "Days fixed from outside", Pin, _asked(
        ("piece", "Piece", "Its code"),
        ("on", "Day"),
        ("note", "What for"),
    ), many=True, one="fixed day", named_by=("piece", "on")),
    STORED,
)  # fmt: skip
BY_KEY = {section.key or "days": section for section in SECTIONS}


@dataclass(frozen=True)
class State:
    """The shop's document as somebody saw it: its number, 0 where nobody has written one yet, and its tables."""

    number: int
    body: Tables

    @classmethod
    def of(cls, number: int = 0) -> "State":
        """As of a revision; as it stands where none is named, or none of that number was."""
        revision = latest(THE_SHOP, number or None) or latest(THE_SHOP)
        return cls(revision.number, revision.body) if revision else cls(0, json_of(plain_shop()))


class ShopAmiss(Faulty):
    """Faults of the shop's document: `here` by the field of the form, `beside` those of what stands elsewhere."""

    def __init__(self, faults: Sequence[Fault], before: str) -> None:
        super().__init__(faults)
        self.here: dict[str, str] = {}
        for fault in faults:
            if fault.key.startswith(before):
                self.here.setdefault(re.split(r"[.\[]", fault.key[len(before) :])[0], says(fault))
        self.beside = [fault for fault in faults if not fault.key.startswith(before)]


def table_of(section: Section, body: Mapping[str, Any], at: int | None) -> Tables:
    """The table of a form, as its fields read it; empty where it is new."""
    if not section.key:
        return dict(body)
    if not section.many:
        return _for_fields(body.get(section.key) or {})
    return {} if at is None else _for_fields((body.get(section.key) or [])[at])


def _for_fields(table: Mapping[str, Any]) -> Tables:
    """Hours stand in their field as lines."""
    hours = table.get("hours")
    return {**table, "hours": "\n".join(f"{days} {said}" for days, said in hours.items())} if hours else dict(table)


def shown_fields(
    section: Section, table: Tables, typed: Mapping[str, Any] | None = None, faults: Mapping[str, str] | None = None
) -> list[Shown]:
    return fields_of(section, table, faults=faults, typed=typed)


def changes_of(section: Section, table: Tables, typed: Mapping[str, Any], zone: ZoneInfo) -> Tables:
    """The keys somebody changed, as the document holds them."""
    changes = changes_in(section, table, typed, zone)
    for key in _FLOATS & changes.keys():
        changes[key] = _number(changes[key])
    if changes.get("hours"):
        changes["hours"] = hours_in(changes["hours"])
    return changes


def _number(wrote: Any) -> Any:
    try:
        return float(str(wrote).replace(",", ".")) if wrote is not None else None
    except ValueError:
        return wrote  # the core says what is amiss


def hours_in(lines: str) -> dict[str, str]:
    """A week as it is written, a line each: the days, then their hours."""
    found = {}
    for line in lines.splitlines():
        if line.strip():
            read = _LINE.fullmatch(line)
            days, said = (read[1].replace(" ", ""), read[2] or "") if read else (line.strip()[:40], "")
            found[days] = said.strip() if said else "?"
    return found


def change_shop(number: int, section: Section, at: int | None, changes: Tables | None, who: str, why: str) -> Revision:
    """Keeps the shop's document with a table changed; None takes the row out. `number`: the state that was looked at.

    Raises ShopAmiss; BothChanged where somebody changed the same keys meanwhile.
    """
    body = deepcopy(State.of(number).body)
    before = f"{section.key}." if section.key else ""
    if not section.key:
        body = told(body, changes or {})
    elif not section.many:
        body[section.key] = told(body.get(section.key) or {}, changes or {})
    else:
        rows = list(body.get(section.key) or [])
        before = f"{section.key}[{(len(rows) if at is None else at) + 1}]."
        if at is None:
            rows.append(told({}, changes or {}))
        elif changes is None:
            del rows[at]
        else:
            rows[at] = told(rows[at], changes)
        body[section.key] = rows
    try:
        shop = shop_checked(body)
    except Faulty as error:
        raise ShopAmiss(error.faults, before) from None
    return keep_shop(shop, who, now(), why, expected=number or None)


def zone_of() -> ZoneInfo:
    return the_shop().shop.zone_info
