"""The pages of docs/workings: each has a worked example, and the program answers as the page says."""

import re
import shlex
from pathlib import Path

import pytest

from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run

PAGES = Path(__file__).resolve().parents[2] / "docs" / "workings"
EXAMPLES = [
    pytest.param(command, said, id=f"{page.stem}:{command[:40]}")
    for page in sorted(PAGES.glob("*.md"))
    for command, said in re.findall(r"```console\n\$ witnessmark (.*)\n((?:.*\n)*?)```", page.read_text("utf-8"))
]
SUMS = {
    "mixing-a-cut", "thinning", "the-cut-of-a-jar", "coats-by-brush", "coverage", "the-rubber", "moisture-from-air",
    "board-movement", "what-a-part-weighs",
}  # fmt: skip


def test_every_sum_of_the_bench_has_its_page():
    assert {page.stem for page in PAGES.glob("*.md")} >= SUMS
    assert len(EXAMPLES) >= 13


@pytest.mark.parametrize(("command", "said"), EXAMPLES)
def test_the_program_says_what_the_page_says(capsys, command, said):
    run(witnessmark, shlex.split(command))
    answer = capsys.readouterr()
    assert answer.out + answer.err == said


@pytest.mark.parametrize("name", sorted(SUMS))
def test_a_page_names_its_sum_its_figures_and_its_check(name):
    page = (PAGES / f"{name}.md").read_text("utf-8")
    for heading in ("## The sum", "## Worked", "## Checked against"):
        assert heading in page
    # What a page points at is there.
    root = PAGES.parents[1]
    for table in re.findall(r"`([a-z]+/[a-z_]+\.csv)`", page):
        assert (root / "src" / "witnessmark" / table).exists(), table
    for test in re.findall(r"`(tests/[a-z_/]+\.py)`", page):
        assert (root / test).exists(), test
    for other in re.findall(r"\]\(([a-z-]+\.md)\)", page):
        assert (PAGES / other).exists(), other
