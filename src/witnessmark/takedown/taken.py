"""What taking apart comes to: the shapes of its answer."""

from collections.abc import Mapping
from dataclasses import dataclass

from witnessmark.sources import Working
from witnessmark.survey import Ends, Fixing, Held, Joint, Way

from .bonds import Bonds
from .springing import Spring


@dataclass(frozen=True)
class Taken:
    """One thing taken off: the part, those that come with it as one, what is opened, and how.

    `way` is None where nobody wrote one, or where it falls free. `joints` are those parted here, `fixings` those
    that come out here; `harm` counts a joint where it is first opened.
    """

    take: str
    along: tuple[str, ...]
    way: Way | None
    joints: tuple[str, ...]
    fixings: tuple[Fixing, ...]
    harm: float
    note: str


@dataclass(frozen=True)
class Freed:
    """The least harm that frees a part: every joint it takes, and what must be off first.

    `proved` is False where the piece was too tangled to rule out a gentler way.
    """

    part: str
    joints: tuple[str, ...]
    first_off: tuple[str, ...]
    fixings: tuple[str, ...]
    harm: Working[float]
    proved: bool = True


@dataclass(frozen=True)
class Refit:
    """One thing put back, its fixings each to its own hole."""

    part: str
    along: tuple[str, ...]
    joints: tuple[str, ...]
    fixings: tuple[Fixing, ...]
    note: str


@dataclass(frozen=True)
class StillOff:
    """A part with fixings of which nobody yet said how they end."""

    part: str
    fixings: tuple[Fixing, ...]


@dataclass(frozen=True)
class Closing:
    """What one pull back home closes: joints with the pairs that meet, along one way, in one assembly."""

    assembly: int
    way: Way | None
    meetings: tuple[tuple[Joint, tuple[tuple[int, int], ...]], ...]


@dataclass(frozen=True)
class Takedown:
    """Apart in order, and together again. `opened` and `stays_shut` are all joints of the survey, each once."""

    order: tuple[Taken, ...]
    free: Freed | None
    stays_shut: tuple[str, ...]
    why_shut: Mapping[str, str]
    spring: tuple[Spring, ...]
    closings: tuple[Closing, ...]
    looks: tuple[str, ...]
    bonds: Bonds
    warnings: tuple[str, ...] = ()

    @property
    def opened(self) -> tuple[str, ...]:
        """Every joint that is opened, in the order of opening."""
        return tuple(dict.fromkeys(code for taken in self.order for code in taken.joints))

    @property
    def refit(self) -> tuple[Refit, ...]:
        """The last off goes back first."""
        sliding = {hold.name for hold in self.bonds.holds if hold.joint and Held.SLIDES in hold.joint.held}
        return tuple(
            Refit(taken.take, taken.along, taken.joints, taken.fixings, _back(taken, sliding))
            for taken in reversed(self.order)
        )

    @property
    def still_off(self) -> tuple[StillOff, ...]:
        """What keeps the piece from being called together: fixings that come out here, or lie by already."""
        found = [(taken.take, _open_ones(taken.fixings)) for taken in self.order]
        for hold in self.bonds.holds:
            if hold.joint and hold.name in self.stays_shut:
                lying_by = tuple(fixing for fixing in hold.joint.fixing if fixing.kept)
                found.append((hold.joint.parts[0], _open_ones(lying_by)))
        return tuple(StillOff(part, fixings) for part, fixings in found if fixings)

    @property
    def together(self) -> bool:
        """Whether every fixing that came out has its ending."""
        return not self.still_off


def _open_ones(fixings: tuple[Fixing, ...]) -> tuple[Fixing, ...]:
    return tuple(fixing for fixing in fixings if fixing.ends is Ends.OPEN)


def _back(taken: Taken, sliding: set[str]) -> str:
    """What to mind when it goes back."""
    out = [fixing for fixing in taken.fixings if fixing.ends is Ends.NOT_BACK]
    new = [fixing for fixing in taken.fixings if fixing.ends is Ends.REPLACED]
    says = [f"{fixing.code} stays out: {fixing.why}." for fixing in out]
    says += [f"{fixing.code} is replaced by {fixing.by}." for fixing in new]
    if sliding.intersection(taken.joints):
        says.append("Fit it only when the carcase is square and in condition.")
    return " ".join(says)
