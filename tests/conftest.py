"""Property tests have no deadline: a busy bench computer is not a fault."""

import os
import sys

import pytest
from hypothesis import settings

# The browser of the page tests keeps a loop running in its process, beside tests that ask the database directly.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"

# Under CI hypothesis chooses a profile of its own: the same examples every time, no deadline.
if "CI" not in os.environ:
    settings.register_profile("bench", deadline=None)
    settings.load_profile("bench")


@pytest.fixture(autouse=True)
def _nothing_is_remembered():
    """Each test's record begins empty, and pieces of the same ids are kept in it at the same instants."""
    if reading := sys.modules.get("witnessmark.record.reading"):
        reading._body.cache_clear()
        reading._shop_of.cache_clear()
