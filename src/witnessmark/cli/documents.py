"""The three documents at the command line: start one, check it, print its schema, measure a survey's areas."""

import json
import os
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from witnessmark import daybook, shop, survey
from witnessmark.documents import Fault, Faulty, Refused, nearest, uuid7
from witnessmark.plan import survey_words
from witnessmark.quantities import Range, say, usual

from .frame import Answer, answers, now_option, text_of

out_option = click.option("--out", type=click.Path(), help="Write it to this new file.")


def new_id(at: datetime) -> str:
    """A fresh id. The only place where chance comes in."""
    return uuid7(at, os.urandom(10))


def _started(text: str, out: str | None, what: str, then: str, **result: Any) -> Answer:
    """A starter, printed or written to a file that was not there before."""
    if out is None:
        return Answer({**result, "text": text}, [text.rstrip("\n")] if text else [])
    try:
        with Path(out).open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise Refused(f"{out} is there already, and was left as it is: give another name, or move it away.") from None
    except OSError as error:
        reason = (error.strerror or "it can't be written").lower()
        raise Faulty([Fault("--out", "", out, f"a file in a folder that may be written to ({reason})")]) from None
    return Answer({**result, "file": out, "text": text}, [f"{what} is in {out}. {then}"])


def _schema(schema: dict[str, Any]) -> Answer:
    return Answer(schema, [json.dumps(schema, ensure_ascii=False, indent=2)])


def _survey(path: str) -> survey.Survey:
    return survey.survey_from(text_of(path), path, words=survey_words())


def _needs_a_command(context: click.Context) -> None:
    if context.invoked_subcommand is None and isinstance(context.command, click.Group):
        name, known = context.command.name or "", ", ".join(context.command.list_commands(context))
        raise Faulty([Fault(f"witnessmark {name}", "", "nothing", f"one of {known} after it; see --help")])


# --- the survey ---


@click.group("survey", invoke_without_command=True)
@click.pass_context
def survey_commands(context: click.Context) -> None:
    """Start, check and measure the survey of a piece."""
    _needs_a_command(context)


@survey_commands.command("new")
@click.argument("kind")
@out_option
@now_option
@answers
def survey_new(kind: str, out: str | None, now: datetime) -> Answer:
    """A starter to fill in: ten facts and the parts such a piece usually has."""
    if kind not in survey.KINDS:
        expected = f"one of: {', '.join(survey.KINDS)}; for any other piece take the nearest and change its kind"
        raise Faulty([Fault("KIND", "", kind, expected, nearest=nearest(kind, survey.KINDS))])
    piece_id = new_id(now)
    then = f"Fill in what you know, then: witnessmark survey check {out}"
    return _started(survey.starter(kind, piece_id), out, f"A survey of a {kind}", then, id=piece_id, kind=kind)


@survey_commands.command("check")
@click.argument("file")
@answers
def survey_check(file: str) -> Answer:
    """Every fault of a survey, or what it knows."""
    checked = _survey(file)
    outline = survey.outline_of(checked)
    result = {"id": checked.id, "title": outline.title, "counts": outline.counts, "dont_know": outline.dont_know}
    return Answer({**result, "says": outline.says}, [outline.says])


@survey_commands.command("schema")
@answers
def survey_schema() -> Answer:
    """The JSON Schema of a survey."""
    return _schema(survey.survey_schema())


@survey_commands.command("terms")
@answers
def survey_terms() -> Answer:
    """The words for what is amiss, and what each means."""
    terms = survey.condition_terms()
    result = [{"term": one.term, "category": one.category, "definition": one.definition} for one in terms]
    return Answer(result, [f"{one.term}: {one.definition}" for one in terms])


@survey_commands.command("areas")
@click.argument("file")
@answers
def survey_areas(file: str) -> Answer:
    """The net area of every face that is finished, and the total."""
    areas = survey.areas_of(_survey(file), file)
    total = areas.total.value
    wide = f" ({say(total)})" if isinstance(total, Range) else ""
    rows = [("part", "face", "net"), *((line.part or "", line.face, say(line.net.value)) for line in areas.faces)]
    part, face = (max(len(row[at]) for row in rows) for at in (0, 1))
    says = [f"{say(usual(total))} to finish in all{wide}."]
    says += [f"{row[0]:{part}}  {row[1]:{face}}  {row[2]}" for row in rows]
    says += [f"Would narrow it most: {one.says}." for one in areas.missing[:1]]
    return Answer(survey.areas_answer(areas), says)


# --- the shop ---


@click.group("shop", invoke_without_command=True)
@click.pass_context
def shop_commands(context: click.Context) -> None:
    """Start and check the shop's own document."""
    _needs_a_command(context)


@shop_commands.command("new")
@out_option
@answers
def shop_new(out: str | None) -> Answer:
    """A starter to fill in: people, hours, rooms, costs, cupboard."""
    then = f"Fill in what you know, then: witnessmark shop check {out}"
    return _started(shop.starter(), out, "The shop's document", then)


@shop_commands.command("check")
@click.argument("file")
@answers
def shop_check(file: str) -> Answer:
    """Every fault of the shop's document, or what it knows."""
    outline = shop.outline_of(shop.shop_from(text_of(file), file))
    result = {"name": outline.name, "counts": outline.counts, "dont_know": outline.dont_know, "says": outline.says}
    warnings = [f"“{name}” is not in our tables: it can't be planned with" for name in outline.not_listed]
    return Answer(result, [outline.says], warnings=warnings)


@shop_commands.command("schema")
@answers
def shop_schema() -> Answer:
    """The JSON Schema of the shop's document."""
    return _schema(shop.shop_schema())


# --- the day book ---


@click.group("daybook", invoke_without_command=True)
@click.pass_context
def daybook_commands(context: click.Context) -> None:
    """Start and check the day book."""
    _needs_a_command(context)


@daybook_commands.command("new")
@click.option("--example", is_flag=True, help="With one entry of each kind.")
@out_option
@now_option
@answers
def daybook_new(example: bool, out: str | None, now: datetime) -> Answer:
    """An empty day book, or one that shows each kind of entry."""
    text = daybook.example("Me", now, new_id) if example else ""
    return _started(text, out, "The day book", "Each line is one entry; add below, change nothing above.")


@daybook_commands.command("check")
@click.argument("file")
@answers
def daybook_check(file: str) -> Answer:
    """Every fault of a day book, or what it holds."""
    outline = daybook.outline_of(daybook.daybook_from(text_of(file), file))
    result = {"counts": outline.counts, "corrected": outline.struck, "first": outline.first, "last": outline.last}
    return Answer({**result, "says": outline.says}, [outline.says])


@daybook_commands.command("schema")
@answers
def daybook_schema() -> Answer:
    """The JSON Schema of one line of a day book."""
    return _schema(daybook.daybook_schema())


COMMANDS: dict[str, click.Command] = {
    "survey": survey_commands,
    "shop": shop_commands,
    "daybook": daybook_commands,
}
