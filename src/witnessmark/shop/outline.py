"""What a shop's document knows and what it does not, in a paragraph."""

from collections.abc import Iterator
from dataclasses import dataclass

from witnessmark.documents import Written

from .model import Shop


@dataclass(frozen=True)
class Outline:
    """The week's hours, how many of each thing there are, what is not known, and materials the tables don't have."""

    name: str
    week_hours: float
    bench_hours: float
    counts: dict[str, int]
    dont_know: tuple[str, ...]
    not_listed: tuple[str, ...]

    @property
    def says(self) -> str:
        """The paragraph."""
        counted = ", ".join(
            f"{number} {word if number == 1 else _PLURALS[word]}" for word, number in self.counts.items() if number
        )
        week = f"{self.week_hours:g} hours a week, {self.bench_hours:.3g} of them at the bench"
        first = f"{self.name}: {counted}; {week}."
        if not self.dont_know:
            return f"{first} Every fact we ask for is there."
        return f"{first} Still don't know: {', '.join(self.dont_know)}. It widens the plan, it blocks nothing."


_PLURALS = {
    "person": "people", "bench": "benches", "room": "rooms", "cramp": "cramps",
    "thing in the cupboard": "things in the cupboard",
    "thing in the store": "things in the store", "pin": "pins",
}  # fmt: skip


def outline_of(shop: Shop) -> Outline:
    """What is there and what is not."""
    hours = [(person, sum(s.end - s.start for day in person.week.values() for s in day) / 60) for person in shop.person]
    counts = {
        "person": len(shop.person),
        "bench": shop.benches,
        "room": len(shop.room),
        "cramp": sum(cramp.count for cramp in shop.cramp),
        "thing in the cupboard": len(shop.cupboard),
        "thing in the store": len(shop.store),
        "pin": len(shop.pin),
    }
    return Outline(
        shop.shop.name,
        sum(week for _, week in hours),
        sum(week * person.bench_fraction for person, week in hours),
        counts,
        tuple(_wanting(shop)),
        tuple(dict.fromkeys(shelf.material for shelf in shop.cupboard if shelf.key is None)),
    )


def _wanting(shop: Shop) -> Iterator[str]:
    costs, settings = shop.costs, shop.shop
    facts = {
        "the gallon, for pints and pounds cut": "gallon" in settings.model_fields_set,
        "what an hour of each person costs": all(_known(person.wage) for person in shop.person),
        "the rent": _known(costs.rent),
        "what an hour is charged": _known(costs.hour_charged),
        "any room": bool(shop.room),
        "the size of each room": all(
            _known(side) for room in shop.room for side in (room.length, room.width, room.height)
        ),
        "the night temperature": all(_known(room.night_temperature) for room in shop.room),
        "the humidity": all(_known(room.rh) for room in shop.room),
        "the cupboard": bool(shop.cupboard),
        "the day the cupboard was looked through": not shop.cupboard or shop.cupboard_on is not None,
    }
    yield from (fact for fact, known in facts.items() if not known)


def _known(amount: Written | None) -> bool:
    return amount is not None and amount.known
