"""`mark`: what a patent, design or registration mark dates."""

import click

from witnessmark import evidence
from witnessmark.documents import Fault, Faulty

from .frame import Answer, answers


@click.command("mark")
@click.argument("text", required=False)
@click.option("--lozenge", help="“class II, top A, left D, right 12, bottom 3”, read as you face it.")
@answers
def mark(text: str | None, lozenge: str | None) -> Answer:
    """What a mark dates: a patent or design number, a lozenge, a country's name, a lock's letters, dated paper."""
    if (text is None) == (lozenge is None):
        found = "both" if text else "neither"
        raise Faulty([Fault("mark", "", found, "a mark such as “Pat. No. 1,234,567”, or --lozenge")])
    read = evidence.mark(text) if text else evidence.lozenge(evidence.corners_of(lozenge or ""))
    result = {
        "not_before": read.not_before,
        "not_after": read.not_after,
        "reads": read.reads,
        "kind": read.kind,
        "feature": read.feature or None,
        "standing": read.standing.value,
        "source": read.source_key,
    }
    says = [f"Not before {read.not_before}.", f"{read.reads[0].upper()}{read.reads[1:]}.",
            f"Standing of the table: {read.standing.words}."]  # fmt: skip
    return Answer(result, says)


COMMANDS = {"mark": mark}
