"""What every command shares: the envelope of an answer, JSON or words, and what happens to bad input."""

import functools
import json
import re
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click

from witnessmark.documents import Fault, Faulty, Refused, nearest
from witnessmark.quantities import (
    Gallon,
    NotUnderstood,
    Range,
    Unknown,
    as_json,
    read,
    read_size,
    say,
    uses_gallon,
)
from witnessmark.sources import Working, table_of

NOTES_ON_SCREEN = 5
ON_SCREEN = 3  # more cautions than this are not read; the rest are in the JSON and on the papers


@dataclass
class Answer:
    """What a command found out.

    `result` maps the names of the contract to workings, amounts or plain JSON; `says` is the same for people,
    line by line, the first line being the answer itself.
    """

    result: Any
    says: Sequence[str] = ()
    cautions: Sequence[str] = ()
    warnings: Sequence[str] = ()
    workings: Sequence[Working[Any]] = ()

    def all_workings(self) -> list[Working[Any]]:
        """Those listed and those that stand in the result."""
        found = list(self.workings)
        values = self.result.values() if isinstance(self.result, dict) else self.result
        found += [value for value in values if isinstance(value, Working)] if not isinstance(values, str) else []
        return found


@dataclass
class Asked:
    """What was asked for beside the command itself: kept on click's context."""

    gallon: Gallon | None = None
    used_us_unsaid: bool = False
    as_json: bool = False
    warnings: list[str] = field(default_factory=list)


def asked() -> Asked:
    """The present command's settings."""
    return click.get_current_context().find_root().ensure_object(Asked)


def _shown(value: Any) -> Any:
    match value:
        case Working():
            return _shown(value.value)
        case dict():
            return {key: _shown(item) for key, item in value.items()}
        case list() | tuple():
            return [_shown(item) for item in value]
    return as_json(value)


def _words_of(item: Working[Any], depth: int = 0) -> list[str]:
    from witnessmark.sources import Figure, Given

    pad = "  " * depth
    lines = [f"{pad}{item.formula.says}  →  {say(item.value)}"]
    for name, part in item.inputs:
        label = name.replace("_", " ")
        match part:
            case Working():
                lines.append(f"{pad}  {label}: {say(part.value)}, from")
                lines += _words_of(part, depth + 2)
            case Figure():
                lines.append(
                    f"{pad}  {label}: {say(part.value)}  [{part.standing.words}: {part.source_key or 'no source'}]"
                )
            case Given():
                shown = " x ".join(say(one) for one in part.value) if isinstance(part.value, tuple) else say(part.value)
                lines.append(f"{pad}  {label}: {shown}  [given: {part.place}]")
    return lines


def show(answer: Answer, working: bool = False) -> None:
    """Prints an answer: one JSON object, or a few lines a restorer can read."""
    settings = asked()
    warnings = [*answer.warnings, *settings.warnings]
    if settings.used_us_unsaid:
        warnings.append("pounds cut, quarts, pints and gallons read as US; for imperial add --gallon imperial")
    if settings.as_json:
        envelope = {
            "result": _shown(answer.result),
            "workings": table_of(answer.all_workings()),
            "cautions": list(answer.cautions),
            "warnings": warnings,
        }
        click.echo(json.dumps(envelope, ensure_ascii=False, indent=2))
        return
    for caution in answer.cautions[:ON_SCREEN]:
        level, _, order = caution.partition(": ") if caution.startswith(("Stop: ", "Mind: ")) else ("Mind", "", caution)
        click.echo(click.style(f"{level}: ", bold=True) + order)
    for line in answer.says:
        click.echo(line)
    for warning in warnings[:NOTES_ON_SCREEN]:
        click.echo(f"Note: {warning.rstrip('.')}.")
    if len(warnings) > NOTES_ON_SCREEN:
        click.echo(f"And {len(warnings) - NOTES_ON_SCREEN} more notes: they are on the papers, and in --json.")
    if working:
        click.echo("\nThe working")
        for item in answer.all_workings():
            for line in _words_of(item):
                click.echo(f"  {line}")


def _gallon_said(context: click.Context, option: click.Parameter, value: str | None) -> None:
    if value:
        context.find_root().ensure_object(Asked).gallon = Gallon(value)


def _json_said(context: click.Context, option: click.Parameter, value: bool) -> None:
    context.find_root().ensure_object(Asked).as_json |= value


def answers(command: Callable[..., Answer]) -> Callable[..., None]:
    """Gives a command `--json` and `--working` and prints the Answer it returns. Goes below `@click.command`."""

    @click.option("--json", "as_json", is_flag=True, is_eager=True, expose_value=False, callback=_json_said,
                  help="Print one JSON object.")  # fmt: skip
    @click.option("--working", is_flag=True, help="Show the working in words.")
    @functools.wraps(command)
    def run(*args: Any, working: bool, **kwargs: Any) -> None:
        show(command(*args, **kwargs), working)

    return run


def gallon_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """`--gallon us|imperial`, for commands that read cuts, pints, quarts or gallons."""
    return click.option(
        "--gallon", type=click.Choice([kind.value for kind in Gallon]), is_eager=True, expose_value=False,
        callback=_gallon_said, help="Which gallon a pound cut, a quart or a pint is read by (US unless said).",
    )(command)  # fmt: skip


class AmountOf(click.ParamType[Any]):
    """An option that is an amount: `AmountOf(Mass)` reads `60 g`. Ranges only where `ranged`."""

    name = "amount"

    def __init__(self, kind: type, ranged: bool = False) -> None:
        self.kind, self.ranged = kind, ranged

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        if not isinstance(value, str):
            return value
        settings = context.find_root().ensure_object(Asked) if context else Asked()
        option = param.opts[0] if param else "?"
        try:
            amount = read(value, self.kind, settings.gallon or Gallon.US)
        except NotUnderstood as error:
            raise Faulty([Fault(option, "", error.found, error.expected, nearest=error.nearest)]) from None
        if uses_gallon(value, self.kind) and settings.gallon is None:
            settings.used_us_unsaid = True
        if isinstance(amount, Unknown) or (isinstance(amount, Range) and not self.ranged):
            raise Faulty([Fault(option, "", value, "one amount here, not a range or “don't know”")])
        return amount


class Size(click.ParamType[Any]):
    """An option that is a size: `900 x 450 x 20 mm`."""

    name = "size"

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        if not isinstance(value, str):
            return value
        try:
            return read_size(value)
        except NotUnderstood as error:
            option = param.opts[0] if param else "?"
            raise Faulty([Fault(option, "", error.found, error.expected, nearest=error.nearest)]) from None


class Clock(click.ParamType[Any]):
    """`--now 2026-11-25T08:00+00:00`: an instant with its offset, kept as UTC."""

    name = "instant"

    def convert(self, value: Any, param: click.Parameter | None, context: click.Context | None) -> Any:
        if isinstance(value, datetime):
            return value
        try:
            instant = datetime.fromisoformat(str(value))
        except ValueError:
            instant = None
        if instant is None or instant.tzinfo is None:
            raise Faulty([Fault("--now", "", str(value), "an instant with its offset, such as 2026-11-25T08:00+00:00")])
        return instant.astimezone(UTC)


def now_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """`--now`: fixes the clock. The only place where the real clock is read."""
    return click.option(
        "--now", type=Clock(), default=lambda: datetime.now(UTC).replace(microsecond=0),
        help="Pretend that it is this instant.", show_default="the clock",
    )(command)  # fmt: skip


def text_of(path: str) -> str:
    """The text of a file somebody named. Raises Faulty where it is missing, a folder, or not text."""
    file = Path(path)
    if path == "-":
        return sys.stdin.read()
    if not file.exists():
        beside = (
            [entry for entry in file.parent.iterdir() if entry.suffix == file.suffix] if file.parent.is_dir() else []
        )
        # By the stems: every “.toml” is a good deal like every other.
        near = nearest(file.stem, [entry.stem for entry in beside])
        raise Faulty([Fault(path, "", "no such file", "a file to read", nearest=near and f"{near}{file.suffix}")])
    if file.is_dir():
        raise Faulty([Fault(path, "", "a folder", "a file to read")])
    try:
        return file.read_text("utf-8")
    except UnicodeDecodeError as error:
        raise Faulty([Fault(path, "", f"byte {error.object[error.start]:#04x} at {error.start}",
                            "a text file in UTF-8; save it again as UTF-8")]) from None  # fmt: skip
    except OSError as error:
        raise Faulty([Fault(path, "", error.strerror or "unreadable", "a file that may be read")]) from None


def _usage_fault(error: click.UsageError) -> Fault:
    match error:
        case click.NoSuchOption():
            near = error.possibilities[0] if error.possibilities else None
            return Fault(
                error.option_name,
                "",
                error.option_name,
                "an option of this command; see --help",
                nearest=near,
            )
        case click.MissingParameter():
            name = error.param.opts[0] if error.param else "?"
            name = name if name.startswith("-") else name.upper()
            return Fault(name, "", "nothing", f"{name} is needed here; see --help")
        case click.BadParameter():
            name = error.param.opts[0] if error.param else "?"
            if isinstance(error.param and error.param.type, click.Choice):
                return _choice_fault(name, error)
            found = re.search(r"'([^']*)'", error.message)
            return Fault(name, "", found[1] if found else "", error.message.rstrip("."))
    unknown = re.match(r"No such command '([^']*)'", error.message)
    if unknown and error.ctx and isinstance(error.ctx.command, click.Group):
        names = error.ctx.command.list_commands(error.ctx)
        return Fault(unknown[1], "", unknown[1], "a command; see --help", nearest=nearest(unknown[1], names))
    return Fault(error.ctx.command_path if error.ctx else "witnessmark", "", "", error.message.rstrip("."))


def _choice_fault(name: str, error: click.BadParameter) -> Fault:
    """One word out of a closed set, said as every other set is."""
    found = re.match(r"'([^']*)' is not", error.message)
    choices = [str(choice) for choice in getattr(error.param and error.param.type, "choices", ())]
    text = found[1] if found else ""
    return Fault(name, "", text, f"one of {', '.join(choices)}", nearest=nearest(text, choices))


def _complain(faults: Sequence[Fault], wants_json: bool) -> int:
    if wants_json:
        click.echo(json.dumps({"faults": [fault.as_json() for fault in faults]}, ensure_ascii=False, indent=2))
    else:
        for fault in faults:
            click.echo(fault.says, err=True)
    return 2


def run(group: click.Group, arguments: Sequence[str] | None = None) -> int:
    """Runs the command line and gives its exit code: 0 done, 2 to be mended or refused, 1 our fault."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    wants_json = "--json" in given
    try:
        group.main(given, prog_name="witnessmark", standalone_mode=False)
    except Faulty as error:
        return _complain(error.faults, wants_json)
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message())
        return 0
    except click.UsageError as error:
        return _complain([_usage_fault(error)], wants_json)
    except (click.exceptions.Exit, click.Abort, KeyboardInterrupt) as stop:
        return getattr(stop, "exit_code", 1)
    except BrokenPipeError:
        return 0
    except (Refused, NotUnderstood) as error:
        if wants_json:
            click.echo(json.dumps({"refused": str(error)}, ensure_ascii=False, indent=2))
        else:
            click.echo(str(error), err=True)
        return 2
    except Exception as error:
        report = f"{type(error).__name__}: {error}"
        click.echo(
            f"This is our fault, not yours: {report}. Nothing of yours was changed. Please report it with the command "
            "you gave and this line; WITNESSMARK_TRACE=1 shows where it happened.",
            err=True,
        )
        import os
        import traceback

        if os.environ.get("WITNESSMARK_TRACE"):
            traceback.print_exc()
        return 1
    return 0


__all__ = [
    "AmountOf", "Answer", "Clock", "Size", "answers", "asked", "gallon_option", "now_option", "run", "show",
    "text_of",
]  # fmt: skip
