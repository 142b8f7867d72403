"""The shop: who works when, at what cost, in what air, with what on the shelf."""

from datetime import date, datetime
from typing import Annotated, Any, Self
from zoneinfo import ZoneInfo, available_timezones

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator
from pydantic_core import PydanticCustomError

from witnessmark.documents import Written, nearest, written
from witnessmark.quantities import Currency, Cut, Gallon, Length, Mass, Percent, Temperature, Volume

from .hours import Stretch, read_hours
from .words import Role, Units, Vocabulary

SCHEMA = 1

LengthText = Annotated[Written, written(Length, "1200 mm", one=True)]
VolumeText = Annotated[Written, written(Volume, "500 ml", one=True)]
MassText = Annotated[Written, written(Mass, "250 g", one=True)]
CutText = Annotated[Written, written(Cut, "2 lb", one=True)]
PercentText = Annotated[Written, written(Percent, "55 %")]
TemperatureText = Annotated[Written, written(Temperature, "18 °C")]
MoneyText = Annotated[Written, written("money", "£120")]


class Table(BaseModel):
    """What every table of the shop's document shares."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


class Settings(Table):
    """Name, place, units and words."""

    name: str
    address: str = ""
    web: str = ""  # the shop's own address for labels, such as http://bench.local:8000
    zone: str = "Europe/London"
    currency: Annotated[Currency, Field(strict=False)] = Currency.GBP
    gallon: Annotated[Gallon, Field(strict=False)] = Gallon.IMPERIAL
    units: Annotated[Units, Field(strict=False)] = Units.METRIC
    words: Annotated[Vocabulary, Field(strict=False)] = Vocabulary.UK

    @field_validator("zone")
    @classmethod
    def _known_zone(cls, zone: str) -> str:
        if zone not in available_timezones():
            near = nearest(zone, sorted(available_timezones()))
            raise PydanticCustomError(
                "fault", "{expected}", {"expected": "a zone of the IANA list, such as Europe/London", "nearest": near}
            )
        return zone

    @property
    def zone_info(self) -> ZoneInfo:
        return ZoneInfo(self.zone)


class Person(Table):
    """Someone at the bench. `hours` says what a week looks like, by day."""

    name: str
    role: Annotated[Role, Field(strict=False)] = Role.OWNER
    hours: dict[str, str]
    bench_fraction: Annotated[float, Field(ge=0.05, le=1)] = 0.6
    days_off: tuple[date, ...] = Field(default=(), strict=False)
    wage: MoneyText | None = None
    lifts: MassText | None = None

    @field_validator("hours")
    @classmethod
    def _readable(cls, hours: dict[str, str]) -> dict[str, str]:
        read_hours(hours)
        return hours

    @property
    def week(self) -> dict[int, tuple[Stretch, ...]]:
        """Working stretches by weekday, Monday 0, in local minutes of the day."""
        return read_hours(self.hours)


class Costs(Table):
    """What the shop costs a month, and what an hour is sold for."""

    rent: MoneyText | None = None
    insurance: MoneyText | None = None
    van: MoneyText | None = None
    heat: MoneyText | None = None
    other: MoneyText | None = None
    hour_earns_elsewhere: MoneyText | None = None
    hour_charged: MoneyText | None = None
    vat_registered: bool = False
    margin_scheme: bool = False
    deposit: PercentText | None = None


class Room(Table):
    """A room of the shop: its size, its fan, its climate by day and night."""

    name: str
    length: LengthText | None = None
    width: LengthText | None = None
    height: LengthText | None = None
    fan_m3_per_h: Annotated[float, Field(ge=0, le=100000)] | None = None
    day_temperature: TemperatureText | None = None
    night_temperature: TemperatureText | None = None
    rh: PercentText | None = None


class Cramp(Table):
    """Cramps of one length."""

    length: LengthText
    count: Annotated[int, Field(ge=1, le=200)]


class Shelf(Table):
    """One thing in the cupboard at a date: so much of a material, mixed or not."""

    material: str
    volume: VolumeText | None = None
    mass: MassText | None = None
    cut: CutText | None = None
    mixed_on: date | None = None
    jar: str = ""
    price: MoneyText | None = None
    sold_in: str = ""
    best_before: date | None = None
    dried_hard: bool | None = None  # the drop on glass, left overnight


class Pin(Table):
    """Something promised to a day: “the caner on Tuesday”."""

    piece: str
    step: str = ""
    on: date
    note: str = ""


class Shop(Table):
    """The whole document."""

    schema_version: int = Field(alias="schema", default=SCHEMA, ge=1, le=SCHEMA)
    shop: Settings
    person: Annotated[tuple[Person, ...], Field(min_length=1, strict=False)]
    costs: Costs = Costs()
    room: tuple[Room, ...] = Field(default=(), strict=False)
    benches: Annotated[int, Field(ge=1, le=50)] = 1
    cramp: tuple[Cramp, ...] = Field(default=(), strict=False)
    cupboard_on: date | None = None
    cupboard: tuple[Shelf, ...] = Field(default=(), strict=False)
    closed: tuple[date, ...] = Field(default=(), strict=False)
    pin: tuple[Pin, ...] = Field(default=(), strict=False)
    updated: datetime | None = None

    @model_validator(mode="after")
    def _names_once(self) -> Self:
        names = [person.name for person in self.person]
        for name in names:
            if names.count(name) > 1:
                raise PydanticCustomError("fault", "{expected}", {"expected": f"each person once; “{name}” stands twice"})
        return self


def reading_context(tables: dict[str, Any]) -> dict[str, Any]:
    """The gallon and the currency the rest of the document is read by, from its raw `[shop]` table."""
    settings = tables.get("shop")
    settings = settings if isinstance(settings, dict) else {}
    gallons = {kind.value: kind for kind in Gallon}
    currencies = {kind.value: kind for kind in Currency}
    return {
        "gallon": gallons.get(str(settings.get("gallon")), Gallon.IMPERIAL),
        "currency": currencies.get(str(settings.get("currency")), Currency.GBP),
    }
