"""Day sheets as data: what is to be done, mixed and stirred on each of the next working days, and the last round."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from witnessmark.plan import PiecePlan, PlannedStep
from witnessmark.safety import Caution, Level
from witnessmark.schedule import Slot
from witnessmark.sources import rule
from witnessmark.treatment import Undo

from .heads import JAR_WORK, PREVAILS, code_of, head, is_done, jar_for_need, jar_names, name_of
from .letters import shop_head
from .voice import Voice, sentence

# The last round of the day, as the trade keeps it (common practice).
CLOSING = (
    "Oil rags flat outdoors, or under water",
    "Spirit rags spread outside, away from any spark",
    "The rubber in its airtight jar",
    "Jars lidded and named",
    "Glue pot and heat off",
    "Stirring done",
    "Wet work shut away from dust",
    "Screws, keys and loose bits on their cards",
)
RAGS = (
    "Oil rags heat themselves and can catch fire in the night; spirit rags flash at a spark; "
    "the rubber is kept, not binned."
)
TWO_AT_ONCE = "Each piece is planned by itself. Where one person is down for two things at once, settle it by hand."
SHEET_WORDS = {
    "morning": "morning", "evening": "evening", "air": "Air of the day", "shop": "shop", "rh": "humidity",
    "surface": "surface", "today": "To do", "used": "used", "took": "took", "who": "who", "checked": "Checked by",
    "at": "at", "closing": "Before the door is locked", "notes": "Notes",
}  # fmt: skip


@dataclass(frozen=True)
class _Stretch:
    """The slots of one step's session on one day, taken together."""

    plan: PiecePlan
    planned: PlannedStep
    number: int
    first: Slot
    last: Slot


def day_sheet_page(plans: Sequence[PiecePlan], voice: Voice) -> dict[str, Any]:
    """Everything `day_sheet.typ` prints: a page a day for all these pieces, today or the next working day first."""
    today = voice.local(plans[0].now).date()
    stretches: dict[date, list[_Stretch]] = {}
    jars: dict[date, list[tuple[datetime, dict[str, Any]]]] = {}
    for plan in plans:
        for day, found in _stretches(plan, voice).items():
            stretches.setdefault(day, []).extend(found)
        for day, moments in _jar_moments(plan, voice).items():
            jars.setdefault(day, []).extend(moments)
    work = {*stretches, *(day for day, lines in jars.items() if any(line["mark"] != "face" for _, line in lines))}
    days = sorted(day for day in work if day >= today)[: int(rule("papers", "sheets").value)]
    return {
        **(head(plans[0], voice, "Day sheet") if len(plans) == 1 else shop_head(plans, voice, "Day sheet")),
        "several": len(plans) > 1,
        "words": {key: voice.ours(text) for key, text in SHEET_WORDS.items()},
        "degrees": "°F" if voice.american and voice.inches else "°C",
        "prevails": PREVAILS,
        "closing": [voice.ours(words) for words in CLOSING],
        "rags": voice.ours(RAGS),
        "days": [
            _day(voice, day, stretches.get(day, []), jars.get(day, []), len(plans) == 1, _notes(plans, first=n == 0))
            for n, day in enumerate(days or [today])
        ],
    }


def _notes(plans: Sequence[PiecePlan], first: bool) -> list[str]:
    """On the first sheet what the next wet step asks of the air; on all, that pieces don't know of one another."""
    several = len(plans) > 1
    air = [f"{code_of(plan)}: {sentence(plan.air)}" if several else sentence(plan.air) for plan in plans if plan.air]
    return [*(air if first else []), *([TWO_AT_ONCE] if several else [])]


def _stretches(plan: PiecePlan, voice: Voice) -> dict[date, list[_Stretch]]:
    by_day: dict[date, dict[tuple[str, int, str], _Stretch]] = {}
    for number, planned in enumerate(plan.steps, 1):
        if is_done(planned):
            continue
        for slot in planned.slots:
            day = by_day.setdefault(voice.local(slot.start).date(), {})
            key = (planned.step.id, slot.session, slot.who)
            first = day[key].first if key in day else slot
            day[key] = _Stretch(plan, planned, number, first, slot)
    return {day: list(found.values()) for day, found in by_day.items()}


def _jar_moments(plan: PiecePlan, voice: Voice) -> dict[date, list[tuple[datetime, dict[str, Any]]]]:
    by_day: dict[date, list[tuple[datetime, dict[str, Any]]]] = {}
    jars = jar_names(plan)
    at_work = {slot.start for planned in plan.steps for slot in planned.slots if planned.step.rule in JAR_WORK}
    for mix in plan.mixes:
        jar, name = jars[mix.id], voice.ours(mix.name)
        moments = [(mix.mix_at, "mix", f"Mix {jar}", f"{voice.amount(mix.make)} of {name}; see its card")]
        moments += [(at, "stir", f"Stir {jar}", name) for at in mix.stir_at]
        moments.append((mix.ready_at, "face", f"{jar} is ready", "not before"))
        for at, mark, what, note in moments:
            if at is not None and (at not in at_work or mark == "face"):
                line = {"time": voice.clock(at), "who": "", "mark": mark, "name": what, "note": note, "parts": [],
                        "amounts": [], "oneway": "", "minutes": "", "piece": code_of(plan)}  # fmt: skip
                by_day.setdefault(voice.local(at).date(), []).append((at, line))
    return by_day


def _day(
    voice: Voice,
    day: date,
    stretches: list[_Stretch],
    jars: list[tuple[datetime, dict[str, Any]]],
    one_piece: bool,
    notes: list[str],
) -> dict[str, Any]:
    lines = [(stretch.first.start, _line(voice, stretch)) for stretch in stretches] + jars
    lines.sort(key=lambda line: line[0])
    return {
        "date": voice.date(day, long=True),
        "note": voice.ours(" ".join(notes)),
        "empty": "Nothing of this piece is down for today." if one_piece else "Nothing is down for today.",
        "cautions": [
            {"level": caution.level.value, "says": voice.ours(sentence(caution.says))}
            for caution in _binding(stretches)
        ],
        "lines": [line for _, line in lines],
        "spare": max(0, min(2, 5 - len(lines))),
    }


def _binding(stretches: list[_Stretch]) -> list[Caution]:
    """The few cautions that bind this day's work, Stop before Mind."""
    found = {caution.key: caution for stretch in stretches for caution in stretch.planned.step.cautions}
    first_stop = sorted(found.values(), key=lambda caution: caution.level is not Level.STOP)
    return first_stop[: int(rule("papers", "cautions_on_a_sheet").value)]


def _line(voice: Voice, stretch: _Stretch) -> dict[str, Any]:
    plan, planned, step = stretch.plan, stretch.planned, stretch.planned.step
    sessions = max(stretch.first.of, 1)
    session = f"session {stretch.first.session} of {sessions}, " if sessions > 1 else ""
    return {
        "piece": code_of(plan),
        "time": voice.clock(stretch.first.start),
        "who": stretch.first.who,
        "mark": JAR_WORK.get(step.rule, ""),
        "name": f"{stretch.number}. {name_of(step, voice)}",
        "note": f"{session}till {voice.clock(stretch.last.end)}",
        "parts": list(step.parts),
        "amounts": [
            {
                "amount": voice.amount(need.amount),
                "of": voice.ours(need.name) + (f" for all {sessions} sessions" if sessions > 1 else ""),
                "jar": jar_for_need(plan, step, need),
            }
            for need in step.needs
        ],
        "oneway": "Can't be undone" if step.undo is Undo.NO else "",
        "minutes": f"{voice.minutes(planned.minutes.p50)} ({voice.minutes(planned.minutes.p80)})"
        + (" in all" if sessions > 1 else ""),
    }
