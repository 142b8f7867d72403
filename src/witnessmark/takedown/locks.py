"""Why a part can't come free: which parts hold one another in a ring, or which joints were said to stay shut."""

from collections.abc import Iterator

from witnessmark.documents import Refused
from witnessmark.survey import JointState, Way

from .bonds import Bonds, bits
from .least_harm import least_harm

_SHOWN = 8  # more joints than this in one message are not read


class CantPart(Refused):
    """Nothing can be opened that would let it go, with the parts of the ring or the joints in the way named."""


def never(bonds: Bonds) -> frozenset[int]:
    """The holds that somebody said not to open."""
    return frozenset(
        number for number, hold in enumerate(bonds.holds) if hold.joint and hold.joint.state is JointState.DONT_OPEN
    )


def is_locked(bonds: Bonds, seed: int, away: int) -> bool:
    """Whether the ways written keep these together even with every joint opened."""
    return not bonds.parts_with(seed, frozenset(range(len(bonds.holds))), away)


def cant_part(bonds: Bonds, seed: int, away: int, what: str) -> CantPart:
    """The reason, to raise."""
    if is_locked(bonds, seed, away):
        return _ring(bonds, seed, away, what)
    kept = never(bonds)
    every = frozenset(range(len(bonds.holds)))
    harm = {number: max(bonds.holds[number].harm, 1.0) for number in kept}
    least = least_harm(bonds.freeing([(seed, away)]), sorted(kept), harm, every - kept)
    codes = _listed(bonds.holds[number].name for number in sorted(least.opened if least else kept))
    return CantPart(
        f"{what} can't come free: it would take {codes}, marked “don't open”. "
        "If it must be, change the state of that joint in the survey, and say why in its note."
    )


def _ring(bonds: Bonds, seed: int, away: int, what: str) -> CantPart:
    """Names the fewest parts that still hold one another when all the rest is off."""
    every = frozenset(range(len(bonds.holds)))
    ring, _ = bonds.leave(seed, every, away, bonds.everything)
    for number in reversed(list(bits(ring & ~seed))):
        without, _ = bonds.leave(seed, every, away & ~(1 << number), ring & ~(1 << number))
        if without & away:
            ring = without
    within = [
        number for number, hold in enumerate(bonds.holds) if any(ring >> u & ring >> v & 1 for u, v in hold.pairs)
    ]
    says = list(_pulls(bonds, within))
    more = f"; and {len(says) - _SHOWN} more" if len(says) > _SHOWN else ""
    return CantPart(
        f"{what} can't come free: {_listed(bonds.codes(ring))} hold one another, and none of them can go first. "
        f"As written {'; '.join(says[:_SHOWN])}{more}. "
        "Look again which way each comes away (withdraw) and what stands before it (behind), or say “don't know”."
    )


def _pulls(bonds: Bonds, holds: list[int]) -> Iterator[str]:
    for number in holds:
        hold = bonds.holds[number]
        if hold.joint is None:
            continue
        first, *others = hold.joint.parts
        if hold.way is not Way.UNKNOWN:
            yield f"{hold.name} lets {first} go from {_listed(others)} {_towards(hold.way)} only"
        if hold.joint.behind:
            yield f"{hold.name} is behind {_listed(hold.joint.behind)}"


def _towards(way: Way) -> str:
    return f"to the {way.value}" if way in (Way.LEFT, Way.RIGHT) else way.value


def _listed(codes: "Iterator[str] | tuple[str, ...] | list[str]") -> str:
    *most, last = list(codes)
    return f"{', '.join(most)} and {last}" if most else last
