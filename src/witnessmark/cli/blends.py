"""`blend`: where a blend of solvents stands, and how far from what it must dissolve and what it must spare."""

import re
from typing import Any

import click

from witnessmark import finish, safety
from witnessmark.documents import Fault, Faulty
from witnessmark.materials import material, material_named
from witnessmark.quantities import Gallon, Money, NotUnderstood, Volume, read, say, usual
from witnessmark.sources import Figure

from .checks import named, refuses
from .frame import Answer, answers, text_of


@click.command()
@click.argument("text", required=False)
@click.option("--dissolve", multiple=True, help="What it must dissolve; may be given again.")
@click.option("--spare", multiple=True, help="What it must not touch; may be given again.")
@click.option("--shelf", help="Solvents at hand, “ethanol, white spirit”: offers the mildest of them.")
@click.option("--shop", help="The shop's document: its cupboard is the shelf.")
@answers
@refuses(finish.BadBlend)
def blend(
    text: str | None, dissolve: tuple[str, ...], spare: tuple[str, ...], shelf: str | None, shop: str | None
) -> Answer:
    """Where a blend such as “ethanol 70, white spirit 30” stands, and how far from what matters."""
    warnings: list[str] = []
    wanted = [("dissolve", _on_a_map(name, "--dissolve", warnings)) for name in dissolve]
    wanted += [("spare", _on_a_map(name, "--spare", warnings)) for name in spare]
    kept, tins = _cupboard(shop)
    at_hand = [_solvent(one.strip(), "--shelf", warnings) for one in shelf.split(",")] if shelf else kept
    if text is None and not (at_hand and dissolve):
        raise Faulty([Fault("BLEND", "", "nothing", "a blend, or --dissolve with --shelf or --shop to be offered one")])
    offered = (
        finish.mildest(at_hand, wanted[0][1], [key for what, key in wanted if what == "spare"])
        if at_hand and dissolve
        else ()
    )
    pours = finish.shares_of(_parts(text, warnings)) if text else offered[0].blend if offered else ()
    if not pours:
        says = ["Nothing on that shelf, alone or two together, should dissolve it and can be placed on the map."]
        return Answer({"blend": [], "mildest": []}, says, [], warnings)
    fd, fp, fh = finish.teas_of(pours)
    if abs(finish.sum_of_fractions(pours) - 100) > 0.5:
        warnings.append("the fractions don't add up to 100: one of the printed triples is wrong")
    fractions = {"fd": fd, "fp": fp, "fh": fh}
    found = [one for what, key in wanted for one in finish.distances(pours, key, what)]
    flash = finish.flash_point_of(pours)
    slowest, cost = finish.evaporation_of(pours), finish.cost_of_blend(pours, tins)
    result = {
        "blend": [{"solvent": pour.solvent, "share": pour.share} for pour in pours],
        "fd": fd, "fp": fp, "fh": fh, "standings": {name: one.standing.value for name, one in fractions.items()},
        "distances": [_row(one) for one in found],
        "flash_point": flash.value if flash else None, "evaporation": slowest.value if slowest else None, "cost": cost,
        "vapour": [_vapour(pour.solvent) for pour in pours], "mildest": [_offer(one) for one in offered],
    }  # fmt: skip
    says = [
        "Teas: " + ", ".join(f"{name} {one.value:.0f} ({one.standing.words})" for name, one in fractions.items()) + "."
    ]
    if text is None:
        says.insert(0, f"The mildest on that shelf: {_named(pours)}.")
    says += [_says(one) for one in found]
    says.append(_flashes(flash))
    says.append(_lingers(slowest))
    says += [_vapour_says(pour.solvent) for pour in pours]
    if cost:
        says.append(f"A litre of it costs {say(cost.value)}, by the tins of the cupboard.")
    says += [f"Mildest on the shelf: {_named(one.blend)}." for one in offered[:1] if text]
    warnings += _by_teas(found)
    warnings.append(
        "a map says what to try on a hidden spot, mildest first; it knows nothing of swelling, water or time"
    )
    keys = tuple(pour.solvent for pour in pours)
    cautions = [f"{one.level}: {one.says}" for one in safety.cautions_for(safety.Task("blend", keys))]
    return Answer(result, says, cautions, warnings, [one.working for one in found])


def _parts(text: str, warnings: list[str]) -> list[tuple[str, float]]:
    """“ethanol 70, white spirit 30”, or a solvent alone."""
    parts = []
    for piece in text.split(","):
        said = piece.strip()
        match = re.fullmatch(r"(.*?[^\d.\s])\s+(\d+(?:\.\d+)?)\s*%?", said) or re.fullmatch(r"(\D.*)()", said)
        if match is None or (not match[2] and "," in text):
            raise Faulty([Fault("BLEND", "", said, "a solvent and its parts by volume, such as “ethanol 70”")])
        parts.append((_solvent(match[1], "BLEND", warnings), float(match[2] or 100)))
    total = sum(part for _, part in parts)
    if total > 0 and abs(total - 100) > 0.01:
        warnings.append(f"the parts add up to {total:g}: taken as parts of that, not of 100")
    return parts


def _solvent(text: str, option: str, warnings: list[str]) -> str:
    found = named(lambda one: material_named(one, ("solvent",)), option, text, "a solvent, such as ethanol")
    if found.is_group:
        warnings.append(f"{found.name} is a group: reckoned as {material(found.default).name}")
    return str(found.default)


def _on_a_map(text: str, option: str, warnings: list[str]) -> str:
    found = named(material_named, option, text, "what it must dissolve or spare, such as shellac")
    if found.is_group and found.key not in finish.on_a_map():
        warnings.append(f"{found.name} is a group: reckoned as {material(found.default).name}")
        return str(found.default)
    return str(found.key)


def _cupboard(shop: str | None) -> tuple[list[str], dict[str, tuple[Money, Volume]]]:
    """The solvents of the cupboard, and the price and size of each one's tin where they are written down."""
    if not shop:
        return [], {}
    from witnessmark.shop import shop_from  # pydantic waits until a document is read

    the_shop = shop_from(text_of(shop), shop)
    shelves = [(shelf.key, shelf) for shelf in the_shop.cupboard if shelf.key]
    tins = {}
    for key, shelf in shelves:
        tin = _tin(shelf.sold_in, the_shop.shop.gallon)
        if shelf.price and shelf.price.known and tin:
            tins[key] = (usual(shelf.price.value), tin)
    return [key for key, _ in shelves if material(key).kind == "solvent"], tins


def _tin(text: str, gallon: Gallon) -> Volume | None:
    """The size it is sold in; None where it is sold by weight, or nobody wrote it down."""
    try:
        size = read(text, Volume, gallon)
    except NotUnderstood:
        return None
    return size if isinstance(size, Volume) else None


def _row(one: finish.Distance) -> dict[str, Any]:
    return {
        "material": one.material, "state": one.state, "wanted": one.wanted, "by": one.by, "distance": one.distance,
        "reach": one.reach, "inside": one.inside, "standing": one.standing.value,
    }  # fmt: skip


def _offer(one: finish.Offered) -> dict[str, Any]:
    return {
        "blend": [{"solvent": pour.solvent, "share": pour.share} for pour in one.blend],
        "spares": _finite(one.spares),
    }


def _finite(number: float) -> float | None:
    return None if number == float("inf") else number


def _vapour(solvent: str) -> dict[str, Any]:
    """The strictest limit for its vapour, and where it would burn; nothing where nobody printed any."""
    try:
        found, _ = safety.solvent_named(solvent)
    except safety.NoVapourFigures:
        return {"solvent": solvent, "limit": None, "explosive_limit": None}
    lowest, explosive = found.lowest_limit, found.explosive_limit
    return {
        "solvent": solvent, "limit": lowest[1].value if lowest else None,
        "explosive_limit": explosive.value if explosive else None,
    }  # fmt: skip


def _says(one: finish.Distance) -> str:
    name = material(one.material).name + (f" ({one.state})" if one.state else "")
    how = {"hansen": "Hansen's sphere", "teas": "Teas' triangle, for want of a sphere"}[one.by]
    unit = "MPa½" if one.by == "hansen" else "points"
    acts = {True: "should act on it", False: "should leave it alone"}[one.inside]
    bad = " That is not what is wanted." if one.inside != (one.wanted == "dissolve") else ""
    return f"{name}: {one.distance:.1f} {unit} from its middle of {one.reach:.1f} ({how}): {acts}.{bad}"


def _flashes(flash: Figure | None) -> str:
    if flash is None:
        return "No flash point was found for one of them: take it to flash in the cold."
    return f"Take it to flash at {say(flash.value)} ({flash.standing.words}): that of whichever part flashes first."


def _lingers(slowest: Figure | None) -> str:
    if slowest is None:
        return "How fast it goes is not known of one of them: try it on glass."
    times = f"{slowest.value:.2g} times as fast as butyl acetate ({slowest.standing.words})"
    return f"It leaves by its slowest part: {times}; that is what stays in the film."


def _vapour_says(solvent: str) -> str:
    """The strictest limit that is printed, whose and on what standing; and where it burns."""
    name = material(solvent).name
    try:
        found, _ = safety.solvent_named(solvent)
    except safety.NoVapourFigures:
        return f"Vapour of {name}: nobody printed figures that we have; take it for harmful."
    lowest, explosive = found.lowest_limit, found.explosive_limit
    limit = f"limit {say(lowest[1].value)} ({lowest[0]}, {lowest[1].standing.words})" if lowest else "no limit found"
    burns = f", burns in air from {say(explosive.value)} ({explosive.standing.words})" if explosive else ""
    return f"Vapour of {name}: {limit}{burns}."


def _by_teas(found: list[finish.Distance]) -> list[str]:
    names = dict.fromkeys(material(one.material).name for one in found if one.by == "teas")
    return (
        [f"no Hansen sphere was found for {', '.join(names)}: told by Teas, a coarse inner estimate"] if names else []
    )


def _named(pours: tuple[finish.Pour, ...]) -> str:
    return ", ".join(f"{material(pour.solvent).name} {say(pour.share)}" for pour in pours)


COMMANDS = {"blend": blend}
