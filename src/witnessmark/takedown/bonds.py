"""Which parts hold which, and the ways each can leave: the survey's joints as bonds between pairs of parts.

A group may leave along a way when every bond it crosses either lets go along that way or is crossed by nobody:
for each way the bonds say “if this part goes, that one goes with it”, and the parts that must go along are found
by following them. Assembly planning calls it a blocking graph (Wilson and Latombe, 1994, from memory).
Taking a part away never makes the rest harder to part, so the order in which groups leave does not matter.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from witnessmark.sources import Figure
from witnessmark.survey import Held, Joint, Part, Survey, Way

from .harm import figures_of, figures_unsaid
from .least_harm import Freeing

# Opposite ways stand side by side: the opposite of number n is n ^ 1.
WAYS = (Way.UP, Way.DOWN, Way.LEFT, Way.RIGHT, Way.FORWARD, Way.BACK)


def opposite(way: Way) -> Way:
    """The other way: down for up."""
    return WAYS[WAYS.index(way) ^ 1]


@dataclass(frozen=True)
class Hold:
    """One joint as it holds parts: the pairs it joins, first part first, and the harm of opening it.

    `joint` is None where nobody wrote one and a part only says what it is part of; `name` then says which.
    """

    name: str
    joint: Joint | None
    pairs: tuple[tuple[int, int], ...]
    way: Way
    figures: tuple[Figure, ...]
    harm: float


@dataclass(frozen=True)
class Pull:
    """One group leaving: of the parts `inside`, those in `gone` move along `way`. Sets of parts are bit sets."""

    inside: int
    gone: int
    way: Way


Choice = Callable[[Pull], tuple[int, ...]]


@dataclass(frozen=True)
class _While:
    """Pairs that can't part as long as any of `there` is about."""

    there: int
    pairs: tuple[tuple[int, int], ...]


def bits(group: int) -> Iterator[int]:
    """The numbers of the parts in a group."""
    while group:
        low = group & -group
        yield low.bit_length() - 1
        group ^= low


@dataclass
class Bonds:
    """All bonds of one survey. Parts go by number, in the survey's order; groups of parts are bit sets."""

    parts: tuple[Part, ...]
    holds: tuple[Hold, ...] = ()
    members: dict[str, int] = field(default_factory=dict)
    _goes_along: tuple[list[int], ...] = ()
    _touches: list[int] = field(default_factory=list)
    _whiles: tuple[_While, ...] = ()
    _captures: tuple[tuple[int, int], ...] = ()
    _pairs: tuple[tuple[int, ...], ...] = ()

    # --- groups ---

    def codes(self, group: int) -> tuple[str, ...]:
        return tuple(self.parts[number].code for number in bits(group))

    def joined(self, seed: int, inside: int) -> int:
        """All that hangs together with the seed, by whatever bond."""
        return _follow(seed, inside, self._touches)

    def pieces(self, group: int) -> list[int]:
        """A group as the pieces it falls into."""
        found = []
        while group:
            piece = self.joined(group & -group, group)
            found.append(piece)
            group &= ~piece
        return found

    def crossed(self, one: int, other: int) -> list[int]:
        """The holds between two groups, in the survey's order."""
        return [number for number, hold in enumerate(self.holds) if self.meetings(number, one, other)]

    def meetings(self, number: int, one: int, other: int) -> list[tuple[int, int]]:
        """The pairs of one hold that lie across two groups."""
        return [
            (u, v)
            for u, v in self.holds[number].pairs
            if (one >> u & 1 and other >> v & 1) or (one >> v & 1 and other >> u & 1)
        ]

    # --- moving ---

    def leave(
        self, seed: int, opened: frozenset[int], away: int, inside: int, first: Choice | None = None
    ) -> tuple[int, tuple[Pull, ...]]:
        """Parts the seed from as much as can be with these holds opened, until none of `away` is left by it.

        Gives what still hangs on the seed, and the pulls in order. What is left is the least there can be, whichever
        pull is taken first: that with the least of `first`, else what leaves the least by the seed.
        """
        shut = self._shut(opened)
        inside = self.joined(seed, inside)
        pulls: list[Pull] = []
        while inside & away:
            tied = self._tied(shut, inside)
            can = [
                Pull(inside, gone, way)
                for number, way in enumerate(WAYS)
                for gone in self._going(seed, number, inside, tied)
                if gone != inside
            ]
            if not can:
                break
            pulls.append(min(can, key=first or (lambda pull: (pull.gone.bit_count(),))))
            inside = self.joined(seed, pulls[-1].gone)
        return inside, tuple(pulls)

    def parts_with(self, seed: int, opened: frozenset[int], away: int) -> bool:
        """Whether the seed can be rid of `away` with these holds opened."""
        return not self.leave(seed, opened, away, self.everything)[0] & away

    def freeing(self, goals: Sequence[tuple[int, int]]) -> Freeing[tuple[int, ...]]:
        """All these seeds, each to be rid of its `away`. The state is what still hangs on each; 0 where it is rid."""

        def hangs(opened: frozenset[int], state: tuple[int, ...]) -> tuple[int, ...] | None:
            left = []
            for (seed, away), inside in zip(goals, state, strict=True):
                group = self.leave(seed, opened, away, inside)[0] if inside else 0
                left.append(group if group & away else 0)
            return tuple(left) if any(left) else None

        def within(state: tuple[int, ...]) -> frozenset[int]:
            return frozenset(
                number
                for number, pairs in enumerate(self._pairs)
                if any(pair & group == pair for group in state for pair in pairs)
            )

        return Freeing(hangs, within, tuple(self.everything for _ in goals))

    @property
    def everything(self) -> int:
        return (1 << len(self.parts)) - 1

    def _shut(self, opened: frozenset[int]) -> list[int]:
        """For each part those that it can't be parted from, since their hold is not opened."""
        shut = [0] * len(self.parts)
        for number, hold in enumerate(self.holds):
            if number not in opened:
                _tie(shut, hold.pairs)
        return shut

    def _tied(self, shut: list[int], inside: int) -> list[int]:
        """The same with what can't part yet, because something stands before it."""
        standing = [each.pairs for each in self._whiles if each.there & inside]
        if not standing:
            return shut
        tied = list(shut)
        for pairs in standing:
            _tie(tied, pairs)
        return tied

    def _going(self, seed: int, way: int, inside: int, tied: list[int]) -> Iterator[int]:
        """The least groups that hold the seed and can leave along the way.

        More than one only where something is captured and nobody wrote which way: it goes with any one of those
        that hold it.
        """
        along = self._goes_along[way]
        group = _follow(seed, inside, along, tied)
        while True:
            # A captured part stays with those around it while all of them stay together.
            left = [
                part
                for part, around in self._captures
                if around & group == around and not group >> part & 1 and inside >> part & 1
            ]
            if not left:
                break
            for part in left:
                group = _follow(group | 1 << part, inside, along, tied)
        for part, around in self._captures:
            if group >> part & 1 and around & inside == around and not around & group:
                for one in bits(around):
                    yield from self._going(group | 1 << one, way, inside, tied)
                return
        yield group


def _follow(seed: int, inside: int, *links: list[int]) -> int:
    """The seed and all that follows from it within `inside`."""
    group = to_do = seed & inside
    while to_do:
        low = to_do & -to_do
        number = low.bit_length() - 1
        reached = 0
        for each in links:
            reached |= each[number]
        new = reached & inside & ~group
        group |= new
        to_do = (to_do ^ low) | new
    return group


def _tie(links: list[int], pairs: tuple[tuple[int, int], ...]) -> None:
    for u, v in pairs:
        links[u] |= 1 << v
        links[v] |= 1 << u


# --- from the survey ---


def bonds_of(survey: Survey) -> Bonds:
    """The bonds of a survey.

    A whole that is only a name for its parts (a drawer whose front and sides are listed) is its parts. As long
    as such a whole is held without harm it stays whole: a drawer is drawn out before it is knocked apart.
    """
    family = _Families(survey)
    parts = tuple(part for part in survey.part if part.code not in family.names_only)
    number = {part.code: place for place, part in enumerate(parts)}
    holds: list[Hold] = []
    whiles: list[_While] = []
    captures: list[tuple[int, int]] = []
    for joint in survey.joint:
        figures = figures_of(joint)
        harm = float(sum(figure.value for figure in figures))
        sides = [[number[code] for code in family.bodies(part)] for part in joint.parts]
        first, others = sides[0][0], [side[0] for side in sides[1:]]
        pairs = tuple((first, other) for other in others if other != first)
        holds.append(Hold(joint.code, joint, pairs, joint.withdraw, figures, harm))
        if harm == 0:
            for side, beyond in [(sides[0], others), *((side, [first]) for side in sides[1:])]:
                if len(side) > 1:
                    whiles.append(_While(_set(beyond), tuple((side[0], each) for each in side[1:])))
        before = [number[code] for part in joint.behind for code in family.bodies(part)]
        if before:
            whiles.append(_While(_set(before), pairs))
        if Held.CAPTURED in joint.held and joint.withdraw is Way.UNKNOWN and len(pairs) > 1:
            captures.append((first, _set(others)))
    for part, whole in family.unsaid:
        figures = figures_unsaid(part)
        harm = float(sum(figure.value for figure in figures))
        pair = (number[part.code], number[whole])
        holds.append(Hold(f"{part.code} on {whole}", None, (pair,), Way.UNKNOWN, figures, harm))
    members = {part.code: _set(number[code] for code in family.bodies(part.code)) for part in survey.part}
    made = Bonds(parts, tuple(holds), members, _whiles=tuple(whiles), _captures=tuple(captures))
    made._goes_along = tuple(_going_along(made, way) for way in range(len(WAYS)))
    made._pairs = tuple(tuple(1 << u | 1 << v for u, v in hold.pairs) for hold in holds)
    made._touches = [0] * len(parts)
    for hold in holds:
        _tie(made._touches, hold.pairs)
    for each in whiles:
        _tie(made._touches, each.pairs)
    for each in whiles:
        first = each.pairs[0][0]
        for standing in bits(each.there):
            # What stands before a joint is on the piece, even where no joint that anybody wrote holds it there.
            if not made.joined(1 << first, made.everything) >> standing & 1:
                _tie(made._touches, ((first, standing),))
    return made


def _going_along(made: Bonds, way: int) -> list[int]:
    """For each part, those that go with it along this way even when every hold is opened."""
    along = [0] * len(made.parts)
    for hold in made.holds:
        if hold.way is Way.UNKNOWN:
            continue
        comes = WAYS.index(hold.way)
        for first, other in hold.pairs:
            if comes != way:
                along[first] |= 1 << other
            if comes != way ^ 1:
                along[other] |= 1 << first
    return along


def _set(numbers: Iterable[int]) -> int:
    group = 0
    for number in numbers:
        group |= 1 << number
    return group


class _Families:
    """What is part of what: which wholes are only names, and which parts hang on their whole unsaid."""

    def __init__(self, survey: Survey) -> None:
        self._under: dict[str, list[str]] = {}
        by_code = survey.parts_by_code()
        for part in survey.part:
            above, met = part.of, {part.code}
            while above in by_code and above not in met:
                self._under.setdefault(above, []).append(part.code)
                met.add(above)
                above = by_code[above].of
        self.names_only: set[str] = set()
        self.unsaid: list[tuple[Part, str]] = []
        for whole, under in self._under.items():
            kin = {whole, *under}
            within = [set(joint.parts) & kin for joint in survey.joint]
            within = [met for met in within if len(met) > 1]
            if within and not any(whole in met for met in within):
                self.names_only.add(whole)
        for part in survey.part:
            if part.of in self._under and part.code not in self.names_only:
                kin = {part.of, *self._under[part.of]} - {part.code}
                if not any(part.code in joint.parts and kin & set(joint.parts) for joint in survey.joint):
                    beside = [code for code in self.bodies(part.of) if code != part.code]
                    if beside:
                        self.unsaid.append((part, beside[0]))

    def bodies(self, code: str) -> list[str]:
        """The real parts a code stands for: itself, or the parts of a whole that is only a name."""
        if code not in self.names_only:
            return [code]
        return [under for under in self._under[code] if under not in self.names_only]
