"""Spot tests of an old finish, least harm first: what to do, and what it costs the surface."""

from dataclasses import dataclass

from witnessmark.quantities import Span
from witnessmark.sources import table


@dataclass(frozen=True)
class SpotTest:
    """One test. `harm` runs from 0 (looking) to 5 (the finish is stripped there); a look has no `dwell`.

    Tests of one `hangs_with` speak of one property and count once. Where `wax_hides`, a waxed film answers as wax.
    `trust` is how far a clear answer is believed: the look of a thing misleads more than a swab does.
    """

    key: str
    name: str
    also: tuple[str, ...]
    what_to_do: str
    agents: tuple[str, ...]
    dwell: Span | None
    harm: int
    minutes: float
    hangs_with: str
    wax_hides: bool
    trust: float
    states: tuple[str, ...]


def spot_tests() -> tuple[SpotTest, ...]:
    """Every test, in the order to try them."""
    rows = sorted(table("finish", "spot_tests.csv"), key=lambda cells: cells.number("test_order") or 0)
    tests = []
    for cells in rows:
        seconds = cells.number("dwell_s")
        tests.append(
            SpotTest(
                key=cells.key,
                name=cells["name"],
                also=cells.keys_in("also"),
                what_to_do=cells["what_to_do"],
                agents=cells.keys_in("agent_keys"),
                dwell=None if seconds is None else Span.seconds(seconds),
                harm=int(cells.number("harm_level_0_5") or 0),
                minutes=cells.number("minutes") or 0.0,
                hangs_with=cells["hangs_with"],
                wax_hides=cells["wax_hides"] == "yes",
                trust=cells.number("trust") or 0.0,
                states=cells.keys_in("states"),
            )
        )
    return tuple(tests)
