"""Ids of pieces and entries: made where the thing is made, also offline, and in the order they were made."""

from datetime import datetime
from uuid import UUID


def uuid7(at: datetime, chance: bytes) -> str:
    """A UUIDv7: the instant to the millisecond, then chance.

    `at` carries its offset; `chance` is ten random bytes, of which 74 bits are used. Both come from whoever
    makes the thing, since nothing here reads a clock. Raises ValueError where either is not so.

    Source: RFC 9562, section 5.7.
    """
    if at.tzinfo is None:
        raise ValueError("the instant of an id needs its offset")
    if len(chance) != 10:
        raise ValueError(f"an id takes ten bytes of chance, not {len(chance)}")
    milliseconds = int(at.timestamp() * 1000)
    if not 0 <= milliseconds < 1 << 48:
        raise ValueError(f"an id can't hold the instant {at.isoformat()}")
    drawn = int.from_bytes(chance, "big")
    random_a, random_b = drawn >> 68, drawn & (1 << 62) - 1
    return str(UUID(int=milliseconds << 80 | 0x7 << 76 | random_a << 64 | 0b10 << 62 | random_b))
