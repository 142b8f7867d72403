"""What a piece brings with it: hazards and law."""

from datetime import datetime
from typing import Any

import click

from witnessmark import safety
from witnessmark.documents import Fault, Faulty
from witnessmark.evidence import years_read
from witnessmark.materials import AmbiguousName, UnknownName, material, material_named, wood, wood_named
from witnessmark.quantities import Mass, Money, Percent, read_money
from witnessmark.shop import Shop, shop_from
from witnessmark.survey import Survey, survey_from

from .checks import named, words_of
from .frame import AmountOf, Answer, answers, now_option, text_of

_FIRST = f"{safety.DEFERS} This is no legal or medical advice: ask the one named."


def _shop_and_survey(file: str, shop: str | None) -> tuple[Shop | None, Survey]:
    the_shop = shop_from(text_of(shop), shop) if shop else None
    return the_shop, survey_from(text_of(file), file, the_shop.context if the_shop else None)


def _said(cautions: Any) -> list[str]:
    return [f"{caution.level}: {caution.says}" for caution in cautions]


# --- hazards ---


@click.command()
@click.argument("file")
@click.option("--shop", help="The shop's document: its words, and what in its cupboard must never meet.")
@answers
def hazards(file: str, shop: str | None) -> Answer:
    """What was found on a piece that can hurt: why, what to do, what would settle it, whom to ask."""
    the_shop, survey = _shop_and_survey(file, shop)
    region = words_of(the_shop, survey)
    found = safety.hazards_in(survey, region)
    cautions = {one.key: _binding(region, one.key) for one in found}
    rows = [_hazard_row(one, cautions[one.key]) for one in found]
    kept = _in_the_cupboard(the_shop, region)
    rows += [_cupboard_row(one) for one in kept]
    says = [
        line
        for row in rows
        for line in (
            f"{row['level']}: {row['says']} {_on(row['parts'])}",
            f"    {row['do']}{_settled_by(row['test'])} Ask: {row['ask']}.",
        )
    ]  # fmt: skip
    says = says or ["Nothing was found that is known to hurt. What nobody has looked at may still."]
    return Answer(rows, says, _said([*_binding(region, *cautions), *kept]), [_FIRST])


def _binding(region: str, *found: str) -> list[safety.Caution]:
    """What these findings ask, whatever is done to the piece."""
    anything = safety.Task("any", dust=True, heat=True, lifting=True, found=found)
    bound = safety.cautions_for(anything, (), region, at_most=None)
    return [one for one in bound if set(one.cites) & set(found)]


def _settled_by(test: str) -> str:
    return f" To settle it: {test}." if test else ""


def _on(parts: list[str]) -> str:
    return f"({', '.join(parts)})" if parts else "(the whole piece)"


def _hazard_row(one: safety.Hazard, cautions: list[safety.Caution]) -> dict[str, Any]:
    orders = " ".join(caution.says for caution in cautions)
    asks = "; ".join(dict.fromkeys(caution.ask for caution in cautions))
    stop = any(caution.level is safety.Level.STOP for caution in cautions)
    return {
        "key": one.key, "decision": safety.Decision.ASK.value, "level": "Stop" if stop else "Mind", "says": one.says,
        "parts": list(one.parts), "why": ", ".join(one.cites), "rule": one.rule, "do": orders or one.do,
        "test": one.test, "ask": one.ask or asks, "as_of": one.as_of,
    }  # fmt: skip


def _in_the_cupboard(the_shop: Shop | None, region: str) -> list[safety.Caution]:
    """What in the cupboard must never meet, and what in it may not be used at all: Stop only."""
    keys = tuple(dict.fromkeys(shelf.key for shelf in the_shop.cupboard if shelf.key)) if the_shop else ()
    bound = safety.cautions_for(safety.Task("cupboard", materials=keys), (), region, at_most=None) if keys else ()
    return [caution for caution in bound if caution.level is safety.Level.STOP]


def _cupboard_row(caution: safety.Caution) -> dict[str, Any]:
    kept = " and ".join(material(key).name for key in caution.cites)
    return {
        "key": caution.key, "decision": safety.Decision.ASK.value, "level": "Stop",
        "says": kept, "parts": ["cupboard"], "why": "cupboard", "rule": caution.source_key,
        "do": caution.says, "test": "", "ask": caution.ask, "as_of": caution.as_of,
    }  # fmt: skip


# --- law ---


class Price(click.ParamType[Any]):
    """An option that is a price: `£500`."""

    name = "price"

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        try:
            price = read_money(value)
        except ValueError:
            price = None
        if not isinstance(price, Money):
            raise Faulty([Fault("--value", "", str(value), "one price with its currency, such as “£500”")])
        return price


@click.command()
@click.argument("file", required=False)
@click.option("--material", "material_name", help="One material or wood, instead of a survey.")
@click.option("--year", help="When it was made: “1830”, “1850 to 1880”, “about 1900”.")
@click.option("--share", type=AmountOf(Percent, ranged=True), help="The material's share of the piece, by volume.")
@click.option("--mass", type=AmountOf(Mass, ranged=True), help="The mass of the material.")
@click.option("--value", type=Price(), help="The price of the piece.")
@click.option("--from", "start", help="Where it is: UK (unless said), US, US-NY, EU, FR.")
@click.option("--to", "end", help="Where it is sold or sent; the same place unless said.")
@click.option("--being", multiple=True, type=click.Choice(safety.BEING), help="What somebody vouches for.")
@now_option
@answers
def regulated(
    file: str | None, material_name: str | None, year: str | None, share: Any, mass: Any, value: Any, start: str | None,
    end: str | None, being: tuple[str, ...], now: datetime,
) -> Answer:  # fmt: skip
    """What the law says where it is sold or sent: allowed, with a paper, forbidden, or ask. As of a day, always."""
    if (file is None) == (material_name is None):
        raise Faulty([Fault("command line", "", file or "neither", "a survey or --material, one of them")])
    made = safety.years_in(year) if year else (None, None)
    if year and made == (None, None):
        raise Faulty([Fault("--year", "", year, "a year or two, such as “1830” or “1850 to 1880”")])
    facts = safety.Facts(made, share, mass, value, frozenset(being))
    warnings = [_FIRST]
    if start is None:
        start = "UK"
        warnings.append("taken to be in the UK: --from says where it is")
    end = end or start
    if material_name:
        key = _material(material_name)
        law = safety.law_of(key, facts, start, end, now.date())
        if law.member != key and law.rulings:
            warnings.append(f"{_name(law.member)} is the strictest that “{material_name}” may mean")
        laws = [law]
        if start != end:
            warnings.append("customs and cultural goods are not in this answer: give the survey of the piece")
        if not law.rulings:
            warnings.append(f"no rule of the table speaks of {material_name} there: that is no all-clear")
    else:
        survey = _shop_and_survey(file or "", None)[1]
        laws = list(safety.laws_of(survey, start, end, now.date(), facts))
        warnings += [] if year else _dated_by(survey)
    rulings = sorted((one for law in laws for one in law.rulings), key=_strictness)
    stale = list(dict.fromkeys(one.key for one in rulings if one.stale))
    if stale:
        warnings.append(
            f"read more than a year before {now.date()}, or due for a change: {', '.join(stale)}; check them"
        )
    strict = [law.member for law in laws if law.member and law.strictest is not safety.Decision.ALLOWED]
    warnings += [f"let no {_name(key)} into a repair: use {use}" for key in strict if (use := safety.instead_of(key))]
    warnings += [line for law in laws for line in law.beside]
    says = [line for law in laws for line in _law_says(law, start, end)] or ["No rule of the table speaks of it there."]
    return Answer([_law_row(one) for one in rulings], says, [], warnings)


def _dated_by(survey: Survey) -> list[str]:
    """How its readings change the years that its words say; nothing where they don't."""
    said, taken, read = safety.years_in(survey.piece.made), safety.years_vouched(survey), years_read(survey)
    if read is None:
        return []
    span = f"its readings date it {read[0][0]:.0f} to {read[0][1]:.0f}"
    if None in said:
        return [f"{span}; no exemption rests on readings alone: say when it was made, once you can vouch for it"]
    wider = f"the wider of the two is taken, {taken[0]} to {taken[1]}"
    return [] if taken == said else [f"{span}, its words “{survey.piece.made}”: {wider}"]


def _strictness(one: safety.Ruling) -> int:
    return list(safety.Decision).index(one.decision)


def _material(text: str) -> str:
    """The key of a wood or a material; a word that is both means the wood."""
    try:
        return wood_named(text).key
    except (UnknownName, AmbiguousName):
        found = named(material_named, "--material", text, "a material or a wood, such as ivory or rosewood")
        return str(found.key)


def _name(key: str) -> str:
    """What a wood or a material is called."""
    try:
        return wood(key).name
    except UnknownName:
        return material(key).name


def _law_row(one: safety.Ruling) -> dict[str, Any]:
    return {
        "key": one.key, "material": one.material, "decision": one.decision.value, "why": one.why, "rule": one.rule,
        "do": one.do, "ask": one.ask, "as_of": one.as_of, "stale": one.stale, "parts": list(one.parts),
        "source": one.source_key,
    }  # fmt: skip


def _law_says(law: safety.Law, start: str, end: str) -> list[str]:
    """What it comes to, then each rule; where it is forbidden, what else would bind it is named only."""
    if not law.rulings:
        return []
    about = _name(law.member) if law.member else "the piece itself"
    way = start if start == end else f"{start} to {end}"
    says = [f"{about[0].upper()}{about[1:]}, {way}: {law.strictest.value}."]
    barred = [one for one in law.rulings if one.decision is safety.Decision.FORBIDDEN]
    says += [f"  {line}" for one in barred or law.rulings for line in _law_lines(one)]
    others = [f"{one.key} {one.rule}: {one.decision.value}" for one in law.rulings if barred and one not in barred]
    return [*says, f"  Even were that lifted: {'; '.join(others)}."] if others else says


def _law_lines(one: safety.Ruling) -> list[str]:
    about = f" {_on(list(one.parts))}" if one.parts else ""
    return [
        f"{one.decision.value.capitalize()}{about}: {one.rule}, {one.key}, as of {one.as_of}.",
        f"    {one.why}",
        f"    {one.do} Ask: {one.ask}.",
    ]


COMMANDS = {"hazards": hazards, "regulated": regulated}
