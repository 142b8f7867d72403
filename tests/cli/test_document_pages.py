"""The restorer's pages on the documents: each example is read, each command is there."""

import json
import re
from pathlib import Path

import pytest

from witnessmark.cli.documents import COMMANDS
from witnessmark.daybook import entry_in
from witnessmark.shop import shop_from
from witnessmark.survey import survey_from

PAGES = Path(__file__).resolve().parents[2] / "docs" / "restorer"
SURVEY = (PAGES / "write-a-survey.md").read_text("utf-8")
SHOP = (PAGES / "write-the-shop-and-the-day-book.md").read_text("utf-8")


def example(page: str, language: str) -> str:
    return re.findall(rf"```{language}\n(.*?)```", page, re.DOTALL)[0]


def test_the_examples_are_right():
    assert survey_from(example(SURVEY, "toml"), "the page").piece.title == "Oak chest of drawers"
    assert shop_from(example(SHOP, "toml"), "the page").cupboard[0].key == "shellac"
    assert entry_in(json.loads(example(SHOP, "json")), "the page").part == "TOP"


@pytest.mark.parametrize(("name", "command"), COMMANDS.items())
def test_every_command_of_the_documents_is_on_a_page(name, command):
    for below in command.commands:
        assert f"witnessmark {name} {below}" in SURVEY + SHOP
