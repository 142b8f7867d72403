"""Amounts: no number travels without its unit.

Each kind of amount is a frozen type held in one base unit, named by its field. Amounts of a kind add,
subtract and compare; a number scales them; dividing two of a kind gives a plain number. Nothing else is
allowed, so millilitres never meet millimetres.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import Enum
from typing import ClassVar, Self, overload

from .units import Gallon, Unit, factor, gallon_litres


class Amount:
    """What the amounts share.

    `field` names the one stored number, held in the base unit; `unit` is the one it leaves the program in.
    """

    __slots__ = ()
    field: ClassVar[str]
    unit: ClassVar[Unit]
    per_unit: ClassVar[float] = 1.0  # base units in one `unit`

    def __init__(self, magnitude: float, /) -> None:
        raise TypeError("use a kind of amount, such as Mass(grams=…)")

    @property
    def magnitude(self) -> float:
        """The stored number, in the base unit."""
        return float(getattr(self, self.field))

    @property
    def shown(self) -> float:
        """The number that goes with `unit` in JSON."""
        return self.magnitude / self.per_unit

    @classmethod
    def from_shown(cls, number: float) -> Self:
        """The amount whose `shown` is this number."""
        return cls(number * cls.per_unit)

    def __add__(self, other: Self) -> Self:
        if type(other) is not type(self):
            return NotImplemented
        return type(self)(self.magnitude + other.magnitude)

    def __sub__(self, other: Self) -> Self:
        if type(other) is not type(self):
            return NotImplemented
        return type(self)(self.magnitude - other.magnitude)

    def __neg__(self) -> Self:
        return type(self)(-self.magnitude)

    def __mul__(self, times: float) -> Self:
        if isinstance(times, Amount):
            return NotImplemented
        return type(self)(self.magnitude * times)

    __rmul__ = __mul__

    @overload
    def __truediv__(self, by: Self) -> float: ...
    @overload
    def __truediv__(self, by: float) -> Self: ...
    def __truediv__(self, by: Self | float) -> Self | float:
        if isinstance(by, Amount):
            if type(by) is not type(self):
                return NotImplemented
            return self.magnitude / by.magnitude
        return type(self)(self.magnitude / by)


@dataclass(frozen=True, order=True, slots=True)
class Length(Amount):
    """A length, held in millimetres."""

    millimetres: float
    field = "millimetres"
    unit = Unit.MILLIMETRE

    @classmethod
    def metres(cls, number: float) -> "Length":
        return cls(number * 1000)

    @classmethod
    def inches(cls, number: float) -> "Length":
        return cls(number * factor("inch_mm"))

    @classmethod
    def feet(cls, number: float) -> "Length":
        return cls.inches(number * 12)


@dataclass(frozen=True, order=True, slots=True)
class Film(Amount):
    """The thickness of a film, held in micrometres."""

    micrometres: float
    field = "micrometres"
    unit = Unit.MICROMETRE

    @classmethod
    def mils(cls, number: float) -> "Film":
        """A mil is a thousandth of an inch."""
        return cls(number * factor("inch_mm"))


@dataclass(frozen=True, order=True, slots=True)
class Area(Amount):
    """An area, held in square metres."""

    square_metres: float
    field = "square_metres"
    unit = Unit.SQUARE_METRE

    @classmethod
    def rectangle(cls, length: Length, width: Length) -> "Area":
        return cls(length.millimetres * width.millimetres / 1e6)

    @classmethod
    def square_feet(cls, number: float) -> "Area":
        return cls.rectangle(Length.feet(1), Length.feet(1)) * number


@dataclass(frozen=True, order=True, slots=True)
class Volume(Amount):
    """A volume of liquid, held in litres. Leaves the program in millilitres, as the jug is marked."""

    litres: float
    field = "litres"
    unit = Unit.MILLILITRE
    per_unit = 1e-3

    @classmethod
    def millilitres(cls, number: float) -> "Volume":
        return cls(number / 1000)

    @classmethod
    def cubic_metres(cls, number: float) -> "Volume":
        return cls(number * 1000)

    @classmethod
    def cubic_feet(cls, number: float) -> "Volume":
        return cls((factor("inch_mm") * 12) ** 3 / 1e6 * number)

    @classmethod
    def gallons(cls, number: float, gallon: Gallon) -> "Volume":
        return cls(number * gallon_litres(gallon))

    @classmethod
    def quarts(cls, number: float, gallon: Gallon) -> "Volume":
        return cls.gallons(number / 4, gallon)

    @classmethod
    def pints(cls, number: float, gallon: Gallon) -> "Volume":
        return cls.gallons(number / 8, gallon)

    @classmethod
    def fluid_ounces(cls, number: float, gallon: Gallon) -> "Volume":
        """A US gallon has 128 fluid ounces, an imperial one 160."""
        return cls.gallons(number / (128 if gallon is Gallon.US else 160), gallon)


@dataclass(frozen=True, order=True, slots=True)
class Mass(Amount):
    """A mass, held in grams."""

    grams: float
    field = "grams"
    unit = Unit.GRAM

    @classmethod
    def kilograms(cls, number: float) -> "Mass":
        return cls(number * 1000)

    @classmethod
    def pounds(cls, number: float) -> "Mass":
        return cls(number * factor("pound_g"))

    @classmethod
    def ounces(cls, number: float) -> "Mass":
        """Avoirdupois: sixteen to the pound."""
        return cls.pounds(number / 16)


@dataclass(frozen=True, order=True, slots=True)
class Cut(Amount):
    """Resin per volume of *solvent poured*, held in grams a litre. Not a share of the finished liquid."""

    grams_per_litre: float
    field = "grams_per_litre"
    unit = Unit.GRAMS_PER_LITRE

    @classmethod
    def pounds(cls, number: float, gallon: Gallon = Gallon.US) -> "Cut":
        """Pounds of flakes to the gallon of solvent. On the US gallon unless said."""
        return cls(number * factor("pound_g") / gallon_litres(gallon))

    def in_pounds(self, gallon: Gallon) -> float:
        """The same cut as a restorer says it: so many pounds."""
        return self.grams_per_litre / Cut.pounds(1, gallon).grams_per_litre


@dataclass(frozen=True, order=True, slots=True)
class Coverage(Amount):
    """How far a litre goes, held in square metres a litre and a coat."""

    square_metres_per_litre: float
    field = "square_metres_per_litre"
    unit = Unit.SQUARE_METRES_PER_LITRE


@dataclass(frozen=True, order=True, slots=True)
class Density(Amount):
    """Mass per volume, held in kilograms a cubic metre (the same number as grams a litre)."""

    kilograms_per_cubic_metre: float
    field = "kilograms_per_cubic_metre"
    unit = Unit.KILOGRAMS_PER_CUBIC_METRE


@dataclass(frozen=True, order=True, slots=True)
class Span(Amount):
    """A stretch of time, held in minutes. Elapsed time, not working hours, unless the name says so."""

    minutes: float
    field = "minutes"
    unit = Unit.MINUTE

    @classmethod
    def seconds(cls, number: float) -> "Span":
        return cls(number / 60)

    @classmethod
    def hours(cls, number: float) -> "Span":
        return cls(number * 60)

    @classmethod
    def days(cls, number: float) -> "Span":
        return cls(number * 1440)

    @classmethod
    def weeks(cls, number: float) -> "Span":
        return cls.days(number * 7)

    @property
    def in_hours(self) -> float:
        return self.minutes / 60


@dataclass(frozen=True, order=True, slots=True)
class Percent(Amount):
    """A share in the hundred: moisture content of dry mass, relative humidity, solids by volume."""

    percent: float
    field = "percent"
    unit = Unit.PERCENT


@dataclass(frozen=True, order=True, slots=True)
class Coats(Amount):
    """A number of coats; a whole number to lay, a part of one when it says how far a jar goes."""

    number: float
    field = "number"
    unit = Unit.COAT


@dataclass(frozen=True, order=True, slots=True)
class Temperature(Amount):
    """A temperature, held in degrees Celsius. Adding two makes no sense; subtracting gives degrees."""

    celsius: float
    field = "celsius"
    unit = Unit.CELSIUS

    @classmethod
    def fahrenheit(cls, number: float) -> "Temperature":
        return cls((number - 32) * 5 / 9)

    @property
    def in_fahrenheit(self) -> float:
        return self.celsius * 9 / 5 + 32


@dataclass(frozen=True, order=True, slots=True)
class Airflow(Amount):
    """Air moved, by a fan or a draught, held in cubic metres an hour."""

    cubic_metres_per_hour: float
    field = "cubic_metres_per_hour"
    unit = Unit.CUBIC_METRES_PER_HOUR

    @classmethod
    def cubic_feet_per_minute(cls, number: float) -> "Airflow":
        return cls(number * Volume.cubic_feet(1).litres / 1000 * 60)


@dataclass(frozen=True, order=True, slots=True)
class AirChanges(Amount):
    """How often an hour the air of a room is replaced."""

    per_hour: float
    field = "per_hour"
    unit = Unit.PER_HOUR


@dataclass(frozen=True, order=True, slots=True)
class Vapour(Amount):
    """Vapour in air, held in parts per million by volume."""

    parts_per_million: float
    field = "parts_per_million"
    unit = Unit.PARTS_PER_MILLION


class Currency(Enum):
    """The currencies a shop may keep its books in."""

    GBP = "GBP"
    USD = "USD"
    EUR = "EUR"


def _decimal(number: float | Decimal) -> Decimal:
    # By way of its text: 0.1 is the tenth that was written, not the nearest binary fraction.
    return number if isinstance(number, Decimal) else Decimal(str(number))


@dataclass(frozen=True, slots=True)
class Money:
    """A sum of money, exact in decimal. Currencies never mix. Rounded only where it is said, or asked for."""

    amount: Decimal
    currency: Currency

    def __post_init__(self) -> None:
        if not isinstance(self.amount, Decimal):
            raise TypeError("money is Decimal: a float loses pence")
        if not self.amount.is_finite():
            raise ValueError(f"{self.amount} is no sum of money")

    @property
    def unit(self) -> Unit:
        return Unit(self.currency.value)

    @property
    def shown(self) -> float:
        """The number that goes with `unit` in JSON, unrounded."""
        return float(self.amount)

    def _same(self, other: "Money") -> None:
        if self.currency is not other.currency:
            mixed = f"{self.currency.value} and {other.currency.value}"
            raise ValueError(f"{mixed} don't add up or compare: change one into the other first")

    def __add__(self, other: "Money") -> "Money":
        self._same(other)
        return Money(self.amount + other.amount, self.currency)

    def __sub__(self, other: "Money") -> "Money":
        self._same(other)
        return Money(self.amount - other.amount, self.currency)

    def __mul__(self, times: "float | Decimal") -> "Money":
        if isinstance(times, Money):
            return NotImplemented
        return Money(self.amount * _decimal(times), self.currency)

    __rmul__ = __mul__

    @overload
    def __truediv__(self, by: "Money") -> float: ...
    @overload
    def __truediv__(self, by: float | Decimal) -> "Money": ...
    def __truediv__(self, by: "Money | float | Decimal") -> "Money | float":
        if isinstance(by, Money):
            self._same(by)
            return float(self.amount / by.amount)
        return Money(self.amount / _decimal(by), self.currency)

    def __lt__(self, other: "Money") -> bool:
        self._same(other)
        return self.amount < other.amount

    def __le__(self, other: "Money") -> bool:
        return self == other or self < other

    def rounded(self) -> "Money":
        """To the penny, halves up, as a till does."""
        return Money(self.amount.quantize(Decimal("0.01"), ROUND_HALF_UP), self.currency)
