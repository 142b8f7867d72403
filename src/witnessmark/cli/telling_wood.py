"""`tell wood`: what lens, nose, nail and balance found goes in; which wood, why, and what to look at next come out."""

from typing import TYPE_CHECKING, Any

import click

from witnessmark import wood
from witnessmark.documents import Fault, Faulty
from witnessmark.materials import wood as wood_called
from witnessmark.odds import BadReading
from witnessmark.quantities import Length, Mass, say, usual
from witnessmark.sources import Working, given

from .checks import Some, together
from .frame import Answer, Size, answers
from .telling import reading_options, said_in_the_survey, said_on_the_line, survey_in
from .telling_looks import in_keys, look_next, next_of, of_one_part, with_chance

if TYPE_CHECKING:
    from witnessmark.survey import Survey

_NAMED = 4  # candidates that are read out; the rest are in the JSON


@click.command("wood")
@reading_options
@click.option("--weigh", type=Some(Mass), help="What a loose, solid, dry part weighs; with --size.")
@click.option("--size", type=Size(), help="Its length, width and thickness.")
@click.option("--region", type=click.Choice(["UK", "US", "FR", "DE", "any"]), help="Where the piece was made.")
@click.option("--made", help="When it was made, as far as is known: “1780-1800”.")
@click.option("--use", help="Where in the piece the wood is: show, secondary, lining, veneer, inlay, carving, chair, "
              "seat or turned.")  # fmt: skip
@click.option("--part", help="Which part of FILE: its code.")
@click.option("--covered", is_flag=True, help="No clean bare spot can be looked at without harm.")
@answers
def wood_command(
    file: str | None, seen: tuple[str, ...], absent: tuple[str, ...], unsure: tuple[str, ...], weigh: Mass | None,
    size: tuple[Length, ...] | None, region: str | None, made: str | None, use: str | None, part: str | None,
    covered: bool,
) -> Answer:  # fmt: skip
    """Which wood is it?"""
    together({"--weigh": weigh, "--size": size})
    survey = survey_in(file) if file else None
    said = said_on_the_line(seen, absent, unsure)
    if survey:
        said += of_one_part(said_in_the_survey(survey, "wood"), part, [one.code for one in survey.part])
        region = region or str(survey.piece.region)
    if not said and weigh is None:
        expected = "a FILE with readings about wood, --seen KEY=STATE, or --weigh and --size"
        raise Faulty([Fault("tell wood", "", "nothing seen", expected)])
    about = wood.Whereabouts(
        region="" if region in {None, "any"} else str(region),
        years=_years(made, survey),
        use=(use or "").strip().casefold(),
        clean=not covered,
    )
    measured = _weighed(weigh, size) if weigh is not None and size is not None else None
    reading = None
    if measured:
        reading = wood.density_reading(measured[0].value, measured[1].value, wood.woods_told_apart())
    told = wood.tell_wood([wood.Seen(*keys, one.how) for keys, one in in_keys(said, wood.wood_words())], reading, about)
    return _answer(told, measured)


def _years(made: str | None, survey: "Survey | None") -> tuple[int, int] | None:
    if made is not None:
        try:
            return wood.years_stated(made)
        except BadReading as error:
            raise Faulty([Fault("--made", "", error.found, error.expected)]) from None
    try:
        return wood.years_stated(survey.piece.made) if survey else None
    except BadReading:
        return None  # “don't know”, or words without a year


def _weighed(weigh: Mass, size: tuple[Length, ...]) -> tuple[Working[Any], Working[Any]]:
    if len(size) != 3:
        found = " x ".join(say(side) for side in size)
        raise Faulty([Fault("--size", "", found, "length, width and thickness, such as “120 x 60 x 8 mm”")])
    try:
        return wood.weighed(given("--weigh", weigh), given("--size", size))
    except wood.BadDensity as error:
        raise Faulty([Fault("--weigh", "", say(weigh), f"what the part weighs: this makes {error}")]) from None
    except wood.BadSize as error:
        raise Faulty([Fault("--size", "", " x ".join(say(side) for side in size), str(error))]) from None


def _answer(told: wood.WoodTold, measured: tuple[Working[Any], Working[Any]] | None) -> Answer:
    found = told.found
    how = {one.key: one.what_to_do for one in wood.lens_features()}
    how["weight"] = "Weigh and measure a loose solid part: --weigh and --size."
    looks = next_of(told.next_looks, how)
    group = None
    if told.group:
        group = {"key": told.group, "name": wood_called(told.group).name, "probability": told.group_probability}
    read = dict(zip(((one.key, one.state) for one in found.readings), told.readings, strict=False))
    result = {
        "candidates": [
            {"key": key, "name": wood_called(key).name, "probability": chance}
            for key, chance in found.probabilities.items()
        ],
        "none_of_these": found.none_of_these,
        "group": group,
        "readings": [
            {"key": key, "state": state, "ratio": one.ratio, "says": one.says}
            for one, (key, state) in zip(found.readings, told.readings, strict=True)
        ],
        "conflicts": [
            {"key": one.key.partition(".")[0], "state": read.get((one.key, one.state), ("", one.state))[1],
             "ratio": one.ratio, "says": one.says}
            for one in found.conflicts
        ],
        "next": looks,
        "look_alikes": [
            {"woods": [one.one, one.other], "look": one.feature, "says": one.says} for one in told.look_alikes
        ],
    }  # fmt: skip
    says = [_first_line(told), *(f"{one.says}." for one in found.readings)]
    says += [f"At odds: {one.says}." for one in found.conflicts]
    says += [f"{one.says}." for one in told.look_alikes]
    warnings = []
    if measured:
        density, error = measured
        result["density"] = density.value
        swims = "sinks" if wood.sinks(density.value) else "floats"
        says.append(f"The part is {say(usual(density.value))}, give or take {say(error.value)}: it {swims} in water.")
        warnings.append("a weight speaks of sound, dry wood of one kind: glue, iron, worm and rot throw it off")
    says.append(look_next(looks, found.enough))
    return Answer(result, says, [], warnings, list(measured or ()))


def _first_line(told: wood.WoodTold) -> str:
    found = told.found
    shown = [with_chance(wood_called(key).name, chance) for key, chance in list(found.probabilities.items())[:_NAMED]]
    if told.fits_none:
        return f"None of the {len(found.probabilities)} woods listed goes well with all this; nearest: {shown[0]}."
    if found.told:
        return f"It is {shown[0]}."
    if told.group:
        group = with_chance(wood_called(told.group).name, told.group_probability)
        return f"It is {group}; which, can't be told yet: {', '.join(shown)}."
    return f"It can't be told yet. Likeliest: {', '.join(shown)}."


COMMAND = wood_command
