"""The calendar file: each stretch at the bench, and when a jar is mixed, stirred and ready. RFC 5545, for any diary."""

from datetime import UTC, datetime

from icalendar import Calendar, Event

from witnessmark.plan import PiecePlan

from .glyphs import printable
from .heads import JAR_WORK, jar_names, name_of, title_of
from .voice import Voice


def diary_of(plan: PiecePlan, voice: Voice) -> bytes:
    """The events as an iCalendar file. Their ids stay from plan to plan: a diary moves, not doubles them."""
    title = title_of(plan)
    book = Calendar()
    book.add("prodid", "-//witnessmark//plan//EN")
    book.add("version", "2.0")
    book.add("x-wr-calname", title)
    for number, planned in enumerate(plan.steps, 1):
        step = planned.step
        for place, slot in enumerate(planned.slots, 1):
            session = f" (session {slot.session} of {slot.of})" if slot.of > 1 else ""
            needs = [f"{voice.amount(need.amount)} {voice.ours(need.name)}" for need in step.needs]
            lines = [", ".join(step.parts), "; ".join(needs), slot.who]
            summary = f"{title}: {number}. {name_of(step, voice)}{session}"
            says = "\n".join(line for line in lines if line)
            book.add_component(_event(plan, f"{step.id}.{place}", summary, slot.start, slot.end, says))
    jars = jar_names(plan)
    at_work = {slot.start for planned in plan.steps for slot in planned.slots if planned.step.rule in JAR_WORK}
    for mix in plan.mixes:
        jar, what = jars[mix.id], voice.ours(mix.name)
        moments = [("mix", mix.mix_at, f"Mix {jar}"), ("ready", mix.ready_at, f"{jar} is ready")]
        moments += [(f"stir.{n}", at, f"Stir {jar}") for n, at in enumerate(mix.stir_at, 1)]
        for kind, at, says in moments:
            if at is not None and (kind == "ready" or at not in at_work):
                says = f"{title}: {says}, {voice.amount(mix.make)} of {what}"
                book.add_component(_event(plan, f"{mix.id}.{kind}", says, at, None, ""))
    text: bytes = book.to_ical()
    return text


def _event(plan: PiecePlan, name: str, summary: str, start: datetime, end: datetime | None, says: str) -> Event:
    event = Event()
    event.add("uid", f"{name}@{plan.survey.id}")
    event.add("dtstamp", plan.now.astimezone(UTC))
    event.add("dtstart", start.astimezone(UTC))
    if end is not None:
        event.add("dtend", end.astimezone(UTC))  # without one, an event is a moment
    event.add("summary", printable(summary))
    if says:
        event.add("description", "\n".join(printable(line) for line in says.splitlines()))
    return event
