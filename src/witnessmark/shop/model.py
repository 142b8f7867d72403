"""The shop: who works when, at what cost, in what air, with what on the shelf."""

from datetime import date
from functools import cache
from typing import Annotated, Any
from zoneinfo import ZoneInfo, available_timezones

from pydantic import AfterValidator, Field, field_validator

from witnessmark.documents import (
    Day,
    Form,
    Instant,
    LongText,
    Sha256,
    ShortText,
    Table,
    Word,
    Written,
    amiss,
    nearest,
    or_unknown,
    written,
)
from witnessmark.materials import AmbiguousName, UnknownName, material_named
from witnessmark.quantities import Currency, Cut, Gallon, Length, Mass, Money, Percent, Temperature, Volume
from witnessmark.sources import rule

from .hours import Stretch, days_in, stretches_in, week_of
from .words import Role, StoreKind, Units, Vocabulary

SCHEMA = 1

LengthText = Annotated[Written, written(Length, "1200 mm", one=True)]
StoreSizeText = Annotated[Written, written("size", "900 x 220 x 24 mm", sides=(1, 2, 3))]
VolumeText = Annotated[Written, written(Volume, "500 ml", one=True, nought=True)]
MassText = Annotated[Written, written(Mass, "250 g", one=True, nought=True)]
CutText = Annotated[Written, written(Cut, "240 g/L", one=True)]
PercentText = Annotated[Written, written(Percent, "55 %", nought=True)]
TemperatureText = Annotated[Written, written(Temperature, "18 °C")]
MoneyText = Annotated[Written, written(Money, "£120")]
SaidText = Annotated[str, Field(min_length=1, max_length=200)]


def _read(check: Any) -> AfterValidator:
    """Keeps a text as written once `check` has understood it."""

    def understood(text: str) -> str:
        check(text)
        return text

    return AfterValidator(understood)


DaysText = Annotated[str, _read(days_in)]
HoursText = Annotated[str, _read(stretches_in)]


@cache
def _zones() -> frozenset[str]:
    return frozenset(available_timezones())


class Settings(Table):
    """Name, place, units and words."""

    name: SaidText
    address: ShortText = ""
    web: ShortText = ""  # the shop's own address for labels, such as http://bench.local:8000
    zone: str = "Europe/London"
    currency: Word[Currency] = Currency.GBP
    gallon: Word[Gallon] = Gallon.IMPERIAL
    units: Word[Units] = Units.METRIC
    words: Word[Vocabulary] = Vocabulary.UK

    @field_validator("zone")
    @classmethod
    def _known_zone(cls, zone: str) -> str:
        if zone not in _zones():
            raise amiss("a zone of the IANA list, such as Europe/London", nearest(zone, sorted(_zones())))
        return zone

    @property
    def zone_info(self) -> ZoneInfo:
        return ZoneInfo(self.zone)


def _usual_fraction() -> float:
    share: Percent = rule("shop", "bench_fraction").value.usual
    return share.percent / 100


class Person(Table):
    """Someone at the bench. `hours` says what a week looks like, by day.

    `bench_fraction` is the share of those hours that is bench work: door, phone and quoting take the rest.
    """

    name: SaidText
    role: Word[Role] = Role.OWNER
    hours: Annotated[dict[DaysText, HoursText], Field(min_length=1)]
    bench_fraction: Annotated[float, Field(ge=0.05, le=1, default_factory=_usual_fraction)]
    days_off: tuple[date, ...] = Field(default=(), strict=False)
    wage: MoneyText | None = None
    lifts: MassText | None = None

    @property
    def week(self) -> dict[int, tuple[Stretch, ...]]:
        """Working stretches by weekday, Monday 0, in local minutes of the day."""
        return week_of(self.hours)


class Costs(Table):
    """What the shop costs a month, and what an hour is sold for. A `wage` is by the hour."""

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
    """A room of the shop: its size, its fan, its climate by day and night, what its fire cabinet may hold."""

    name: SaidText
    length: LengthText | None = None
    width: LengthText | None = None
    height: LengthText | None = None
    fan_m3_per_h: Annotated[float, Field(ge=0, le=100000)] | None = None
    day_temperature: TemperatureText | None = None
    night_temperature: TemperatureText | None = None
    rh: PercentText | None = None
    cabinet: VolumeText | None = None


class Cramp(Table):
    """Cramps of one length."""

    length: LengthText
    count: Annotated[int, Field(ge=1, le=200)]


class Shelf(Table):
    """One thing in the cupboard at a date: so much of a material, mixed or not."""

    material: SaidText
    volume: VolumeText | None = None
    mass: MassText | None = None
    cut: CutText | None = None
    mixed_on: Day = None
    jar: ShortText = ""
    price: MoneyText | None = None
    sold_in: ShortText = ""
    best_before: Day = None
    dried_hard: Annotated[bool | None, or_unknown()] = None  # the drop on glass, left overnight

    @property
    def key(self) -> str | None:
        """The key of the material in the tables; None where they don't have it."""
        try:
            return material_named(self.material).key
        except (UnknownName, AmbiguousName):
            return None


class Pin(Table):
    """Something promised to a day: “the caner on Tuesday”."""

    piece: SaidText
    step: ShortText = ""
    on: date
    note: LongText = ""


class Stored(Table):
    """Old timber, veneer or an odd piece of hardware, laid by till a piece wants it. `code` is on its own label.

    `size` is long × wide × thick as far as measured; `centres` is between two holes of a fitting; `booked` is the piece
    that it is put by for, by id or code.
    """

    code: SaidText
    kind: Word[StoreKind]
    what: SaidText
    wood: ShortText = ""
    size: StoreSizeText | None = None
    thickness: LengthText | None = None
    centres: LengthText | None = None
    colour: ShortText = ""
    photograph: Sha256 | None = None
    kept: ShortText = ""  # where it lies
    booked: ShortText = ""
    note: LongText = ""


class Shop(Table):
    """The whole document."""

    schema_version: int = Field(alias="schema", default=SCHEMA, ge=1, le=SCHEMA)
    shop: Settings
    person: Annotated[tuple[Person, ...], Field(min_length=1, strict=False)]
    costs: Costs = Costs()
    room: tuple[Room, ...] = Field(default=(), strict=False)
    benches: Annotated[int, Field(ge=1, le=50)] = 1
    cramp: tuple[Cramp, ...] = Field(default=(), strict=False)
    cupboard_on: Day = None
    cupboard: tuple[Shelf, ...] = Field(default=(), strict=False)
    store: tuple[Stored, ...] = Field(default=(), strict=False)
    closed: tuple[date, ...] = Field(default=(), strict=False)
    pin: tuple[Pin, ...] = Field(default=(), strict=False)
    updated: Instant | None = None

    @property
    def context(self) -> dict[str, Any]:
        """What its surveys and its day book are read by: the gallon of pints, the currency of bare sums."""
        return {"gallon": self.shop.gallon, "currency": self.shop.currency}


FORM = Form(Shop, "the shop's document", "witnessmark shop new", SCHEMA)
