"""Ids of things made at one instant stand in the order they were made."""

from datetime import UTC, datetime
from uuid import UUID

from witnessmark.record import new_id

NOW = datetime(2026, 11, 25, 8, tzinfo=UTC)


def test_a_thousand_ids_of_one_instant_are_in_order_and_each_its_own():
    made = [new_id(NOW) for _ in range(1000)]
    assert made == sorted(set(made))


def test_an_id_is_a_uuid_of_version_7_with_its_instant():
    # RFC 9562, section 5.7: the first 48 bits are the milliseconds since 1970, then version and variant.
    made = UUID(new_id(NOW))
    assert made.int >> 80 == int(NOW.timestamp() * 1000)
    assert made.version == 7
    assert made.variant == "specified in RFC 4122"
