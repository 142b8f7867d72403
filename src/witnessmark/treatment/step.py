"""A step of the work, as the trade would write it on a card, with its reason and its way back."""

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from witnessmark.quantities import Span, Temperature
from witnessmark.safety import Caution, Task
from witnessmark.sources import Working


class Cure(StrEnum):
    """How far a film, a glue or the wood must have come before the next step may begin."""

    TOUCH = "touch"
    HANDLE = "handle"
    REFIT = "refit"
    CUT_BACK = "cut_back"
    FULL = "full"


class Undo(StrEnum):
    """Whether a step can be taken back. What can't be says so before it is done."""

    YES = "can be undone"
    PARTLY = "partly"
    NO = "can't be undone"


class Basis(StrEnum):
    """What the labour of a step is counted by."""

    AREA = "area"
    COUNT = "count"
    PIECE = "piece"


@dataclass(frozen=True)
class Wait:
    """Elapsed time before the next step: never less than `least`, planned on `usual`, before `latest` if there is one.

    `least_temperature`: the wait runs only while the shop is at least so warm.
    """

    least: Span
    usual: Span
    latest: Span | None
    cure: Cure
    least_temperature: Temperature | None
    source_key: str


NO_WAIT = Wait(Span(0), Span(0), None, Cure.TOUCH, None, "own_convention")


@dataclass(frozen=True)
class Need:
    """So much of one material, with its working. `mix` is the id of the jar it comes from, if it is mixed."""

    material: str
    name: str
    amount: Working[Any]
    mix: str | None = None


@dataclass(frozen=True)
class Reason:
    """Why a step is there, and the facts it rests on: their keys, such as `finish.kind` or `condition.2`.

    `of_amount`: whether what the step takes from a jar rests on it too; in which order it goes does not.
    """

    says: str
    cites: tuple[str, ...]
    of_amount: bool = True


@dataclass(frozen=True)
class Step:
    """One step.

    `id` is made of rule, parts, face and ordinal. `labour` is a key of `schedule/labour_rates.csv`; `basis` says
    whether its minutes go by `area`, by `count` or by the piece. A step of several `sessions` waits `between` them
    and `wait` after the last. `unbroken` work (a wet coat) is not interrupted by closing time.
    """

    id: str
    rule: str
    trade_name: str
    labour: str
    basis: Basis
    parts: tuple[str, ...] = ()
    faces: tuple[str, ...] = ()
    area: Working[Any] | None = None
    count: int | None = None
    sessions: int = 1
    needs: tuple[Need, ...] = ()
    wait: Wait = NO_WAIT
    between: Wait = NO_WAIT
    after: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    undo: Undo = Undo.YES
    why: tuple[Reason, ...] = ()
    cautions: tuple[Caution, ...] = ()
    task: Task | None = None
    film: bool = False
    dust: bool = False
    unbroken: bool = False
    minutes_said: Span | None = None  # by the decision that added the step by hand
