"""The survey, section by section: what is known of each, a form for each, what two people wrote at once."""

import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from witnessmark.papers import Voice
from witnessmark.record import Revision, the_shop
from witnessmark.survey import Survey, outline_of

from .changing import Amiss, BothSaid, Gone, Place, body_of, change_table, table_at
from .piece import state_of, voice_now
from .piece_named import piece_named
from .survey_forms import (
    BY_KEY,
    SECTIONS,
    Section,
    Shown,
    Tables,
    changes_in,
    fields_of,
    in_words,
    kind_of,
    said,
    told,
    typed_in,
)

_DAY = re.compile(r"\d{4}-\d\d-\d\d")


@require_safe
def survey(request: HttpRequest, piece: str) -> HttpResponse:
    """The survey at a glance: its sections, and what is said in each."""
    document = piece_named(piece)
    body = body_of(document.id).body
    voice = voice_now()
    sections = [(section, _gist(section, body, voice)) for section in SECTIONS]
    return render(request, "desk/survey.html", _shown(document) | {
        "sections": sections, "outline": outline_of(document),
    })  # fmt: skip


@require_http_methods(["GET", "HEAD", "POST"])
def survey_table(request: HttpRequest, piece: str, table: str) -> HttpResponse:
    """One section: its form, or the list of what stands in it."""
    section = _section(table)
    if not section.many:
        return _form(request, piece, section, None)
    document = piece_named(piece)
    rows = body_of(document.id).body.get(section.key) or []
    return render(request, "desk/survey_list.html", _shown(document) | {
        "section": section, "rows": [(at, *name_of(section, row)) for at, row in enumerate(rows, 1)],
    })  # fmt: skip


@require_http_methods(["GET", "HEAD", "POST"])
def survey_row(request: HttpRequest, piece: str, table: str, row: str) -> HttpResponse:
    """One of several alike, by its number from 1; `new` for one more."""
    section = _section(table)
    if not section.many or not (row == "new" or (row.isdecimal() and int(row))):
        raise Http404("no such place in a survey")
    return _form(request, piece, section, None if row == "new" else int(row) - 1)


def _section(table: str) -> Section:
    if table not in BY_KEY:
        raise Http404("no such section in a survey")
    return BY_KEY[table]


def _shown(document: Survey) -> dict[str, Any]:
    return {"place": "stock", "survey": document, "piece": document.piece, "id": document.id, "voice": voice_now()}


def _gist(section: Section, body: Mapping[str, Any], voice: Voice) -> str:
    """What stands in a section, in a line."""
    if section.many:
        rows = body.get(section.key) or []
        names = [name_of(section, row)[0] for row in rows]
        return ", ".join(names[:8]) + (f" and {len(names) - 8} more" if len(names) > 8 else "")
    table = body.get(section.key) or {}
    words = [_in_a_word(table[asked.key], voice) for asked in section.asked if _says_something(table.get(asked.key))]
    return "; ".join(words)[:300]


def _in_a_word(value: str, voice: Voice) -> str:
    """What is kept, a day as the shop writes days."""
    return voice.date(date.fromisoformat(value)) if _DAY.fullmatch(value) else value.replace("'", "’")


def _says_something(value: Any) -> bool:
    return isinstance(value, str) and value not in ("", "don't know")


def name_of(section: Section, row: Mapping[str, Any]) -> tuple[str, str]:
    """What a row goes by, and the rest that names it."""
    words = [str(row.get(key) or "") for key in section.named_by]
    first, *rest = [word for word in words if word] or [section.one]
    return first, ", ".join(rest)


def part_choices(body: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The parts to choose from: code, and code with name."""
    return [(row["code"], f"{row['code']} {row.get('name', '')}".strip()) for row in body.get("part") or []]


def _form(request: HttpRequest, piece: str, section: Section, at: int | None) -> HttpResponse:
    document = piece_named(piece)
    piece = document.id
    place = Place(section.key, at, section.many)
    base = _looked_at(request, piece)
    if section.many and at is not None and at >= len(base.body.get(section.key) or []):
        raise Http404("no such row in this survey")
    table, zone = table_at(base.body, place), the_shop().shop.zone_info
    if request.method != "POST":
        return _render(request, document, base, section, place, table, zone)
    typed = typed_in(section, request.POST)
    changes: Tables | None = changes_in(section, table, typed, zone)
    if section.inside and changes is not None:
        changes |= _inside(request, section.inside, table, zone)
    if changes is not None:
        changes = {key: value for key, value in changes.items() if request.POST.get(f"take.{key}") != "theirs"}
    removing = bool(request.POST.get("remove")) and not place.new
    try:
        if changes or place.new or removing:
            why = f"{section.one or section.title.lower()}: {'taken out' if removing else 'written'}"
            change_table(piece, base.number, place, None if removing else changes, str(request.user), why)
    except Amiss as error:
        return _render(request, document, base, section, place, table, zone, typed=typed, amiss=error, status=422)
    except BothSaid as error:
        return _both(request, document, section, place, typed, changes or {}, zone, error)
    except Gone as error:
        messages.error(request, f"Not kept: {error}.")
        return redirect("survey_table", piece, section.key)
    messages.success(request, "Kept.")
    return redirect("survey_table", piece, section.key) if section.many else redirect("survey", piece)


def _looked_at(request: HttpRequest, piece: str) -> Revision:
    """The state that the person had before them."""
    number = request.POST.get("number", "")
    return state_of(piece, int(number)) if number.isdecimal() and int(number) > 0 else body_of(piece)


def _inside(request: HttpRequest, inner: Section, table: Mapping[str, Any], zone: ZoneInfo) -> Tables:
    """The rows within a row: a joint's fixings. One whose fields are all emptied is taken out."""
    stood = list(table.get(inner.key) or [])
    rows = []
    for at in range(len(stood) + 1):
        before = f"{inner.key}[{at + 1}]."
        typed = typed_in(inner, request.POST, before)
        if not any(typed[before + key] for key in inner.named_by):
            continue
        row = stood[at] if at < len(stood) else {}
        rows.append(told(row, changes_in(inner, row, typed, zone, before)))
    return {} if rows == stood else {inner.key: rows or None}


def _both(
    request: HttpRequest, document: Survey, section: Section, place: Place, typed: Mapping[str, Any],
    changes: Tables, zone: ZoneInfo, error: BothSaid,
) -> HttpResponse:  # fmt: skip
    """The form again on what now stands, with both versions of each key to choose from."""
    now_there = table_at(error.current.body, place)
    asked = {one.key: one for one in section.asked}
    mine = {key: typed[key] for key in changes if key in typed}
    both = []
    for one in error.both:
        label = asked[one.key].label if one.key in asked else one.key
        kind = kind_of(section.model, asked[one.key]) if one.key in asked else None
        theirs = in_words(kind, asked[one.key], one.theirs, zone) if kind else str(one.theirs)
        ours = mine.get(one.key, str(one.mine))
        both.append({"key": one.key, "label": label, "theirs": _plain(theirs), "mine": _plain(ours)})
    return _render(request, document, error.current, section, place, now_there, zone, typed=mine, both=both,
                   status=409)  # fmt: skip


def _plain(value: Any) -> str:
    text = ", ".join(value) if isinstance(value, tuple) else str(value)
    return said(text) if text else "nothing"


def _render(
    request: HttpRequest, document: Survey, base: Revision, section: Section, place: Place, table: Tables,
    zone: ZoneInfo, typed: Mapping[str, Any] | None = None, amiss: Amiss | None = None,
    both: Sequence[Mapping[str, str]] = (), status: int = 200,
) -> HttpResponse:  # fmt: skip
    codes = part_choices(base.body)
    faults = amiss.here if amiss else {}
    fields = fields_of(section, table, codes, zone, _by_field(faults), typed)
    inside: list[tuple[str, list[Shown]]] = []
    if inner := section.inside:
        stood = list(table.get(inner.key) or [])
        for at in range(len(stood) + 1):
            before = f"{inner.key}[{at + 1}]."
            row = stood[at] if at < len(stood) else {}
            again = typed_in(inner, request.POST, before) if amiss else None
            name = name_of(inner, row)[0] if row else f"one more {inner.one}"
            inside.append((name, fields_of(inner, row, codes, zone, _by_field(faults, 2), again, before)))
    seen = {field.name for field in fields} | {field.name for _, rows in inside for field in rows}
    elsewhere = [words for key, words in faults.items() if not {_first(key), _first(key, 2)} & seen]
    return render(request, "desk/survey_form.html", _shown(document) | {
        "section": section, "fields": fields, "inside": inside, "number": base.number, "new": place.new,
        "name": name_of(section, table)[0] if section.many and not place.new else "", "both": both,
        "faults": faults, "elsewhere": elsewhere, "beside": amiss.beside if amiss else [],
        "who": base.who,
    }, status=status)  # fmt: skip


def _first(key: str, deep: int = 1) -> str:
    """The field that a fault's key belongs to: `parts[2]` is of parts, `fixing[1].ends` of that fixing."""
    steps = key.split(".")
    if deep == 1:
        return steps[0].partition("[")[0]
    return ".".join([steps[0], steps[1].partition("[")[0]]) if len(steps) > 1 else key


def _by_field(faults: Mapping[str, str], deep: int = 1) -> dict[str, str]:
    found: dict[str, str] = {}
    for key, words in faults.items():
        found.setdefault(_first(key, deep), words)
    return found
