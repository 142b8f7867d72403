"""When: jobs from steps, jars mixed so that they are fit before their first use, and the slots of each step."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from witnessmark.finish import dissolving_temperature, dissolving_time
from witnessmark.quantities import Span, low, say, usual
from witnessmark.schedule import Broken, Job, Minutes, Slot, days_for
from witnessmark.shop import Shop
from witnessmark.sources import rule
from witnessmark.treatment import Basis, Cure, Jar, Reason, Step, Wait, wait_named

from .piece_plan import Mix, Use


@dataclass(frozen=True)
class Timed:
    """The slots of every step, the jars with their times, and what could not be kept."""

    slots: dict[str, tuple[Slot, ...]]
    mixes: tuple[Mix, ...]
    broken: tuple[Broken, ...]
    notes: tuple[str, ...]


def jar_steps(jars: Sequence[Jar], steps: Sequence[Step]) -> tuple[Step, ...]:
    """Mixing and stirring as steps: somebody's minutes, like any other. They rest on what their uses rest on."""
    made: list[Step] = []
    for jar in jars:
        if jar.shelf is not None or jar.resin is None:
            continue
        glue = jar.solvent is None
        users = {step_id for step_id, _ in jar.uses}
        rests_on = dict.fromkeys(c for step in steps if step.id in users for why in step.why for c in why.cites)
        name = f"soak {say(usual(jar.resin.value))} of dry glue" if glue else f"mix {say(jar.make)} of {jar.name}"
        made.append(
            Step(
                f"mix.{jar.id.removeprefix('jar.')}", "soak" if glue else "mix", name, "mix", Basis.PIECE,
                wait=wait_named("soaked") if glue else _dissolving(),
                why=(Reason("It must be fit before its first use.", tuple(rests_on)),),
                tools=("scale", "jug", "labelled jar"),
            )
        )  # fmt: skip
        stirs = 0 if glue else int(rule("treatment", "stirs").value)
        made += [
            Step(
                f"stir.{jar.id.removeprefix('jar.')}.{number}", "stir", f"stir the {jar.material}", "stir", Basis.PIECE,
                why=(Reason("Flakes cake at the bottom unless they are stirred.", tuple(rests_on)),),
            )
            for number in range(1, stirs + 1)
        ]  # fmt: skip
    return tuple(made)


def _dissolving() -> Wait:
    """Until the flakes have dissolved: only while the shop is warm enough for them to."""
    time, warmth = dissolving_time(), dissolving_temperature()
    return Wait(low(time.value), usual(time.value), None, Cure.TOUCH, usual(warmth.value), time.source_key)


def timed(
    steps: Sequence[Step],
    minutes: Mapping[str, Minutes],
    jars: Sequence[Jar],
    shop: Shop,
    now: datetime,
    done: Mapping[str, tuple[Slot, ...]],
) -> Timed:
    """Days for every step. Jars are first left out, then mixed just in time for the first step that draws on them."""
    working = [step for step in steps if step.rule not in {"mix", "soak", "stir"}]
    by_id = {step.id: step for step in working}
    jobs = [replace(_job(step, minutes, done), after=_still_before(step, by_id, done)) for step in working]
    first = days_for(jobs, shop, now)
    drawn = [jar for jar in jars if jar.shelf is None and jar.resin is not None]
    ahead: list[Job] = []
    needs: dict[str, list[str]] = {}
    for jar in drawn:
        name = jar.id.removeprefix("jar.")
        users = [step_id for step_id, _ in jar.uses if first.slots.get(step_id)]
        mix = next(step for step in steps if step.id == f"mix.{name}")
        if not users:
            continue
        use_at = min(first.slots[user][0].start for user in users)
        # A day in hand: a jar that is late costs the day, one that is early costs nothing.
        start = max(now, use_at - timedelta(minutes=mix.wait.usual.minutes) - timedelta(days=1))
        ahead.append(replace(_job(mix, minutes, done), earliest=start))
        stir_after: Span = rule("treatment", "stir_after").value.usual
        stirs = [step for step in steps if step.id.startswith(f"stir.{name}.")]
        for number, stir in enumerate(stirs):
            job = _job(stir, minutes, done)
            earliest = start + timedelta(minutes=stir_after.minutes * (1 + 4 * number))
            ahead.append(replace(job, earliest=earliest))
        for user in users:
            needs.setdefault(user, []).extend([mix.id, *(stir.id for stir in stirs)])
    if ahead:
        jobs = ahead + [
            replace(job, after=(*job.after, *needs[job.id])) if job.id in needs and not job.fixed else job
            for job in jobs
        ]
        second = days_for(jobs, shop, now)
    else:
        second = first
    return Timed(second.slots, tuple(_mix(jar, steps, second.slots) for jar in jars), second.broken, second.notes)


def _still_before(step: Step, by_id: Mapping[str, Step], done: Mapping[str, tuple[Slot, ...]]) -> tuple[str, ...]:
    """What must come before: a step done out of turn lets nothing through that was still to wait for."""
    wanted, before = list(step.after), dict.fromkeys(step.after)
    while wanted:
        name = wanted.pop()
        if name in done and name in by_id:
            fresh = [one for one in by_id[name].after if one not in before]
            before.update(dict.fromkeys(fresh))
            wanted += fresh
    return tuple(before)


def _job(step: Step, minutes: Mapping[str, Minutes], done: Mapping[str, tuple[Slot, ...]]) -> Job:
    return Job(
        step.id, minutes[step.id].p50, step.sessions, step.after, step.wait, step.between, step.unbroken,
        fixed=done.get(step.id, ()),
    )  # fmt: skip


def _mix(jar: Jar, steps: Sequence[Step], slots: Mapping[str, tuple[Slot, ...]]) -> Mix:
    name = jar.id.removeprefix("jar.")
    mix_slots = slots.get(f"mix.{name}", ())
    ready = None
    if mix_slots:
        wait = next(step.wait for step in steps if step.id == f"mix.{name}")
        ready = mix_slots[-1].end + timedelta(minutes=wait.usual.minutes)
    stirs = tuple(
        slot.start for step in steps if step.id.startswith(f"stir.{name}.") for slot in slots.get(step.id, ())[:1]
    )
    made = mix_slots[-1].end if mix_slots else None
    return Mix(
        id=jar.id, material=jar.material, name=jar.name, make=jar.make,
        resin=usual(jar.resin.value) if jar.resin else None,
        solvent=usual(jar.solvent.value) if jar.solvent else None, cut=jar.cut,
        mix_at=made and mix_slots[0].start, ready_at=ready, stir_at=stirs,
        best_before=made and made + timedelta(days=jar.keeps_days),
        uses=tuple(Use(step_id, working.value) for step_id, working in jar.uses),
        from_shelf=jar.shelf,
    )  # fmt: skip
