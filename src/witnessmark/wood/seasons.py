"""How dry and how damp a house makes its furniture, month by month, and the room a drawer needs for it.

Nobody prints a monthly series for houses. Ours runs evenly from the dry end of a heated winter to the damp end of
summer and back, a planning assumption: `climate.csv` gives the ends, `rules.csv` the months they fall in.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.quantities import Length, Percent, Range, high, low
from witnessmark.sources import Figure, Input, Working, formula, row, rule, weakest, work

from .movement import Sawn, movement_of
from .species import Species

_HOUSES = {
    "US": ("us_home_winter_typical", "us_northern_summer"),
    "UK": ("uk_central_heated_winter", "uk_summer"),
}
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def driest_and_dampest(region: str) -> tuple[Figure, Figure]:
    """Moisture content at the dry end of a heated winter and the damp end of summer, % of dry mass.

    For a region without rows of its own the UK house stands in. Source: `climate.csv`, planning assumptions.
    """
    winter, summer = _HOUSES.get(region, _HOUSES["UK"])
    dry = row("wood", "climate.csv", winter).figure("mc_low_pct", Percent, "mc")
    damp = row("wood", "climate.csv", summer).figure("mc_high_pct", Percent, "mc")
    if dry is None or damp is None:
        raise KeyError(f"wood/climate.csv: {winter} or {summer} gives no moisture content")
    return dry, damp


def moisture_in(month: int, region: str) -> Figure:
    """The moisture content of furniture in a heated house in that month, 1 to 12, as a range.

    A region without rows of its own takes the UK house. Raises ValueError for no month.
    """
    if not 1 <= month <= 12:
        raise ValueError(f"{month} is no month: 1 to 12")
    winter, summer = (row("wood", "climate.csv", key) for key in _HOUSES.get(region, _HOUSES["UK"]))
    driest, dampest = (int(rule("wood", key).value) for key in ("driest_month", "dampest_month"))
    rising, since = (dampest - driest) % 12, (month - driest) % 12
    turn = since / rising if since <= rising else 1 + (since - rising) / (12 - rising)
    damp = (1 - math.cos(math.pi * turn)) / 2
    ends = []
    for column in ("mc_low_pct", "mc_high_pct"):
        dry_end, damp_end = winter.number(column), summer.number(column)
        if dry_end is None or damp_end is None:
            raise KeyError(f"wood/climate.csv: {winter.key} or {summer.key} gives no {column}")
        ends.append(dry_end + (damp_end - dry_end) * damp)
    standings, sources = zip(*(one.standing("mc") for one in (winter, summer)), strict=True)
    value = Range(Percent(ends[0]), Percent(sum(ends) / 2), Percent(ends[1]))
    name = f"wood/climate.csv:{winter.key} to {summer.key}:{MONTHS[month - 1]}"
    source = ";".join(dict.fromkeys(source for source in sources if source))
    return Figure(name, value, weakest(standings), source, "the months between are ours")


def dampest_month(region: str) -> int:
    """The month in which furniture in such a house is at its dampest."""
    return max(range(1, 13), key=lambda month: high(moisture_in(month, region).value))


def driest_month(region: str) -> int:
    """The month in which it is at its driest."""
    return min(range(1, 13), key=lambda month: low(moisture_in(month, region).value))


@dataclass(frozen=True)
class Clearance:
    """The room a part needs across its grain: `least` to leave now, `gap` then in the driest month.

    The case about it does not move along the grain of its sides, so the part's own movement is all of it.
    """

    least: Working[Length]
    month: str
    gap: Working[Length]
    gap_month: str


@formula("to leave now = what it will swell, and never less than nothing")
def to_leave(swelling: Length) -> Length:
    """The least clearance at fitting, so that the part is just free at its dampest."""
    return max(swelling, Length(0))


@formula("gap = left now − what it shrinks")
def gap_after(left: Length, shrinking: Length) -> Length:
    """The clearance once it has dried. Shrinking is negative, so the gap is wider than what was left."""
    return left - shrinking


def clearance_of(
    woods: Sequence[Species], sawn: Sawn, across: Input, now: Input, region: str, shop: Figure | None = None
) -> Clearance:
    """The clearance a drawer front or a panel needs through the seasons of a heated house and of the shop.

    `across` is its size across the grain, `now` its moisture content today; `shop` the moisture content that the
    shop's own air brings wood to. Raises NoFigure where nobody printed how the first of `woods` moves.
    """
    damp, dry = dampest_month(region), driest_month(region)
    wettest = moisture_in(damp, region)
    if shop is not None and high(shop.value) > high(wettest.value):
        wettest = shop  # it may stand here over a damp summer before it is sold
    driest = moisture_in(dry, region)
    least = work(to_leave, swelling=movement_of(woods, sawn, across, now, _end(wettest, high)))
    shrinking = movement_of(woods, sawn, across, now, _end(driest, low))
    return Clearance(
        least, MONTHS[damp - 1], work(gap_after, left=least, shrinking=shrinking), MONTHS[dry - 1]
    )  # fmt: skip


def _end(figure: Figure, which: object) -> Figure:
    """The one end of a figure that counts."""
    return Figure(figure.name, which(figure.value), figure.standing, figure.source_key, figure.note)  # type: ignore[operator]
