"""The solvents a task lets go, and what its room comes to by them: shut, and with the fan that it has.

Too much is reckoned, never too little: the high end of what is poured, all of it gone, what stays behind as film too.
"""

import math
from collections.abc import Sequence

from witnessmark.finish import UnknownCoating, coatings_for
from witnessmark.materials import family_of
from witnessmark.quantities import Airflow, Length, Span, Volume
from witnessmark.sources import Row, given, table

from .air import NoVapourFigures, solvent_named
from .caution import Caution, Level
from .room_air import Poured, RoomAir, air_of_room, cautions_of_room


def solvents_in(material_key: str) -> tuple[str, ...]:
    """The listed solvents a material is, or is let down with; none where it holds none that is listed."""
    rows = listed_solvents()
    own = next((key for key in (material_key, family_of(material_key)) if key in rows), None)
    if own:
        return (own,)
    try:
        laid = coatings_for(material_key)
    except UnknownCoating:
        return ()
    return tuple(s for one in laid for thinner in one.thinners for s in solvents_in(thinner))[:1]


def listed_solvents() -> dict[str, Row]:
    """The rows of solvents.csv that have a hazard class and let vapour into the air, by their keys."""
    return {
        row.key: row
        for row in table("safety", "solvents.csv", key="material_key")
        if row["ghs_h_codes"] and row["vapour_pressure_kpa_20c"] + row["fire_flash_point_c"] + row["us_osha_8h_ppm"]
    }


def air_of_task(
    poured: Sequence[tuple[str, Volume]], over: Span, sides: Sequence[Length], fan: Airflow
) -> RoomAir | None:
    """The air of one session in a room of those sides: materials and how much of each. None where nothing goes.

    A solvent nobody put vapour figures to is left out.
    """
    litres: dict[str, float] = {}
    for key, amount in poured:
        for solvent in solvents_in(key):
            litres[solvent] = litres.get(solvent, 0.0) + amount.litres
    gone = [Poured(solvent, Volume(much)) for solvent, much in litres.items() if much > 0 and _has_figures(solvent)]
    if not gone or over.minutes <= 0:
        return None
    room = Volume(math.prod(side.millimetres for side in sides) / 1e6)
    return air_of_room(gone, given("a session", over), given("room", room), fan=given("its fan", fan))


def cautions_of_task(air: RoomAir) -> tuple[Caution, ...]:
    """Stop where the room as it stands comes to what kills or burns; Mind the fan where only that keeps it from it."""
    solvents = [solvent_named(one.solvent)[0] for one in air.poured]
    # By moles, as vapour takes up room.
    shares = [
        one.amount.litres * solvent.density.value.kilograms_per_cubic_metre / solvent.molar_mass.value
        for one, solvent in zip(air.poured, solvents, strict=True)
    ]
    peaks = [(one, air.peak.value * (share / sum(shares))) for one, share in zip(solvents, shares, strict=True)]
    if not air.cautions or air.flow <= Airflow(0) or cautions_of_room(peaks):
        return air.cautions
    worst = air.cautions[0]
    says = "Fan on before the lid comes off, and till the room is clear: shut, it would come to what harms or burns."
    cites = tuple(dict.fromkeys(cite for one in air.cautions for cite in one.cites))
    return (Caution("fan_on", Level.MIND, says, worst.ask, worst.source_key, worst.as_of, cites),)


def _has_figures(solvent: str) -> bool:
    try:
        solvent_named(solvent)
    except NoVapourFigures:
        return False
    return True
