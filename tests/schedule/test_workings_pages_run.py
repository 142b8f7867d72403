"""The pages of docs/workings with Python in them: each gives what the page says, and points at what is there."""

import doctest
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGES = [page for page in sorted((ROOT / "docs/workings").glob("*.md")) if "```pycon" in page.read_text("utf-8")]


def test_there_are_such_pages():
    assert {"minutes-of-a-step", "the-shops-days", "what-a-piece-costs", "cautions"} <= {page.stem for page in PAGES}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_a_page_says_what_the_program_says(page):
    result = doctest.testfile(str(page), module_relative=False, encoding="utf-8")
    assert result.attempted > 2
    assert result.failed == 0


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_a_page_points_at_what_is_there(page):
    text = page.read_text("utf-8")
    for heading in ("## The sums", "## The figures", "## Worked", "## Checked against"):
        assert heading in text
    for table in re.findall(r"`([a-z]+/[a-z_]+\.csv)`", text):
        assert (ROOT / "src/witnessmark" / table).exists(), table
    for test in re.findall(r"`(tests/[a-z_/]+\.py)`", text):
        assert (ROOT / test).exists(), test
