"""Tape, pencil marks, working drawers and drawings, for templates: `{% load bench_marks %}`."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from itertools import count
from typing import Any

from django import template
from django.forms import BoundField
from django.template.context import Context
from django.urls import NoReverseMatch, reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from witnessmark.desk import drawings
from witnessmark.desk.drawer import drawer_of
from witnessmark.desk.fields import Field, around, choices
from witnessmark.papers import Voice

register = template.Library()

PLACES = (("stock", "Stock"), ("bench", "Bench"), ("wall", "Wall"), ("cupboard", "Cupboard"), ("books", "Books"),
          ("shop", "Shop"))  # fmt: skip
MARKS = ("face", "open", "do", "stir", "mix", "short", "wait", "care")


@register.simple_tag
def rail_places() -> list[dict[str, str]]:
    """The six places of the rail with their addresses."""
    return [{"key": key, "word": word, "address": _address(key)} for key, word in PLACES]


def _address(place: str) -> str:
    try:
        return reverse(place)
    except NoReverseMatch:  # a place whose pages are not there leads to the first
        return "/"


@register.simple_tag
def tape(name: object, big: bool = False, off: bool = False) -> SafeString:
    """A strip of tape: the name of a piece, a part, a jar or a fixing, and nothing else. `off`: its dashed ghost."""
    return format_html('<span class="tape{}{}">{}</span>', " big" if big else "", " off" if off else "", name)


@register.simple_tag
def mark(name: str, colour: str = "", heard: str = "") -> SafeString:
    """A pencil mark of MARKS, `colour` one of red, blue, gr (pencil). `heard` is its word where none stands beside."""
    if name not in MARKS:
        raise template.TemplateSyntaxError(f"“{name}” is no pencil mark. Write one of {', '.join(MARKS)}.")
    word = format_html('<span class="unseen">{} </span>', heard) if heard else ""
    drawn = '<svg class="m{}" aria-hidden="true" focusable="false"><use href="#m-{}"/></svg>{}'
    return format_html(drawn, f" {colour}" if colour else "", name, word)


@register.inclusion_tag("desk/parts/state.html")
def state(mark_name: str, words: str, short: bool = False) -> dict[str, Any]:
    """A mark and its word in one line: {% state "face" "Enough" %}, {% state "short" "Short by 30 ml" %}."""
    return {"mark_name": mark_name, "words": words, "short": short or mark_name == "short"}


def voice_of(context: Context) -> Voice:
    """The voice a page speaks in: the one its view gave, else that of the shop."""
    given = context.get("voice")
    return given if isinstance(given, Voice) else Voice.of(context["shop"].shop, context["local_now"])


@register.simple_tag(takes_context=True)
def day_and_time(context: Context) -> SafeString:
    """The day and the time of the shop, as it writes them: Tue 10 Nov, 10:40."""
    now, voice = context["local_now"], voice_of(context)
    return format_html('{}, <time datetime="{}">{}</time>', voice.day(now), now.isoformat(), voice.clock(now))


@register.inclusion_tag("desk/parts/working.html", takes_context=True)
def working(
    context: Context, workings: Mapping[str, Any], working_id: str, label: str = "", said: str = "", open: bool = False
) -> dict[str, Any]:
    """The drawer of one figure of a plan's workings table. `said` is written in place of the bare value."""
    return {"drawer": drawer_of(workings, working_id, voice_of(context)), "label": label, "said": said, "open": open}


@register.simple_tag
def field(bound: BoundField, hint: str = "", may: str = "") -> SafeString:
    """A field of a Django form in its place: label, hint, widget, fault. `may` is written after the label."""
    fault = " ".join(str(error) for error in bound.errors)
    hint = hint or str(bound.help_text or "")
    widget = mark_safe(str(bound.as_widget(attrs=described(f"{bound.auto_id}", hint, fault))))
    return around(f"{bound.auto_id}", bound.label, may, hint, widget, fault)


@register.simple_tag
def ask(key: str, label: str, value: object = "", apart: str = "", **more: Any) -> SafeString:
    """A field from plain values: see `fields.Field`. `apart` tells the ids of two fields of one key apart."""
    said = {name: word for name, word in more.items() if word not in (None, "")}
    return Field(f"f-{key}{apart}", key, label, "" if value is None else value, **said).html()


register.simple_tag(choices)


def described(ident: str, hint: str, fault: str) -> dict[str, str | bool]:
    """What ties a widget to its hint and its fault, for whoever hears the page."""
    ids = [f"{ident}-hint"] * bool(hint) + [f"{ident}-fault"] * bool(fault)
    attrs: dict[str, str | bool] = {}
    if ids:
        attrs["aria-describedby"] = " ".join(ids)
    if fault:
        attrs["aria-invalid"] = "true"
    return attrs


# ---- drawings: each takes a key, or is given one that no other drawing of the page has ----


@register.simple_tag(takes_context=True)
def jar(context: Context, drawn: Mapping[str, Any], key: str = "") -> SafeString:
    """{% jar j %}: j holds name, content, capacity (ml), and may hold takes, low, high, dissolving, content_said…"""
    return mark_safe(drawings.jar(key or _next(context, "jar"), **drawn))


@register.simple_tag(takes_context=True)
def dial(context: Context, now: datetime, until: datetime, what: str = "Wait", key: str = "") -> SafeString:
    """{% dial local_now until "glue in clamps" %}, both in local time."""
    return mark_safe(drawings.dial(key or _next(context, "dial"), now, until, what))


@register.simple_tag
def boards(rows: Sequence[drawings.Board]) -> SafeString:
    """The seven boards of a piece with the struck triangle, as a list; on a phone the current word stands below."""
    return mark_safe(drawings.boards(rows))


@register.simple_tag(takes_context=True)
def strip(context: Context, at: int, words: str, key: str = "") -> SafeString:
    """The triangle small, on a job card: `at` is the board it is on, 1 to 7."""
    return mark_safe(drawings.strip(key or _next(context, "strip"), at, words))


@register.simple_tag(takes_context=True)
def tally(context: Context, done: int, of: int, what: str, key: str = "") -> SafeString:
    """Strokes counted as a bench counts them, in fives: {% tally 3 12 "parts off" %}."""
    return mark_safe(drawings.tally(key or _next(context, "tally"), done, of, what))


@register.simple_tag(takes_context=True)
def wall(context: Context, weeks: Mapping[str, Any], key: str = "") -> SafeString:
    """{% wall weeks %}: weeks holds rows (of drawings.Row), now, first, last, and may hold away and closed days."""
    return mark_safe(drawings.wall(key or _next(context, "wall"), **weeks))


@register.simple_tag(takes_context=True)
def apart_map(context: Context, parts: Sequence[drawings.MapPart], piece: str, key: str = "") -> SafeString:
    """The taking-apart map, drawn. `parts/offs.html` is its list, which stands alone on a phone."""
    return mark_safe(drawings.apart_map(key or _next(context, "map"), piece, parts))


@register.simple_tag(takes_context=True)
def way_up(context: Context, part: Mapping[str, Any], key: str = "") -> SafeString:
    """{% way_up p %}: p holds code, up (words), fixings (of drawings.Hole), wide, high (mm)."""
    return mark_safe(drawings.way_up(key or _next(context, "up"), **part))


def _next(context: Context, kind: str) -> str:
    """A key no other drawing of this rendering has. A fragment that htmx puts into a page must give keys itself."""
    of_the_page: Any = context.render_context.dicts[0]  # what an included template sees too
    return f"{kind}{next(of_the_page.setdefault('drawn', count(1)))}"
