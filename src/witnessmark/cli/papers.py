"""`papers`: those of a piece or of the shop that are asked for, whole or not at all."""

from datetime import datetime
from pathlib import Path

import click

from witnessmark.cli.frame import Answer, answers, now_option, text_of
from witnessmark.cli.planning import photographs_in
from witnessmark.daybook import DayBook, daybook_from
from witnessmark.papers import WHICH, chosen_papers, keep, keys_asked
from witnessmark.plan import plan_piece
from witnessmark.shop import plain_shop, plain_shop_says, shop_from
from witnessmark.survey import survey_from


@click.command("papers")
@click.argument("surveys", nargs=-1, required=True, metavar="SURVEY…")
@click.option("--which", required=True, metavar="KEY,…", help=f"The papers, with commas between: {', '.join(WHICH)}.")
@click.option("--shop", help="The shop's document. Without it a plain one-person shop is supposed.")
@click.option("--daybook", help="The day book: what is done stays done.")
@click.option("--photographs", type=click.Path(file_okay=False), help="Where the photographs lie.")
@click.option("--out", default="out", show_default=True, type=click.Path(file_okay=False), help="Where the papers go.")
@now_option
@answers
def papers(
    surveys: tuple[str, ...], which: str, shop: str | None, daybook: str | None, photographs: str | None, out: str,
    now: datetime,
) -> Answer:  # fmt: skip
    """Print single papers: of each piece, or of the shop for all the pieces named (day_sheet, end_of_day, week)."""
    keys = keys_asked(which)
    warnings: list[str] = []
    the_shop = shop_from(text_of(shop), shop) if shop else plain_shop()
    if not shop:
        warnings.extend(plain_shop_says())
    book = daybook_from(text_of(daybook), daybook, the_shop.context) if daybook else DayBook()
    read = [survey_from(text_of(survey), survey, the_shop.context) for survey in surveys]
    plans = [plan_piece(survey, the_shop, book, now) for survey in read]
    places = [photographs_in(photographs, survey) for survey in surveys]

    def photograph(sha256: str) -> bytes | None:
        return next((content for place in places if (content := place(sha256))), None)

    made = chosen_papers(plans, book, keys, photograph)
    folder = Path(out)
    keep(made, folder)
    says = [f"Papers in {folder}{'/' if not out.endswith('/') else ''}: {', '.join(made)}"]
    cautions = list(dict.fromkeys(f"{c.level}: {c.says}" for plan in plans for c in plan.cautions))
    warnings += dict.fromkeys(warning for plan in plans for warning in plan.warnings)
    return Answer([{"which": key, "files": _files(key, made)} for key in keys], says, cautions, warnings)


def _files(key: str, made: dict[str, bytes]) -> list[str]:
    """The files of one paper, among those made."""
    name = key.replace("_", "-")
    return [file for file in made if file.rpartition(".")[0] == name or file.startswith(f"{name}-")]


COMMANDS = {"papers": papers}
