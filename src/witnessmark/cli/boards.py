"""The calculators for boards: move and weigh."""

from typing import Any

import click

from witnessmark import wood
from witnessmark.documents import Fault, Faulty
from witnessmark.materials import members_of, wood_named
from witnessmark.quantities import (
    Length,
    Mass,
    Percent,
    Range,
    Temperature,
    Unit,
    as_json,
    high,
    low,
    mapped,
    say,
    usual,
)
from witnessmark.sources import Input, given, work

from .checks import Some, named, one_of, refuses, result, together
from .frame import AmountOf, Answer, Size, answers

_REASONS = (wood.BadAir, wood.BadMoisture, wood.BadSize, wood.NoFigure)


def _woods(text: str) -> tuple[list[wood.Species], list[str]]:
    """The wood a name stands for, first, and the others it may be; with a warning where there are others."""
    found = named(wood_named, "--wood", text, "a wood by its usual name, such as “white oak”")
    keys = [found.default, *(key for key in members_of(found.key) if key != found.default)]
    woods = [wood.species(key) for key in keys]
    if not found.is_group:
        return woods, []
    return woods, [f"{found.name} is a group: {_reckoned_as(woods)}"]


def _reckoned_as(woods: list[wood.Species]) -> str:
    others = ", ".join(one.name for one in woods[1:])
    return f"reckoned as {woods[0].name}" + (f"; the range is over {others} too" if others else "")


def _way(moved: Any) -> tuple[str, Any]:
    """Which way a board moves, and how far without its sign; both ways where a range says so."""
    if low(moved).millimetres >= 0:
        return "swells", moved
    if high(moved).millimetres <= 0:
        return "shrinks", Range(-moved.high, -moved.usual, -moved.low) if isinstance(moved, Range) else -moved
    return "moves", moved


def _in_kilograms(mass: Any) -> dict[str, Any]:
    """A mass as furniture is weighed."""
    shown = as_json(mapped(mass, lambda one: float(f"{one / Mass.kilograms(1):.12g}")))
    return (shown if isinstance(shown, dict) else {"value": shown}) | {"unit": Unit.KILOGRAM.value}


@click.command()
@click.option("--wood", "wood_name", required=True, help="The wood, by any of its names.")
@click.option("--across", type=Some(Length, ranged=True), required=True, help="The size across the grain.")
@click.option("--sawn", type=click.Choice([way.value for way in wood.Sawn]), required=True,
              help="How the board was cut from the log.")  # fmt: skip
@click.option("--from-rh", type=AmountOf(Percent, ranged=True), help="Relative humidity before, %.")
@click.option("--to-rh", type=AmountOf(Percent, ranged=True), help="Relative humidity after, %.")
@click.option("--temp", type=AmountOf(Temperature, ranged=True), help="Temperature of the air; with --from-rh.")
@click.option("--from-mc", type=AmountOf(Percent, ranged=True), help="Moisture content before, %.")
@click.option("--to-mc", type=AmountOf(Percent, ranged=True), help="Moisture content after, %.")
@answers
@refuses(*_REASONS)
def move(
    wood_name: str, across: Any, sawn: str, from_rh: Any, to_rh: Any, temp: Any, from_mc: Any, to_mc: Any
) -> Answer:
    """How far a board moves across the grain as the air or its moisture content changes."""
    given_as = one_of({"--from-rh and --to-rh": from_rh or to_rh, "--from-mc and --to-mc": from_mc or to_mc})
    woods, warnings = _woods(wood_name)
    if known := [one for one in woods if wood.can_move(one)]:
        if known[0] is not woods[0]:
            warnings = [f"no movement was found for {woods[0].name}: {_reckoned_as(known)}"]
        woods = known
    start: Input
    end: Input
    if given_as == "--from-mc and --to-mc":
        together({"--from-mc": from_mc, "--to-mc": to_mc})
        start, end = given("--from-mc", from_mc), given("--to-mc", to_mc)
    else:
        together({"--from-rh": from_rh, "--to-rh": to_rh, "--temp": temp})
        air = given("--temp", temp)
        start = work(wood.emc, temperature=air, humidity=given("--from-rh", from_rh))
        end = work(wood.emc, temperature=air, humidity=given("--to-rh", to_rh))
    moved = wood.movement_of(woods, wood.Sawn(sawn), given("--across", across), start, end)
    way, by = _way(moved.value)
    says = [
        f"The board {way} {say(usual(by))} ({say(usual(by), inches=True)}) across {say(across)}.",
        f"Its moisture content goes from {say(start.value)} to {say(end.value)}.",
    ]
    if isinstance(by, Range) and say(by.low) != say(by.high):
        says.insert(1, f"Allow for {say(by)}.")
    return Answer(result(movement=moved, emc_from=start, emc_to=end), says, [], warnings)


@click.command()
@click.option("--wood", "wood_name", required=True, help="The wood, by any of its names.")
@click.option("--size", type=Size(), required=True, help="“900 x 450 x 20 mm”.")
@click.option("--mc", type=AmountOf(Percent, ranged=True), help="Moisture content, % (12 unless said).")
@answers
@refuses(*_REASONS)
def weigh(wood_name: str, size: tuple[Length, ...], mc: Any) -> Answer:
    """What a piece of solid wood weighs."""
    if len(size) != 3:
        found = " x ".join(say(side) for side in size)
        raise Faulty([Fault("--size", "", found, "length, width and thickness, such as “900 x 450 x 20 mm”")])
    woods, warnings = _woods(wood_name)
    moisture = given("--mc", mc) if mc is not None else wood.density_basis()
    mass = wood.weight_of(woods, given("--size", size), moisture)
    says = [
        f"About {say(usual(mass.value))} ({say(mass.value)}).",
        f"{woods[0].name} at {say(moisture.value)} moisture; boards of one wood differ as much.",
    ]
    if not wood.is_linear(moisture.value):
        warnings.append("away from 6 to 14 % the wood's own size changes too, and the weight is less sure")
    return Answer({"mass": _in_kilograms(mass.value)}, says, [], warnings, [mass])


COMMANDS = {"move": move, "weigh": weigh}
