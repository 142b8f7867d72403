"""The end-of-day list as the bench shows it: from today's entries and today's list, each line with what it is for."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from witnessmark.daybook import Entry, What
from witnessmark.materials import AmbiguousName, UnknownName, family_of, material_named
from witnessmark.safety import Task, cautions_for
from witnessmark.schedule import stamp

from .bench_item import BenchSeen

_RAGS = ("oil_rags", "spirit_rags", "keep_the_rubber", "steel_wool", "nitrocellulose_dust", "celluloid_store")
_GLUES = frozenset(["animal_glue", "hide_glue_hot"])


def closing_list(
    seen: BenchSeen,
    listed: Sequence[Mapping[str, Any]],
    waiting: Sequence[Mapping[str, Any]],
    stir: Sequence[Mapping[str, Any]],
    day: date,
) -> dict[str, Any]:
    """What to see to before the door is locked: `lines [{key, says, of[]}]`, and who checked it, when."""
    zone = seen.shop.shop.zone_info
    entries = [entry for entry in seen.daybook.entries if entry.happened.astimezone(zone).date() == day]
    checked = [entry for entry in entries if entry.what is What.CLOSED_UP]
    materials = _materials(seen, entries, listed)
    return {
        "lines": [
            {"key": key, "says": says, "of": of} for key, says, of in _lines(seen, entries, materials, waiting, stir)
        ],
        "checked": {"who": checked[-1].who, "at": stamp(checked[-1].happened)} if checked else None,
    }


def _lines(
    seen: BenchSeen,
    entries: Sequence[Entry],
    materials: Mapping[str, str],
    waiting: Sequence[Mapping[str, Any]],
    stir: Sequence[Mapping[str, Any]],
) -> Iterator[tuple[str, str, list[str]]]:
    region = seen.shop.shop.words.value
    bound = {one.key: one for one in cautions_for(Task("end_of_day", tuple(materials)), region=region, at_most=None)}
    for key in _RAGS:
        if key in bound:
            yield key, bound[key].says, [materials.get(one, one) for one in bound[key].cites]
    opened = {amount.jar: amount.material for entry in entries for amount in entry.amounts if amount.jar}
    yield "jars", "Jars lidded and named.", [f"{jar}: {material}" for jar, material in sorted(opened.items())]
    if any(_family(material) in _GLUES or material in _GLUES for material in materials):
        yield "glue_pot", "Glue pot off and unplugged, lid on.", []
    yield "heat", "Stove, heat gun, iron and chargers off at the wall.", []
    if stir:
        yield "stir", "Stirring done.", [one["jar"] or one["what"] for one in stir]
    if wet := [f"{one['piece']['code'] or one['piece']['title']}: {one['what']}" for one in waiting]:
        yield "wet", "Wet work shut away from dust.", wet
    yield "nothing_lost", "Screws, keys and loose bits on their cards.", []


def _materials(seen: BenchSeen, entries: Sequence[Entry], listed: Sequence[Mapping[str, Any]]) -> dict[str, str]:
    """The keys of what was used today, or is on today's list, each with the words it goes by."""
    found: dict[str, str] = {}
    for entry in entries:
        for amount in entry.amounts if entry.what not in (What.COUNTED, What.DISCARDED) else ():
            try:
                found.setdefault(material_named(amount.material).key, amount.material)
            except (UnknownName, AmbiguousName):
                continue
    for item in listed:
        step = seen.steps.get((item["piece"], item["step"]))
        for need in step["amounts"] if step else ():
            found.setdefault(need["material"], need["name"])
    return found


def _family(material: str) -> str:
    try:
        return family_of(material)
    except KeyError:
        return material
