"""The shop's week: each piece's work by day and person, jars, other people, promises; and where two things clash."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from witnessmark.plan import PiecePlan
from witnessmark.sources import rule

from .days import TWO_AT_ONCE
from .heads import JAR_WORK, code_of, days_to_say, is_done, jar_names, name_of, title_of
from .letters import shop_head
from .voice import Voice, sentence, shortened


@dataclass(frozen=True)
class _Job:
    start: datetime
    end: datetime
    who: str
    plan: PiecePlan
    says: str
    mark: str


def week(plans: Sequence[PiecePlan], voice: Voice) -> dict[str, Any]:
    """Everything `week.typ` prints: a row a day, today first."""
    o, now = voice.ours, plans[0].now
    today = voice.local(now).date()
    days = [today + timedelta(days=n) for n in range(int(rule("papers", "week").value))]
    jobs = sorted(_jobs(plans, voice), key=lambda job: (job.start, job.who, job.says))
    clashing = _clashing(jobs)
    several = len(plans) > 1
    return {
        **shop_head(plans, voice, "The shop's week"),
        "words": {
            "title": o("The shop's week"),
            "waiting": o("With other people"),
            "promised": o("Promised"),
            "nothing": o("Nothing is planned."),
            "pins": o("Fixed from outside"),
            "clash": o("two at once"),
        },
        "made": f"{o('as it stood')} {voice.moment(now)}",
        "clash_note": o(TWO_AT_ONCE) if several else "",
        "days": [_day(day, jobs, clashing, plans, voice) for day in days],
        "waiting": [{"code": code_of(plan), "says": sentence(line)} for plan in plans for line in plan.away],
        "promised": [
            {
                "code": code_of(plan),
                "says": f"{shortened(title_of(plan), 50)}: {voice.date(plan.survey.piece.promised)}",
                "late": _late(plan, voice),
            }
            for plan in sorted(plans, key=lambda plan: (plan.survey.piece.promised or date.max, title_of(plan)))
            if plan.survey.piece.promised
        ],
        "pins": [
            f"{voice.date(pin.on)}: {pin.piece}. {pin.note}".strip()
            for pin in sorted(plans[0].shop.pin, key=lambda pin: pin.on)
            if pin.on >= today
        ],
    }


def _jobs(plans: Sequence[PiecePlan], voice: Voice) -> list[_Job]:
    found = []
    for plan in plans:
        for planned in plan.steps:
            if is_done(planned):
                continue
            for slot in planned.slots:
                session = f" ({slot.session} {voice.ours('of')} {slot.of})" if slot.of > 1 else ""
                found.append(
                    _Job(
                        slot.start,
                        slot.end,
                        slot.who,
                        plan,
                        name_of(planned.step, voice) + session,
                        JAR_WORK.get(planned.step.rule, ""),
                    )
                )
        at_work = {slot.start for planned in plan.steps for slot in planned.slots if planned.step.rule in JAR_WORK}
        names = jar_names(plan)
        for mix in plan.mixes:
            moments = [
                (mix.mix_at, "Mix", "mix"),
                *((at, "Stir", "stir") for at in mix.stir_at),
                (mix.ready_at, "Ready:", "face"),
            ]
            for at, did, mark in moments:
                if at is not None and (mark == "face" or at not in at_work):
                    found.append(_Job(at, at, "", plan, voice.ours(f"{did} {names[mix.id]}, {mix.name}"), mark))
    return found


def _clashing(jobs: Sequence[_Job]) -> set[int]:
    """The places of jobs where one person is down for another piece at the same time."""
    found = set()
    for place, one in enumerate(jobs):
        for later in range(place + 1, len(jobs)):
            other = jobs[later]
            if other.start >= one.end:
                break
            if one.who and one.who == other.who and one.plan is not other.plan:
                found |= {place, later}
    return found


def _day(
    day: date, jobs: Sequence[_Job], clashing: set[int], plans: Sequence[PiecePlan], voice: Voice
) -> dict[str, Any]:
    mine = [(place, job) for place, job in enumerate(jobs) if voice.local(job.start).date() == day]
    closed = day in plans[0].shop.closed
    who = (
        []
        if closed
        else [
            person.name
            for person in plans[0].shop.person
            if person.week.get(day.weekday()) and day not in person.days_off
        ]
    )
    return {
        "date": voice.date(day),
        "who": ", ".join(who) if who else voice.ours("closed" if closed else "nobody in"),
        "jobs": [
            {
                "time": voice.clock(job.start),
                "till": voice.clock(job.end) if job.end > job.start else "",
                "who": job.who,
                "code": code_of(job.plan),
                "says": job.says,
                "mark": job.mark,
                "clash": place in clashing,
            }
            for place, job in mine
        ],
    }


def _late(plan: PiecePlan, voice: Voice) -> str:
    """What to say of a promise that the plan does not keep."""
    promised, likely, safe = plan.survey.piece.promised, *days_to_say(plan)
    if promised is None or likely is None or safe is None:
        return ""
    if voice.local(likely).date() > promised:
        return voice.ours(f"not before {voice.day(likely)}, by the plan")
    return voice.ours(f"safe to say {voice.day(safe)}") if voice.local(safe).date() > promised else ""
