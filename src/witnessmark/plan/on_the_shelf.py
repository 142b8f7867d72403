"""The cupboard against what the plans want: what to buy for all of them; what burns, and what the cabinet holds."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from witnessmark.materials import family_of, fits, material, members_of
from witnessmark.quantities import Volume, from_json
from witnessmark.safety import cabinet_limits, listed_solvents, solvents_in
from witnessmark.shop import Shop

from .piece_plan import Buy
from .shopping import line_of

_SPIRIT = "ethanol_denatured"  # what flakes are dissolved in
_LIQUIDS = {"solvent", "coating", "stain", "stripper", "cleaner", "adhesive"}


@dataclass(frozen=True)
class BuyForAll:
    """One material, wanted by these pieces; `by` is when the first of them takes it."""

    line: Buy
    by: datetime | None
    pieces: tuple[str, ...]


def to_buy(plans_json: Sequence[Mapping[str, Any]], shop: Shop, today: date) -> tuple[BuyForAll, ...]:
    """What all these plans want together, less what is on the shelf, in the sizes it is sold in.

    What must be bought comes first, what is wanted soonest at its head.
    """
    need: dict[str, Any] = {}
    pieces: dict[str, dict[str, None]] = {}
    by: dict[str, datetime] = {}
    for plan in plans_json:
        soonest = _first_taken(plan)
        for line in plan["shopping"]:
            key, amount = line["material"], from_json(line["need"])
            need[key] = need[key] + amount if key in need else amount
            pieces.setdefault(key, {})[plan["piece"]["code"] or plan["piece"]["title"]] = None
            if key in soonest:
                by[key] = min(by.get(key, soonest[key]), soonest[key])
    found = [
        BuyForAll(line_of(key, amount, shop, today), by.get(key), tuple(pieces[key])) for key, amount in need.items()
    ]
    return tuple(sorted(found, key=lambda one: (not one.line.packs, one.by is None, one.by or 0, one.line.name)))


def _first_taken(plan: Mapping[str, Any]) -> dict[str, datetime]:
    """When each material is first taken: by a step, or by a jar that is mixed."""
    taken: dict[str, datetime] = {}

    def take(key: str, at: str | None) -> None:
        if at:
            moment = datetime.fromisoformat(at)
            taken[key] = min(taken.get(key, moment), moment)

    for step in plan["steps"]:
        for amount in step["amounts"]:
            take(amount["material"], step["starts"])
    for mix in plan["mixes"]:
        if not mix["from_shelf"]:
            take(_dry(mix["material"]), mix["mix_at"])
            take(_SPIRIT, mix["mix_at"])
    return taken


@dataclass(frozen=True)
class GoesIn:
    """One thing weighed or poured into a jar: its key, what it is called, how much (as JSON), and its working."""

    key: str
    name: str
    amount: Mapping[str, Any]
    working: str


def goes_in(mix: Mapping[str, Any], plan_json: Mapping[str, Any], shop: Shop) -> tuple[GoesIn, ...]:
    """What a mix of a plan is made of, the resin or glue first. The working is empty where the plan has none."""
    dry = _dry(mix["material"])
    named = (("resin", dry, "finish.flakes_for"), ("solvent", _SPIRIT, "finish.solvent_in"))
    return tuple(
        GoesIn(key, material(key).called(shop.shop.words.value), mix[part], _working(plan_json, formula, mix[part]))
        for part, key, formula in named
        if mix[part]
    )


def _dry(key: str) -> str:
    """What is weighed out for a mix: flakes, or dry glue."""
    return "shellac_flakes" if key == "shellac" else family_of(key)


def _working(plan_json: Mapping[str, Any], formula: str, amount: Mapping[str, Any]) -> str:
    usual = (amount["value"], amount["unit"])  # a mix says the usual amount, its working the range too
    found = (
        name
        for name, one in plan_json["workings"].items()
        if one["formula"] == formula and (one["value"]["value"], one["value"]["unit"]) == usual
    )
    return next(found, "")


@dataclass(frozen=True)
class BurnsNow:
    """What stands in the cupboard that burns: `held` is all that is measured, `room` what the cabinets hold.

    `unmeasured` and `unlisted` name what is in no sum. `room` is None where nobody wrote it down.
    """

    held: Volume
    room: Volume | None
    unmeasured: tuple[str, ...]
    unlisted: tuple[str, ...]
    ask: str

    @property
    def over(self) -> Volume | None:
        """By how much the cabinets are too small; None where they are not, or nobody knows."""
        return self.held - self.room if self.room is not None and self.room < self.held else None


def burns_now(shop: Shop, region: str) -> BurnsNow:
    """Litres out against the cabinet. `shop` is the shop as its cupboard stands today; `region` UK or US.

    Counted is what flashes within the classes of that region's table. The shop's own fire assessment prevails.
    """
    limits = cabinet_limits(region)
    held, unmeasured, unlisted = Volume(0), [], []
    for shelf in shop.cupboard:
        if shelf.mass is not None:
            continue
        key = shelf.key
        if key is None or (material(key).kind in {"solvent", "stripper"} and not solvents_in(key) and key != "water"):
            unlisted.append(shelf.material)
            continue
        flash = _flash(key)
        if (
            flash is None
            or not _may_burn(key)
            or not any(limit.over.celsius < flash <= limit.to.celsius for limit in limits)
        ):
            continue
        if shelf.volume is not None and shelf.volume.known:
            volume: Any = shelf.volume.value
            held = held + volume
        else:
            unmeasured.append(shelf.material)
    said: list[Any] = [room.cabinet.value for room in shop.room if room.cabinet is not None and room.cabinet.known]
    return BurnsNow(
        held, sum(said, Volume(0)) if said else None, tuple(dict.fromkeys(unmeasured)),
        tuple(dict.fromkeys(unlisted)), limits[0].ask,
    )  # fmt: skip


def _flash(key: str) -> float | None:
    found = next((listed_solvents()[solvent] for solvent in solvents_in(key)), None)
    return float(found["fire_flash_point_c"]) if found is not None and found["fire_flash_point_c"] else None


def _may_burn(key: str) -> bool:
    """A liquid that may hold spirit or thinner: no paste or flakes, nor an oil that is sold without any."""
    return material(key).kind in _LIQUIDS and not any(fits("drying_oil", member) for member in members_of(key))
