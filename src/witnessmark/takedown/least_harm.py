"""The joints to open, so that something comes free at the least harm. Exact for real pieces, not a rule of thumb.

A least cut through the bonds would not do: it frees a part in one pull, while taking apart takes several, each
with its own way, and a joint once opened is opened for all of them. But opening more never frees less. So every
set of shut joints that still blocks the way must lose at least one joint; the answer is the cheapest set of
joints that meets all those blocks. Blocks are found one by one, as the cheapest set so far runs into them
(“implicit hitting sets”, Moreno-Centeno and Karp, 2013, from memory). Real pieces need a handful.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

Opened = frozenset[int]
_Cost = tuple[float, int]  # harm, then how many
S = TypeVar("S")

TRIES = 6000  # a bound on the work, not a figure of the trade: beyond it the answer says that it may not be the least


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
    """The choices to open beside `base` so that it comes free: least harm, then fewest. None where all don't do.

    `harm` is above 0 for every choice.
    """
    if not freeing.comes_free(base.union(choices)):
        return None
    # What costs little is opened first when looking for a block, so that blocks are made of what costs much.
    dear_last = sorted(choices, key=lambda one: (harm[one], one))
    blocks: list[Opened] = []
    tries = [0]
    while True:
        met = _cheapest(blocks, harm)
        state = freeing.hangs(base | met, freeing.whole)
        if state is None:
            return Least(met)
        # Blocks apart from one another say more than blocks that overlap: open each whole, and look for the next.
        opened = base | met
        while state is not None:
            block, stuck = _block(freeing, opened, state, dear_last, tries)
            blocks.append(block)
            opened |= block
            state = freeing.hangs(opened, stuck)
        if tries[0] > TRIES:
            return Least(_without_spare(freeing, base, frozenset(choices), harm), proved=False)


def fewest(freeing: Freeing[S], wanted: Opened, base: Opened) -> Opened:
    """Of what may be opened at no harm, only what has to be: nothing of it could stay shut."""
    if freeing.comes_free(base):
        return frozenset()
    return _without_spare(freeing, base, wanted, dict.fromkeys(wanted, 0.0))


def _without_spare(freeing: Freeing[S], base: Opened, wanted: Opened, harm: Mapping[int, float]) -> Opened:
    """The wanted less all that may stay shut after all, the dearest and the last first; halves before single ones."""
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


def _block(freeing: Freeing[S], opened: Opened, state: S, choices: Sequence[int], tries: list[int]) -> tuple[Opened, S]:
    """A least set of shut joints that blocks: with all others opened it does not come free, with one more it does.

    Gives what hangs on it then, too. Only joints within what still hangs matter; halves are tried before single
    joints.
    """
    block: set[int] = set()
    within = freeing.within(state)
    to_do = [[one for one in choices if one not in opened]]
    while to_do:
        some = [one for one in to_do.pop() if one in within]
        if not some:
            continue
        tries[0] += 1
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
    return within & block, state


def _cheapest(blocks: list[Opened], harm: Mapping[int, float]) -> Opened:
    """The cheapest set that meets every block, by trying and turning back."""
    best: tuple[_Cost, Opened] | None = None

    def cost(chosen: Opened) -> _Cost:
        return round(sum(harm[one] for one in chosen), 9), len(chosen)

    def at_least(left: list[Opened]) -> float:
        """What the blocks left can't cost less than: those apart from one another, each at its cheapest."""
        met: set[int] = set()
        total = 0.0
        for block in left:
            if not block & met:
                met |= block
                total += min(harm[one] for one in block)
        return total

    def meet(chosen: Opened, left: list[Opened]) -> None:
        nonlocal best
        so_far = cost(chosen)
        if best and (so_far >= best[0] or so_far[0] + at_least(left) > best[0][0]):
            return
        if not left:
            best = so_far, chosen
            return
        block = min(left, key=len)
        ruled_out: set[int] = set()
        for one in sorted(block, key=lambda one: (harm[one], one)):
            rest = [other - ruled_out for other in left if one not in other]
            if all(rest):
                meet(chosen | {one}, rest)
            ruled_out.add(one)  # what follows does without it: that way was tried

    meet(frozenset(), blocks)
    assert best is not None  # each block alone can be met
    return best[1]
