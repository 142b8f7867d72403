"""What is seen of a piece, and the work of one way: its steps, its jars and its minutes, before they have dates."""

from collections.abc import Container
from dataclasses import dataclass, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from witnessmark.safety import Hazard, hazards_in
from witnessmark.schedule import Minutes, PastWork, labour_named, minutes_of
from witnessmark.shop import Shop
from witnessmark.survey import Areas, Survey, areas_of
from witnessmark.treatment import (
    Finding,
    Jar,
    Reason,
    RuleSaid,
    Step,
    WayOffered,
    chosen_way,
    findings_in,
    jars_for,
    skipped_in,
    steps_for,
    ways_for,
)

from .apart import Apart, apart_of, together
from .timing import jar_steps


@dataclass(frozen=True)
class Seen:
    """A piece in its shop at an instant, with all that follows before anything is chosen.

    `own_past`: what the shop's finished work took, from its day book.
    """

    survey: Survey
    shop: Shop
    now: datetime
    hazards: tuple[Hazard, ...]
    findings: tuple[Finding, ...]
    areas: Areas
    ways: tuple[WayOffered, ...]
    rules: tuple[RuleSaid, ...]
    apart: Apart
    own_past: tuple[PastWork, ...] = ()
    at_once: bool = False  # the day book has the glue-up as one step

    @property
    def today(self) -> date:
        """The day by the shop's own clock."""
        return self.now.astimezone(ZoneInfo(self.shop.shop.zone)).date()

    def chosen(self) -> tuple[WayOffered, str]:
        """The way taken, and why."""
        return chosen_way(self.survey, self.ways)


@dataclass(frozen=True)
class Work:
    """The steps of one way with mixing and stirring among them, the jars, and the minutes of each step by its id."""

    steps: tuple[Step, ...]
    jars: tuple[Jar, ...]
    minutes: dict[str, Minutes]
    rules: tuple[RuleSaid, ...]


def seen_in(survey: Survey, shop: Shop, now: datetime, own_past: tuple[PastWork, ...] = ()) -> Seen:
    """Hazards, findings, areas and ways of a survey."""
    hazards = hazards_in(survey, shop.shop.words.value)
    apart = together(apart_of(survey), survey, shop)
    findings = findings_in(survey, hazards, apart.taken)
    ways, rules = ways_for(findings, skipped_in(survey))
    return Seen(survey, shop, now, hazards, findings, areas_of(survey), ways, rules, apart, own_past)


def work_of(seen: Seen, way: WayOffered, done: Container[str] = ()) -> Work:
    """The work of one way. `done`: ids of steps that draw on no jar any more."""
    steps, rules = steps_for(
        seen.survey, seen.findings, way, seen.areas.total, seen.hazards, seen.shop.shop.words.value,
        () if seen.at_once else seen.apart.stages, seen.apart.taken.opened if seen.apart.taken else (),
    )  # fmt: skip
    jars = jars_for([step for step in steps if step.id not in done], seen.shop, seen.today)
    everything = (*steps, *jar_steps(jars, steps))
    minutes = {step.id: minutes_of(step, seen.survey.trial, seen.own_past) for step in everything}
    timed = tuple(_timed(step, minutes[step.id], seen.survey) for step in everything)
    return Work(timed, jars, minutes, rules)


def _timed(step: Step, minutes: Minutes, survey: Survey) -> Step:
    """The step, owning up to the trial patches its minutes rest on."""
    if minutes.says_from != "trial patch":
        return step
    patches = tuple(
        f"trial.{number}" for number, trial in enumerate(survey.trial, 1) if labour_named(trial.step) == step.labour
    )
    return replace(step, why=(*step.why, Reason("It was timed on a trial patch.", patches)))
