"""`time`, how long the work takes after a timed trial patch; `dew`, whether today's air lets a coat go on."""

import functools
import re
from typing import Any

import click

from witnessmark import schedule, wood
from witnessmark.documents import Fault, Faulty, nearest
from witnessmark.materials import material, material_named
from witnessmark.quantities import Area, NotUnderstood, Percent, Range, Span, Temperature, Unknown, read, say
from witnessmark.sources import table

from .checks import Some, named, refuses
from .frame import AmountOf, Answer, answers


def _one(text: str, kind: type, option: str, whole: str, expected: str) -> Any:
    """One amount of more than nothing out of a longer text."""
    try:
        value = read(text.strip(), kind)
    except NotUnderstood as error:
        raise Faulty([Fault(option, "", whole, expected, nearest=error.nearest)]) from None
    if isinstance(value, Range | Unknown) or value.magnitude <= 0:
        raise Faulty([Fault(option, "", whole, f"{expected}: one amount each, more than nothing")])
    return value


class Patch(click.ParamType[Any]):
    """A timed patch, “0.1 m2, 12 min”: its minutes a square metre."""

    name = "patch"

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        expected = "an area and its minutes, such as “0.1 m2, 12 min”"
        area, comma, minutes = str(value).partition(",")
        if not comma:
            raise Faulty([Fault("--trial", "", str(value), expected)])
        size = _one(area, Area, "--trial", value, expected)
        return _one(minutes, Span, "--trial", value, expected).minutes / size.square_metres


class Rate(click.ParamType[Any]):
    """Minutes an area, “25 min/m2”: minutes a square metre."""

    name = "rate"

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        if not isinstance(value, str):
            return value
        expected = "minutes an area, such as “25 min/m2”"
        minutes, slash, area = re.sub(r"\s+(?:per|a)\s+", "/", value).partition("/")
        if not slash:
            raise Faulty([Fault("--usual", "", value, expected)])
        area = area.strip() if area.strip()[:1].isdigit() else f"1 {area}"
        return (
            _one(minutes, Span, "--usual", value, expected).minutes
            / _one(area, Area, "--usual", value, expected).square_metres
        )


class Spread(click.ParamType[Any]):
    """A standard deviation of the logarithm."""

    name = "spread"

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        option = param.opts[0] if param else "?"
        try:
            spread = float(value)
        except ValueError:
            spread = 0.0
        if not 0.01 <= spread <= 3:
            expected = (
                "a standard deviation of the logarithm, 0.01 to 3, such as 0.4 (two in three within a factor 1.5)"
            )
            raise Faulty([Fault(option, "", str(value), expected)])
        return spread


def _labour(text: str | None) -> str:
    """The labour that the words mean; the widest one where nothing was said."""
    if text is None:
        return schedule.ANY_WORK
    found = schedule.labour_named(text)
    if found is None:
        rows = table("schedule", "labour_rates.csv")
        names = [cells["trade_name"] for cells in rows if cells.number("area_min")]
        raise Faulty([Fault("--work", "", text, f"one of: {'; '.join(names)}", nearest=nearest(text, names))])
    return found


@click.command("time")
@click.option("--trial", "trials", type=Patch(), multiple=True, required=True,
              help="A timed patch, “0.1 m2, 12 min”; again for the next one.")  # fmt: skip
@click.option("--area", type=Some(Area, ranged=True), required=True, help="The whole area.")
@click.option("--work", "work_name", help="What is done, such as “strip”: its usual rate and set-up.")
@click.option("--usual", type=Rate(), help="The usual rate, “25 min/m2”, taken as it stands.")
@click.option("--spread", type=Spread(), help="How far pieces lie about the usual rate, of the logarithm.")
@click.option("--trial-spread", type=Spread(), help="How far a patch, and the job itself, lies about its piece.")
@answers
@refuses(schedule.NoRate)
def time(
    trials: tuple[float, ...], area: Any, work_name: str | None, usual: float | None, spread: float | None,
    trial_spread: float | None,
) -> Answer:  # fmt: skip
    """How long the whole takes after a trial patch: likely, four times in five, nineteen times in twenty."""
    labour = _labour(work_name)
    found = schedule.after_trial(trials, area, labour, usual, spread, trial_spread)
    minutes = found.minutes
    warnings = []
    if work_name is None and usual is None:
        warnings.append("what work it is was not said, so the usual rate is anybody's guess: name it with --work")
    if len(trials) == 1:
        warnings.append("one patch holds the finding out: time a second one")
    says = [
        f"About {say(Span(minutes.p50))}; {say(Span(minutes.p80))} four times in five; "
        f"{say(Span(minutes.p95))} nineteen times in twenty.",
        f"{found.rate.value:.0f} minutes a square metre, {found.weight.value:.0%} of it the patch's word.",
        f"Labour only, over {say(area)}: drying and dwell come on top.",
    ]
    result = {
        "minutes": {"p50": minutes.p50, "p80": minutes.p80, "p95": minutes.p95},
        "rate": {"value": found.rate.value, "unit": "min/m2"},
        "weight": found.weight.value,
    }
    return Answer(result, says, [], warnings, [w for w in (minutes.working, minutes.spread, found.weight) if w])


def _limits(text: str) -> tuple[schedule.AirWanted | None, list[str]]:
    """What a coating asks of the air, and what it was taken for."""
    look = functools.partial(material_named, kinds=("coating", "stain", "wax", "old_finish"))
    found = named(look, "--coating", text, "a coating by its usual name, such as “French polish”")
    wanted = schedule.air_wanted([found.default])
    warnings = [f"{found.name} is a group: reckoned as {material(found.default).name}"] if found.is_group else []
    if wanted is None:
        warnings.append(f"no limits of the air were found for {found.name}: go by its label")
    return wanted, warnings


@click.command()
@click.option("--temp", type=AmountOf(Temperature), required=True, help="Temperature of the room's air.")
@click.option("--rh", type=AmountOf(Percent), required=True, help="Its relative humidity, %.")
@click.option("--surface", type=AmountOf(Temperature), required=True, help="Temperature of the work itself.")
@click.option("--coating", help="What is to go on, such as “French polish”: its own limits count too.")
@answers
@refuses(wood.BadAir)
def dew(temp: Any, rh: Any, surface: Any, coating: str | None) -> Answer:
    """Whether today's air lets a coat or glue go on: go, heat first, not today."""
    wanted, warnings = _limits(coating) if coating else (None, [])
    found = schedule.air_of_the_day(temp, rh, surface, wanted)
    says = [
        found.says,
        f"The dew point is {say(found.dew_point.value)}; the air at the work is at {say(found.rh_at_surface.value)}.",
    ]
    if wanted:
        says.append(f"It wants {wanted.says}.")
    result = {"dew_point": found.dew_point, "rh_at_surface": found.rh_at_surface, "verdict": found.verdict.value}
    return Answer(result, says, [], warnings)


COMMANDS = {"time": time, "dew": dew}
