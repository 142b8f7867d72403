"""`clearance`: a piece through the seasons of shop and home, and whether it is in condition yet."""

from datetime import datetime
from typing import Any

import click

from witnessmark import wood
from witnessmark.quantities import Percent, say
from witnessmark.shop import Room, Shop, shop_from
from witnessmark.sources import Working, given
from witnessmark.survey import Survey, survey_from

from .checks import refuses
from .frame import Answer, answers, now_option, text_of


@click.command()
@click.argument("file")
@click.option("--shop", help="The shop's document: its air, and which country's houses its pieces go to.")
@now_option
@answers
@refuses(wood.BadMoisture)
def clearance(file: str, shop: str | None, now: datetime) -> Answer:
    """The least room each drawer needs now, and the month it is tightest in."""
    the_shop = shop_from(text_of(shop), shop) if shop else None
    survey = survey_from(text_of(file), file, the_shop.context if the_shop else None)
    region = _region(the_shop, survey)
    air = _shop_air(the_shop)
    drawers: list[dict[str, Any]] = []
    says, warnings, workings = [], [f"reckoned for a heated {region} house; nobody prints a monthly series for one"], []
    for part, found in wood.drawer_clearances(survey, region, now, air).items():
        if isinstance(found, str):
            drawers.append({"part": part, "least": None, "month": None, "gap": None, "gap_month": None})
            warnings.append(f"{part}: {found}")
            continue
        drawers.append({
            "part": part, "least": found.least, "month": found.month, "gap": found.gap, "gap_month": found.gap_month
        })  # fmt: skip
        workings += [found.least, found.gap]
        says.append(
            f"{part}: leave {say(found.least.value)} now, tightest in {found.month}; "
            f"a gap of {say(found.gap.value)} in {found.gap_month}."
        )
    if drawers:
        warnings.append(f"moisture {wood.moisture_now(survey, drawers[0]['part'], region, now, air)[1]}")
    fixings = [
        {"joint": one.joint, "part": one.part, "moves": one.moves, "slack": one.slack, "bound": one.bound}
        for one in wood.fixed_across(survey, region)
    ]  # fmt: skip
    says += [_fixing(one) for one in fixings]
    if not fixings and (unsaid := wood.unsaid_across(survey)):
        warnings.append(f"{', '.join(unsaid)}: say of each whether it holds its board across the grain (across_grain)")
    trends = wood.trends_in(survey, region, now)
    says += [_trend(one) for one in trends]
    condition = [
        {"part": one.part, "by": one.by, "per_week": one.per_week, "flat": one.flat, "near": one.near,
         "to_go": one.to_go, "ready": one.ready}
        for one in trends
    ]  # fmt: skip
    result = {"drawers": drawers, "fixings": fixings, "condition": condition}
    none = (
        "The room of its drawers can't be told yet."
        if drawers
        else "No drawers are named in it, and no part that is held across its grain."
    )
    return Answer(result, says or [none], [], warnings, workings)


def _region(the_shop: Shop | None, survey: Survey) -> str:
    """Where its home will be: the shop's country, else where the piece is from, else the UK."""
    if the_shop:
        return the_shop.shop.words.value
    return "US" if survey.piece.region.value == "US" else "UK"


def _shop_air(the_shop: Shop | None) -> Working[Percent] | None:
    """What the shop's own air makes of wood, by the first room whose air is written down."""
    rooms: tuple[Room, ...] = the_shop.room if the_shop else ()
    for room in rooms:
        if room.rh and room.rh.known and room.day_temperature and room.day_temperature.known:
            return wood.air_of_shop(
                given(f"room.{room.name}.day_temperature", room.day_temperature.value),
                given(f"room.{room.name}.rh", room.rh.value),
            )
    return None


def _fixing(one: dict[str, Any]) -> str:
    slack = "its slack is not measured" if one["slack"] is None else f"slack {say(one['slack'])}"
    bound = ": free it before closing any split" if one["bound"] else ""
    return f"{one['part']} at {one['joint']} moves {say(one['moves'].value)} in a year, {slack}{bound}."


def _trend(one: wood.Trend) -> str:
    unit = "points" if one.by == "meter" else "% of its weight"
    then = "flat" if one.flat else "not flat yet"
    near = "" if one.near is None else ", near the house's" if one.near else ", not near the house's yet"
    wait = f"; about {say(one.to_go)} at this pace" if one.to_go and one.to_go.minutes > 0 else ""
    return f"{one.part or 'The piece'}, by {one.by}: {one.per_week:+.2f} {unit} a week, {then}{near}{wait}."


COMMANDS = {"clearance": clearance}
