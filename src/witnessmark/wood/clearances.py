"""A surveyed piece through the seasons: its drawers, what is fixed across its grain, whether it is in condition."""

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from witnessmark.quantities import Length, Percent, Range, Unknown, high, low, usual
from witnessmark.sources import Figure, Input, Standing, Working, given, work

from .conditioning import TooFewReadings, Trend, trend_of
from .moisture import BadAir, emc
from .movement import NoFigure, Sawn, can_move, movement_of
from .pieces import drawers_in, woods_of
from .seasons import Clearance, clearance_of, dampest_month, driest_month, moisture_in
from .species import Species

if TYPE_CHECKING:
    from witnessmark.survey import Joint, Part, Survey


@dataclass(frozen=True)
class Fixed:
    """A part fixed across its grain: how far it moves from the driest to the dampest month, and its slack."""

    joint: str
    part: str
    moves: Working[Length]
    slack: Length | Range[Length] | None

    @property
    def bound(self) -> bool | None:
        """Whether it has less slack than it moves; None where nobody measured the slack."""
        return None if self.slack is None else high(self.slack) < high(self.moves.value)


def air_of_shop(temperature: Input, humidity: Input) -> Working[Percent]:
    """The moisture content that the shop's own air brings wood to. Raises BadAir outside the table."""
    return work(emc, temperature=temperature, humidity=humidity)


def moisture_now(
    survey: "Survey", code: str, region: str, now: datetime, shop: Input | None = None
) -> tuple[Input, str]:
    """The moisture content of a part today, and where that is known from, the nearest evidence first.

    A meter on the part, a meter on another part, the air where it stands, the shop's air, else the season.
    """
    metered = [
        (one.at, one.part, one.mc.value) for one in survey.moisture if one.mc and one.mc.known and one.at <= now
    ]  # fmt: skip
    if metered:
        own = [one for one in metered if one[1] == code]
        _, part, read = max(own or metered, key=lambda one: one[0])
        return given(f"moisture.{part or 'piece'}.mc", read), f"metered on {part or 'the piece'}"
    for air in sorted((one for one in survey.air if one.at <= now), key=lambda one: one.at, reverse=True):
        if air.rh and air.rh.known and air.temperature and air.temperature.known:
            humidity, temperature = given("air.rh", air.rh.value), given("air.temperature", air.temperature.value)
            try:
                return work(emc, temperature=temperature, humidity=humidity), "from the air where it stands"
            except BadAir:
                continue
    if shop is not None:
        return shop, "from the shop's air"
    return moisture_in(now.month, region), "from the season: nothing was measured"


def drawer_clearances(
    survey: "Survey", region: str, now: datetime, shop: Working[Percent] | None = None
) -> dict[str, Clearance | str]:
    """The clearance of each drawer by its front's code; a reason in words where it can't be told."""
    found: dict[str, Clearance | str] = {}
    for drawer in drawers_in(survey):
        front = drawer.front
        woods = _movers(front, survey)
        if front.size is None or not front.size.known or len(front.size.value) < 2:
            found[front.code] = "its size is not known"
        elif not woods:
            found[front.code] = "its wood, or how it moves, is not known"
        else:
            moisture, _ = moisture_now(survey, front.code, region, now, shop)
            across = given(f"part.{front.code}.size", front.size.value[1])
            found[front.code] = clearance_of(woods, _sawn(front), across, moisture, region, _figure(shop))
    return found


def fixed_across(survey: "Survey", region: str) -> tuple[Fixed, ...]:
    """Each part held across its grain, with what it moves in a year in a heated house."""
    parts = survey.parts_by_code()
    found = []
    for joint in survey.joint:
        part = parts.get(joint.parts[0])
        if str(joint.across_grain) != "yes" or part is None:
            continue
        moved = _moves(part, survey, region)
        if moved is not None:
            found.append(Fixed(joint.code, part.code, moved, _slack(joint)))
    return tuple(found)


def unsaid_across(survey: "Survey") -> tuple[str, ...]:
    """The joints that hold a board or a panel of which nobody wrote down whether it is across the grain."""
    wide = {part.code for part in survey.part if part.shape in {"board", "panel"}}
    return tuple(
        joint.code for joint in survey.joint if str(joint.across_grain) not in {"yes", "no"} and joint.parts[0] in wide
    )


def trends_in(survey: "Survey", region: str, now: datetime) -> tuple[Trend, ...]:
    """The trend of each part that was metered or weighed, its target the house at the present season."""
    read: dict[tuple[str, str], list[tuple[datetime, float]]] = {}
    for one in survey.moisture:
        if one.at > now:
            continue
        if one.mc and one.mc.known:
            read.setdefault((one.part or "", "meter"), []).append((one.at, usual(one.mc.value).percent))
        if one.weight and one.weight.known:
            read.setdefault((one.part or "", "weight"), []).append((one.at, usual(one.weight.value).grams))
    target = Range(
        low(moisture_in(driest_month(region), region).value),
        moisture_in(now.month, region).value.usual,
        high(moisture_in(dampest_month(region), region).value),
    )
    found = []
    for (part, by), readings in read.items():
        try:
            found.append(trend_of(part, by, readings, target))
        except TooFewReadings:
            continue
    return tuple(found)


def _movers(part: "Part", survey: "Survey") -> list[Species]:
    return [wood for wood in woods_of(part, survey) if can_move(wood)]


def _sawn(part: "Part") -> Sawn:
    """Flat unless somebody looked: it moves more."""
    return Sawn.QUARTER if str(part.sawn) == "quarter" else Sawn.FLAT


def _moves(part: "Part", survey: "Survey", region: str) -> Working[Length] | None:
    woods = _movers(part, survey)
    if part.size is None or not part.size.known or len(part.size.value) < 2 or not woods:
        return None
    dry, damp = moisture_in(driest_month(region), region), moisture_in(dampest_month(region), region)
    ends = [
        Figure(one.name, end(one.value), one.standing, one.source_key, one.note)
        for one, end in ((dry, low), (damp, high))
    ]  # fmt: skip
    try:
        return movement_of(woods, _sawn(part), given(f"part.{part.code}.size", part.size.value[1]), *ends)
    except NoFigure:
        return None


def _slack(joint: "Joint") -> Length | Range[Length] | None:
    if joint.slack is None or isinstance(joint.slack.value, Unknown):
        return None
    slack: Length | Range[Length] = joint.slack.value
    return slack


def _figure(shop: Working[Percent] | None) -> Figure | None:
    if shop is None:
        return None
    return Figure(f"shop's air: {shop.id}", shop.value, max(shop.standing, Standing.COMPUTED, key=_rank), "")


def _rank(standing: Standing) -> int:
    return list(Standing).index(standing)
