"""Putting back: in reverse, glue-ups by stage, each fixing to its ending; together only when nothing is off or open."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from witnessmark.daybook import Stage, What
from witnessmark.documents import Faulty
from witnessmark.papers import Voice
from witnessmark.plan import ApartNow, FixingNow, ToPutBack, apart_now, stage_of
from witnessmark.quantities import from_json
from witnessmark.record import daybook_of, the_shop
from witnessmark.survey import Survey

from .apart import shown_of
from .changing import says
from .clock import now
from .daybook_posts import post_said
from .piece_named import piece_named

_FIRST = 6  # of what keeps it from being together, so many stand open
_CLOCK = 900  # seconds: what is longer is said in minutes


@dataclass(frozen=True)
class Back:
    """One thing to put back. `first` is what the day book says of a part that is off; `open` wants its ending."""

    part: ToPutBack
    name: str
    kept: str
    up: str
    open: tuple[FixingNow, ...]
    stage: int | None

    @property
    def fixings(self) -> str:
        return ", ".join(one.fixing.code for one in self.part.fixings)


@dataclass(frozen=True)
class GlueUp:
    """One stage of gluing up, in words. `fits` is None where the open time is not known."""

    number: int
    joints: tuple[str, ...]
    parts: tuple[str, ...]
    seconds: str
    open_time: str
    fits: bool | None
    people: int
    cramps: tuple[str, ...]
    notes: tuple[str, ...]
    done: bool
    sprung: bool


@require_safe
def together(request: HttpRequest, piece: str) -> HttpResponse:
    """The page on which a piece goes together again."""
    survey, shop = piece_named(piece), the_shop()
    book = daybook_of(survey.id)
    standing = apart_now(survey, book, shop)
    voice = Voice.of(shop.shop, now())
    shown = shown_of(
        survey,
        now_apart=standing,
        holds=standing.holds[:_FIRST],
        more_holds=standing.holds[_FIRST:],
        stage=stage_of(survey, book),
        backs=list(_backs(survey, standing)),
        ups=[_glue_up(stage, voice) for stage in standing.stages],
        open=by_part(standing.open),
        ended=[one for part in standing.parts for one in part.fixings
               if one.out and not one.open and one.part == part.code],
        back=[part for part in standing.came_off if part.place == "back"],
    )  # fmt: skip
    return render(request, "desk/together.html", shown)


@require_POST
def call_together(request: HttpRequest, piece: str) -> HttpResponse:
    """Calls a piece together; refused, and it says which, while a part is off or a fixing open."""
    survey = piece_named(piece)
    holds = stage_of(survey, daybook_of(survey.id)).holds
    if holds:
        messages.error(request, f"Not together yet. {'; '.join(holds)}.")
        return redirect("together", survey.id)
    try:
        post_said(request, What.STAGE, survey.id, to=Stage.TOGETHER.value)
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    else:
        messages.success(request, "Together.")
    return redirect("together", survey.id)


def by_part(open_ones: Iterable[FixingNow]) -> list[tuple[str, list[FixingNow]]]:
    """Open fixings under the part they came out with."""
    found: dict[str, list[FixingNow]] = {}
    for one in open_ones:
        found.setdefault(one.part, []).append(one)
    return list(found.items())


def _backs(survey: Survey, standing: ApartNow) -> Iterable[Back]:
    parts = {part.code: part for part in standing.parts}
    for one in standing.to_put_back:
        part = parts.get(one.part)
        # Several come off with one: its open fixings are those under any of them.
        open_ones = tuple(each for each in standing.open if each.part in {one.part, *one.along})
        yield Back(one, part.name if part else "", part.kept if part else "", part.up if part else "", open_ones,
                   one.stage)  # fmt: skip


def _glue_up(stage: Mapping[str, Any], voice: Voice) -> GlueUp:
    return GlueUp(
        number=stage["number"],
        joints=tuple(stage["joints"]),
        parts=tuple(stage["parts"]),
        seconds=_clock(stage["seconds"], voice),
        open_time=_clock(stage["open_time"], voice) if stage["open_time"] else "not known",
        fits=stage["fits"],
        people=stage["people"],
        cramps=tuple(_cramps(need, voice) for need in stage["cramps"]),
        notes=tuple(voice.ours(note) for note in stage["notes"]),
        done=stage["done"],
        sprung=stage["sprung"],
    )


def _cramps(need: Mapping[str, Any], voice: Voice) -> str:
    reach = f" of {voice.amount(from_json(dict(need['length'])))} or more" if need["length"] else ""
    short = need["have"] is not None and need["have"] < need["count"]
    return f"{need['count']}{reach}" + (f": {need['have']} here" if short else "")


def _clock(shown: Mapping[str, Any], voice: Voice) -> str:
    """Seconds as a glue-up is counted, to ten; a long open time in minutes, with its range."""
    ends = [float(shown[key]) for key in ("low", "value", "high") if key in shown]
    if max(ends) < _CLOCK:
        return " to ".join(dict.fromkeys(f"{each:.0f} s" if each < 100 else f"{round(each, -1):.0f} s" for each in
                                         (ends[0], ends[-1])))  # fmt: skip
    return " to ".join(dict.fromkeys(voice.minutes(each / 60) for each in (ends[0], ends[-1])))
