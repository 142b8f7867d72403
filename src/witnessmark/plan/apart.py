"""Taking apart and gluing up, as takedown has them: what is opened, what stays shut, glue-ups by stage."""

from dataclasses import dataclass
from functools import cache
from typing import Any

from witnessmark.finish import adhesive, adhesives
from witnessmark.quantities import Range, Temperature, usual
from witnessmark.shop import Shop
from witnessmark.sources import Working
from witnessmark.survey import Survey
from witnessmark.takedown import (
    CantPart,
    Glue,
    Hands,
    Stage,
    Takedown,
    glue_stages,
    takedown,
    takedown_as_json,
    workings_of,
)

USUAL_GLUE = "hide_glue_hot"  # the glue of steps.csv: the one that comes undone again


@dataclass(frozen=True)
class Apart:
    """How the piece comes apart and together; `taken` is None, with the reason, where its joints hold one another."""

    taken: Takedown | None
    stages: tuple[Stage, ...] = ()
    warnings: tuple[str, ...] = ()

    def as_json(self) -> dict[str, Any] | None:
        return takedown_as_json(self.taken, self.stages) if self.taken else None

    @property
    def workings(self) -> tuple[Working[Any], ...]:
        return tuple(workings_of(self.taken, self.stages)) if self.taken else ()


@cache
def _glue(key: str) -> Glue:
    found = adhesive(key)
    return Glue(key, found.name, found.open_time, found.temperature, found.gap_filling)


@cache
def _glues() -> tuple[Glue, ...]:
    return tuple(_glue(one.key) for one in adhesives())


def apart_of(survey: Survey) -> Apart:
    """How the piece comes apart. A ring of joints does not stop the plan: it is said, and looked at by hand."""
    if not survey.joint:
        return Apart(None)
    try:
        return Apart(takedown(survey, glue=_glue(USUAL_GLUE)))
    except CantPart as ring:
        return Apart(None, warnings=(str(ring),))


def together(apart: Apart, survey: Survey, shop: Shop) -> Apart:
    """The same with its glue-ups by stage, in this shop: seconds against the open time, people, cramps by length."""
    if apart.taken is None:
        return apart
    cramps = tuple((cramp.length.value, cramp.count) for cramp in shop.cramp) or None
    hands = Hands(len(shop.person), cramps, _by_day(shop))
    stages = glue_stages(survey, apart.taken, _glue(USUAL_GLUE), hands, _glues())
    return Apart(apart.taken, stages, (*apart.warnings, *apart.taken.warnings))


def _by_day(shop: Shop) -> Temperature | Range[Temperature] | None:
    """The shop by day where it is glued up: the coldest of its rooms, since nobody said which."""
    known = [room.day_temperature.value for room in shop.room if room.day_temperature and room.day_temperature.known]
    if not known:
        return None
    coldest: Temperature | Range[Temperature] = min(known, key=lambda warmth: usual(warmth).celsius)
    return coldest
