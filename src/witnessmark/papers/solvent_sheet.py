"""A sheet for each solvent and task, to be dated and signed: what it can do, what guards against it, what was done.

The hazards and limits are those of our own table. The label and the data sheet on the very can, and local rules,
prevail, and the sheet says so first.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from witnessmark.finish import UnknownCoating, coating
from witnessmark.materials import material
from witnessmark.plan import PiecePlan, PlannedStep
from witnessmark.quantities import Temperature
from witnessmark.safety import Task, cautions_for, vapour_ladder
from witnessmark.sources import Row, table
from witnessmark.treatment import Need

from . import blocks
from .heads import PREVAILS, family, head, is_done, name_of
from .letters import leaf
from .voice import Voice, capital, sentence, shortened

_LABEL = "The label and the safety data sheet of the can in your hand prevail over this sheet, and so do local rules."


@dataclass(frozen=True)
class _Sheet:
    """One solvent in one task."""

    solvent: Row
    needs: tuple[Need, ...]
    planned: PlannedStep
    number: int


def solvent_sheet(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """Everything `letter.typ` prints for it: a sheet a solvent and task; what is done already has none."""
    sheets = list(_sheets(plan))
    pages = [_page(plan, sheet, voice) for sheet in sheets]
    if not pages:
        none = voice.ours("No work still to come on this piece lets a listed solvent into the air.")
        pages = [leaf(plan, voice, "Solvent sheet", [blocks.para(none)])]
    return {
        **head(plan, voice, "Solvent sheet"),
        "address": shortened(plan.shop.shop.address, 60),
        "half": False,
        "pages": pages,
    }


def solvents_in(material_key: str) -> tuple[str, ...]:
    """The listed solvents a material is, or is let down with; none where it holds none that is listed."""
    rows = _rows()
    own = next((key for key in (material_key, family(material_key)) if key in rows), None)
    if own:
        return (own,)
    for key in (material_key, family(material_key)):
        try:
            return tuple(dict.fromkeys(s for thinner in coating(key).thinners for s in solvents_in(thinner)))[:1]
        except UnknownCoating:
            continue
    return ()


def _rows() -> dict[str, Row]:
    return {
        row.key: row
        for row in table("safety", "solvents.csv", key="material_key")
        if row["ghs_h_codes"] and row["vapour_pressure_kpa_20c"] + row["fire_flash_point_c"] + row["us_osha_8h_ppm"]
    }


def _sheets(plan: PiecePlan) -> Iterator[_Sheet]:
    rows = _rows()
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
    words = {cells.key: cells["says"] for cells in table("papers", "hazard_words.csv", key="code")}
    task = step.task or Task(step.rule, tuple(need.material for need in sheet.needs))
    room = plan.shop.room[-1] if plan.shop.room else None
    amounts = "; ".join(f"{voice.amount(need.amount)} {o('of')} {o(need.name)}" for need in sheet.needs)
    sessions = f", {step.sessions} {o('sessions')}" if step.sessions > 1 else ""
    body: list[blocks.Block] = [
        blocks.slip([("", o(_LABEL))], o(PREVAILS)),
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
        blocks.para(" ".join(f"{o(words[code])[:-1]} ({code})." for code in row.keys_in("ghs_h_codes")), "strong"),
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
                o(f"Gloves of {row['glove_resists'].replace('; ', ' or ')}, without a hole.")
                if row["glove_resists"]
                else o("Gloves that the maker's chart names for this solvent."),
                o("It goes through the skin: none on your hands.")
                if row["skin_notation"] == "yes"
                else o("Goggles where it may splash."),
                o("No flame, spark, stove or phone charger within reach. Extinguisher at hand."),
                o("What is poured out is in a pot with a lid, and its name is on the pot."),
            ],
            2,
        ),
        blocks.slip(
            [(c.level.value, o(sentence(c.says))) for c in cautions_for(task, region=region)]
            or [("Mind", o("Read the label."))]
        ),
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
