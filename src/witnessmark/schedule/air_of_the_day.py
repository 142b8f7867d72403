"""The day's air: whether a wet coat or glue goes on now, after heating, or not today.

A surface colder than the dew point takes up water from the air: bloom under shellac, glue that fails. It must stand a
few degrees above it, and air and surface within what the coating asks. Warming the work moves it away from the dew
point; warming the room makes its air drier. What warming can't mend within reason waits for another day.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from witnessmark.finish import UnknownCoating, coatings_for
from witnessmark.materials import UnknownName
from witnessmark.quantities import Percent, Temperature, say
from witnessmark.sources import Working, given, rule, work
from witnessmark.wood import dew_point, rh_at_surface, warm_enough_for


class Verdict(StrEnum):
    """What to do with a wet coat in this air."""

    GO = "go"
    HEAT = "heat first"
    NOT_TODAY = "not today"


@dataclass(frozen=True)
class AirWanted:
    """What one or several coatings ask of the air and the work: the strictest of each; None where nothing is known."""

    least: Temperature | None = None
    most: Temperature | None = None
    dampest: Percent | None = None

    @property
    def says(self) -> str:
        """In words for a card: “16 to 27 °C, at most 65 % humidity, the work itself 3 °C above the dew point”."""
        parts = []
        if self.least and self.most:
            parts.append(f"{self.least.celsius:.0f} to {say(self.most)}")
        elif self.least:
            parts.append(f"at least {say(self.least)}")
        elif self.most:
            parts.append(f"at most {say(self.most)}")
        if self.dampest:
            parts.append(f"at most {say(self.dampest)} humidity")
        parts.append(f"the work itself {say(rule('schedule', 'above_dew').value)} above the dew point")
        return ", ".join(parts)


@dataclass(frozen=True)
class DaysAir:
    """The verdict, its sums, why, and what would mend it: heat the work and the room at least so far."""

    verdict: Verdict
    dew_point: Working[Temperature]
    rh_at_surface: Working[Percent]
    because: tuple[str, ...] = ()
    surface_to: Temperature | None = None
    room_to: Temperature | None = None

    @property
    def says(self) -> str:
        """The verdict as it is said at the bench."""
        if self.verdict is Verdict.GO:
            return "Go."
        why = "; ".join(self.because)
        if self.verdict is Verdict.NOT_TODAY:
            return f"Not today: {why}."
        heat = []
        if self.room_to is not None:
            heat.append(f"the room to {_up(self.room_to)}")
        if self.surface_to is not None:
            heat.append(f"the work itself to {_up(self.surface_to)}")
        return f"Heat first: {why}. Bring {' and '.join(heat)}, and keep it there while the coat dries."


def air_wanted(materials: Iterable[str]) -> AirWanted | None:
    """What these materials, by their keys, ask of the air; None where none of them is a coating with limits.

    Of a family that may be laid in several ways the strictest counts.
    """
    least: list[Temperature] = []
    most: list[Temperature] = []
    dampest: list[Percent] = []
    for key in materials:
        try:
            laid = coatings_for(key)
        except (UnknownCoating, UnknownName):
            continue
        least += [one.temperature_min.value for one in laid if one.temperature_min]
        most += [one.temperature_max.value for one in laid if one.temperature_max]
        dampest += [one.humidity_max.value for one in laid if one.humidity_max]
    if not (least or most or dampest):
        return None
    return AirWanted(max(least, default=None), min(most, default=None), min(dampest, default=None))


def air_of_the_day(
    temperature: Temperature, humidity: Percent, surface: Temperature, wanted: AirWanted | None = None
) -> DaysAir:
    """Whether a coat goes on. `temperature` and `humidity` are the room's air, `surface` the work's own temperature.

    Raises BadAir (of wood) for air that can't be.
    """
    limits = wanted or AirWanted()
    air = {"temperature": given("air", temperature), "humidity": given("humidity", humidity)}
    dew = work(dew_point, **air)
    damp = work(rh_at_surface, **air, surface=given("surface", surface))
    clear_of_dew = Temperature(dew.value.celsius + rule("schedule", "above_dew").value.celsius)
    needs = max(clear_of_dew, limits.least or clear_of_dew)
    room = max(_dry_enough(dew.value, humidity, limits.dampest) or temperature, limits.least or temperature)
    because = []
    if surface < needs:
        because.append(_too_cold(surface, dew.value, needs))
    if limits.dampest is not None and humidity > limits.dampest:
        because.append(f"the air is at {say(humidity)}, and {say(limits.dampest)} is the most")
    if limits.least is not None and temperature < limits.least:
        because.append(f"the room is at {say(temperature)}, and {say(limits.least)} is the least")
    hottest = max(temperature, surface)
    too_hot = limits.most is not None and hottest > limits.most
    if too_hot and limits.most is not None:
        because.append(f"it is {say(hottest)}, and {say(limits.most)} is the most")
    if not because:
        return DaysAir(Verdict.GO, dew, damp)
    # Heating stops at what the coating bears, or at what a shop is ever heated to.
    end = limits.most if limits.most is not None else rule("schedule", "warmest_shop").value
    if too_hot or max(room, needs) > end:
        if not too_hot:
            because.append(f"it would take {_up(max(room, needs))} to mend, and {say(end)} is the end of heating")
        return DaysAir(Verdict.NOT_TODAY, dew, damp, tuple(because))
    return DaysAir(
        Verdict.HEAT,
        dew,
        damp,
        tuple(because),
        needs if surface < needs else None,
        room if room > temperature else None,
    )


def _dry_enough(dew: Temperature, humidity: Percent, dampest: Percent | None) -> Temperature | None:
    """How far the room must be warmed for its air to be dry enough; None where it is."""
    return None if dampest is None or humidity <= dampest else warm_enough_for(dew, dampest)


def _too_cold(surface: Temperature, dew: Temperature, needs: Temperature) -> str:
    if surface <= dew:
        return f"the work at {say(surface)} is colder than the dew point, {say(dew)}: water falls on it"
    return f"the work at {say(surface)} must be at {_up(needs)}; the dew point is {say(dew)}"


def _up(temperature: Temperature) -> str:
    """To the next whole degree: nobody heats too little by rounding."""
    return say(Temperature(math.ceil(temperature.celsius - 1e-9)))
