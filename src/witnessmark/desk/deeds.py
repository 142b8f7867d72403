"""What a form of the bench writes: one or more entries ready made, and the few words a person adds to them.

A form carries its entries as JSON with ids made when the page was, so two taps count once. `bench.js` makes the same
entries of the same form and posts them to the API; without it the form itself is posted and read here:
  set.N.PATH    what was typed goes to that place of entry N; `*` is every one of a list, `amount` is volume or mass
  unit.N.KEY    what a bare number is of
  clock.N.KEY   since when a clock has run: the minutes, where nobody typed any
  join.N.KEY    ticked lines, put together
"""

import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.http import HttpRequest

from witnessmark.documents import Fault, Faulty
from witnessmark.quantities import Mass, NotUnderstood, Span, Volume, read, say
from witnessmark.record import DayBookEntry, Posted, post_entries, the_shop
from witnessmark.shop import Shop

from .clock import now

MOST = 30  # entries of one form
_PLACE = re.compile(r"(set|unit|clock|join)\.(\d{1,2})\.([a-z_.*0-9]{1,60})")
_BARE = re.compile(r"\s*\d+([.,]\d+)?\s*")


@dataclass(frozen=True)
class Ask:
    """A field of a deed: the place it fills, its label, what stands in it."""

    place: str
    label: str
    value: str = ""
    hint: str = ""
    kind: str = "text"  # text, area, choice
    unit: str = ""
    clock: str = ""
    options: Sequence[tuple[str, str]] = ()
    required: bool = False
    inputmode: str = ""

    @property
    def unit_name(self) -> str:
        return self.place.replace("set.", "unit.", 1)

    @property
    def clock_name(self) -> str:
        return self.place.replace("set.", "clock.", 1)


@dataclass(frozen=True)
class Deed:
    """A form: its name on the page, the words on its key, the entries it makes."""

    name: str
    label: str
    entries: Sequence[Mapping[str, Any]]
    small: str = ""
    asks: Sequence[Ask] = ()
    ticks: Sequence[str] = ()
    at: str = ""  # the item that stays open afterwards
    faults: Sequence[str] = field(default=())

    @property
    def json(self) -> str:
        return json.dumps(list(self.entries), ensure_ascii=False)

    def again(self, posted: Mapping[str, str], faults: Sequence[str]) -> "Deed":
        """The same with what was typed, and what is amiss."""
        asks = [Ask(**{**vars(ask), "value": posted.get(ask.place, ask.value)}) for ask in self.asks]
        return Deed(self.name, self.label, self.entries, self.small, asks, self.ticks, self.at, faults)


def entries_in(request: HttpRequest) -> list[dict[str, Any]]:
    """The entries a form makes, still to be checked by the day book. Raises Faulty where it is no form of ours."""
    try:
        entries = json.loads(request.POST.get("entries", ""))
    except (ValueError, RecursionError):
        entries = None
    if not isinstance(entries, list) or not all(isinstance(one, dict) for one in entries) or len(entries) > MOST:
        raise Faulty([Fault("the form", "entries", "something else", "the entries its page made: load the page again")])
    places = [(found, name) for name in request.POST if (found := _PLACE.fullmatch(name))]
    for found, name in places:
        if found[1] in ("set", "join") and int(found[2]) < len(entries):
            typed = (
                request.POST.get(name, "").strip()
                if found[1] == "set"
                else "; ".join(request.POST.getlist(name)).strip()
            )
            rest = f"{found[2]}.{found[3]}"
            typed = typed or by_the_clock(request.POST.get(f"clock.{rest}", ""), now())
            unit = request.POST.get(f"unit.{rest}", "")[:8]
            _put(entries[int(found[2])], found[3].split("."), f"{typed} {unit}" if _BARE.fullmatch(typed) else typed)
    return [_about_one_piece(entry) for entry in entries]


def by_the_clock(told: str, at: datetime) -> str:
    """The minutes from the instant told till now: whole minutes, one at least."""
    try:
        ran = at - datetime.fromisoformat(told)
    except (ValueError, TypeError):
        return ""
    return say(Span(max(1, round(ran.total_seconds() / 60))))


def _put(entry: dict[str, Any], path: Sequence[str], typed: str) -> None:
    """Puts what was typed where the path says; nothing typed takes away what stood there."""
    here: list[Any] = [entry]
    for word in path[:-1]:
        here = [one for thing in here for one in _within(thing, word)]
    key = path[-1]
    for thing in here:
        if not isinstance(thing, dict):
            continue
        for other in ("volume", "mass") if key == "amount" else ():
            thing.pop(other, None)
        if typed and key == "piece" and thing.get("piece") != typed:
            thing.pop("step", None)  # another piece: the step of this one is not meant
        if typed:
            thing[measured_as(typed) if key == "amount" else key] = typed
        else:
            thing.pop(key, None)


def _within(thing: Any, word: str) -> Iterable[Any]:
    if isinstance(thing, dict):
        return [thing[word]] if word in thing else []
    if isinstance(thing, list):
        return thing if word == "*" else thing[int(word) : int(word) + 1] if word.isdigit() else []
    return []


def measured_as(text: str) -> str:
    """Whether an amount is a `volume` or a `mass`; what is neither is called a volume, and its fault says the rest."""
    for key, kind in (("volume", Volume), ("mass", Mass)):
        try:
            read(text, kind, the_shop().shop.gallon)
        except NotUnderstood:
            continue
        return key
    return "volume"


def _about_one_piece(entry: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in entry.items() if value not in (None, "", [])}


def post_deed(request: HttpRequest, entries: Sequence[dict[str, Any]]) -> Posted:
    """Posts the entries of a form: when is now, who is whose bench it is. Raises Faulty.

    The same form again is the same entries: they happened when they first did, and count once.
    """
    at = now()
    ids = [str(entry.get("id", "")) for entry in entries]
    before = dict(DayBookEntry.objects.filter(id__in=ids).values_list("id", "happened"))
    tables, shop = [], the_shop()
    for entry in entries:
        who = hand(request, str(entry.get("who") or request.POST.get("who", "")), shop)
        happened = before.get(str(entry.get("id"))) or entry.get("happened") or at
        tables.append({**entry, "who": who,
                       "happened": happened.isoformat() if isinstance(happened, datetime) else happened})  # fmt: skip
    return post_entries(tables, at)


def hand(request: HttpRequest, asked: str = "", shop: Shop | None = None) -> str:
    """Whose bench it is: the person of the shop that is asked for; else the one who entered; as the shop writes it."""
    names = {person.name.casefold(): person.name for person in (shop or the_shop()).person}
    return names.get(asked.casefold()) or names.get(str(request.user).casefold()) or str(request.user)
