"""`log`: what was done goes into the day book, in the words it is said in, and the plan follows at once."""

import hashlib
import json
from collections.abc import Sequence
from contextlib import suppress
from datetime import UTC, date, datetime, time
from functools import cache
from pathlib import Path
from typing import Any

import click

from witnessmark.daybook import DayBook, Entry, Said, daybook_from, entry_in, said_in
from witnessmark.documents import Fault, Faulty, uuid7
from witnessmark.plan import PiecePlan, called, plan_piece, table_said
from witnessmark.quantities import Span, say
from witnessmark.shop import Shop, plain_shop, shop_from
from witnessmark.survey import Survey, survey_from

from .appending import appended
from .frame import Answer, answers, now_option, text_of

_LONGEST_SHOWN = 80  # letters of what was said


@click.command("log")
@click.argument("text", required=False)
@click.option("--daybook", "book", default="daybook.jsonl", show_default=True, help="The day book to write in.")
@click.option("--survey", "surveys", multiple=True, help="A piece it may be about; again for the next one. "
              "Without it those beside the day book.")  # fmt: skip
@click.option("--shop", help="The shop's document.")
@click.option("--who", help="Who did it; the first person of the shop unless said.")
@click.option("--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="The day it was done, for last night's day sheet.")
@click.option("--entries", help="Entries as JSON lines in place of TEXT; those already there are passed over.")
@now_option
@answers
def log(
    text: str | None, book: str, surveys: tuple[str, ...], shop: str | None, who: str | None,
    day: datetime | None, entries: str | None, now: datetime,
) -> Answer:  # fmt: skip
    """Write into the day book what was done: “3 h chest, 2 h chair”, “done strip on chest 2 h”; - reads a day sheet."""
    the_shop = shop_from(text_of(shop), shop) if shop else plain_shop()
    if (text is None) == (entries is None):
        raise Faulty(
            [Fault("TEXT", "", "both" if text else "nothing", "what was done, or --entries FILE: one of them")]
        )
    before = daybook_from(text_of(book), book, the_shop.context) if Path(book).exists() else DayBook()
    pieces = _pieces(surveys, book, the_shop)
    if entries is not None:
        lines = text_of(entries)
        daybook_from(lines, entries, the_shop.context)
        made = [entry_in(json.loads(line), entries, the_shop.context) for line in lines.split("\n") if line.strip()]
    else:
        happened = _closing(the_shop, day.date()) if day else now
        said = said_in(text_of("-") if text == "-" else str(text))
        made = _made(said, who or the_shop.person[0].name, happened, pieces, the_shop, before, now)
    after = DayBook.of([*before.entries, *made])
    # Planned before it is written: whatever may go wrong goes wrong while nothing is changed yet.
    touched, warnings = _touched(made, pieces, the_shop, after, now)
    written, known = appended(book, made, the_shop.context)
    warnings += [
        f"“{entry.step.trade_name}” is not a step of the plan: it stays there as a fact"
        for entry in made if entry.step and entry.step.id.endswith(".unplanned")
    ]  # fmt: skip
    return Answer(
        {
            "accepted": [entry.id for entry in written],
            "known": [entry.id for entry in known],
            "daybook": book,
            "entries": [entry.model_dump(mode="json", by_alias=True, exclude_defaults=True) for entry in made],
            "pieces": touched,
        },
        [*(_says(entry, pieces, entry in known) for entry in made), *(_plan_says(piece) for piece in touched)],
        [],
        warnings,
    )  # fmt: skip


def _pieces(paths: Sequence[str], book: str, shop: Shop) -> list[Survey]:
    """The surveys named; where none is, those that lie beside the day book."""
    if paths:
        return [survey_from(text_of(path), path, shop.context) for path in paths]
    found: list[Survey] = []
    for file in sorted(Path(book).resolve().parent.glob("*.toml")):
        # Whatever else lies there is not our business, nor is a survey that is being written.
        with suppress(Faulty, OSError, UnicodeDecodeError):
            if "[piece]" in (text := file.read_text("utf-8")):
                found.append(survey_from(text, str(file), shop.context))
    return found


def _closing(shop: Shop, day: date) -> datetime:
    """When the shop closed that day, by the clock on its wall; at the end of a usual day where it was shut."""
    ends = [stretch.end for person in shop.person for stretch in person.week[day.weekday()]]
    usual_ends = [stretch.end for person in shop.person for some in person.week.values() for stretch in some]
    minute = max(ends or usual_ends or [17 * 60]) - 1
    return datetime.combine(day, time(minute // 60, minute % 60), shop.shop.zone_info).astimezone(UTC)


def _made(
    said: Sequence[Said],
    who: str,
    happened: datetime,
    pieces: Sequence[Survey],
    shop: Shop,
    book: DayBook,
    now: datetime,
) -> list[Entry]:
    """The entries; or all that could not be made sense of, together."""
    made: list[Entry] = []
    faults: list[Fault] = []

    @cache
    def plan_for(survey_id: str) -> PiecePlan:
        return plan_piece(next(one for one in pieces if one.id == survey_id), shop, book, now)

    if not pieces and any(one.about or one.on for one in said):
        raise Faulty([Fault("--survey", "", "nothing", "the survey of the piece that is meant")])
    for number, one in enumerate(said):
        try:
            tables = table_said(one, who, pieces, lambda survey: plan_for(survey.id))
            line = {**tables, "happened": happened.isoformat()}
            entry_id = _id(f"{number} {one.text} {tables}", happened)
            made.append(
                entry_in({"id": entry_id, **line, "arrived": now.isoformat()}, one.text[:_LONGEST_SHOWN], shop.context)
            )
        except Faulty as error:
            faults += error.faults
    if faults:
        raise Faulty(faults)
    return made


def _id(text: str, at: datetime) -> str:
    """The id of an entry: said twice at one instant it is the same entry, so a command sent again counts once."""
    return uuid7(at, hashlib.sha256(f"{at.isoformat()} {text}".encode()).digest()[:10])


def _touched(
    entries: Sequence[Entry], pieces: Sequence[Survey], shop: Shop, book: DayBook, now: datetime
) -> tuple[list[dict[str, Any]], list[str]]:
    """What the plan of each piece says once this is logged. Hours are logged even where no plan can be made."""
    touched: list[dict[str, Any]] = []
    warnings: list[str] = []
    for survey in pieces:
        if survey.id not in {entry.piece for entry in entries}:
            continue
        try:
            made = plan_piece(survey, shop, book, now)
        except ValueError as reason:
            warnings.append(f"{called(survey)} is logged, but can't be planned: {reason}")
            continue
        days = {
            name: day.astimezone(shop.shop.zone_info).date().isoformat() if day else None
            for name, day in (("done_about", made.likely_day), ("safe_day", made.safe_day))
        }
        hours = round(made.total.p50 / 60, 2) if made.total else 0.0
        touched.append({"id": survey.id, "title": called(survey), "hours_to_come": hours, **days})
    return touched, warnings


def _says(entry: Entry, pieces: Sequence[Survey], known: bool) -> str:
    piece = next((called(one) for one in pieces if one.id == entry.piece), "")
    parts = [entry.what.value, entry.step.trade_name if entry.step else entry.part, piece]
    if entry.minutes and entry.minutes.known:
        parts.append(say(Span(entry.minutes.value.minutes)))
    parts += [f"{(a.volume or a.mass).text + ' ' if a.volume or a.mass else ''}{a.material}" for a in entry.amounts]  # type: ignore[union-attr]
    parts += [text for text in (entry.to, entry.note) if text]
    return f"{'There already' if known else 'Logged'}: {', '.join(part for part in parts if part)} ({entry.who})"


def _plan_says(piece: dict[str, Any]) -> str:
    if not piece["done_about"]:
        return f"{piece['title']}: nothing left to do."
    return (
        f"{piece['title']}: {piece['hours_to_come']:.0f} hours to come, done about {piece['done_about']}; "
        f"safe to say {piece['safe_day']}."
    )


COMMANDS = {"log": log}
