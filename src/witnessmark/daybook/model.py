"""The day book: what was done, one line an entry, never changed. Correcting is a new entry that names the old one."""

from datetime import datetime
from enum import StrEnum
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from witnessmark.documents import Written, written
from witnessmark.quantities import Mass, Percent, Span, Temperature, Volume

SCHEMA = 1

SpanText = Annotated[Written, written(Span, "3 h", one=True)]
VolumeText = Annotated[Written, written(Volume, "250 ml", one=True)]
MassText = Annotated[Written, written(Mass, "60 g", one=True)]
TemperatureText = Annotated[Written, written(Temperature, "18 °C", one=True)]
PercentText = Annotated[Written, written(Percent, "55 %", one=True)]
Uuid7 = Annotated[str, Field(pattern=r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$")]


class What(StrEnum):
    """The kinds of entry."""

    WORKED = "worked"
    DONE = "done"
    STARTED = "started"
    MIXED = "mixed"
    STIRRED = "stirred"
    USED = "used"
    AIR = "air"
    SENT = "sent"
    BACK = "back"
    BOUGHT = "bought"
    NOTE = "note"
    PHOTOGRAPH = "photograph"
    CLOSED_UP = "closed up"
    CORRECTS = "corrects"


class Line(BaseModel):
    """What every table of an entry shares."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


class StepAsLogged(Line):
    """The step as it then stood in the plan, so that it stays a fact when the rules would no longer call for it."""

    id: str
    trade_name: str
    parts: tuple[str, ...] = Field(default=(), strict=False)


class Amount(Line):
    """So much of a material, and from which jar."""

    material: str
    volume: VolumeText | None = None
    mass: MassText | None = None
    jar: str = ""


class Entry(Line):
    """One entry. `happened` is when it was, `arrived` when it reached the record; both with their offset."""

    id: Uuid7
    what: Annotated[What, Field(strict=False)]
    who: str
    happened: Annotated[datetime, Field(strict=False)]
    arrived: Annotated[datetime, Field(strict=False)] | None = None
    piece: str = ""
    part: str = ""
    step: StepAsLogged | None = None
    minutes: SpanText | None = None
    amounts: tuple[Amount, ...] = Field(default=(), strict=False)
    temperature: TemperatureText | None = None
    rh: PercentText | None = None
    photograph: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")] | None = None
    to: str = ""
    corrects: Uuid7 | None = None
    note: str = ""


class DayBook(Line):
    """The entries that count, in the order they happened. Two entries of one id are one."""

    schema_version: int = Field(alias="schema", default=SCHEMA, ge=1, le=SCHEMA)
    entries: tuple[Entry, ...] = Field(default=(), strict=False)
