"""In what order parts come off, as what: each pull of a group becomes things taken off, and later joints to close."""

from dataclasses import dataclass, field

from witnessmark.survey import Fixing, Joint, JointState, Shape, Way, YesNo

from .bonds import Bonds, Pull, bits, opposite
from .harm import figures_unsaid, holds_in, ways_to_open
from .taken import Closing, Taken

_SEEN = {"rests", "slides", "captured", "hooked", "bolted"}  # nothing is plugged over these
LOOK_FIRST = "First look for the last man's screw under a plug."
NO_WAY = "Nobody wrote which way it comes: try it by hand."


@dataclass
class Undoing:
    """The piece as it comes apart: the assemblies there are now, and what was taken off so far."""

    bonds: Bonds
    order: list[Taken] = field(default_factory=list)
    closings: list[Closing] = field(default_factory=list)
    looks: list[str] = field(default_factory=list)
    _assemblies: list[int] = field(default_factory=list)
    _parted: set[tuple[int, int, int]] = field(default_factory=set)
    _opened: set[int] = field(default_factory=set)

    def __post_init__(self) -> None:
        self._assemblies = self.bonds.pieces(self.bonds.everything)

    def bare_fittings(self) -> None:
        """Hardware of which nobody wrote where it sits."""
        held = {number for hold in self.bonds.holds for pair in hold.pairs for number in pair}
        for number, part in enumerate(self.bonds.parts):
            if part.shape is Shape.HARDWARE and number not in held:
                note = "Nobody wrote where it sits nor how it is held: note both as it comes off."
                harm = sum(figure.value for figure in figures_unsaid(part))
                self.order.append(Taken(part.code, (), None, (), (), harm, note))

    def part(self, seed: int, away: int, opened: frozenset[int], by_itself: bool) -> None:
        """Parts the seed from `away`, as far as they still hang together.

        `by_itself`: at the last it is the seed that moves, not the rest off it.
        """
        inside = next(each for each in self._assemblies if each & seed)

        def least_moved(pull: Pull) -> tuple[int, ...]:
            left = pull.inside & ~pull.gone
            return bool(pull.gone & away), min(pull.gone.bit_count(), left.bit_count()), pull.gone.bit_count()

        _, pulls = self.bonds.leave(seed & inside, opened, away & inside, inside, least_moved)
        for pull in pulls:
            self._pull(pull, moves=pull.gone if by_itself and pull is pulls[-1] else 0)

    def _pull(self, pull: Pull, moves: int) -> None:
        pieces = [pull.gone, *self.bonds.pieces(pull.inside & ~pull.gone)]
        self._assemblies.remove(pull.inside)
        self._assemblies += pieces
        body = max((piece for piece in pieces if piece != moves), key=lambda piece: self._stays(pull, piece))
        # What leaves comes off the body; all others only hang on what leaves, and fall free of it.
        leaving = [pull.gone] if body != pull.gone else pieces[1:]
        way = pull.way if body != pull.gone else opposite(pull.way)
        for piece in leaving:
            self._take(piece, way, pull)
        for piece in pieces:
            if piece not in (*leaving, body):
                lead, along = self._named(piece, piece)
                note = f"Comes free with {self.order[-1].take}."
                crossed = self.bonds.crossed(piece, pull.inside & ~piece)
                if any(self.bonds.holds[number].way is Way.UNKNOWN for number in crossed):
                    note += f" {NO_WAY}"
                self.order.append(Taken(lead, along, None, (), (), 0.0, note))

    def _stays(self, pull: Pull, piece: int) -> tuple[int, bool, int]:
        """What stays on the bench while the other is lifted off: the bigger; of two alike, what a joint names last."""
        crossing = self.bonds.crossed(piece, pull.inside & ~piece)
        firsts = any(piece >> self.bonds.holds[number].pairs[0][0] & 1 for number in crossing)
        return piece.bit_count(), not firsts, -(piece & -piece)

    def _take(self, piece: int, way: Way, pull: Pull) -> None:
        meetings = {}
        rest = pull.inside & ~piece
        for number in self.bonds.crossed(piece, rest):
            pairs = [pair for pair in self.bonds.meetings(number, piece, rest) if (number, *pair) not in self._parted]
            if pairs:
                meetings[number] = pairs
                self._parted.update((number, *pair) for pair in pairs)
        new = [number for number in meetings if number not in self._opened]
        self._opened.update(new)
        joints = [joint for number in meetings if (joint := self.bonds.holds[number].joint)]
        fresh = [joint for number in new if (joint := self.bonds.holds[number].joint)]
        fixings: list[Fixing] = [fixing for joint in fresh for fixing in joint.fixing]
        met = sum(1 << part for part in {part for pairs in meetings.values() for pair in pairs for part in pair})
        lead, along = self._named(piece, met)
        known = any(self.bonds.holds[number].way is not Way.UNKNOWN for number in meetings)
        said = way if known else None
        looks = [joint.code for joint in fresh if self._may_hide_metal(joint)]
        self.looks += looks
        bare = not meetings or any(self.bonds.holds[number].joint is None for number in new)
        codes = tuple(joint.code for joint in joints)
        harm = float(sum(self.bonds.holds[number].harm for number in new))
        note = _note(fresh, said, bare, bool(looks))
        self.order.append(Taken(lead, along, said, codes, tuple(fixings), harm, note))
        pairs_of = tuple(
            (joint, tuple(pairs)) for number, pairs in meetings.items() if (joint := self.bonds.holds[number].joint)
        )
        self.closings.append(Closing(pull.inside, said, pairs_of))

    def _may_hide_metal(self, joint: Joint) -> bool:
        """Whether a plug may hide a screw: not over hardware, nor where nothing holds or all can be seen."""
        if joint.state is JointState.OPEN:
            return False
        fitting = any(part.code in joint.parts and part.shape is Shape.HARDWARE for part in self.bonds.parts)
        return joint.hidden_metal is YesNo.UNKNOWN and not fitting and not set(holds_in(joint)) <= _SEEN

    def _named(self, piece: int, met: int) -> tuple[str, tuple[str, ...]]:
        """The part a group goes by, of those that `met` others, and those that come with it; a whole by its name."""
        codes = self.bonds.codes(piece)
        real = {part.code for part in self.bonds.parts}
        wholes = [
            code
            for code, group in self.bonds.members.items()
            if code not in real and group & ~piece == 0 and group & met
        ]
        if wholes:
            lead = max(wholes, key=lambda code: self.bonds.members[code].bit_count())
            return lead, codes
        first = min(
            bits(piece),
            key=lambda number: (not met >> number & 1, self.bonds.parts[number].shape is Shape.HARDWARE, number),
        )
        lead = self.bonds.parts[first].code
        return lead, tuple(code for code in codes if code != lead)


def _note(fresh: list[Joint], way: Way | None, bare: bool, look: bool) -> str:
    """How it is undone. `bare`: one of its holds nobody wrote; `look`: metal may be hidden in it."""
    says = [LOOK_FIRST] if look else []
    says += ways_to_open(fresh)
    if fresh and all(joint.state is JointState.OPEN for joint in fresh):
        says.append("It is open already.")
    if bare:
        says.append("Nobody wrote how it is held: look first.")
    if way is None:
        says.append(NO_WAY)
    return " ".join(says)
