"""The joints to open, so that something comes free at the least harm: the least there is, not a rule of thumb.

A least cut through the bonds would not do: it frees a part in one pull, while taking apart takes several, each
with its own way, and a joint once opened is opened for all of them. But opening more never frees less. So every
set of shut joints that still blocks the way, a block, must lose at least one joint; the answer is the cheapest
set of joints that meets all blocks (“implicit hitting sets”, Moreno-Centeno and Karp, 2013, from memory).

First each block found is charged with the harm of its cheapest joint, which its joints then have less left to
charge; what they were charged in all is a bound below. If what came free on the way costs no more, that is the
answer. Else blocks are added, one run at a time, until the cheapest set that meets them does come free.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Generic, TypeVar

Opened = frozenset[int]
S = TypeVar("S")

# Bounds on the work, not figures of the trade: beyond them the answer says that it may not be the least.
TRIES, BRANCHES = 2000, 20000
_SAME = 1e-9


@dataclass(frozen=True)
class Freeing(Generic[S]):
    """What is to come free. What still hangs on it, once some joints are opened, is a state: less with more opened.

    `hangs` works on from an earlier state; None: it is free. `within` are the joints that a state still holds.
    """

    hangs: Callable[[Opened, S], S | None]
    within: Callable[[S], Opened]
    whole: S

    def comes_free(self, opened: Opened) -> bool:
        return self.hangs(opened, self.whole) is None


@dataclass(frozen=True)
class Least:
    """The joints to open beside those opened anyhow; `proved` where nothing less can do."""

    opened: Opened
    proved: bool = True


def least_harm(freeing: Freeing[S], choices: Sequence[int], harm: Mapping[int, float], base: Opened) -> Least | None:
    """The choices to open beside `base` so that it comes free at the least harm. None where all don't do.

    `harm` is above 0 for every choice.
    """
    if not freeing.comes_free(base.union(choices)):
        return None
    search = _Search(freeing, tuple(choices), harm, base)
    good, bound = search.charge()
    while search.total(good) > bound + _SAME:
        met = search.cheapest(good)
        if met is None:
            return Least(good, proved=False)
        state = freeing.hangs(base | met, freeing.whole)
        if state is None:
            return Least(met)
        search.run_into_blocks(base | met, state)
    return Least(good)


def without_spare(freeing: Freeing[S], base: Opened, wanted: Opened, harm: Mapping[int, float]) -> Opened:
    """The wanted less all that may stay shut after all, the dearest first; halves before single ones."""
    kept = wanted
    to_do = [sorted(wanted, key=lambda one: (-harm[one], -one))]
    while to_do:
        some = to_do.pop()
        if some and freeing.comes_free(base | kept.difference(some)):
            kept = kept.difference(some)
        elif len(some) > 1:
            middle = len(some) // 2
            to_do += [some[middle:], some[:middle]]
    return kept


@dataclass
class _Search(Generic[S]):
    freeing: Freeing[S]
    choices: tuple[int, ...]
    harm: Mapping[int, float]
    base: Opened
    blocks: list[Opened] = field(default_factory=list)
    tries: int = 0

    def total(self, chosen: Opened) -> float:
        return sum(self.harm[one] for one in chosen)

    def charge(self) -> tuple[Opened, float]:
        """Joints that do, and a bound that none can do with less."""
        left = {one: self.harm[one] for one in self.choices}
        bound = 0.0
        opened = self.base
        state = self.freeing.hangs(opened, self.freeing.whole)
        while state is not None:
            block = self._block(opened, state, left)
            self.blocks.append(block)
            cheapest = min(left[one] for one in block)
            bound += cheapest
            for one in block:
                left[one] -= cheapest
            opened |= {one for one in block if left[one] <= _SAME}
            state = self.freeing.hangs(opened, state)
        return without_spare(self.freeing, self.base, opened - self.base, self.harm), bound

    def run_into_blocks(self, opened: Opened, state: S | None) -> None:
        """Blocks apart from one another say more than blocks that overlap: open each whole, and look for the next."""
        while state is not None:
            block = self._block(opened, state, self.harm)
            self.blocks.append(block)
            opened |= block
            state = self.freeing.hangs(opened, state)

    def _block(self, opened: Opened, state: S, left: Mapping[int, float]) -> Opened:
        """A least set of shut joints that blocks: with all others opened it does not come free, with one more it does.

        Only joints within what still hangs matter; halves are tried before single joints, and what costs little is
        opened first, so that the block is made of what costs much.
        """
        freeing = self.freeing
        block: set[int] = set()
        within = freeing.within(state)
        shut = [one for one in self.choices if one in within and one not in opened]
        to_do = [sorted(shut, key=lambda one: (left[one], one))]
        while to_do:
            some = [one for one in to_do.pop() if one in within]
            if not some:
                continue
            self.tries += 1
            less = freeing.hangs(opened.union(some), state)
            if less is not None:
                opened = opened.union(some)
                if less != state:
                    state, within = less, freeing.within(less)
            elif len(some) == 1:
                block.update(some)
            else:
                middle = len(some) // 2
                to_do += [some[middle:], some[:middle]]
        return within & block

    def cheapest(self, known: Opened) -> Opened | None:
        """The cheapest set that meets every block, by trying and turning back; None where that is too much work.

        `known` meets them all: nothing dearer is looked at.
        """
        best, least = known, self.total(known)
        branches = 0

        def meet(chosen: Opened, so_far: float, left: list[Opened]) -> None:
            nonlocal best, least, branches
            branches += 1
            if branches > BRANCHES or so_far + self._at_least(left) >= least - _SAME:
                return
            if not left:
                best, least = chosen, so_far
                return
            block = min(left, key=len)
            ruled_out: set[int] = set()
            for one in sorted(block, key=lambda one: (self.harm[one], one)):
                rest = [other - ruled_out for other in left if one not in other]
                if all(rest):
                    meet(chosen | {one}, so_far + self.harm[one], rest)
                ruled_out.add(one)  # what follows does without it: that way was tried

        if self.tries > TRIES:
            return None
        meet(frozenset(), 0.0, self.blocks)
        return None if branches > BRANCHES else best

    def _at_least(self, blocks: list[Opened]) -> float:
        """What meeting these can't cost less than: each charged with its cheapest joint, as in `charge`."""
        charged: dict[int, float] = {}
        total = 0.0
        for block in sorted(blocks, key=len):
            cheapest = min(self.harm[one] - charged.get(one, 0.0) for one in block)
            if cheapest > _SAME:
                total += cheapest
                for one in block:
                    charged[one] = charged.get(one, 0.0) + cheapest
        return total
