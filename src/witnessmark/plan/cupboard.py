"""The cupboard as it stands today: what was counted, less what was used or thrown away since, and the jars mixed since.

Only entries after the day the cupboard was looked through count; where nobody says when that was, none do.
"""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from witnessmark.daybook import Amount, DayBook, Dried, Entry, What
from witnessmark.documents import Written
from witnessmark.finish import resin_density, volume_of
from witnessmark.materials import AmbiguousName, UnknownName, material_named
from witnessmark.quantities import Cut, Mass, Money, Range, Volume, say, usual
from witnessmark.shop import Shelf, Shop
from witnessmark.sources import row
from witnessmark.treatment import is_on


def cupboard_today(shop: Shop, daybook: DayBook) -> Shop:
    """The shop with its cupboard brought up to date from the day book."""
    if shop.cupboard_on is None:
        return shop
    shelves = list(shop.cupboard)
    for entry in daybook.entries:
        if entry.happened.astimezone(shop.shop.zone_info).date() <= shop.cupboard_on:
            continue
        for amount in entry.took:
            _take(shelves, amount, amount.jar)
        match entry.what:
            case What.MIXED:
                for amount in entry.amounts:
                    _take(shelves, amount, "")
                shelves += _mixed(entry, shop)
            case What.DISCARDED:
                for amount in entry.amounts:
                    _throw_away(shelves, amount)
            case What.COUNTED:
                for amount in entry.amounts:
                    said = {kind: there for kind in ("volume", "mass") if (there := getattr(amount, kind)) is not None}
                    _say(shelves, amount.jar, said)
            case What.TESTED:
                for amount in entry.amounts:
                    _say(shelves, amount.jar, {"dried_hard": entry.to == Dried.HARD})
    return shop.model_copy(update={"cupboard": tuple(shelves)}) if shelves != list(shop.cupboard) else shop


def materials_used(daybook: DayBook, shop: Shop, *piece: str) -> Money | Range[Money]:
    """What the materials used on a piece so far cost, as far as their prices are known. `piece`: its id, its code."""
    currency = shop.shop.currency
    ends = [Decimal(0), Decimal(0), Decimal(0)]
    for entry in daybook.on_piece(*piece):
        for amount in entry.took:
            for place, price in enumerate(_cost(amount, currency.value)):
                ends[place] += price
    low, usually, high = (Money(end.quantize(Decimal("0.01")), currency) for end in ends)
    return usually if low == high else Range(low, usually, high)


def _cost(amount: Amount, currency: str) -> tuple[Decimal, ...]:
    """Low, usual and high price of so much; nothing where no price is known."""
    said = amount.volume or amount.mass
    try:
        entry = row("plan", "sellable.csv", material_named(amount.material).key)
    except (UnknownName, AmbiguousName, KeyError):
        return ()
    if said is None or not said.known or entry["currency"] != currency or said.value.unit.value != entry["unit"]:
        return ()
    return tuple(
        Decimal(str(entry.number(f"price_{end}") or 0)) * Decimal(str(said.value.shown))
        for end in ("low", "usual", "high")
    )


def _take(shelves: list[Shelf], amount: Amount, jar: str) -> None:
    """So much out of its jar, or off the shelves of its material, one after the other; never below nothing."""
    for kind in ("volume", "mass"):
        said = getattr(amount, kind)
        if said is None or not said.known:
            continue
        left = said.value
        for at, shelf in enumerate(shelves):
            there = getattr(shelf, kind)
            if there is None or not there.known or not _meant(shelf, amount.material, jar):
                continue
            taken = min(left, there.value)
            shelves[at] = shelf.model_copy(update={kind: _written(there.value - taken)})
            left = left - taken


def _throw_away(shelves: list[Shelf], amount: Amount) -> None:
    """So much of the jar; all of it, and the jar with it, where nobody says how much."""
    if amount.volume is None and amount.mass is None:
        shelves[:] = [shelf for shelf in shelves if shelf.jar.lower() != amount.jar.lower()]
    else:
        _take(shelves, amount, amount.jar)


def _say(shelves: list[Shelf], jar: str, said: dict[str, Any]) -> None:
    """What was found of a jar: the last mixed of that name."""
    at = max((at for at, shelf in enumerate(shelves) if shelf.jar.lower() == jar.lower()), default=None)
    if at is not None:
        shelves[at] = shelves[at].model_copy(update=said)


def _meant(shelf: Shelf, material: str, jar: str) -> bool:
    if jar:
        return shelf.jar.lower() == jar.lower()
    if shelf.cut is not None:
        return False
    try:
        return shelf.key is not None and is_on(shelf, material_named(material).key)
    except (UnknownName, AmbiguousName):
        return shelf.material.lower() == material.lower()


def _mixed(entry: Entry, shop: Shop) -> Iterable[Shelf]:
    """The jar that an entry says was mixed: so much resin in so much spirit."""
    resins = [amount for amount in entry.amounts if amount.mass and amount.mass.known]
    spirits = [amount for amount in entry.amounts if amount.volume and amount.volume.known]
    jar = next((amount.jar for amount in entry.amounts if amount.jar), "")
    if len(resins) != 1 or len(spirits) != 1 or not jar:
        return []
    mass: Any = resins[0].mass.value if resins[0].mass else Mass(0)
    solvent: Any = spirits[0].volume.value if spirits[0].volume else Volume(0)
    if mass.magnitude <= 0 or solvent.magnitude <= 0:
        return []
    made = volume_of(solvent, mass, usual(resin_density().value))
    return [
        Shelf(
            material=resins[0].material.replace("flakes", "").strip() or resins[0].material,
            volume=_written(made),
            cut=_written(Cut(mass.grams / solvent.litres)),
            mixed_on=entry.happened.astimezone(shop.shop.zone_info).date(),
            jar=jar,
        )
    ]


def _written(amount: Any) -> Written:
    """An amount in words that read back as it, when the cupboard is looked through and kept."""
    return Written(f"{amount.grams_per_litre:.5g} g/L" if isinstance(amount, Cut) else say(amount), amount)
