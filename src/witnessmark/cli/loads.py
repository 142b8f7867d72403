"""Weight: what one person may lift, how many hands a piece wants, and whether it tips with its drawers open."""

import re
from typing import TYPE_CHECKING, Any

import click

from witnessmark import safety, wood
from witnessmark.documents import Fault, Faulty
from witnessmark.quantities import (
    Length,
    Mass,
    NotUnderstood,
    Range,
    Unit,
    Unknown,
    as_json,
    low,
    mapped,
    read,
    say,
    usual,
)
from witnessmark.sources import Working, given, rule

from .checks import one_of, refuses, together
from .frame import AmountOf, Answer, answers, text_of

if TYPE_CHECKING:
    from witnessmark.survey import Survey

_WORTH_SAYING = Mass.kilograms(3)  # a lighter part is nobody's load
_NOT_FOR = "for two hands on a steady load: not for stairs, one hand, kneeling or a slippery floor; no medical advice"


def _kilograms(mass: Any) -> dict[str, Any] | None:
    if mass is None:
        return None
    shown = as_json(mapped(mass, lambda one: float(f"{one / Mass.kilograms(1):.12g}")))
    return (shown if isinstance(shown, dict) else {"value": shown}) | {"unit": Unit.KILOGRAM.value}


def _survey(file: str) -> "Survey":
    from witnessmark.survey import survey_from  # pydantic waits until a document is read

    return survey_from(text_of(file), file)


def _load(text: str) -> tuple[Mass, safety.Units]:
    """A load, and the unit set it was given in: pounds are worked in inches, kilograms in centimetres."""
    try:
        mass = read(text, Mass)
    except NotUnderstood as error:
        raise Faulty([Fault("--mass", "", error.found, error.expected, nearest=error.nearest)]) from None
    if isinstance(mass, Unknown | Range) or mass.grams <= 0:
        raise Faulty([Fault("--mass", "", text, "one mass of more than nothing, such as “44 lb”")])
    us = re.search(r"lb|pound|oz|ounce", text.lower())
    return mass, safety.Units.US if us else safety.Units.METRIC


@click.command()
@click.argument("file", required=False)
@click.option("--mass", help="The load, instead of a survey: “44 lb”, “20 kg”.")
@click.option("--h", "reach", type=AmountOf(Length), help="From between the ankles out to the hands.")
@click.option("--v", "height", type=AmountOf(Length), help="Height of the hands at the start.")
@click.option("--d", "travel", type=AmountOf(Length), help="How far up or down it goes.")
@click.option("--angle", type=float, default=0, show_default=True, help="How far round, in degrees.")
@click.option("--per-min", type=float, default=0.2, show_default=True, help="Lifts a minute.")
@click.option("--hours", type=float, default=1, show_default=True, help="Hours of it in a day.")
@click.option("--grip", type=click.Choice([grip.value for grip in safety.Grip]), default="fair", show_default=True)
@answers
@refuses(safety.BadLift)
def lift(
    file: str | None, mass: str | None, reach: Any, height: Any, travel: Any, angle: float, per_min: float,
    hours: float, grip: str,
) -> Answer:  # fmt: skip
    """The recommended limit of a lift and its index; of a survey the piece and its heavier parts."""
    if one_of({"FILE": file, "--mass": mass}) == "FILE":
        return _lifts(_survey(file or ""))
    together({"--mass": mass, "--h": reach, "--v": height, "--d": travel})
    load, units = _load(mass or "")
    asked = safety.Lift(reach, height, travel, angle, per_min, hours, safety.Grip(grip), units)
    limit = safety.limit_of(asked)
    index = safety.index_of(given("--mass", load), limit)
    cautions = _too_heavy(index.value)
    says = [
        f"{'Over' if cautions else 'Within'} the limit: index {index.value:.2g} (1 is the most to plan for).",
        f"Recommended limit {_in_units(limit.value, units)} for a load of {_in_units(load, units)}.",
    ]
    return Answer({"limit": _kilograms(limit.value), "index": index}, says, cautions, [_NOT_FOR], [limit, index])


def _in_units(mass: Mass, units: safety.Units) -> str:
    return f"{mass / Mass.pounds(1):.1f} lb ({say(mass)})" if units is safety.Units.US else say(mass)


def _too_heavy(index: float) -> list[str]:
    """Above the one index some are at risk, above the other nearly everybody."""
    if index > rule("safety", "index_harmful").value:
        return ["Stop: Don't lift that alone: nearly everybody would be hurt by it. Take it apart, or get help."]
    if index > rule("safety", "index_planned").value:
        return ["Mind: That is over what one person should plan to lift. Come closer, lighten it, or get help."]
    return []


def _lifts(survey: "Survey") -> Answer:
    """The whole piece, the case without its drawers, each drawer and each heavier part, held close."""
    piece, size = wood.weight_of_piece(survey), survey.piece.size
    deep = min(size.value[:2]) if size and size.known else None
    rows: list[dict[str, Any]] = []
    workings: list[Working[Any]] = []
    drawers = wood.drawers_in(survey)
    weights = [(one, wood.weight_of_drawer(one, survey)) for one in drawers]
    loads: list[tuple[str, Any, Length | None]] = [("piece", piece, deep)]
    if piece is not None and drawers and all(weight is not None for _, weight in weights):
        loads.append(("case, drawers out", _less(piece, weights), deep))
    loads += [(f"drawer {one.part}", weight, wood.depth_of(one, survey)) for one, weight in weights]
    in_drawers = {part.code for one in drawers for part in (one.front, *(other for other, _ in one.others))}
    for part in survey.part:
        if part.code not in in_drawers:
            sides = part.size.value if part.size and part.size.known else ()
            loads.append((part.code, wood.weight_of_part(part, survey), min(sides) if sides else None))
    for name, mass, depth in loads:
        if mass is None or (name != "piece" and usual(mass) < _WORTH_SAYING):
            continue
        limit = safety.limit_of(safety.close_lift(depth)) if depth else None
        index = safety.index_of(given(name, mass), limit) if limit and limit.value.grams > 0 else None
        rows.append({
            "part": name, "mass": _kilograms(mass), "limit": _kilograms(limit.value) if limit else None,
            "index": index, "people": safety.hands_for(mass),
        })  # fmt: skip
        workings += [one for one in (limit, index) if one]
    whole = rows[0] if rows and rows[0]["part"] == "piece" else None
    warnings = [
        _NOT_FOR,
        "several people share a load badly: go by the case with the drawers, marble and glass out of it",
    ]
    if whole is None:
        warnings.append("the weight of the piece is not known, nor its size: put it on a scale, a foot at a time")
    result = {
        "limit": whole and whole["limit"], "index": whole and whole["index"], "mass": whole and whole["mass"],
        "people": whole and whole["people"], "loads": rows,
    }  # fmt: skip
    says = [f"{row['part']}: {_said(row)}" for row in rows] or ["Nothing of it has a weight yet."]
    heavy = ["Mind: Drawers, shelves, marble and glass out first; never by a cornice or an arm; one caller."]
    return Answer(result, says, heavy * (whole is None or whole["people"] > 1), warnings, workings)


def _less(piece: Any, weights: Any) -> Any:
    """The case without its drawers, at the usual of each."""
    out = sum(usual(weight).grams * one.count for one, weight in weights)
    return mapped(piece, lambda mass: Mass(max(mass.grams - out, 1.0)))


def _said(row: dict[str, Any]) -> str:
    mass = row["mass"]
    kilograms = f"{mass['value']:.0f} kg" if mass["value"] >= 10 else f"{mass['value']:.1f} kg"
    hands = {1: "one person", 2: "two people", 3: "three people"}.get(row["people"], "four, or a trolley")
    limit = f"; one person's limit held close {row['limit']['value']:.0f} kg" if row["limit"] else ""
    return f"about {kilograms}, {hands}{limit}"


@click.command()
@click.argument("file")
@answers
@refuses(safety.BadStance)
def tip(file: str) -> Answer:
    """Whether a piece tips with its drawers open: the published test as a guide, not a certificate."""
    survey = _survey(file)
    piece, size = wood.weight_of_piece(survey), survey.piece.size
    warnings = [
        "a screening sum, no certificate: strap it to the wall whatever it says; an old piece is outside the rule by "
        "its date, the danger is not",
    ]  # fmt: skip
    drawers, unknown = _pulled(survey)
    if unknown:
        warnings.append(f"not in the sum, no size or wood is known: {', '.join(unknown)}")
    if piece is None or size is None or not size.known or len(size.value) != 3:
        warnings.append("its weight or its size is not known: measure wide x deep x high")
        says = ["It can't be told yet: give the size of the piece."]
        return Answer({"mass": _kilograms(piece), "margin": None, "tips": None, "by_open": []}, says, [], warnings)
    found = safety.stances(given("piece.weight", piece), size.value, drawers)
    rows: list[dict[str, Any]] = [
        {
            "open": one.open, "drawers": list(one.parts), "mass": _kilograms(piece), "margin": _plain(one.margin),
            "margin_low": _plain(one.margin, low), "tips": one.tips, "empty": _plain(one.empty),
            "tips_empty": one.tips_empty,
        }
        for one in found
    ]  # fmt: skip
    worst = min((row for row in rows if row["margin"] is not None), key=lambda row: row["margin"], default=rows[0])
    tips = any(row["tips"] for row in rows)
    says = [_stance(row) for row in rows if row["open"]] or ["It has no drawers that are named: nothing pulls it over."]
    cautions = [
        "Stop: It may fall on a child who climbs its drawers: strap it to the wall, one drawer at a time."
    ] * tips
    workings = [one for stance in found for one in (stance.margin, stance.empty) if one]
    result = {"mass": _kilograms(piece), "margin": worst["margin"], "tips": tips, "by_open": rows}
    return Answer(result, says, cautions, warnings, workings)


def _pulled(survey: "Survey") -> tuple[list[safety.Pulled], list[str]]:
    drawers, unknown = [], []
    for one in wood.drawers_in(survey):
        mass, depth = wood.weight_of_drawer(one, survey), wood.depth_of(one, survey)
        if mass is None or depth is None:
            unknown.append(one.part)
        else:
            drawers += [safety.Pulled(one.part, mass, depth)] * one.count
    return drawers, unknown


def _plain(margin: Working[float] | None, end: Any = usual) -> float | None:
    return None if margin is None else float(end(margin.value))


def _stance(row: dict[str, Any]) -> str:
    drawers = "1 drawer" if row["open"] == 1 else f"{row['open']} drawers"
    hung = "it tips" if row["margin"] < 1 else "it may tip" if row["tips"] else "it stands"
    empty = "; they alone may tip it" if row["tips_empty"] else ""
    return f"{drawers} open and a child's weight on one: margin {row['margin']:.2f}, {hung}{empty}."


COMMANDS = {"lift": lift, "tip": tip}
