"""When: jobs from steps, jars mixed so that they are fit before their first use, and the slots of each step."""

from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from typing import Any

from witnessmark.finish import dissolving_temperature, dissolving_time
from witnessmark.quantities import high, low, say, usual
from witnessmark.schedule import Broken, Job, Minutes, Slot, days_for
from witnessmark.shop import Shop
from witnessmark.sources import rule
from witnessmark.treatment import Basis, Cure, Jar, Reason, Step, Wait, pots_for, wait_named

from .piece_plan import Mix, Use

_WEEK = 7  # days looked back for one on which somebody works


@dataclass(frozen=True)
class Timed:
    """The slots of every step, the jars with their times, and what could not be kept."""

    slots: dict[str, tuple[Slot, ...]]
    mixes: tuple[Mix, ...]
    broken: tuple[Broken, ...]
    notes: tuple[str, ...]
    more: tuple[tuple[Step, Minutes], ...] = ()  # soaking again what does not keep
    jars: tuple[Jar, ...] = ()


def jar_steps(jars: Sequence[Jar], steps: Sequence[Step]) -> tuple[Step, ...]:
    """Mixing, stirring and the drop on glass as steps: somebody's minutes. They rest on what their uses rest on.

    Nothing is put in soak before the piece is photographed as it was found.
    """
    made: list[Step] = []
    recorded = tuple(step.id for step in steps if step.rule == "record")
    for jar in jars:
        if jar.shelf is not None or jar.resin is None:
            continue
        glue = jar.solvent is None
        users = {step_id for step_id, _ in jar.uses}
        reasons = [why for step in steps if step.id in users for why in step.why if why.of_amount]
        rests_on = dict.fromkeys(cite for why in reasons for cite in why.cites)
        if jar.to_test:
            made.append(
                Step(
                    f"glass_test.{jar.to_test.lower().replace(' ', '_')}", "glass_test",
                    f"put a drop of jar {jar.to_test} on glass", "glass_test", Basis.COUNT, count=1, after=recorded,
                    wait=wait_named("drop_dries"), tools=("glass", "pencil"),
                    why=(Reason("If it is hard tomorrow the old jar does for sealing and insides.", tuple(rests_on)),),
                )
            )  # fmt: skip
        name = f"soak {say(usual(jar.resin.value))} of dry glue" if glue else f"mix {say(jar.make)} of {jar.name}"
        made.append(
            Step(
                f"mix.{jar.id.removeprefix('jar.')}", "soak" if glue else "mix", name, "mix", Basis.PIECE,
                wait=wait_named("soaked") if glue else _dissolving(), after=recorded,
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
    working = [step for step in steps if step.rule not in {"mix", "soak", "stir", "glass_test"}]
    afters = {step.id: step.after for step in working}
    jobs = [replace(_job(step, minutes, done), after=still_before(step.after, afters, done)) for step in working]
    first = days_for(jobs, shop, now)
    jars = tuple(pot for jar in jars for pot in _pots(jar, first.slots))
    drawn = [jar for jar in jars if jar.shelf is None and jar.resin is not None]
    more = _soaked_again(drawn, steps)
    steps = (*(step for step in steps if step.id not in {one.id for one in more}), *more)
    minutes = {**minutes, **{step.id: minutes[_first_pot(step.id)] for step in more}}
    ahead: list[Job] = [_job(step, minutes, done) for step in steps if step.rule == "glass_test"]
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
        stirs = [step for step in steps if step.id.startswith(f"stir.{name}.")]
        if stirs:
            start = _working_day(start, now, shop)
        ahead.append(replace(_job(mix, minutes, done), earliest=start, wait=None))
        gates = gates_of(mix.id, mix.wait, [_job(stir, minutes, done) for stir in stirs])
        ahead += gates
        for user in users:
            needs.setdefault(user, []).extend([gates[0].id, *(stir.id for stir in stirs)])
    if ahead:
        jobs = ahead + [
            replace(job, after=(*job.after, *needs[job.id])) if job.id in needs and not job.fixed else job
            for job in jobs
        ]
        second = days_for(jobs, shop, now)
    else:
        second = first
    slots = {step.id: second.slots[step.id] for step in steps if step.id in second.slots}
    mixes = tuple(_mix(jar, steps, slots) for jar in jars)
    again = tuple((step, minutes[step.id]) for step in more)
    return Timed(slots, mixes, second.broken, second.notes, again, jars)


def gates_of(mix: str, dissolving: Wait, stirs: Sequence[Job]) -> list[Job]:
    """What holds back the users of a jar, the first of them the jar being fit: gates with no minutes of their own.

    Users wait until it is fit, the first stir some hours after mixing, the next a night.
    """
    gates = [Job(f"fit.{mix}", 0, after=(mix,), wait=dissolving, gate=True)]
    before = mix
    for stir, lapse in zip(stirs, ("stir_after", *["stir_again"] * len(stirs)), strict=False):
        gates.append(Job(f"before.{stir.id}", 0, after=(before,), wait=_lapse(lapse), gate=True))
        gates.append(replace(stir, after=(gates[-1].id,)))
        before = stir.id
    return gates


def _lapse(key: str) -> Wait:
    """The least time from mixing to the first stir, or from one stir to the next."""
    lapse = rule("treatment", key)
    return Wait(lapse.value.low, lapse.value.usual, None, Cure.TOUCH, None, lapse.source_key)


def _working_day(start: datetime, now: datetime, shop: Shop) -> datetime:
    """The opening of the last day, up to this one, on which somebody works: mixed early, it is stirred the same day."""
    zone = shop.shop.zone_info
    for back in range(_WEEK):
        day = start.astimezone(zone).date() - timedelta(days=back)
        if any(p.week[day.weekday()] and day not in (*p.days_off, *shop.closed) for p in shop.person):
            return max(now, datetime.combine(day, time(), zone))
    return start


def _pots(jar: Jar, slots: Mapping[str, tuple[Slot, ...]]) -> tuple[Jar, ...]:
    """The jar, or as many of it as its uses are far apart: glue in the pot does not keep as long as a piece takes."""
    if jar.shelf is not None or jar.resin is None or jar.solvent is not None:
        return (jar,)
    # It is soaked up to two days before it is used, and the second pass may move a use by a day or so.
    ahead = rule("treatment", "soaked_ahead").value.minutes
    keeps = timedelta(days=jar.keeps_days, minutes=-ahead)
    uses = sorted((slots[step][-1].end, slots[step][0].start, step) for step, _ in jar.uses if slots.get(step))
    batches: list[list[str]] = []
    began: datetime | None = None
    for end, start, step in uses:
        if began is None or end - began > keeps:
            began = start
            batches.append([])
        batches[-1].append(step)
    return pots_for(jar, batches) if len(batches) > 1 else (jar,)


def _first_pot(step_id: str) -> str:
    """`mix.glue.2` is the first `mix.glue` over again."""
    return ".".join(step_id.split(".")[:2])


def _soaked_again(drawn: Sequence[Jar], steps: Sequence[Step]) -> tuple[Step, ...]:
    """The soaking of every pot where there are several, the first one's amount made its own."""
    pots = [jar for jar in drawn if jar.solvent is None]
    return jar_steps(pots, steps) if len(pots) > 1 else ()


def still_before(after: Sequence[str], afters: Mapping[str, Sequence[str]], done: Container[str]) -> tuple[str, ...]:
    """What must come before: a step done out of turn lets nothing through that was still to wait for."""
    wanted, before = list(after), dict.fromkeys(after)
    while wanted:
        name = wanted.pop()
        if name in done:
            fresh = [one for one in afters.get(name, ()) if one not in before]
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
        kept_back=_kept_back(jar), from_shelf=jar.shelf,
    )  # fmt: skip


def _kept_back(jar: Jar) -> Any:
    """What is left for making good when every use has taken all it may."""
    if jar.shelf is not None:
        return None
    left = jar.make
    for _, use in jar.uses:
        left = left - high(use.value)
    return left
