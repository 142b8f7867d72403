"""What to buy: what the steps and jars take, less what is on the shelf, in the sizes it is sold in."""

import math
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from witnessmark.materials import family_of, material
from witnessmark.quantities import Amount, Currency, Money, Range, Volume, high, say
from witnessmark.shop import Shop
from witnessmark.sources import row
from witnessmark.treatment import Jar, Step, is_on

from .piece_plan import Buy


def shopping_for(steps: Sequence[Step], jars: Sequence[Jar], shop: Shop, today: date) -> tuple[Buy, ...]:
    """One line a material, in the order it is first needed. Amounts are taken at their high end."""
    wanted: dict[str, Any] = {}

    def want(key: str, amount: Any) -> None:
        wanted[key] = wanted[key] + amount if key in wanted else amount

    mixed = {(step_id, jar.material) for jar in jars for step_id, _ in jar.uses}
    for jar in jars:
        if jar.shelf is None and jar.resin is not None:
            want("shellac_flakes" if jar.material == "shellac" else family_of(jar.material), high(jar.resin.value))
        if jar.shelf is None and jar.solvent is not None:
            want("ethanol_denatured", high(jar.solvent.value))
    for step in steps:
        for need in step.needs:
            if not any(step.id == step_id and _same(need.material, jar) for step_id, jar in mixed):
                want(need.material, high(need.amount.value))
    return tuple(line_of(key, amount, shop, today) for key, amount in wanted.items() if key != "water")


def _same(material_key: str, jar_material: str) -> bool:
    return material_key == jar_material or family_of(material_key) == jar_material


def _on_shelf(key: str, like: Any, shop: Shop, today: date) -> Any:
    total: Any = type(like)(0.0)
    for shelf in shop.cupboard:
        if shelf.cut is not None or (shelf.best_before and shelf.best_before < today):
            continue
        if not is_on(shelf, key):
            continue
        there = shelf.volume if isinstance(like, Volume) else shelf.mass
        if there is not None and there.known:
            total = total + there.value
    return total


def line_of(key: str, need: Any, shop: Shop, today: date) -> Buy:
    """So much of a material, less what is on the shelf, in packs."""
    there = _on_shelf(key, need, shop, today)
    short = need - there
    name = material(key).called(shop.shop.words.value)
    if short.magnitude <= 0:
        return Buy(key, name, need, there, "nothing: enough on the shelf", 0)
    packs, size, price = _packs(key, short, shop.shop.currency)
    buy = f"{packs} × {say(size)}" if packs > 1 else say(size)
    return Buy(key, name, need, there, buy, packs, price, size * packs)


def _packs(key: str, short: Amount, currency: Currency) -> tuple[int, Any, Any]:
    """How many of which size, the fewest that are enough, and what they cost where that is known."""
    kind = type(short)
    try:
        entry = row("plan", "sellable.csv", key)
    except KeyError:
        return 1, short, None
    sizes = [kind.from_shown(float(size)) for size in entry.keys_in("sizes")]
    enough = [size for size in sizes if size.magnitude >= short.magnitude]
    size = enough[0] if enough else sizes[-1]
    packs = 1 if enough else math.ceil(short.magnitude / size.magnitude)
    if entry["currency"] != currency.value:
        return packs, size, None
    each = [Decimal(str(entry.number(f"price_{end}") or 0)) for end in ("low", "usual", "high")]
    shown = Decimal(str(round(size.shown * packs, 3)))
    ends = [Money((price * shown).quantize(Decimal("0.01")), currency) for price in each]
    return packs, size, Range(*ends)
