"""The shop: its air today, its paper, its people, its document table by table, and copies of all of it."""

import re
from collections.abc import Mapping
from datetime import date, datetime, time
from typing import Any

from django import forms
from django.contrib import messages
from django.contrib.auth.password_validation import validate_password
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from witnessmark.daybook import DayBook, What
from witnessmark.documents import Faulty, Refused, json_of
from witnessmark.papers import Voice
from witnessmark.record import (
    BothChanged,
    DayBookEntry,
    Person,
    Role,
    entries_of,
    history_of,
    keep_person,
    person_named,
    shut_out,
    the_shop,
)
from witnessmark.shop import plain_shop

from .bench import all_said
from .bench_deeds import entry
from .clock import now
from .copies import last_taken
from .deeds import Ask, Deed, entries_in, post_deed
from .door import for_role, owners_only
from .shop_forms import BY_KEY, SECTIONS, ShopAmiss, State, change_shop, changes_of, shown_fields, table_of, zone_of
from .survey_forms import Kind as FieldKind
from .survey_forms import Section, in_words, said, typed_in
from .survey_pages import name_of

PAPERS = {"": "As this machine has it", "sheet": "Sheet: light", "slate": "Slate: dark"}
_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_A_YEAR = 365 * 24 * 3600
_OWNERS = frozenset(["costs", "person"])  # what these say is for owners' eyes


@require_safe
def shop(request: HttpRequest) -> HttpResponse:
    """The shop's page."""
    return page(request)


def page(request: HttpRequest, **more: Any) -> HttpResponse:
    """The page, and with it what was typed and is amiss."""
    at, standing = now(), the_shop()
    voice, owns = Voice.of(standing.shop, at), bool(getattr(request.user, "owns", False))
    body = State.of().body
    last = history_of("shop").first()
    rooms = [room.name for room in standing.room]
    shown = {
        "place": "shop", "voice": voice, "owns": owns, "may_write": bool(getattr(request.user, "may_work", False)),
        "air": list(air_today(voice, at)), "air_deed": air_deed(voice, rooms), "papers": list(PAPERS.items()),
        "paper_now": request.COOKIES.get("paper", ""), "written": last,
        "last_backup": last_taken() if owns else None,
        "sections": [gist(section, body, voice) for section in SECTIONS if section.key != "store"
                     and (owns or section.key not in _OWNERS)],
        "people": Person.objects.filter(is_active=True).order_by("name") if owns else [],
        "unnamed": standing.shop.name == plain_shop().shop.name, "to_write": to_write(body) if owns else [],
    }  # fmt: skip
    return render(request, "desk/shop.html", shown | more, status=422 if more else 200)


def to_write(body: Mapping[str, Any]) -> list[tuple[str, str]]:
    """What an owner has not written down of a shop that began as the plain one, each with where it is written."""
    plain = json_of(plain_shop())
    hours = [person.get("hours") for person in body.get("person") or []]
    asked = [
        ("The name, words and units", body["shop"].get("name") == plain["shop"]["name"], ("shop_table", "shop")),
        ("Your hours", hours == [person["hours"] for person in plain["person"]], ("shop_row", "person", "1")),
        ("Closed days", not body.get("closed"), ("shop_table", "days")),
        ("What the shop costs and charges", not body.get("costs"), ("shop_table", "costs")),
        ("The room, and how cold its nights are", not body.get("room"), ("shop_row", "room", "new")),
    ]
    return [(words, reverse(to[0], args=to[1:])) for words, missing, to in asked if missing]


def gist(section: Section, body: Mapping[str, Any], voice: Voice) -> dict[str, Any]:
    """A table of the document in a few lines, and where it is changed."""
    key = section.key or "days"
    if section.many:
        rows = [(", ".join(part for part in name_of(section, row) if part), at + 1)
                for at, row in enumerate(body.get(section.key) or [])]  # fmt: skip
        return {"section": section, "key": key, "rows": rows, "facts": []}
    table = body.get(section.key) or {} if section.key else body
    facts = []
    for asked in section.asked:
        words = in_words(FieldKind(section.model, asked), asked, table.get(asked.key))
        if words not in ("", ()):
            facts.append((asked.label, _as_written(words if isinstance(words, str) else ", ".join(words), voice)))
    return {"section": section, "key": key, "rows": [], "facts": facts}


def _as_written(words: str, voice: Voice) -> str:
    """Words as kept, days as the shop writes them, and “us” as its name."""
    lines = [voice.date(date.fromisoformat(line)) if _DAY.fullmatch(line) else line for line in words.split("\n")]
    return "US" if words == "us" else ", ".join(lines) if len(lines) > 1 else lines[0]


# ---- the air ----


def air_today(voice: Voice, at: datetime) -> Any:
    """What was read of the air today, the first first."""
    begin = datetime.combine(at.astimezone(voice.zone).date(), time(), voice.zone)
    rows = DayBookEntry.objects.filter(happened__gte=begin, what__in=[What.AIR.value, What.CORRECTS.value])
    for one in DayBook.of(entries_of(rows)).entries:
        if one.what is What.AIR:
            said = [voice.amount(read.value) for read in (one.temperature, one.rh) if read and read.known]
            yield {"at": voice.clock(one.happened), "who": one.who, "says": ", ".join(said), "note": one.note}


def air_deed(voice: Voice, rooms: list[str]) -> Deed:
    degrees = "°F" if voice.american and voice.inches else "°C"
    where = (
        [Ask("set.0.note", "Where", rooms[0], kind="choice", options=[(name, name) for name in rooms])] if rooms else []
    )
    return Deed("air", "Write the air down", [entry(What.AIR)], asks=[
        Ask("set.0.temperature", "Temperature", unit=degrees, inputmode="decimal", hint="such as 18"),
        Ask("set.0.rh", "Humidity", unit="%", inputmode="decimal", hint="such as 55"), *where,
    ])  # fmt: skip


@require_POST
def shop_air(request: HttpRequest) -> HttpResponse:
    """Writes down what was read of the air."""
    try:
        posted = post_deed(request, entries_in(request))
    except Faulty as error:
        faults = all_said(error)
        voice = Voice.of(the_shop().shop, now())
        deed = air_deed(voice, [room.name for room in the_shop().room]).again(request.POST.dict(), faults)
        return page(request, air_deed=deed)
    if posted.accepted:
        messages.success(request, "Written in the day book.", extra_tags=reverse("undo", args=[posted.accepted[0]]))
    return redirect("shop")


@for_role(Role.READER)
@require_POST
def paper(request: HttpRequest) -> HttpResponse:
    """The paper this browser reads on: a cookie of its own."""
    wanted = request.POST.get("paper", "")
    answer = redirect("shop")
    if wanted in ("sheet", "slate"):
        answer.set_cookie("paper", wanted, max_age=_A_YEAR, samesite="Lax", secure=request.is_secure(), httponly=True)
    else:
        answer.delete_cookie("paper", samesite="Lax")
    return answer


# ---- people ----


class PersonForm(forms.Form):
    """Somebody who may enter."""

    name = forms.CharField(label="Name", max_length=200, help_text="As the day book shall say it.")
    role = forms.ChoiceField(label="What they may do", choices=[
        (Role.HELPER.value, "Helper: works"), (Role.OWNER.value, "Owner: also people, money and settings"),
        (Role.READER.value, "Reader: looks only")])  # fmt: skip
    password = forms.CharField(
        label="A password", max_length=400, help_text="At least ten characters. They can’t change it; you can.",
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )  # fmt: skip

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        validate_password(password)
        return password


@owners_only
@require_http_methods(["GET", "HEAD", "POST"])
def person(request: HttpRequest) -> HttpResponse:
    """Lets somebody in; or somebody who is in already gets another role and password."""
    form = PersonForm(request.POST if request.method == "POST" else None)
    if request.method != "POST" and request.GET.get("name"):
        known = Person.objects.filter(name__iexact=request.GET["name"]).first()
        form = PersonForm(initial={"name": request.GET["name"], "role": known.role if known else Role.HELPER})
    if form.is_valid():
        told = form.cleaned_data
        try:
            somebody, new = keep_person(told["name"], Role(told["role"]), told["password"])
        except Refused as reason:
            form.add_error("role", f"{str(reason)[:1].upper()}{str(reason)[1:]}.")
        else:
            does = (
                "may enter now." if new else "has this role and password from now on; whoever was in must enter again."
            )
            messages.success(request, f"{somebody} {does}")
            return redirect("shop" if somebody != request.user else "enter")
    return render(request, "desk/shop_person.html", {"place": "shop", "form": form}, status=422 if form.errors else 200)


@owners_only
@require_POST
def withdraw(request: HttpRequest) -> HttpResponse:
    """Somebody may no longer enter; what they did stays theirs."""
    try:
        somebody = person_named(request.POST.get("name", ""))
        shut_out(somebody, now())
    except Refused as reason:
        messages.error(request, f"{str(reason)[:1].upper()}{str(reason)[1:].rstrip('.')}.")
    else:
        messages.success(request, f"{somebody} may no longer enter. What they did stays theirs.")
    return redirect("shop")


# ---- the document ----


@owners_only
@require_http_methods(["GET", "HEAD", "POST"])
def shop_table(request: HttpRequest, kept: str) -> HttpResponse:
    """One table of the shop's document."""
    if kept not in BY_KEY or BY_KEY[kept].many:
        raise Http404("no such table in the shop's document")
    return form_page(request, BY_KEY[kept], None)


@owners_only
@require_http_methods(["GET", "HEAD", "POST"])
def shop_row(request: HttpRequest, several: str, row: str) -> HttpResponse:
    """One of several alike, by its number from 1; `new` for one more."""
    if several not in BY_KEY or not BY_KEY[several].many or not (row == "new" or (row.isdecimal() and int(row))):
        raise Http404("no such place in the shop's document")
    return form_page(request, BY_KEY[several], None if row == "new" else int(row) - 1)


def form_page(request: HttpRequest, section: Section, at: int | None, back: str = "shop", **more: Any) -> HttpResponse:
    """A form of the document: as it stands, as it was typed and is amiss, or what two people wrote."""
    number = request.POST.get("number", "")
    state = State.of(int(number) if number.isdecimal() else 0)
    if section.many and at is not None and at >= len(state.body.get(section.key) or []):
        raise Http404("no such row in the shop's document")
    table, new = table_of(section, state.body, at), section.many and at is None
    shown: dict[str, Any] = {
        "place": "cupboard" if back == "store" else "shop", "section": section, "new": new, "number": state.number,
        "back": back, "name": name_of(section, table)[0] if section.many and not new else "", "row": (at or 0) + 1,
    }  # fmt: skip
    if request.method != "POST":
        return render(request, "desk/shop_form.html", shown | {"fields": shown_fields(section, table)} | more)
    typed = typed_in(section, request.POST)
    removing = bool(request.POST.get("remove")) and section.many and not new
    changes = None if removing else changes_of(section, table, typed, zone_of()) | more.pop("also", {})
    why = f"{section.one or section.title.lower()}: {'taken out' if removing else 'written'}"
    try:
        if changes or new or removing:
            change_shop(state.number, section, at, changes, str(request.user), why)
    except ShopAmiss as error:
        shown |= {
            "fields": shown_fields(section, table, typed, error.here),
            "faults": error.here,
            "beside": error.beside,
        }
        return render(request, "desk/shop_form.html", shown | more, status=422)
    except BothChanged as error:
        both = [{"key": _label(section, key), "theirs": _plain(theirs), "mine": _plain(mine)}
                for key, (theirs, mine) in error.both.items()]  # fmt: skip
        shown |= {"fields": shown_fields(section, table, typed), "both": both, "by": error.current.who,
                  "number": error.current.number}  # fmt: skip
        return render(request, "desk/shop_form.html", shown | more, status=409)
    messages.success(request, "Taken out." if removing else "Kept.")
    return redirect(back)


def _label(section: Section, key: str) -> str:
    """What a form calls the last word of a key."""
    last = key.rpartition(".")[2]
    return next((asked.label for asked in section.asked if asked.key == last), key)


def _plain(value: Any) -> str:
    if value in (None, "", [], {}):
        return "nothing"
    if isinstance(value, dict):
        return "; ".join(f"{key} {words}" for key, words in value.items())
    return ", ".join(map(_plain, value)) if isinstance(value, list) else said(str(value))
