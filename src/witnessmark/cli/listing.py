"""`sources`: every figure with its standing and source."""

import click

from witnessmark.cli.frame import Answer, answers
from witnessmark.sources import Standing, all_figures, bibliography


@click.command("sources")
@click.option("--standing", type=click.Choice([kind.value for kind in Standing]), help="Only figures of this standing.")
@answers
def sources(standing: str | None) -> Answer:
    """Every figure the program reckons with, its standing and its source."""
    figures = [figure for figure in all_figures() if standing in {None, figure["standing"]}]
    books = bibliography()
    says = [f"{len(figures)} figures" + (f" of standing {standing}" if standing else "")]
    for figure in figures:
        cited = "; ".join(books[key].citation for key in figure["source"].split(";") if key in books)
        unit = "" if figure["unit"] == "1" else f" {figure['unit']}"
        says.append(f"{figure['figure']}: {figure['value']:g}{unit}  [{figure['standing'].replace('_', ' ')}] {cited}")
    return Answer([{**figure, "citations": [books[k].citation for k in figure["source"].split(";") if k in books]}
                   for figure in figures], says)  # fmt: skip


COMMANDS = {"sources": sources}
