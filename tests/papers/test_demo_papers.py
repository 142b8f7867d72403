"""The papers of the demo pieces, as their shop prints them."""

from functools import cache
from pathlib import Path

import pytest

import pieces
from papers.reading import words
from witnessmark.papers import PAPERS, papers_of
from witnessmark.plan import plan_piece

DOCS = Path(__file__).resolve().parents[2] / "docs" / "restorer" / "papers.md"


@cache
def papers(name: str) -> dict[str, bytes]:
    plan = plan_piece(pieces.piece(name), pieces.shop(), pieces.daybook(), pieces.NOW)
    return papers_of(plan, pieces.photographs().get)


@pytest.mark.parametrize("name", pieces.PIECES)
def test_each_has_all_its_papers(name):
    assert tuple(papers(name)) == PAPERS
    text = words(papers(name)["plan.pdf"])
    assert pieces.piece(name).piece.title in text
    assert "The work in order" in text
    for part in pieces.piece(name).part:
        assert part.code in text


def test_the_page_on_papers_names_each_of_them():
    told = DOCS.read_text("utf-8")
    assert [paper for paper in PAPERS if f"`{paper}`" not in told] == []
