"""`air`: what to do about the vapour of a solvent, and beneath it the sum."""

import click

from witnessmark import safety
from witnessmark.documents import Fault, Faulty
from witnessmark.materials import material, material_named
from witnessmark.quantities import Airflow, Span, Vapour, Volume, say
from witnessmark.sources import given

from .checks import Some, named
from .frame import AmountOf, Answer, answers, gallon_option


@click.command()
@click.option("--solvent", "solvents", multiple=True, required=True, help="A solvent; may be given again.")
@click.option("--amount", "amounts", multiple=True, required=True, type=Some(Volume), help="How much of it goes.")
@click.option("--over", required=True, type=Some(Span), help="Over what time it goes.")
@click.option("--room", required=True, type=Some(Volume), help="The room: “60 m3”.")
@click.option("--mixing", type=float, help="The mixing factor, 3 (swept by the draught) to 10 (dead corners).")
@click.option("--limit", "limits", multiple=True, type=Some(Vapour), help="The level to keep to, for each or for all.")
@click.option("--after", type=AmountOf(Span), help="How long after the last of it is gone.")
@click.option("--fan", type=AmountOf(Airflow), help="What the fan moves: “300 m3/h”; 0 in a room kept shut.")
@gallon_option
@answers
def air(
    solvents: tuple[str, ...], amounts: tuple[Volume, ...], over: Span, room: Volume, mixing: float | None,
    limits: tuple[Vapour, ...], after: Span | None, fan: Airflow | None,
) -> Answer:  # fmt: skip
    """What to do about the vapour of a solvent, first rung first; beneath it the air it takes."""
    if len(amounts) != len(solvents):
        said = f"{len(solvents)} solvents, {len(amounts)} amounts"
        raise Faulty([Fault("--amount", "", said, "one --amount for each --solvent, in the same order")])
    if len(limits) not in {0, 1, len(solvents)}:
        raise Faulty([Fault("--limit", "", f"{len(limits)}", "one --limit for all, or one for each --solvent")])
    if mixing is not None and not 1 <= mixing <= 100:
        raise Faulty([Fault("--mixing", "", f"{mixing}", "a factor from 1, usually 3 to 10")])
    warnings: list[str] = []
    poured = [
        safety.Poured(
            _solvent(name, warnings), amount, (limits[place] if len(limits) > 1 else limits[0]) if limits else None
        )
        for place, (name, amount) in enumerate(zip(solvents, amounts, strict=True))
    ]
    found = safety.air_of_room(
        poured, given("--over", over), given("--room", room), given("--mixing", mixing) if mixing else None,
        given("--fan", fan) if fan else None, given("--after", after) if after else None,
    )  # fmt: skip
    task = safety.Task("air", tuple(one.solvent for one in poured), amounts[0])
    ladder = safety.vapour_ladder(task)
    aims = [{"solvent": one.solvent, "aimed_at": aim} for one, aim in zip(poured, found.aims, strict=True)]
    result = {
        "flow_health": found.health, "flow_fire": found.fire, "air_changes": found.changes, "peak": found.peak,
        "after": found.left, "ladder": list(ladder), "shut": found.shut, "again": found.again,
        "clear": found.clear, "index": found.index,
        "day": found.day, "limits": aims, "mixing": found.mixing,
    }  # fmt: skip
    cautions = [f"{one.level}: {one.says}" for one in (*found.cautions, *safety.cautions_for(task))]
    says = [*(f"{number}. {rung}" for number, rung in enumerate(ladder, 1)), *_air_says(found, fan, after)]
    return Answer(result, says, cautions, [safety.DEFERS, *warnings, *found.warnings])


def _solvent(name: str, warnings: list[str]) -> str:
    kinds = ("solvent", "reagent", "coating", "cleaner")
    found = named(
        lambda text: material_named(text, kinds), "--solvent", name, "a solvent, such as ethanol or white spirit"
    )
    if found.is_group:
        warnings.append(f"{found.name} is a group: reckoned as {material(found.default).name}")
    return str(found.default)


def _air_says(found: safety.RoomAir, fan: Airflow | None, after: Span | None) -> list[str]:
    says = [f"Kept shut, the room comes to {say(found.shut.value)} on average."]
    if found.health:
        says.append(f"Air for health: {say(found.health.value)}.")
    if found.fire:
        says.append(f"Air against fire: {say(found.fire.value)}.")
    if found.changes:
        says.append(f"Air changes: {say(found.changes.value)}.")
    with_air = f"With {say(fan)}" if fan and fan > Airflow(0) else "With that air" if found.changes else "In still air"
    if fan is None or fan > Airflow(0):
        says.append(f"{with_air} it comes to {say(found.peak.value)}.")
    if after and found.left:
        says.append(f"{say(after)} later {say(found.left.value)} is left.")
    says.append(f"Over an eight-hour day that is at most {say(found.day.value)} for each who is in the room meanwhile.")
    if found.again and found.clear:
        says.append(f"No sanding, stove or spark in it for {say(found.again.value)} after the last of it is gone.")
        says.append(f"Nobody sleeps above it for {say(found.clear.value)} after the last of it is gone.")
    else:
        says.append(
            "Kept shut it stays there: no sanding, stove or spark in it and nobody asleep above it until it is aired; "
            "--fan says how long that takes."
        )
    return says


COMMANDS = {"air": air}
