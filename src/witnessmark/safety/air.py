"""Vapour in a room: how much is let go, the air it takes to thin it, what it comes to, and how long it stays.

A room's average: it says nothing of the air before the face. The ladder of what to do comes before any of these
sums. Dilution is for vapours of low harm, let go evenly, with the worker away from the source; otherwise draw
the vapour off where it arises. Local codes, the data sheet and a hygienist prevail.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.documents import Refused
from witnessmark.materials import family_of, material
from witnessmark.quantities import AirChanges, Airflow, Density, Percent, Span, Vapour, Volume
from witnessmark.sources import Figure, Row, Standing, formula, table

_ACGIH = Figure("dilution ventilation", None, Standing.FROM_MEMORY, "acgih_industrial_ventilation", "form of the sum")
_BALANCE = Figure("mass balance of a room", None, Standing.PUBLISHED, "ventilation_notes", "well mixed")
_ADDED = Figure("29 CFR 1910.1000(d)", None, Standing.PUBLISHED, "cfr_29_1910_1000", "computation formulae")


class NoVapourFigures(Refused):
    """A solvent whose vapour nobody has put figures to in solvents.csv."""


class BadRoom(Refused):
    """A room, a time or a factor that no sum can be made with."""


@dataclass(frozen=True)
class Solvent:
    """What a solvent's vapour is: molar mass in g/mol, density, lower explosive limit, limits for people.

    `limits` are all the printed ones, by whom and over what time; `ceilings` among them are never to be passed.
    """

    key: str
    name: str
    molar_mass: Figure
    density: Figure
    explosive_limit: Figure | None
    limits: tuple[tuple[str, Figure], ...]
    immediately_dangerous: Figure | None
    no_safe_level: bool
    remark: str

    @property
    def lowest_limit(self) -> tuple[str, Figure] | None:
        """The strictest limit anyone prints, and whose it is; None where nobody does."""
        return min(self.limits, key=lambda limit: limit[1].value, default=None)


_LIMITS = {
    "us_osha_8h_ppm": ("US OSHA, 8 h", "us"), "us_osha_short_ppm": ("US OSHA, short or ceiling", "us"),
    "us_niosh_10h_ppm": ("NIOSH, 10 h", "us"), "us_niosh_short_ppm": ("NIOSH, short or ceiling", "us"),
    "acgih_8h_ppm": ("ACGIH, 8 h", "acgih"), "acgih_short_ppm": ("ACGIH, short", "acgih"),
    "uk_8h_ppm": ("UK, 8 h", "uk"), "uk_15min_ppm": ("UK, 15 min", "uk"),
}  # fmt: skip


def solvent_named(key: str) -> tuple[Solvent, str]:
    """The vapour figures of a solvent, and the key they were found under: its own, or that of its family.

    Raises NoVapourFigures where neither has a row.
    """
    rows = {row.key: row for row in table("safety", "solvents.csv", "material_key")}
    found = next((one for one in (key, family_of(key)) if one in rows), None)
    if found is None:
        raise NoVapourFigures(
            f"No vapour figures for {material(key).name}: solvents.csv has no molar mass, limits or explosive limit "
            "of it. Take the supplier's sheet, or reckon with a near relation such as ethanol for an alcohol."
        )
    cells = rows[found]
    molar_mass = cells.figure("molecular_weight_g_mol", float)
    density = cells.figure("density_g_ml", lambda number: Density(number * 1000))
    # A mixture has no one vapour pressure printed, but it has a limit where it burns; caustic soda has neither.
    volatile = cells.number("vapour_pressure_kpa_20c") or cells.number("fire_lel_pct")
    if molar_mass is None or density is None or not volatile:
        raise NoVapourFigures(
            f"{material(key).name} gives no vapour to speak of, or none that anyone printed figures of: there is no "
            "sum of air for it. Keep to the cautions of its label."
        )
    return (
        Solvent(
            found,
            material(key).name,
            molar_mass,
            density,
            cells.figure("fire_lel_pct", Percent, "fire"),
            tuple(_limits(cells)),
            cells.figure("us_idlh_ppm", Vapour, "us") if _numeric(cells["us_idlh_ppm"]) else None,
            "Ca" in cells["us_niosh_10h_ppm"],
            cells["limit_remark"],
        ),
        found,
    )


def _limits(cells: Row) -> list[tuple[str, Figure]]:
    found = []
    for column, (who, group) in _LIMITS.items():
        text = cells[column].removeprefix("C ").removeprefix("ST ")  # a ceiling, a short-term limit
        if _numeric(text):
            standing, source = cells.standing(group)
            name = f"{cells.table}:{cells.key}:{column}"
            found.append((who, Figure(name, Vapour(float(text)), standing, source, cells["note"])))
    return found


def _numeric(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()


# --- what is let go ---


@formula("vapour = amount × density ÷ molar mass × litres a mole")
def vapour_of(amount: Volume, density: Density, molar_mass: float, molar_volume: float) -> Volume:
    """The room that a liquid takes up as vapour, all of it gone. `molar_mass` g/mol, `molar_volume` l/mol."""
    return Volume(amount.litres * density.kilograms_per_cubic_metre / molar_mass * molar_volume)


@formula("release = vapour ÷ time")
def release_of(vapour: Volume, over: Span) -> Airflow:
    """The vapour let go in an hour, evenly over that time. Raises BadRoom for no time at all."""
    if over.minutes <= 0:
        raise BadRoom("A solvent takes some time to go. Give more than 0, such as 45 min.")
    return Airflow(vapour.litres / 1000 / over.in_hours)


@formula("release = the sum of all")
def all_released(**released: Airflow) -> Airflow:
    """Several solvents let go at once."""
    return Airflow(sum(one.cubic_metres_per_hour for one in released.values()))


# --- the air it takes ---


@formula("air = release × mixing factor ÷ level aimed at", source=_ACGIH)
def flow_for_health(release: Airflow, aim: Vapour, mixing: float) -> Airflow:
    """The clean air that keeps the room's average at `aim`. Raises BadRoom where nothing is aimed at."""
    if aim.parts_per_million <= 0:
        raise BadRoom("No amount of air brings vapour to nothing: give a limit of more than 0 ppm.")
    if mixing < 1:
        raise BadRoom(f"A mixing factor of {mixing:.4g} is better than perfect. It runs from 1, usually 3 to 10.")
    return release * (mixing / (aim.parts_per_million * 1e-6))


@formula("air = release × safety ÷ (explosive limit × warmth)", source=_ACGIH)
def flow_for_fire(release: Airflow, explosive_limit: Percent, safety: float, warmth: float) -> Airflow:
    """The air that keeps the room's average at a `safety`th of the lower explosive limit."""
    return release * (100 * safety / (explosive_limit.percent * warmth))


@formula("air = the sum for each solvent: their harms are taken to add up", source=_ADDED)
def flow_for_all(**flows: Airflow) -> Airflow:
    """The air for several like-acting vapours: the additive rule, Σ C/L at most 1."""
    return Airflow(sum(one.cubic_metres_per_hour for one in flows.values()))


@formula("air changes = air ÷ room")
def air_changes_of(flow: Airflow, room: Volume) -> AirChanges:
    """How often an hour that much air replaces the room's."""
    return AirChanges(flow.cubic_metres_per_hour / _room(room))


@formula("air to the explosive limit = vapour ÷ explosive limit")
def air_to_explode(vapour: Volume, explosive_limit: Percent) -> Volume:
    """The air in which that vapour would just burn, well mixed. Near the pot it does long before."""
    return vapour * (100 / explosive_limit.percent)


# --- what it comes to ---


@formula("level = release × mixing ÷ air × (1 − e^(−air ÷ mixing × time ÷ room))", source=_BALANCE)
def build_up(release: Airflow, flow: Airflow, mixing: float, room: Volume, over: Span) -> Vapour:
    """The room's average after `over` of even release into clean air; in still air all that was let go."""
    swept = flow.cubic_metres_per_hour / mixing * over.in_hours / _room(room)
    held = release.cubic_metres_per_hour * over.in_hours / _room(room)
    # (1 − e^−x) ÷ x, which is 1 in still air.
    return Vapour(held * 1e6 * (-math.expm1(-swept) / swept if swept else 1))


@formula("level = first level × e^(−air ÷ mixing × time ÷ room)", source=_BALANCE)
def decay(first: Vapour, flow: Airflow, mixing: float, room: Volume, after: Span) -> Vapour:
    """What is left `after` the last of it was let go, the air still moving."""
    return first * math.exp(-flow.cubic_metres_per_hour / mixing * after.in_hours / _room(room))


@formula("time = room × mixing ÷ air × ln(first level ÷ last)", source=_BALANCE)
def time_to_clear(first: Vapour, last: Vapour, flow: Airflow, mixing: float, room: Volume) -> Span:
    """How long until the room is down to `last`, nothing more let go. Raises BadRoom where it never is."""
    if first <= last:
        return Span(0)
    if flow.cubic_metres_per_hour <= 0 or last.parts_per_million <= 0:
        raise BadRoom("In still air the vapour stays, and it never comes to nothing: give a fan and a level.")
    return Span.hours(_room(room) * mixing / flow.cubic_metres_per_hour * math.log(first / last))


@formula("time = −room ÷ air × ln(1 − level × air ÷ release)", source=_BALANCE)
def time_to_reach(level: Vapour, release: Airflow, flow: Airflow, mixing: float, room: Volume) -> Span:
    """How long until the room's average comes to `level`. Raises BadRoom where it never does."""
    swept = flow.cubic_metres_per_hour / mixing
    share = level.parts_per_million * 1e-6 * swept / release.cubic_metres_per_hour
    if share >= 1:
        raise BadRoom("With that much air the room never comes to that level.")
    if not swept:
        return Span.hours(level.parts_per_million * 1e-6 * _room(room) / release.cubic_metres_per_hour)
    return Span.hours(-_room(room) / swept * math.log1p(-share))


@formula("average over the day = Σ level × time ÷ 8 h", source=_ADDED)
def day_average(levels: Sequence[Vapour], times: Sequence[Span], day: Span) -> Vapour:
    """What an eight-hour limit is held against; the levels and times of one day, in step."""
    return Vapour(sum(level.parts_per_million * time.minutes for level, time in zip(levels, times, strict=True))) * (
        1 / day.minutes
    )


@formula("index = Σ level ÷ limit; must not be over 1", source=_ADDED)
def mixture_index(levels: Sequence[Vapour], limits: Sequence[Vapour]) -> float:
    """Several like-acting vapours together; all the solvents here are taken as such."""
    return sum(level / limit for level, limit in zip(levels, limits, strict=True))


@formula("ppm = mg/m³ × litres a mole ÷ molar mass", source=Figure("", None, Standing.PUBLISHED, "niosh_pocket_guide"))
def parts_per_million(milligrams_per_cubic_metre: float, molar_mass: float, molar_volume: float) -> Vapour:
    """A limit written in mg/m³ as vapour; `molar_volume` is 24.45 l/mol at 25 °C."""
    return Vapour(milligrams_per_cubic_metre * molar_volume / molar_mass)


@formula("aimed at = limit × share")
def aimed_at(limit: Vapour, share: Percent) -> Vapour:
    """The share of a printed limit that the air is reckoned for."""
    return limit * (share.percent / 100)


def _room(room: Volume) -> float:
    """Cubic metres of a room that is there."""
    if room.litres <= 0:
        raise BadRoom("A room of nothing has no air. Give its length × width × height, such as 60 m3.")
    return room.litres / 1000
