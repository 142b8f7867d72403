"""A caution, and the task that calls for it."""

from dataclasses import dataclass
from enum import StrEnum

from witnessmark.quantities import Span, Volume


class Level(StrEnum):
    """“Stop” is not acknowledged away; “Mind” is said once a piece."""

    STOP = "Stop"
    MIND = "Mind"


@dataclass(frozen=True)
class Caution:
    """One plain order, with what raised it and whom to ask. `cites`: the facts or materials."""

    key: str
    level: Level
    says: str
    ask: str
    source_key: str
    as_of: str = ""
    cites: tuple[str, ...] = ()


@dataclass(frozen=True)
class Task:
    """What a step asks of hands, air and fire.

    `materials` are material keys; `amount` is the solvent let go into the room, `minutes` the time it takes;
    `rags` and `dust` say what is left over. `found` are finding keys of the survey, such as `old_lead_paint`.
    """

    rule: str
    materials: tuple[str, ...] = ()
    amount: Volume | None = None
    minutes: Span | None = None
    dust: bool = False
    heat: bool = False
    lifting: bool = False
    found: tuple[str, ...] = ()
