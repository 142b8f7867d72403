"""The next wet step, what it asks of the air, and whether today's air, as it was written down, lets it go on."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.schedule import AirWanted, DaysAir, Verdict, air_of_the_day, air_wanted
from witnessmark.shop import Shop
from witnessmark.wood import BadAir

from .piece_plan import PlannedStep


@dataclass(frozen=True)
class NextWet:
    """The step, what it wants, and what today's last reading of the air says of it; None where none was taken."""

    step: str
    trade_name: str
    wanted: AirWanted
    today: DaysAir | None = None

    @property
    def says(self) -> str:
        """One line for the top of a plan."""
        line = f"“{self.trade_name}” wants {self.wanted.says}."
        if self.today is None:
            return f"{line} Read the air that morning."
        if self.today.verdict is Verdict.GO:
            return f"{line} Today's air will do."
        return f"{line} By today's air: {self.today.says[0].lower()}{self.today.says[1:]}"


def air_for(planned: PlannedStep) -> AirWanted | None:
    """What the materials of a step ask of the air."""
    return air_wanted(need.material for need in planned.step.needs)


def next_wet(steps: Iterable[PlannedStep], daybook: DayBook, shop: Shop, now: datetime) -> NextWet | None:
    """The first step still to come that asks anything of the air; None where none does."""
    for planned in steps:
        if planned.logged and planned.logged["state"] == "done":
            continue
        wanted = air_for(planned)
        if wanted is not None:
            return NextWet(planned.step.id, planned.step.trade_name, wanted, _by_todays_air(wanted, daybook, shop, now))
    return None


def _by_todays_air(wanted: AirWanted, daybook: DayBook, shop: Shop, now: datetime) -> DaysAir | None:
    zone = shop.shop.zone_info
    read = [
        entry
        for entry in daybook.entries
        if entry.what is What.AIR and entry.happened.astimezone(zone).date() == now.astimezone(zone).date()
        and entry.happened <= now and _whole(entry)
    ]  # fmt: skip
    if not read or read[-1].temperature is None or read[-1].rh is None:
        return None
    air, humidity = read[-1].temperature.value, read[-1].rh.value
    try:
        # Work that has stood in the room is as warm as the room; a piece just in from the cold is measured by itself.
        return air_of_the_day(air, humidity, air, wanted)
    except BadAir:
        return None


def _whole(entry: Entry) -> bool:
    return bool(entry.temperature and entry.temperature.known and entry.rh and entry.rh.known)
