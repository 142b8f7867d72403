"""`plan`: the plan of a piece and its papers, whole or not at all."""

import hashlib
import json
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import click

from witnessmark.cli.frame import Answer, answers, now_option, text_of
from witnessmark.daybook import DayBook, daybook_from
from witnessmark.documents import Fault, Faulty
from witnessmark.papers import Voice, write_papers
from witnessmark.plan import PiecePlan, plan_as_json, plan_piece, plan_schema, survey_words
from witnessmark.quantities import say
from witnessmark.shop import Shop, plain_shop, plain_shop_says, shop_from
from witnessmark.survey import survey_from


@click.command("plan")
@click.argument("survey")
@click.option("--shop", help="The shop's document. Without it a plain one-person shop is supposed.")
@click.option("--daybook", help="The day book: what is done stays done.")
@click.option("--photographs", type=click.Path(file_okay=False), help="Where the photographs lie.")
@click.option("--out", default="out", show_default=True, type=click.Path(file_okay=False), help="Where the papers go.")
@now_option
@answers
def plan(
    survey: str, shop: str | None, daybook: str | None, photographs: str | None, out: str, now: datetime
) -> Answer:
    """Plan a piece from its survey and print its papers; `plan schema` prints the JSON Schema of plan.json."""
    if survey == "schema":
        return Answer(plan_schema(), [json.dumps(plan_schema(), indent=2, ensure_ascii=False)])
    warnings: list[str] = []
    the_shop = shop_from(text_of(shop), shop) if shop else plain_shop()
    if not shop:
        warnings.extend(plain_shop_says())
    the_survey = survey_from(text_of(survey), survey, the_shop.context, survey_words())
    book = daybook_from(text_of(daybook), daybook, the_shop.context) if daybook else DayBook()
    made = plan_piece(the_survey, the_shop, book, now)
    folder = Path(out)
    written = write_papers(made, folder, photographs_in(photographs, survey))
    says = [*_summary(made, the_shop), "", f"Papers in {folder}{'/' if not out.endswith('/') else ''}: "
            + ", ".join(path.name for path in written)]  # fmt: skip
    return Answer(
        plan_as_json(made), says, [f"{c.level}: {c.says}" for c in made.cautions], [*warnings, *made.warnings],
        made.workings,
    )  # fmt: skip


def photographs_in(folder: str | None, survey: str) -> Any:
    """Photographs by their SHA-256, from the folder given or one called `pictures` beside the survey."""
    place = Path(folder) if folder else Path(survey).parent / "pictures"
    if folder and not place.is_dir():
        raise Faulty([Fault("--photographs", "", folder, "a folder that is there")])
    found: dict[str, Path] = {}

    def photograph(sha256: str) -> bytes | None:
        if not found and place.is_dir():
            for path in sorted(place.iterdir()):
                if path.is_file():
                    found[hashlib.sha256(path.read_bytes()).hexdigest()] = path
        return found[sha256].read_bytes() if sha256 in found else None

    return photograph


def _summary(made: PiecePlan, shop: Shop) -> list[str]:
    """The plan in a dozen lines: what, why, what first, how much, when, for how much."""
    zone, ours = ZoneInfo(shop.shop.zone), Voice.of(shop.shop, made.now).ours
    way = next(way for way in made.ways if way.chosen)
    title = made.survey.piece.title or made.survey.piece.kind.value
    says = [click.style(title, bold=True), f"  {ours(way.offered.name)}: {' '.join(way.offered.why[:1])}"]
    if made.total:
        says.append(f"  {made.total.p50 / 60:.0f} hours, {made.total.p80 / 60:.0f} four times in five")
    dated = [step for step in made.steps if step.slots]
    if dated:
        last = max(step.ends for step in dated if step.ends).astimezone(zone)
        safe = made.safe_day.astimezone(zone) if made.safe_day else last
        says.append(f"  done about {last:%A} {last.day} {last:%B %Y}; safe to say {safe:%A} {safe.day} {safe:%B}")
    says.append(f"  {say(made.cost.to_come)} to come; quote {say(made.cost.quote)}")
    if made.facts.worth:
        says.append(f"  most worth finding out: {made.facts.worth.name}: {ours(made.facts.worth.settles)}. "
                    f"{ours(made.facts.worth.how)}.")  # fmt: skip
    says += [f"  out: {line}" for line in made.away]
    if made.air:
        says.append(f"  {made.air}")
    if made.mixes:
        says += ["", click.style("Mix ahead", bold=True)]
        for mix in made.mixes:
            if mix.mix_at is None:
                says.append(f"  {say(mix.make)} of {mix.name}, off the shelf")
            else:
                says.append(f"  {_local(mix.mix_at, zone)}  {say(mix.make)} of {mix.name}")
    says += ["", click.style("First", bold=True)]
    for step in [step for step in dated if not step.logged][:6]:
        when = _local(step.starts, zone) if step.starts else ""
        says.append(f"  {when}  {ours(step.step.trade_name)}  ({step.minutes.p50:.0f} min)")
    return says


def _local(instant: datetime, zone: ZoneInfo) -> str:
    here = instant.astimezone(zone)
    return f"{here:%a} {here.day:>2} {here:%b %H:%M}"


COMMANDS = {"plan": plan}
