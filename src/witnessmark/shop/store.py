"""What lies in the store that may do: old timber, veneer and hardware, by words, by kind and by measure."""

from collections.abc import Iterator
from typing import Any

from witnessmark.documents import Written
from witnessmark.quantities import Length

from .model import Shop, Stored
from .words import StoreKind


def store_fits(
    shop: Shop,
    words: str = "",
    kind: StoreKind | None = None,
    thickness: Length | None = None,
    centres: Length | None = None,
    within: Length | None = None,
    free: bool = False,
) -> tuple[Stored, ...]:
    """What is stored that has all these words and comes within `within` of these measures; the nearest first.

    What was never measured is not said to fit. `free` leaves out what is put by for a piece.
    """
    give = within or Length(0)
    wanted = [word for word in words.casefold().split() if word]
    found: list[tuple[float, int, Stored]] = []
    for place, one in enumerate(shop.store):
        if (kind is not None and one.kind is not kind) or (free and one.booked):
            continue
        told = " ".join(_told(one)).casefold()
        if not all(word in told for word in wanted):
            continue
        apart = [_apart(one.thickness, thickness), _apart(one.centres, centres)]
        if all(off is None or off <= give.magnitude + _HAIR for off in apart):
            found.append((sum(off or 0.0 for off in apart), place, one))
    return tuple(one for _, _, one in sorted(found, key=lambda row: row[:2]))


_HAIR = 1e-9  # mm: a measure that is off by just as much as it may still fits


def _told(one: Stored) -> Iterator[str]:
    yield from (one.code, one.kind.value, one.what, one.wood, one.colour, one.kept, one.note)


def _apart(measured: Written | None, wanted: Length | None) -> float | None:
    """How far off, in mm; None where nothing is asked, and without end where nobody measured."""
    if wanted is None:
        return None
    if measured is None or not measured.known:
        return float("inf")
    there: Any = measured.value
    off: float = abs(there.magnitude - wanted.magnitude)
    return off
