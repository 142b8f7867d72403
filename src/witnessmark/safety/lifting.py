"""What one person may lift, by the revised NIOSH equation; and how many hands a piece wants.

The equation is for two hands on a steady load. It does not speak of team lifts, one hand, kneeling, stairs or a
slippery floor, and it is no medical advice. It comes in two unit sets that are no exact conversions of each
other: a load in pounds is worked in inches, one in kilograms in centimetres.

Source: NIOSH 94-110 (rev. 2021); `lifting.csv`, `lifting_often.csv`, `lifting_grip.csv`.
"""

from dataclasses import dataclass
from enum import Enum

from witnessmark.documents import Refused
from witnessmark.quantities import Length, Mass, Range, high
from witnessmark.sources import Figure, Input, Row, Standing, Working, formula, row, rule, table, weakest, work


class BadLift(Refused):
    """A lift that the equation does not speak of, and why."""


class Units(Enum):
    """The unit set of the equation; its value is the column of the tables."""

    METRIC = "metric"
    US = "us"

    def length(self, length: Length) -> float:
        return length.millimetres / (10 if self is Units.METRIC else 25.4)

    def mass(self, number: float) -> Mass:
        return Mass.kilograms(number) if self is Units.METRIC else Mass.pounds(number)


class Grip(Enum):
    """How the hands hold."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


@dataclass(frozen=True)
class Lift:
    """One lift. `reach` from between the ankles to the hands, `height` of the hands at the start, `travel` up or down.

    `twist` in degrees; `per_minute` lifts a minute for `hours` in a day.
    """

    reach: Length
    height: Length
    travel: Length
    twist: float = 0.0
    per_minute: float = 0.2
    hours: float = 1.0
    grip: Grip = Grip.FAIR
    units: Units = Units.METRIC


def _constant(key: str, units: Units) -> float:
    number = row("safety", "lifting.csv", key).number(units.value)
    if number is None:
        raise KeyError(f"safety/lifting.csv: {key} has no {units.value}")
    return number


def reach_factor(lift: Lift) -> float:
    """1 close to the body, nothing beyond the arms."""
    reach = max(lift.units.length(lift.reach), _constant("reach_least", lift.units))
    return _constant("reach_least", lift.units) / reach if reach <= _constant("reach_most", lift.units) else 0.0


def height_factor(lift: Lift) -> float:
    """1 with the hands at knuckle height, less above and below."""
    height = lift.units.length(lift.height)
    if not 0 <= height <= _constant("height_most", lift.units):
        return 0.0
    return 1 - _constant("height_slope", lift.units) * abs(height - _constant("height_best", lift.units))


def travel_factor(lift: Lift) -> float:
    """1 for a short lift."""
    travel = max(lift.units.length(lift.travel), _constant("travel_least", lift.units))
    if travel > _constant("travel_most", lift.units):
        return 0.0
    return _constant("travel_base", lift.units) + _constant("travel_factor", lift.units) / travel


def twist_factor(lift: Lift) -> float:
    """1 straight ahead."""
    twist = abs(lift.twist)
    return 1 - _constant("twist_slope", lift.units) * twist if twist <= _constant("twist_most", lift.units) else 0.0


def often_factor(lift: Lift) -> float:
    """1 for a lift now and then. Between two lines of the table the stricter holds. Raises BadLift off the table."""
    column = next((f"up_to_{hours}_h" for hours in (1, 2, 8) if lift.hours <= hours), None)
    rows = table("safety", "lifting_often.csv")
    line = next((one for one in rows if lift.per_minute <= (one.number("lifts_a_minute") or 0)), None)
    if column is None or line is None or lift.hours <= 0 or lift.per_minute < 0:
        raise BadLift(
            f"{lift.per_minute:.4g} lifts a minute for {lift.hours:.4g} h is off the table: it goes to 6 a minute and "
            "8 hours. Lift less often, or take a trolley."
        )
    return line.number(column) or 0.0


def grip_factor(lift: Lift) -> float:
    """1 for a good grip."""
    low = lift.units.length(lift.height) < _constant("height_best", lift.units)
    return row("safety", "lifting_grip.csv", lift.grip.value).number("below" if low else "from") or 0.0


@formula(
    "limit = constant × reach × height × travel × twist × often × grip",
    source=Figure("RWL", None, Standing.PUBLISHED, "niosh_94_110", "the multipliers' standing is their rows'"),
)
def recommended_limit(
    constant: Mass, reach: float, height: float, travel: float, twist: float, often: float, grip: float
) -> Mass:
    """The recommended weight limit; nothing where the lift is out of the equation's bounds."""
    return constant * (reach * height * travel * twist * often * grip)


@formula("index = load ÷ limit")
def lifting_index(load: Mass, limit: Mass) -> float:
    """Up to 1 the lift is one nearly everybody can do; above 3 hardly anybody. Raises BadLift for no limit."""
    if limit.grams <= 0:
        raise BadLift("No load may be lifted so: too far out, too high or too far round. Come closer, or get help.")
    return load / limit


def limit_of(lift: Lift) -> Working[Mass]:
    """The recommended limit of a lift, each factor by its table. Raises BadLift."""
    for said, length in (("reach", lift.reach), ("travel", lift.travel)):
        if length.millimetres < 0:
            raise BadLift(f"A {said} of less than nothing can't be. Measure it from between the ankles, or up from it.")

    def factor(name: str, value: float | Mass, *rows: Row) -> Figure:
        standing = weakest(one.standing()[0] for one in rows)
        return Figure(f"safety/lifting: {name}", value, standing, "niosh_94_110")

    def lines(*keys: str) -> tuple[Row, ...]:
        return tuple(row("safety", "lifting.csv", key) for key in keys)

    units = lift.units
    return work(
        recommended_limit,
        constant=factor("constant", units.mass(_constant("load_constant", units)), *lines("load_constant")),
        reach=factor("reach", reach_factor(lift), *lines("reach_least", "reach_most")),
        height=factor("height", height_factor(lift), *lines("height_best", "height_slope")),
        travel=factor("travel", travel_factor(lift), *lines("travel_base", "travel_factor", "travel_least")),
        twist=factor("twist", twist_factor(lift), *lines("twist_slope")),
        often=factor("often", often_factor(lift), table("safety", "lifting_often.csv")[0]),
        grip=factor("grip", grip_factor(lift), row("safety", "lifting_grip.csv", lift.grip.value)),
    )


def index_of(load: Input, limit: Working[Mass]) -> Working[float]:
    """The lifting index of a load against its limit. Raises BadLift where no load may be lifted so."""
    return work(lifting_index, load=load, limit=limit)


def close_lift(depth: Length) -> Lift:
    """A load so deep from front to back, carried close at knuckle height now and then: the kindest lift there is."""
    reach = Length(_constant("hands_apart_from_body", Units.METRIC) * 10) + depth * 0.5
    return Lift(reach, Length(_constant("height_best", Units.METRIC) * 10), Length(0))


def hands_for(mass: Mass | Range[Mass]) -> int:
    """How many people a load wants, by its heavier end; 4 stands for more, or a trolley, or taking it apart.

    One up to the filter for a load held close at the elbow; two may carry two thirds of what they would alone,
    three half: it is hard to share a load. The filter is published, the shares are from memory.
    """
    alone = row("safety", "stability.csv", "L11").figure("value", Mass.kilograms)
    if alone is None:
        raise KeyError("safety/stability.csv: L11 has no value")
    pair, three = (rule("safety", key).value.percent / 100 for key in ("pair_share", "three_share"))
    together = {1: 1.0, 2: 2 * pair, 3: 3 * three}
    return next((people for people, times in together.items() if high(mass) <= alone.value * times), 4)
