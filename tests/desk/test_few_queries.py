"""The main pages ask the database few questions, and no more for a full shop than for four pieces."""

import pytest
from django.core.cache import cache
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

import pieces
from small_surveys import survey_with
from witnessmark.record import keep_survey, new_id, post_entries

MOST = 25
PIECES = 60


@pytest.fixture
def full_shop(demo_shop):
    """The demo pieces and small ones up to 60, each with a word in the day book."""
    for number in range(PIECES - len(pieces.PIECES)):
        title = f'[piece]\nkind = "table"\ntitle = "Table {number}"\ncode = "K{number}"\n'
        small = survey_with(piece=title).model_copy(update={"id": new_id(pieces.NOW)})
        keep_survey(small, "Ines", pieces.NOW)
        note = {"id": new_id(pieces.NOW), "what": "note", "who": "Ines", "piece": small.id, "note": "seen to"}
        post_entries([note | {"happened": pieces.NOW.isoformat()}], pieces.NOW)
    return demo_shop


def questions(client, address):
    """How many, once what is kept for a page is kept: one look plans at most a dozen pieces."""
    for _ in range(PIECES // 12 + 2):
        cache.clear()
        client.get(address)
    client.get(address)
    with CaptureQueriesContext(connection) as asked:
        assert client.get(address).status_code == 200
    return len(asked)


@pytest.mark.parametrize("place", ["bench", "stock"])
def test_a_full_shop_is_shown_with_few_questions(place, owner, full_shop):
    assert 0 < questions(owner, reverse(place)) <= MOST


def test_a_piece_in_a_full_shop_is_shown_with_few_questions(owner, full_shop):
    assert 0 < questions(owner, reverse("piece", args=[full_shop("chest")])) <= MOST


def test_the_bench_asks_few_questions_after_an_entry_too(owner, full_shop):
    questions(owner, reverse("bench"))
    entry = {"id": new_id(pieces.NOW), "what": "note", "who": "Ines", "happened": pieces.NOW.isoformat()}
    post_entries([entry | {"note": "the stove is lit"}], pieces.NOW)
    with CaptureQueriesContext(connection) as asked:
        assert owner.get(reverse("bench")).status_code == 200
    assert len(asked) <= MOST
