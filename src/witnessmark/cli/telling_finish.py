"""`tell finish`: looks and spot tests go in; which old finish, layer by layer, and the mildest next test come out."""

from typing import Any

import click

from witnessmark import finish
from witnessmark.documents import Fault, Faulty, nearest
from witnessmark.materials import material
from witnessmark.odds import How
from witnessmark.safety import DEFERS, Task, cautions_for

from .frame import Answer, answers
from .telling import Said, reading_options, said_on_the_line, survey_in
from .telling_looks import in_keys, look_next, next_of, with_chance

_NAMED = 4  # candidates that are read out; the rest are in the JSON
_SOLVENTS_FROM = 2  # harm from which a test is a solvent's


@click.command("finish")
@reading_options
@click.option("--part", help="Only this part of FILE: its code.")
@answers
def finish_command(
    file: str | None, seen: tuple[str, ...], absent: tuple[str, ...], unsure: tuple[str, ...], part: str | None
) -> Answer:
    """What is the old finish?"""
    said = said_on_the_line(seen, absent, unsure)
    region = "UK"
    if file:
        survey = survey_in(file)
        region = "US" if survey.piece.region == "US" else "UK"
        tested = [Said(f"test.{at}", one.test, one.state, How.SEEN, one.part or "")
                  for at, one in enumerate(survey.test, 1)]  # fmt: skip
        said += tested
        if part is not None:
            said = _of_part(said, part, [one.code for one in survey.part])
    if not said:
        raise Faulty([Fault("tell finish", "", "nothing tried", "a FILE with tests, or --seen TEST=STATE")])
    keys = in_keys(said, finish.finish_words())
    told = finish.tell_finish([finish.Tried(*names, one.part, one.how) for names, one in keys])
    return _answer(told, region)


def _of_part(said: list[Said], part: str, codes: list[str]) -> list[Said]:
    wanted = part.strip().upper()
    if wanted not in codes:
        raise Faulty([Fault("--part", "", part, "the code of a part of this survey", nearest=nearest(part, codes))])
    return [one for one in said if one.part in {"", wanted}]


def _candidates(layer: finish.Layer) -> list[dict[str, Any]]:
    return [
        {"key": key, "name": material(key).name, "probability": chance} for key, chance in layer.probabilities.items()
    ]


def _answer(told: finish.OldFinishTold, region: str) -> Answer:
    layer = told.layer
    tests = {test.key: test for test in finish.spot_tests()}
    looks = next_of(layer.next_looks, {key: test.what_to_do for key, test in tests.items()})
    group = None
    if layer.group:
        group = {"key": layer.group[0], "name": material(layer.group[0]).name, "probability": layer.group[1]}
    result = {
        "candidates": _candidates(layer),
        "none_of_these": layer.none_of_these,
        "group": group,
        "readings": [
            {"key": one.key, "state": one.state, "ratio": one.ratio, "says": one.says} for one in layer.readings
        ],
        "conflicts": [
            {"key": one.key, "state": one.state, "ratio": one.ratio, "says": one.says} for one in layer.conflicts
        ],
        "next": looks,
        "under_wax": layer.waxed,
        "same_throughout": told.same,
        "surfaces": [
            {
                "part": surface.part,
                "layers": [
                    {"candidates": _candidates(each), "none_of_these": each.none_of_these, "under_wax": each.waxed}
                    for each in surface.layers
                ],
            }
            for surface in told.surfaces
        ],
    }
    says = [_named(layer) + "."]
    if told.same is not None and told.same < 0.5:
        says = ["The surfaces differ; a later coat may lie on one only."]
        says += [f"{surface.part}: {_named(surface.layers[0])}." for surface in told.surfaces]
    for surface in told.surfaces:
        says += [f"Beneath it{f' on {surface.part}' if surface.part else ''}: {_lowered(_named(each))}."
                 for each in surface.layers[1:]]  # fmt: skip
    says += [f"{one.says}." for one in layer.readings]
    if layer.conflicts:
        says += [f"At odds: {one.says}." for one in layer.conflicts]
        says.append("Two finishes may lie there, one over the other: test again at one clean spot.")
    if layer.waxed + layer.probabilities[finish.WAX] >= 0.5:
        says.append("Wax is on it and hides what lies beneath: wipe a spot clean with white spirit before a solvent.")
    says.append(look_next(looks, layer.enough))
    return Answer(result, says, _cautions(looks, tests, region))


def _named(layer: finish.Layer) -> str:
    likeliest = [with_chance(material(key).name, chance) for key, chance in list(layer.probabilities.items())[:_NAMED]]
    if layer.none_of_these >= max(layer.probabilities.values()):
        return f"None of the finishes listed goes well with all this; nearest: {likeliest[0]}"
    if layer.told:
        return f"It is {likeliest[0]}"
    if layer.group:
        group = with_chance(material(layer.group[0]).name.removeprefix("any "), layer.group[1])
        return f"It is some {group}; which, can't be told yet: {', '.join(likeliest)}"
    return f"It can't be told yet. Likeliest: {', '.join(likeliest)}"


def _lowered(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]


def _cautions(looks: list[dict[str, Any]], tests: dict[str, finish.SpotTest], region: str) -> list[str]:
    """Of the test that is asked for next: its agent's cautions, and where to try it."""
    if not looks:
        return []
    test = tests[looks[0]["look"]]
    bound = cautions_for(Task("spot_test", materials=test.agents), region=region) if test.agents else ()
    says = [f"{one.level}: {one.says}" for one in bound]
    if test.harm >= _SOLVENTS_FROM:
        says.append("Try it where it will not be seen: what a solvent lifts does not come back.")
    return [*says, DEFERS] if says else []


COMMAND = finish_command
