"""How much of a working day is bench work, as the shop's own day book has it: door, phone and quoting take the rest."""

import math
from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any

from witnessmark.sources import Working, formula, given, rule, work

if TYPE_CHECKING:
    from witnessmark.daybook import DayBook
    from witnessmark.shop import Person, Shop


@formula(
    "share at the bench = (share as said × days it counts for + Σ share of each day) ÷ (those days + days written down)"
)
def bench_share(said: float, counts_for: float, days: tuple[float, ...]) -> float:
    """The share of working hours spent at the bench; what was said fades as days are written down. At most 1."""
    return min(1.0, (said * counts_for + math.fsum(days)) / (counts_for + len(days)))


def learned_share(person: "Person", daybook: "DayBook", shop: "Shop") -> Working[Any] | None:
    """A person's share at the bench, learned from the days written down whole; None where there are none.

    A day of which only a job or two was written down says nothing of the rest, and is left out.
    """
    days = _whole_days(person, daybook, shop)
    if not days:
        return None
    return work(
        bench_share,
        said=given(f"bench_fraction of {person.name}", person.bench_fraction),
        counts_for=rule("schedule", "bench_days"),
        days=given("share of each day written down", tuple(days)),
    )


def as_worked(shop: "Shop", daybook: "DayBook") -> "Shop":
    """The shop with each person's share at the bench as the day book shows it."""
    people = []
    for person in shop.person:
        share = learned_share(person, daybook, shop)
        people.append(person.model_copy(update={"bench_fraction": share.value}) if share else person)
    return shop.model_copy(update={"person": tuple(people)}) if people != list(shop.person) else shop


def _whole_days(person: "Person", daybook: "DayBook", shop: "Shop") -> Sequence[float]:
    written: dict[date, float] = {}
    for entry in daybook.entries:
        if entry.who == person.name and entry.minutes is not None and entry.minutes.known:
            day = entry.happened.astimezone(shop.shop.zone_info).date()
            written[day] = written.get(day, 0.0) + entry.minutes.value.minutes
    least: float = rule("schedule", "whole_day").value
    shares = []
    for day, minutes in sorted(written.items()):
        hours = sum(stretch.end - stretch.start for stretch in person.week[day.weekday()])
        if hours and minutes / hours >= least:
            shares.append(min(1.0, minutes / hours))
    return shares
