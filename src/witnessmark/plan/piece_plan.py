"""The plan of one piece: everything computed from the three documents, ready for paper, screen and file."""

from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from witnessmark.money import Cost
from witnessmark.safety import Caution
from witnessmark.schedule import Minutes, Slot
from witnessmark.shop import Shop
from witnessmark.sources import Working
from witnessmark.survey import Survey
from witnessmark.treatment import RuleSaid, Step, WayOffered

from .apart import Apart


@dataclass(frozen=True)
class Fact:
    """One fact the plan looks at: its key, what it is called, and what was said of it."""

    key: str
    name: str
    said: str


@dataclass(frozen=True)
class MissingFact:
    """One fact not known, what finding it out would settle, and what that takes."""

    key: str
    name: str
    settles: str
    how: str
    minutes: float


@dataclass(frozen=True)
class Facts:
    """Known, missing, and the one most worth finding out."""

    known: tuple[Fact, ...]
    missing: tuple[MissingFact, ...]
    worth: MissingFact | None


@dataclass(frozen=True)
class WayCosted:
    """A way to go about it, once it is timed and costed."""

    offered: WayOffered
    chosen: bool
    hours: Any = None
    days: Any = None
    cost: Any = None
    clears: Any = None
    next_hour: Any = None


@dataclass(frozen=True)
class Branch:
    """What would be done if a thing not known yet turned out so."""

    condition: str
    steps: tuple[Step, ...]


@dataclass(frozen=True)
class PlannedStep:
    """A step with its minutes and its days. `logged` holds the day-book facts, when it is begun or done."""

    step: Step
    minutes: Minutes
    slots: tuple[Slot, ...]
    logged: dict[str, Any] | None = None

    @property
    def starts(self) -> datetime | None:
        return self.slots[0].start if self.slots else None

    @property
    def ends(self) -> datetime | None:
        return self.slots[-1].end if self.slots else None


@dataclass(frozen=True)
class Use:
    """What one step takes from a jar."""

    step: str
    volume: Any


@dataclass(frozen=True)
class Mix:
    """One jar mixed ahead: how much of what, when, stirred when, used by which steps."""

    id: str
    material: str
    name: str
    make: Any
    resin: Any
    solvent: Any
    cut: Any
    mix_at: datetime | None
    ready_at: datetime | None
    stir_at: tuple[datetime, ...]
    best_before: datetime | None
    uses: tuple[Use, ...]
    kept_back: Any = None
    from_shelf: str | None = None


@dataclass(frozen=True)
class Buy:
    """One line of the shopping: in sellable sizes, less what is on the shelf. `amount` is all the packs together."""

    material: str
    name: str
    need: Any
    on_shelf: Any
    buy: str
    packs: int
    price: Any = None
    amount: Any = None


@dataclass(frozen=True)
class PiecePlan:
    """See `plan.json` in the published schema for the outside form.

    `likely_day` is when the work likely ends, `safe_day` when it does four times in five: that is the day to say.
    `air` is what the next wet step asks of it; `away` what is out with
    whom, and since when.
    """

    survey: Survey
    shop: Shop
    now: datetime
    facts: Facts
    ways: tuple[WayCosted, ...]
    branches: tuple[Branch, ...]
    steps: tuple[PlannedStep, ...]
    mixes: tuple[Mix, ...]
    shopping: tuple[Buy, ...]
    cost: Cost
    cautions: tuple[Caution, ...]
    rules: tuple[RuleSaid, ...]
    workings: tuple[Working[Any], ...]
    total: Minutes | None = None
    warnings: tuple[str, ...] = ()
    worth: tuple[dict[str, Any], ...] = field(default=())
    apart: Apart = Apart(None)  # noqa: RUF009 (frozen)
    likely_day: datetime | None = None
    safe_day: datetime | None = None
    air: str = ""
    away: tuple[str, ...] = ()
