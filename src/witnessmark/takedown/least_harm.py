"""The joints to open, so that something comes free at the least harm. Exact, not a rule of thumb.

A least cut through the bonds would not do: it frees a part in one pull, while taking apart takes several, each
with its own way, and a joint once opened is opened for all of them. But opening more never frees less. So every
set of shut joints that still blocks the way must lose at least one joint; the answer is the cheapest set of
joints that meets all those blocks. Blocks are found one by one, as the cheapest set so far runs into them
(“implicit hitting sets”, Moreno-Centeno and Karp, 2013, from memory). Real pieces need a handful.
"""

from collections.abc import Callable, Mapping, Sequence

Opened = frozenset[int]
_Cost = tuple[float, int]  # harm, then how many


def least_harm(
    comes_free: Callable[[Opened], bool], choices: Sequence[int], harm: Mapping[int, float], base: Opened
) -> Opened | None:
    """The choices to open beside `base` so that it comes free: least harm, then fewest. None where all don't do.

    `comes_free` must stay true when more is opened; `harm` is above 0 for every choice.
    """
    if not comes_free(base.union(choices)):
        return None
    blocks: list[Opened] = []
    while True:
        met = _cheapest(blocks, harm)
        opened = base | met
        if comes_free(opened):
            return met
        # Blocks apart from one another say more than blocks that overlap: open each whole, and look for the next.
        while not comes_free(opened):
            block = _block(comes_free, opened, [one for one in choices if one not in opened])
            blocks.append(block)
            opened |= block


def fewest(comes_free: Callable[[Opened], bool], wanted: Opened, base: Opened) -> Opened:
    """Of what may be opened at no harm, only what has to be: no smaller part of it would do."""
    if comes_free(base):
        return frozenset()
    return _block(lambda opened: not comes_free(base | (wanted - opened)), frozenset(), sorted(wanted))


def _block(comes_free: Callable[[Opened], bool], opened: Opened, shut: Sequence[int]) -> Opened:
    """A least set of shut joints that blocks: with all the others opened it does not come free, with one more it does.

    Halves are tried before single joints, since most of a piece has nothing to do with it.
    """
    block: list[int] = []
    to_do = [list(shut)]
    while to_do:
        some = to_do.pop()
        if not comes_free(opened.union(some)):
            opened = opened.union(some)
        elif len(some) == 1:
            block += some
        else:
            middle = len(some) // 2
            to_do += [some[middle:], some[:middle]]
    return frozenset(block)


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
                total += min((harm[one] for one in block), default=0.0)
        return total

    def meet(chosen: Opened, left: list[Opened]) -> None:
        nonlocal best
        so_far = cost(chosen)
        if best and (so_far[0] + at_least(left) > best[0][0] or (so_far >= best[0])):
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
