"""Litres out against the cabinet: the flammable liquids that may stand in the shop, and what the cabinet may hold.

On the worst day: what is in the cupboard, all that this plan buys, and what its mixes gain by their flakes, nothing
used yet. The spirit of a mix is that of its tin, and is counted once.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from witnessmark.materials import fits, material, members_of
from witnessmark.plan import PiecePlan
from witnessmark.quantities import Temperature, Volume, high
from witnessmark.safety import CabinetLimit, cabinet_limits, listed_solvents, litres_out, solvents_in
from witnessmark.shop import Shelf
from witnessmark.sources import Working, given, work

from . import blocks
from .heads import PREVAILS, jar_names
from .letters import leaf
from .voice import Voice, capital, sentence

_LIQUIDS = {"solvent", "coating", "stain", "stripper", "cleaner", "adhesive"}
_NONE = Volume(0)


@dataclass(frozen=True)
class _Liquid:
    """Something that burns: where it stands, how much of it (None: nobody wrote it down), and when it flashes."""

    what: str
    where: str
    volume: Volume | None
    flash: Temperature


def cabinet_leaf(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """The leaf: what is out, class by class, and what may be."""
    o = voice.ours
    limits = cabinet_limits("US" if voice.american else "UK")
    burns = {
        kind: [one for one in found if any(limit.holds(one.flash) for limit in limits)]
        for kind, found in (
            ("shelf", list(_shelved(plan, o))),
            ("buy", list(_bought(plan))),
            ("mix", list(_swelled(plan))),
        )
    }
    rows = [
        [
            capital(o(one.what)),
            o(one.where),
            voice.amount(one.volume) if one.volume is not None else [blocks.fine(o("measure it:"))],
            voice.amount(one.flash),
        ]
        for found in burns.values()
        for one in found
    ]
    body: list[blocks.Block] = [blocks.para(o(_day(plan, voice)), "fine")]
    heads = (o("What burns"), o("Where"), o("How much"), o("Flashes at"))
    body.append(
        blocks.table((1.3, 1.5, -30, -26), heads, rows, numbers=(2, 3), empty_rows=2)
        if rows
        else blocks.para(o("No flammable liquid is written down, in the cupboard or in this plan."))
    )
    unlisted = list(_unlisted(plan))
    if unlisted:
        read_it = o("Not in our tables: read the label, and write them in above if they burn.")
        body.append(blocks.para(f"{read_it} {'; '.join(unlisted)}."))
    body += [blocks.heading(o("Out at most, and what may be")), *_held(plan, limits, burns, voice)]
    body.append(
        blocks.slip(
            [
                (
                    "Mind",
                    o("The least that today’s work takes is what stands out; every lid on, every name on its tin."),
                ),
                ("Mind", o("Rags, acids, bleach and peroxide never stand in the same cabinet.")),
            ],
            o(f"{PREVAILS} Ask: {limits[0].ask}, and the insurer."),
        )
    )
    body.append(blocks.signatures([o("Looked through by")]))
    return leaf(plan, voice, "Litres out against the cabinet", body)


def _day(plan: PiecePlan, voice: Voice) -> str:
    looked = plan.shop.cupboard_on
    seen = (
        f"The cupboard as it was looked through on {voice.date(looked)}" if looked else "The cupboard as written down"
    )
    return (
        f"{seen}, all that this plan buys, and what its mixes gain by their flakes; nothing used yet. "
        "Other pieces’ plans come on top."
    )


def _held(
    plan: PiecePlan, limits: tuple[CabinetLimit, ...], burns: dict[str, list[_Liquid]], voice: Voice
) -> Iterator[blocks.Block]:
    """A line a class: what is out, and the most that is printed; then the cabinet's own."""
    o = voice.ours
    rows = []
    for limit in limits:
        out = _out(burns, limit)
        over = out.value > limit.most.value
        most = f"{voice.amount(limit.most.value)} {limit.says}"
        verdict = blocks.red(o("too much: take it out of the room")) if over else o("within it, as a guide")
        rows.append([o(f"flashes up to {voice.amount(limit.to)}"), voice.amount(out.value), o(most), verdict])
    heads = (o("Class"), o("Out at most"), o("The most that is printed"), o("So"))
    yield blocks.table((-36, -28, 1.3, 1), heads, rows, numbers=(1,))
    standing = limits[0].most.standing.words
    yield blocks.para(o(f"{sentence(_out(burns).formula.says)} Standing of the printed figures: {standing}."), "fine")
    rooms = [room for room in plan.shop.room if room.cabinet is not None and room.cabinet.known]
    every = _out(burns).value
    if rooms:
        holds = sum((room.cabinet.value for room in rooms if room.cabinet), _NONE)
        where = ", ".join(room.name for room in rooms)
        says = (
            f"It is too small by {voice.amount(every - holds)}: buy less at once, or keep the rest out of the shop."
            if every > holds
            else "It holds all of this."
        )
        yield blocks.facts(
            [(o("Cabinet holds"), f"{voice.amount(holds)} ({where})"), (o("Out at most"), voice.amount(every))]
        )
        yield blocks.para(o(says), "strong")
    else:
        yield blocks.facts([(o("Cabinet holds"), ""), (o("Out at most"), voice.amount(every))])
        yield blocks.para(
            o("Nobody wrote down what the cabinet holds: fill it in, and “cabinet” in the shop’s document.")
        )
    if any(one.volume is None for found in burns.values() for one in found):
        yield blocks.para(o("What is not measured is not in these sums: they are too low by it."), "strong")


def _out(burns: dict[str, list[_Liquid]], limit: CabinetLimit | None = None) -> Working[Volume]:
    """What is out of one class, or of all."""
    sums = {
        kind: sum((one.volume for one in found if one.volume and (limit is None or limit.holds(one.flash))), _NONE)
        for kind, found in burns.items()
    }
    return work(
        litres_out,
        cupboard=given("the shop's cupboard", sums["shelf"]),
        bought=given("the shopping of the plan", sums["buy"]),
        swelled=given("the mixes of the plan", sums["mix"]),
    )


def _flash(key: str) -> Temperature | None:
    """When the solvent in a material flashes; None where it has none, or none that is listed."""
    found = next((listed_solvents()[solvent] for solvent in solvents_in(key)), None)
    return (
        Temperature(float(found["fire_flash_point_c"])) if found is not None and found["fire_flash_point_c"] else None
    )


def _may_burn(key: str) -> bool:
    """A liquid that may hold spirit or thinner: not a paste or flakes, nor an oil that is sold without any."""
    return material(key).kind in _LIQUIDS and not any(fits("drying_oil", member) for member in members_of(key))


def _liquids(plan: PiecePlan) -> Iterator[tuple[str, Shelf]]:
    for shelf in plan.shop.cupboard:
        key = shelf.key
        if key is not None and shelf.mass is None and _may_burn(key):
            yield key, shelf


def _shelved(plan: PiecePlan, o: Any) -> Iterator[_Liquid]:
    for key, shelf in _liquids(plan):
        flash = _flash(key)
        if flash is not None:
            volume = shelf.volume.value if shelf.volume and shelf.volume.known else None
            yield _Liquid(shelf.material, f"cupboard, jar {shelf.jar}" if shelf.jar else "cupboard", volume, flash)


def _unlisted(plan: PiecePlan) -> Iterator[str]:
    """What stands in the cupboard of which nobody has figures: it may burn."""
    for shelf in plan.shop.cupboard:
        key = shelf.key
        bare = key is not None and material(key).kind in {"solvent", "stripper"} and not solvents_in(key)
        if shelf.mass is None and (key is None or (bare and key != "water")):
            yield shelf.material


def _bought(plan: PiecePlan) -> Iterator[_Liquid]:
    for buy in plan.shopping:
        flash = _flash(buy.material)
        if isinstance(buy.amount, Volume) and flash is not None and _may_burn(buy.material):
            yield _Liquid(buy.name, "to be bought", buy.amount, flash)


def _swelled(plan: PiecePlan) -> Iterator[_Liquid]:
    """What a mix takes up beyond the spirit poured into it, which is counted in its tin."""
    names = jar_names(plan)
    for mix in plan.mixes:
        make, flash = high(mix.make), _flash(mix.material)
        if mix.from_shelf is None and isinstance(make, Volume) and flash is not None:
            poured = _NONE if mix.solvent is None else high(mix.solvent)
            yield _Liquid(mix.name, f"{names[mix.id]}, beyond its spirit", max(make - poured, _NONE), flash)
