"""Days, amounts and words as the shop says them, for templates: `{% load shop_words %}`."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django import template
from django.template.context import Context
from django.urls import NoReverseMatch, reverse

from witnessmark.desk.clock import now
from witnessmark.desk.drawer import said_apart
from witnessmark.papers import Voice

register = template.Library()


def voice_of(context: Context | Mapping[str, Any]) -> Voice:
    """The voice of this page: the one its view gave, else that of the shop."""
    given = context.get("voice")
    return given if isinstance(given, Voice) else Voice.of(context["shop"].shop, now())


@register.simple_tag(takes_context=True)
def day(context: Context, value: Any, none: str = "") -> str:
    """A day: “Tue 10 Nov”. Takes a date, an instant, or the ISO text of one; `none` where there is none."""
    if not value:
        return none
    voice = voice_of(context)
    if isinstance(value, str):
        value = datetime.fromisoformat(value) if "T" in value else date.fromisoformat(value)
    return voice.date(voice.local(value).date() if isinstance(value, datetime) else value)


@register.simple_tag(takes_context=True)
def instant(context: Context, value: Any) -> str:
    """A day and its hour: “Tue 10 Nov, 10:40”."""
    if not value:
        return ""
    voice = voice_of(context)
    local = voice.local(datetime.fromisoformat(value) if isinstance(value, str) else value)
    return f"{voice.date(local.date())}, {local:%H:%M}"


@register.simple_tag(takes_context=True)
def amount(context: Context, shown: Any) -> str:
    """An amount of a plan's JSON with its range in brackets; nothing where there is none."""
    if shown is None:
        return ""
    return " ".join(text for text in said_apart(shown, voice_of(context)) if text)


@register.simple_tag(takes_context=True)
def ours(context: Context, text: str) -> str:
    """A text the program wrote, in the shop's words. What people wrote is never put through this."""
    return voice_of(context).ours(text)


@register.simple_tag
def reach(name: str, *args: Any) -> str:
    """The address of a page by its name; nothing where there is none of that name."""
    try:
        return reverse(name, args=args)
    except NoReverseMatch:
        return ""


@register.simple_tag
def picture(sha256: str, size: str = "") -> str:
    """The address of a photograph as it is shown, or small; nothing where none can be shown."""
    return reach("photograph", sha256, size) if size else reach("photograph", sha256)


@register.simple_tag
def chance(value: float) -> str:
    """How likely: “89 %”, “under 1 %”."""
    return "under 1 %" if 0 < value < 0.005 else f"{value:.0%}".replace("%", " %")


@register.simple_tag
def share(value: float) -> str:
    """A share of one, as a bar is drawn."""
    return f"{value:.3f}"


@register.simple_tag(takes_context=True)
def at_clock(context: Context, value: Any) -> str:
    """The hour of an instant, or of the ISO text of one: “10:40”."""
    return voice_of(context).clock(datetime.fromisoformat(value) if isinstance(value, str) else value) if value else ""


@register.simple_tag(takes_context=True)
def clock_now(context: Context) -> str:
    """What the clock on the wall shows."""
    return voice_of(context).clock(now())
