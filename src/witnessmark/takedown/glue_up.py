"""Gluing up: not the order apart turned round, but stages. Sub-assemblies first, each stage within the open time.

What one pull parted closes in one push, all its glued joints at once: that can't be shared between stages. Pushes
that follow on one assembly go into one stage where the hands, the open time and the cramps allow it, so that a
frame is squared as a whole.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from witnessmark.quantities import Length, Range, Span, Temperature, low, say, usual
from witnessmark.sources import Input, Working, formula, given, rule, work
from witnessmark.survey import Held, Piece, PieceKind, Survey, Way

from .bonds import Bonds, bits
from .glue import Glue
from .harm import wants_cramp
from .springing import Offered
from .taken import Closing, Takedown

_AXES = {Way.LEFT: 0, Way.RIGHT: 0, Way.FORWARD: 1, Way.BACK: 1, Way.UP: 2, Way.DOWN: 2}
_ON_FEET = {PieceKind.CHAIR, PieceKind.TABLE, PieceKind.CHEST, PieceKind.SIDEBOARD, PieceKind.BED}


@dataclass(frozen=True)
class Hands:
    """Who and what is there for it: people, cramps by length (None: not known), the shop by day."""

    people: int = 1
    cramps: tuple[tuple[Length, int], ...] | None = None
    shop: Temperature | Range[Temperature] | None = None


@dataclass(frozen=True)
class Cramps:
    """So many cramps of at least this length; `have` is how many of those wanted the shop can put to it."""

    length: Working[Length] | None
    count: int
    have: int | None

    @property
    def short_by(self) -> int:
        return 0 if self.have is None else self.count - self.have


@dataclass(frozen=True)
class Stage:
    """Joints glued in one go. `fits` is None where the glue's open time is not known."""

    joints: tuple[str, ...]
    seconds: Working[Span]
    open_time: Input | None
    people: int
    cramps: tuple[Cramps, ...]
    fits: bool | None
    sprung: bool = False
    notes: tuple[str, ...] = ()


@formula("time = meetings × time each ÷ people")
def closing_time(meetings: int, each: Span, people: int) -> Span:
    """From the first brush of glue until the last joint is home: every place where two parts meet is one meeting."""
    return each * (meetings / people)


@formula("cramp = across what it closes + room for its heads")
def cramp_length(across: Length, heads: Length) -> Length:
    """The least cramp that reaches."""
    return across + heads


def glue_stages(
    survey: Survey, taken: Takedown, glue: Glue, hands: Hands, others: Sequence[Glue] = ()
) -> tuple[Stage, ...]:
    """The stages of gluing this piece up again, first stage first; joints to be sprung come before all.

    Where a stage does not fit it says so, and names the quickest of the `others` that would give time enough.
    """
    bench = _Bench(survey.piece, taken.bonds, glue, hands, tuple(others))
    stages = [] if taken.free else [bench.stage([closing]) for closing in _sprung(taken)]
    waiting: list[Closing] = []
    for closing in (_glued(closing) for closing in taken.closings):
        if not closing.meetings:
            continue
        if waiting and not (_follows(closing, waiting) and bench.can([*waiting, closing])):
            stages.append(bench.stage(waiting))
            waiting = []
        waiting.append(closing)
    if waiting:
        stages.append(bench.stage(waiting))
    return tuple(stages)


def _met(closing: Closing, cramped: bool = False) -> set[int]:
    """The parts that meet in it, or only those that want a cramp for it."""
    kept = [pairs for joint, pairs in closing.meetings if not cramped or wants_cramp(joint)]
    return {number for pairs in kept for pair in pairs for number in pair}


def _follows(closing: Closing, waiting: list[Closing]) -> bool:
    """Whether it goes on with the same frame: it takes that in, and is cramped on parts that are still wet."""
    wet = set().union(*(_met(each, cramped=True) for each in waiting))
    return waiting[-1].assembly & ~closing.assembly == 0 and bool(wet & _met(closing, cramped=True))


def _glued(closing: Closing) -> Closing:
    """The same with its glued joints only. One that is held nobody knows how is taken to be glued."""
    kept = tuple((joint, pairs) for joint, pairs in closing.meetings if {Held.GLUED, Held.UNKNOWN} & set(joint.held))
    return Closing(closing.assembly, closing.way, kept)


def _sprung(taken: Takedown) -> list[Closing]:
    """Loose joints that stay together and may be sprung: each by itself."""
    shut = {spring.joint for spring in taken.spring if spring.offered is Offered.YES} & set(taken.stays_shut)
    return [
        Closing(0, None, ((hold.joint, hold.pairs),))
        for hold in taken.bonds.holds
        if hold.joint and hold.joint.code in shut
    ]


@dataclass(frozen=True)
class _Bench:
    """Where it is glued, with what, by whom."""

    piece: Piece
    bonds: Bonds
    glue: Glue
    hands: Hands
    others: tuple[Glue, ...]

    def can(self, closings: list[Closing]) -> bool:
        """Whether these go in one stage: in time with all hands, and cramped."""
        in_time = self._fits(self._time(closings, self.hands.people), self.glue)
        return in_time is not False and not any(need.short_by for need in self._cramps(closings))

    def stage(self, closings: list[Closing]) -> Stage:
        enough = (
            count
            for count in range(1, self.hands.people)
            if self._fits(self._time(closings, count), self.glue) is not False
        )
        people = next(enough, self.hands.people)
        seconds = self._time(closings, people)
        stage = Stage(
            joints=tuple(dict.fromkeys(joint.code for closing in closings for joint, _ in closing.meetings)),
            seconds=seconds,
            open_time=self.glue.open_for(self.hands.shop),
            people=people,
            cramps=self._cramps(closings),
            fits=self._fits(seconds, self.glue),
            sprung=all(not closing.assembly for closing in closings),
        )
        return replace(stage, notes=tuple(self._notes(stage, closings)))

    def _time(self, closings: list[Closing], people: int) -> Working[Span]:
        meetings = sum(len(pairs) for closing in closings for _, pairs in closing.meetings)
        return work(
            closing_time, meetings=given("joints of the stage", meetings), each=rule("takedown", "seconds_each"),
            people=given("people", people),
        )  # fmt: skip

    def _fits(self, seconds: Working[Span], glue: Glue) -> bool | None:
        """Whether the usual time is within the usual open time; None where that is not known."""
        open_time = glue.open_for(self.hands.shop)
        return None if open_time is None else bool(usual(seconds.value) <= usual(open_time.value))

    # --- cramps ---

    def _cramps(self, closings: list[Closing]) -> tuple[Cramps, ...]:
        """What must be cramped, by length: one cramp a meeting that nothing of its own pulls home."""
        wanted: dict[float, tuple[Working[Length] | None, int]] = {}
        for closing in closings:
            for joint, pairs in closing.meetings:
                for pair in pairs if wants_cramp(joint) else ():
                    reach = self._reach(closing, pair)
                    key = math.inf if reach is None else reach.value.millimetres
                    wanted[key] = (reach, wanted.get(key, (None, 0))[1] + 1)
        return self._counted([wanted[key] for key in sorted(wanted, reverse=True)])

    def _reach(self, closing: Closing, pair: tuple[int, int]) -> Working[Length] | None:
        """The cramp for one meeting; None where no size says. An upper bound: which way a part lies nobody wrote.

        No more than the piece is along that way, nor than the longer part with the other's width at both ends.
        """
        bounds: list[Length] = []
        size = self.piece.size
        if size and size.known and closing.way and len(size.value) == 3:
            bounds.append(size.value[_AXES[closing.way]])
        sizes = [self.bonds.parts[number].size for number in pair]
        if all(each and each.known for each in sizes):
            (one, *_), (two, *_) = lengths = [each.value for each in sizes if each]
            long, met = lengths if one >= two else lengths[::-1]
            bounds.append(long[0] + met[min(1, len(met) - 1)] * 2)
        if not bounds:
            return None
        return work(
            cramp_length, across=given("sizes of the survey", min(bounds)), heads=rule("takedown", "cramp_heads")
        )

    def _counted(self, wanted: list[tuple[Working[Length] | None, int]]) -> tuple[Cramps, ...]:
        """Longest first, each from the shortest cramps that reach and are not yet on."""
        if self.hands.cramps is None:
            return tuple(Cramps(reach, count, None) for reach, count in wanted)
        left: dict[Length, int] = {}
        for length, count in self.hands.cramps:
            left[length] = left.get(length, 0) + count
        needs = []
        for reach, count in wanted:
            have = 0
            for length in sorted(left):
                if reach is None or length >= reach.value:
                    put = min(left[length], count - have)
                    left[length] -= put
                    have += put
            needs.append(Cramps(reach, count, have))
        return tuple(needs)

    # --- what to mind ---

    def _notes(self, stage: Stage, closings: list[Closing]) -> Iterator[str]:
        yield "Spring it just open and work the glue in with a thin blade." if stage.sprung else "Dry run first."
        if self.glue.too_cold(self.hands.shop) and self.glue.worked_at:
            least = say(low(self.glue.worked_at.value))
            yield f"Too cold for this glue: warm shop and parts to {least} first."
        if stage.fits is None or stage.open_time is None:
            yield f"No open time is known for {self.glue.name}: try it on waste first."
        elif not stage.fits:
            yield f"It does not fit the open time: {self._instead(stage.seconds)}"
        elif usual(stage.seconds.value) > low(stage.open_time.value):
            yield "Close to the open time: warm the parts, and have everything to hand."
        for need in stage.cramps:
            if need.short_by:
                reach = f" of {say(need.length.value)}" if need.length else ""
                many = "s" if need.short_by > 1 else ""
                yield f"Short of {need.short_by} cramp{many}{reach}: borrow, or pull it up with cord and a stick."
        if sum(need.count for need in stage.cramps) > 1 and not stage.sprung:
            yield "Check the diagonals before the cramps bite."
        whole = any(closing.assembly.bit_count() * 2 > len(self.bonds.parts) for closing in closings)
        if whole and self.piece.kind in _ON_FEET:
            yield "Stand it on a flat board: all its feet must touch."
        for number in sorted(set().union(*map(_met, closings))):
            if (part := self.bonds.parts[number]).count > 1:
                yield f"{part.code} stands for {part.count}: this is one of them, done as often."
        for code in self._framed(closings):
            yield f"Polish {code} before it is framed."

    def _framed(self, closings: list[Closing]) -> tuple[str, ...]:
        """Parts that are captured for good when this closes."""
        met = set().union(*map(_met, closings))
        caught = 0
        for hold in self.bonds.holds:
            if hold.joint and Held.CAPTURED in hold.joint.held and met & {other for _, other in hold.pairs}:
                caught |= 1 << hold.pairs[0][0]
        return tuple(self.bonds.parts[number].code for number in bits(caught))

    def _instead(self, seconds: Working[Span]) -> str:
        """What would give time enough: the quickest glue that is slow enough, those that come undone again first."""
        slow = [glue for glue in self.others if self._fits(seconds, glue)]
        if not slow:
            return "get more hands, or warm the parts and try it dry against the clock."

        def undone_then_quick(glue: Glue) -> tuple[bool, bool, Span]:
            open_time = glue.open_for(self.hands.shop)
            assert open_time is not None
            return not glue.is_hide, not glue.is_animal, usual(open_time.value)

        best = min(slow, key=undone_then_quick)
        open_time = best.open_for(self.hands.shop)
        assert open_time is not None
        return f"take a slower glue, such as {best.name} ({say(open_time.value)} open), or more hands."
