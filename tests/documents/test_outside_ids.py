"""Ids against the standard's own example."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.documents import uuid7

WHEN = datetime(2026, 11, 25, 8, tzinfo=UTC)


def test_the_example_of_the_standard():
    # RFC 9562, appendix A.6: 0x017F22E279B0 ms is 2022-02-22 14:22:22 at UTC-5;
    # rand_a is 0xCC3, rand_b 0x18C4DC0C0C07398F. The standard from memory.
    at = datetime.fromisoformat("2022-02-22T14:22:22-05:00")
    chance = (0xCC3 << 68 | 0x18C4DC0C0C07398F).to_bytes(10, "big")
    assert uuid7(at, chance) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


@given(st.datetimes(min_value=datetime(1970, 1, 2), timezones=st.just(UTC)), st.binary(min_size=10, max_size=10))
def test_any_instant_and_chance_make_a_version_7_id(at, chance):
    made = UUID(uuid7(at, chance))
    assert made.version == 7
    assert made.variant == "specified in RFC 4122"
    assert abs((made.int >> 80) / 1000 - at.timestamp()) < 0.0011


def test_a_later_id_sorts_later():
    ids = [uuid7(WHEN + timedelta(milliseconds=step), bytes([255 - step] * 10)) for step in range(50)]
    assert ids == sorted(ids)


@pytest.mark.parametrize(
    ("at", "chance", "says"),
    [
        (datetime(2026, 11, 25), bytes(10), "needs its offset"),
        (WHEN, bytes(9), "ten bytes of chance, not 9"),
        (datetime(1969, 1, 1, tzinfo=UTC), bytes(10), "can't hold the instant"),
    ],
)
def test_what_an_id_can_not_be_made_of(at, chance, says):
    with pytest.raises(ValueError, match=says):
        uuid7(at, chance)
