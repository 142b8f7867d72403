"""People who entered, and the demo shop kept in the record."""

from collections.abc import Callable
from datetime import timedelta
from itertools import count

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

import pieces
from lying_apart import picture
from small_surveys import survey_with
from witnessmark.daybook import Entry
from witnessmark.documents import json_of
from witnessmark.record import Person, Role, keep_shop, keep_survey, post_entries, survey_of

PASSWORD = "a plane and a rasp"


@pytest.fixture(autouse=True)
def _the_demo_morning(settings):
    """The clock stands at the morning after the demo day book ends; static files come from the finders."""
    settings.FIXED_NOW = pieces.NOW.isoformat()
    cache.clear()  # another test's pieces bear the same ids
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


def entered(name: str, role: Role) -> Client:
    client = Client()
    client.force_login(Person.objects.create_user(name, role, PASSWORD), "django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def owner(db) -> Client:
    return entered("Ines", Role.OWNER)


@pytest.fixture
def helper(db) -> Client:
    return entered("Tobias", Role.HELPER)


@pytest.fixture
def reader(db) -> Client:
    return entered("Dale", Role.READER)


@pytest.fixture
def demo_shop(db) -> Callable[[str], str]:
    """The demo shop, its four pieces and its day book, kept; gives the id of a piece by its name."""
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    for name in pieces.PIECES:
        keep_survey(pieces.piece(name), "Ines", pieces.NOW)
    post_entries([kept(entry) for entry in pieces.daybook().entries], pieces.NOW)
    return lambda name: pieces.piece(name).id


def kept(entry: Entry) -> dict[str, object]:
    return json_of(entry)


# ---- a piece that lies apart ----


@pytest.fixture
def a_minute_each(settings, tmp_path, monkeypatch):
    """A folder of its own; a minute goes by with each entry, so that they have an order."""
    settings.DATA = tmp_path
    minutes = count()
    monkeypatch.setattr("witnessmark.desk.daybook_posts.now", lambda: pieces.NOW + timedelta(minutes=next(minutes)))


@pytest.fixture
def bare(db, a_minute_each) -> str:
    """A chest of which nobody has named a part yet."""
    chest = survey_with(piece='[piece]\nkind = "chest"\ntitle = "Pine chest"\ncode = "K7"\n')
    keep_survey(chest, "Ines", pieces.NOW)
    return chest.id


@pytest.fixture
def seen(helper, bare) -> str:
    """The SHA-256 of a photograph of that chest."""
    helper.post(reverse("more_photographs", args=[bare]), {"photograph": picture()})
    return survey_of(bare).photograph[0].sha256
