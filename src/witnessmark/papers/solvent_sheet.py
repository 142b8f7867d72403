"""A sheet for each solvent and task, to be dated and signed: what it can do, what guards against it, what was done.

The hazards and limits are those of our own table. The label and the data sheet on the very can, and local rules,
prevail, and the sheet says so first.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from witnessmark.materials import material
from witnessmark.plan import PiecePlan, PlannedStep, air_of_step, finishing_room
from witnessmark.quantities import Span, Temperature
from witnessmark.safety import (
    RoomAir,
    Task,
    cautions_for,
    cautions_of_task,
    listed_solvents,
    solvents_in,
    vapour_ladder,
)
from witnessmark.shop import Room
from witnessmark.sources import Row, Working
from witnessmark.treatment import Need

from . import blocks
from .cabinet import cabinet_leaf
from .heads import family, head, is_done, name_of
from .jar_labels import jar_labels
from .letters import leaf
from .solvents import LABEL_PREVAILS, worded
from .voice import Voice, capital, sentence, shortened
from .waste import waste_leaf


@dataclass(frozen=True)
class _Sheet:
    """One solvent in one task."""

    solvent: Row
    needs: tuple[Need, ...]
    planned: PlannedStep
    number: int


def solvent_sheet(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """Everything `letter.typ` prints for the inspector: a sheet a solvent and task; what is done already has none.

    After them the labels of the jars we fill, what stands out against the cabinet, and the waste, a leaf each.
    """
    pages = [_page(plan, sheet, voice) for sheet in _sheets(plan)]
    if not pages:
        none = voice.ours("No work still to come on this piece lets a listed solvent into the air.")
        pages = [leaf(plan, voice, "Solvent sheet", [blocks.para(none)])]
    pages += [jar_labels(plan, voice), cabinet_leaf(plan, voice), waste_leaf(plan, voice)]
    return {
        **head(plan, voice, "Solvent sheet"),
        "address": shortened(plan.shop.shop.address, 60),
        "half": False,
        "pages": pages,
    }


def _sheets(plan: PiecePlan) -> Iterator[_Sheet]:
    rows = listed_solvents()
    for number, planned in enumerate(plan.steps, 1):
        if is_done(planned):
            continue
        by_solvent: dict[str, list[Need]] = {}
        for need in planned.step.needs:
            for solvent in solvents_in(need.material):
                by_solvent.setdefault(solvent, []).append(need)
        for solvent, needs in by_solvent.items():
            yield _Sheet(rows[solvent], tuple(needs), planned, number)


def _page(plan: PiecePlan, sheet: _Sheet, voice: Voice) -> dict[str, Any]:
    o, row, step = voice.ours, sheet.solvent, sheet.planned.step
    region = "US" if voice.american else "UK"
    minutes = sheet.planned.minutes
    known = material(row.key)
    task = step.task or Task(step.rule, tuple(need.material for need in sheet.needs))
    room = finishing_room(plan.shop) or next(iter(plan.shop.room), None)
    air = air_of_step(step, minutes, plan.shop)
    amounts = "; ".join(f"{voice.amount(need.amount)} {o('of')} {o(need.name)}" for need in sheet.needs)
    sessions = f", {step.sessions} {o('sessions')}" if step.sessions > 1 else ""
    body: list[blocks.Block] = [
        blocks.slip([("", o(LABEL_PREVAILS))]),  # that local codes prevail stands at the foot of every page
        blocks.facts(
            [
                (o("Solvent"), o(_named(sheet))),
                (o("In it"), amounts),
                (o("Task"), f"{sheet.number}. {name_of(step, voice)}"),
                (o("Parts"), _parts(step.parts)),
                (o("Planned for"), voice.moment(sheet.planned.starts) if sheet.planned.starts else ""),
                (
                    o("How long"),
                    f"{voice.minutes(minutes.p50)} ({voice.minutes(minutes.p80)}){sessions}",
                ),
                (o("Room"), room.name if room else ""),
                (
                    o("Fan"),
                    f"{room.fan_m3_per_h:g} m³/h" if room and room.fan_m3_per_h else o("none named: open windows"),
                ),
            ]
        ),
        blocks.heading(o("What it can do")),
        blocks.para(" ".join(o(said) for said in worded(row).says), "strong"),
        blocks.facts(
            [
                (
                    o("Flash point"),
                    voice.amount(Temperature(float(row["fire_flash_point_c"])))
                    if row["fire_flash_point_c"]
                    else o("not in our table"),
                ),
                (o("Air limit, long"), _limit(row, region, short=False, voice=voice)),
                (o("Burns in air from"), f"{row['fire_lel_pct']} %" if row["fire_lel_pct"] else o("not in our table")),
                (o("Air limit, 15 minutes"), _limit(row, region, short=True, voice=voice)),
            ]
        ),
        blocks.para(o(f"Standing of these figures: {row['standing'].replace('_', ' ')}."), "fine"),
        blocks.heading(o("Before the lid comes off")),
        blocks.ticks(
            [
                *(o(sentence(rung)) for rung in vapour_ladder(task, region)),
                o(f"{_gloves(row)} {_splash(row)}"),
                o("No flame, spark, stove or phone charger within reach. Extinguisher at hand."),
                o("What is poured out is in a pot with a lid, and its name is on the pot."),
            ],
            2,
        ),
        blocks.slip(
            [
                (c.level.value, o(sentence(c.says)))
                for c in (*(cautions_of_task(air) if air else ()), *cautions_for(task, region=region))
            ]
            or [("Mind", o("Read the label."))]
        ),
        *_air_blocks(air, sheet, room, voice),
        blocks.kept_together(
            blocks.heading(o("What was done")),
            blocks.facts(
                [
                    (o("Day"), ""),
                    (o("From, to"), ""),
                    (o("Really used"), ""),
                    (o("Air: shop, humidity"), ""),
                    (o("Fan or windows"), ""),
                    (o("Mask worn, filter of"), ""),
                    (o("Rags and waste to"), ""),
                    (o("Anything amiss"), ""),
                ]
            ),
            blocks.signatures([o("Done by"), o("Checked by")]),
        ),
    ]
    return leaf(plan, voice, f"Solvent sheet: {capital(o(known.name))}", body)


def _air_blocks(air: RoomAir | None, sheet: _Sheet, room: Room | None, voice: Voice) -> list[blocks.Block]:
    """What the room comes to, on average, shut and with its fan; and when it is fit again."""
    o = voice.ours
    if air is None or room is None:
        return [blocks.para(o("The sum of air is wanting: it needs the room’s length, width and height."), "fine")]
    kept = o("kept shut it stays: air it first")
    return [
        blocks.heading(o("The air of the room"), 3),
        blocks.facts(
            [
                (o("Room kept shut"), f"{voice.amount(air.shut.value)} {o('on average')}"),
                (o("Fit to work or sand in"), _after(air.again, kept, voice)),
                (o("With its fan"), voice.amount(air.peak.value) if room.fan_m3_per_h else o("it has none named")),
                (o("To sleep above it"), _after(air.clear, kept, voice)),
            ]
        ),
        blocks.para(
            o("One session, all of it taken to go. The air before your face is worse; other work’s comes on top."),
            "fine",
        ),
    ]


def _gloves(row: Row) -> str:
    kinds = row["glove_resists"].replace("; ", " or ")
    return f"Gloves of {kinds}, without a hole." if kinds else "Gloves that the maker's chart names for this solvent."


def _splash(row: Row) -> str:
    through = row["skin_notation"] == "yes"
    return "It goes through the skin: none on your hands." if through else "Goggles where it may splash."


def _after(wait: Working[Span] | None, kept: str, voice: Voice) -> str:
    if wait is None:
        return kept
    return f"{voice.amount(wait.value)} {voice.ours('after')}" if wait.value.minutes else voice.ours("at once")


def _parts(codes: tuple[str, ...]) -> str:
    return ", ".join(codes) if len(codes) <= 6 else f"{', '.join(codes[:4])} and {len(codes) - 4} more"


def _named(sheet: _Sheet) -> str:
    """The solvent with its number; where it is only what the coating is let down with, that this is by our table."""
    row = sheet.solvent
    own = any(row.key in {need.material, family(need.material)} for need in sheet.needs)
    told = "" if own else ", by our table: read the tin"
    return f"{material(row.key).name} (CAS {row['cas']}){told}"


def _limit(row: Row, region: str, short: bool, voice: Voice) -> str:
    """The limit of the shop's own country where the table has one; else another's, named; else that there is none."""
    columns = {
        ("UK", False): (
            ("uk_8h_ppm", "UK limit"),
            ("acgih_8h_ppm", "US hygienists' value"),
            ("us_osha_8h_ppm", "US limit"),
        ),
        ("UK", True): (
            ("uk_15min_ppm", "UK limit"),
            ("acgih_short_ppm", "US hygienists' value"),
            ("us_osha_short_ppm", "US limit"),
        ),
        ("US", False): (("us_osha_8h_ppm", "US limit"), ("acgih_8h_ppm", "US hygienists' value")),
        ("US", True): (("us_osha_short_ppm", "US limit"), ("acgih_short_ppm", "US hygienists' value")),
    }[region, short]
    named = next(((row[column], whose) for column, whose in columns if row[column]), None)
    if named is None:
        return voice.ours("none in our table: ask the supplier")
    return f"{named[0]} ppm ({voice.ours(named[1])})"
