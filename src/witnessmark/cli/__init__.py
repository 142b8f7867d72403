"""The command `witnessmark`: words and files come in, answers go out. Asks and shows; does no arithmetic."""

import sys
from importlib import import_module

import click

# Where each command lives; a module is only read when its command is called, so that `mix` stays quick.
_HOMES = {
    "mix": "bench", "thin": "bench", "cut": "bench", "jar": "bench", "cover": "bench",
    "move": "boards", "weigh": "boards",
    "time": "times", "dew": "times", "log": "logging_work",
    "survey": "documents", "shop": "documents", "daybook": "documents",
    "tell": "telling", "mark": "marking",
    "takedown": "takedown",
    "plan": "planning", "papers": "papers", "sources": "listing",
    "hazards": "dangers", "regulated": "dangers", "air": "vapour", "lift": "loads", "tip": "loads",
    "blend": "blends", "clearance": "clearance",
    "serve": "serving", "demo": "serving", "rebuild": "serving",
    "person": "people", "token": "people",
    "import": "record_keeping", "export": "record_keeping", "backup": "record_keeping", "restore": "record_keeping",
}  # fmt: skip

_SHORT = {
    "mix": "Flakes and solvent for a cut",
    "thin": "What to add to a jar to thin it",
    "cut": "The cut of an unknown jar, from a dried sample",
    "jar": "How far a jar goes",
    "cover": "How much of a coating an area takes",
    "move": "How far a board moves with the seasons",
    "weigh": "What a part weighs",
    "time": "How long the whole takes after a timed trial patch",
    "dew": "Whether today's air lets a coat go on",
    "log": "Write into the day book what was done",
    "survey": "Start, check and measure the survey of a piece",
    "shop": "Start and check the shop's own document",
    "daybook": "Start and check the day book",
    "tell": "What is it: date, wood, old finish, from what can be seen",
    "mark": "What a patent, design or registration mark dates",
    "takedown": "Take a piece apart with the least harm, and put it together again",
    "plan": "Plan a piece: steps, mixes, days, cost and papers",
    "papers": "Print single papers: quotation, receipt, records, cards, sheets",
    "sources": "Every figure with its standing and source",
    "hazards": "What on a piece can hurt, and whom to ask",
    "regulated": "What the law says of it where it is sold or sent",
    "air": "What to do about a solvent's vapour, and the air it takes",
    "lift": "What one person may lift, and how many hands a piece wants",
    "tip": "Whether it tips with its drawers open",
    "blend": "Where a blend of solvents stands, and what it spares",
    "clearance": "Drawers through the seasons, and whether it is in condition",
    "serve": "Open the desk: the shop's record in the browser",
    "demo": "Open the desk of an invented shop, to look round and try",
    "rebuild": "Make the desk's lists again from what is kept",
    "person": "Let people into the desk, and shut them out",
    "token": "Make a key of the desk's API for somebody",
    "import": "Take surveys, the shop, day books and photographs into the desk",
    "export": "Write a piece of the desk to a file",
    "backup": "Write the whole shop into one file, while the desk is open",
    "restore": "Put the shop in a backup into a folder",
}


class _Commands(click.Group):
    """The commands by name, each read from its module on first use."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(_HOMES)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _HOMES:
            return None
        return import_module(f"witnessmark.cli.{_HOMES[cmd_name]}").COMMANDS[cmd_name]  # type: ignore[no-any-return]

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, _SHORT[name]) for name in self.list_commands(ctx)])


@click.command(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
def witnessmark() -> None:
    """What is this piece, where did every part sit, what to do, with how much, when, how safely, for how much."""


def main() -> None:
    """The console entry: runs and exits."""
    from witnessmark.cli.frame import run

    sys.exit(run(witnessmark))
