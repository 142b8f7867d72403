"""How much of a material one step takes, each with its working."""

from typing import Any

from witnessmark.finish import (
    brush_transfer,
    brush_volume,
    coverage_of,
    rubber_charge,
    rubber_volume,
    stripper,
    volume_over,
)
from witnessmark.materials import material
from witnessmark.quantities import Area, Coats, Mass, Volume
from witnessmark.sources import Input, Working, formula, given, rule, work

from .step import Need


@formula("volume = area × what a square metre takes")
def wiped_over(area: Area, per_m2: float) -> Volume:
    """Liquid for one wiping of an area; `per_m2` in litres."""
    return Volume(area.square_metres * per_m2)


@formula("volume = places × what one takes")
def at_places(places: int, each: Volume) -> Volume:
    """Liquid for so many joints, repairs or spots."""
    return each * places


@formula("glue = places × what one takes")
def glue_at(places: int, each: Mass) -> Mass:
    """Ready glue for so many joints or repairs."""
    return each * places


def need_for(spend: str, material_key: str, area: Working[Any] | None, count: int, sessions: Input) -> Need | None:
    """What a step needs, or None where it can't be reckoned for want of an area.

    `spend` is the column of `steps.csv`: wipe, wipe_joint, dab, glue, coverage, coat or rubber.
    Raises ValueError on another word.
    """
    places = given("places", count)
    working: Working[Any]
    match spend:
        case "wipe_joint" | "dab":
            working = work(at_places, places=places, each=rule("treatment", spend))
        case "glue":
            working = work(glue_at, places=places, each=rule("treatment", "glue_place"))
        case _ if area is None:
            return None
        case "wipe":
            working = work(wiped_over, area=area, per_m2=rule("treatment", "wipe"))
        case "coverage":
            coverage = stripper(material_key).coverage
            if coverage is None:
                return None
            working = work(volume_over, coats=given("one coat", Coats(1)), area=area, rate=coverage)
        case "coat":
            working = work(
                brush_volume, coats=_coats(sessions), area=area, coverage=coverage_of(material_key),
                transfer=brush_transfer(),
            )  # fmt: skip
        case "rubber":
            working = work(rubber_volume, sessions=sessions, area=area, per_session=rubber_charge())
        case _:
            raise ValueError(f"steps.csv: “{spend}” is no way to spend a material")
    return Need(material_key, material(material_key).name, working)


def _coats(sessions: Input) -> Input:
    """Sessions of a brush are coats."""
    return given("steps.csv: coats", Coats(float(sessions.value)))
