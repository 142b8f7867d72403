"""`tell`: what is it? The group, and what its questions share: readings from the line and from a survey."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, Any

import click

from witnessmark.cli.frame import text_of
from witnessmark.documents import Fault, Faulty
from witnessmark.odds import How

if TYPE_CHECKING:
    from witnessmark.survey import Survey

# One module a question; it exports COMMAND. Add a line here for a new one.
_HOMES = {"date": "telling_date", "wood": "telling_wood", "finish": "telling_finish"}
_SHORT = {
    "date": "When the piece, and each part that dates itself, was made",
    "wood": "Which wood it is, from lens, nose, nail and balance",
    "finish": "What the old finish is, from looks and spot tests",
}


class _Questions(click.Group):
    """The questions by name, each read from its module on first use."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(_HOMES)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _HOMES:
            return None
        return import_module(f"witnessmark.cli.{_HOMES[cmd_name]}").COMMAND  # type: ignore[no-any-return]

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, _SHORT[name]) for name in self.list_commands(ctx)])


@click.command(cls=_Questions)
def tell() -> None:
    """What is it? Readings go in; odds, reasons, disagreements and the next look come out."""


@dataclass(frozen=True)
class Said:
    """One reading as it was given: `place` is where, for a fault (“--seen”, “reading.3”)."""

    place: str
    key: str
    state: str
    how: How
    part: str = ""


def reading_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """FILE, `--seen`, `--not` and `--unsure`, each of the last three as often as wanted.

    They reach the command as `file`, `seen`, `absent` and `unsure`.
    """
    for option in (
        click.option("--unsure", multiple=True, metavar="KEY=STATE", help="Thought to be there; not sworn to."),
        click.option("--not", "absent", multiple=True, metavar="KEY[=STATE]", help="Looked for and not there."),
        click.option("--seen", multiple=True, metavar="KEY[=STATE]", help="Seen."),
        click.argument("file", required=False),
    ):
        command = option(command)
    return command


def said_on_the_line(seen: Sequence[str], absent: Sequence[str], unsure: Sequence[str]) -> list[Said]:
    """The readings of the three options. Raises Faulty on an empty key."""
    said, faults = [], []
    for place, how, texts in (("--seen", How.SEEN, seen), ("--not", How.NOT_SEEN, absent),
                              ("--unsure", How.UNSURE, unsure)):  # fmt: skip
        for text in texts:
            key, _, state = (part.strip() for part in text.partition("="))
            if not key:
                faults.append(Fault(place, "", text, "KEY or KEY=STATE"))
            said.append(Said(place, key, state, how))
    if faults:
        raise Faulty(faults)
    return said


def survey_in(file: str) -> "Survey":
    """The survey in a file. Raises Faulty with all that is amiss in it."""
    from witnessmark.survey import survey_from

    return survey_from(text_of(file), file)


def said_in_the_survey(survey: "Survey", about: str) -> list[Said]:
    """A survey's readings about one question."""
    hows = {"seen": How.SEEN, "not seen": How.NOT_SEEN, "unsure": How.UNSURE}
    return [
        Said(
            f"reading.{at}",
            one.feature,
            one.state,
            hows[one.seen.value],
            one.part or "",
        )
        for at, one in enumerate(survey.reading, 1)
        if one.about.value == about
    ]


COMMANDS = {"tell": tell}
