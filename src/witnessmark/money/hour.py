"""What an hour at the bench costs: (wages + rent + insurance + van + heat) ÷ bench hours.

What the shop does not say is taken wide from money/rules.csv, so that the answer is a range and not a blank.
Door, phone, quoting and driving are paid too: that is why a bench hour costs more than a wage.
"""

from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from witnessmark.documents import Refused
from witnessmark.quantities import Currency, Money, Range
from witnessmark.sources import Figure, Input, Working, formula, given, rule, work

if TYPE_CHECKING:
    from witnessmark.shop import Shop

_OVERHEADS = ("rent", "insurance", "van", "heat")


class NoHours(Refused):
    """Hours of nothing, which nothing can be divided by."""


@formula("wages a week = wage × hours a week")
def week_wages(wage: Money, week_hours: float) -> Money:
    """What one person costs in a week with the door open."""
    return (wage * week_hours).rounded()


@formula("bench hours a week = hours a week × share of them at the bench")
def bench_week(week_hours: float, at_bench: float) -> float:
    """Of one person: what door, phone, quoting and driving leave."""
    return week_hours * at_bench


@formula("all people together = Σ each")
def together(**each: Any) -> Any:
    """Wages or hours of everybody, added up."""
    first, *others = each.values()
    for other in others:
        first = first + other
    return first


@formula(
    "a bench hour = (wages a week + (rent + insurance + van + heat + other, a month) × 12 ÷ weeks worked) "
    "÷ bench hours a week"
)
def hour_cost(
    wages: Money,
    rent: Money,
    insurance: Money,
    van: Money,
    heat: Money,
    other: Money,
    weeks_worked: float,
    hours: float,
) -> Money:
    """What an hour at the bench must earn before anything is left. Common practice.

    By the week, so that the weeks worked, which nobody knows ahead, move only what is paid by the month.
    """
    monthly = rent + insurance + van + heat + other
    return ((wages + monthly * (12 / weeks_worked)) * (1 / hours)).rounded()


def bench_hour(shop: "Shop") -> Working[Any]:
    """What an hour at the bench costs this shop: Money, or a Range of it where something is not known.

    Raises NoHours where nobody has any hours.
    """
    wages: dict[str, Input] = {}
    hours: dict[str, Input] = {}
    for number, person in enumerate(shop.person, 1):
        week = sum(stretch.end - stretch.start for day in person.week.values() for stretch in day) / 60
        if not week:
            continue
        place = f"person.{number}"
        worked = given(f"{place}.hours", week)
        at_bench = given(f"{place}.bench_fraction", person.bench_fraction)
        wage = _said_or_usual(shop, f"{place}.wage", person.wage, "wage")
        wages[f"person_{number}"] = work(week_wages, wage=wage, week_hours=worked)
        hours[f"person_{number}"] = work(bench_week, week_hours=worked, at_bench=at_bench)
    if not hours:
        raise NoHours("Nobody in the shop has any hours, so an hour has no cost. Give a [[person]] `hours`.")
    costs = {name: _said_or_usual(shop, f"costs.{name}", getattr(shop.costs, name), name) for name in _OVERHEADS}
    other = shop.costs.other.value if shop.costs.other and shop.costs.other.known else nothing(shop.shop.currency)
    return work(
        hour_cost, wages=work(together, **wages), **costs, other=given("costs.other", other),
        weeks_worked=rule("money", "weeks_worked"), hours=work(together, **hours),
    )  # fmt: skip


def nothing(currency: Currency) -> Money:
    return Money(Decimal(0), currency)


def _said_or_usual(shop: "Shop", place: str, written: Any, key: str) -> Input:
    if written is not None and written.known:
        return given(place, written.value)
    return in_currency(rule("money", key), shop.shop.currency)


def in_currency(figure: Figure, currency: Currency) -> Figure:
    """A plain number, or range of them, as a sum in this currency."""
    ends = (figure.value.low, figure.value.usual, figure.value.high) if isinstance(figure.value, Range) else None
    if ends is None:
        return replace(figure, value=Money(Decimal(str(figure.value)), currency))
    return replace(figure, value=Range(*(Money(Decimal(str(end)), currency) for end in ends)))
