"""The shop: people, hours, rates, rooms, air, cupboard, and what is laid by in the store.

A TOML text comes in (`shop_from`), or tables that came as JSON (`shop_in`); a checked, frozen `Shop` goes out, or
all faults with their lines. `plain_shop` stands in where nobody wrote one, and `plain_shop_says` warns of it.
"""

from .hours import DAYS, Stretch
from .model import Costs, Cramp, Person, Pin, Room, Settings, Shelf, Shop, Stored
from .outline import Outline, outline_of
from .reading import (
    plain_shop,
    plain_shop_says,
    reading_context,
    shop_from,
    shop_in,
    shop_schema,
    shop_text,
    starter,
)
from .store import store_fits
from .words import Role, StoreKind, Units, Vocabulary

__all__ = [
    "DAYS", "Costs", "Cramp", "Outline", "Person", "Pin", "Role", "Room", "Settings", "Shelf", "Shop", "StoreKind",
    "Stored", "Stretch", "Units", "Vocabulary", "outline_of", "plain_shop", "plain_shop_says", "reading_context",
    "shop_from", "shop_in", "shop_schema", "shop_text", "starter", "store_fits",
]  # fmt: skip
