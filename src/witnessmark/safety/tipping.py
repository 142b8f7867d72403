"""Whether a piece tips with its drawers open, by a balance of moments about the front feet.

A screening sum after the published test of clothing storage, as a guide: no certificate, and an old chest is
outside the rule by its date. It tips the same way, so a wall strap is advised all the same. Distances run from the
line through the front feet: positive behind it, a drawer's centre in front of it is negative until it is opened.

Source: statics; the test's weight and block are rows S09 and S10 of `stability.csv`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.documents import Refused
from witnessmark.quantities import Length, Mass, Range, low, usual
from witnessmark.sources import Figure, Input, Working, formula, given, row, rule, work


class BadStance(Refused):
    """A piece whose stance no balance can be made of, and why."""


@dataclass(frozen=True)
class Pulled:
    """One drawer that can be pulled out: its part, its mass and its depth from front to back."""

    part: str
    mass: Mass | Range[Mass]
    depth: Length


@dataclass(frozen=True)
class Stance:
    """How a piece stands with so many drawers open.

    `margin` is steadying over tipping moment with the test's weight hung on an open front and its block under the
    rear feet; `empty` the same with nothing hung, on a level floor. None where nothing pulls it over.
    """

    open: int
    parts: tuple[str, ...]
    margin: Working[float] | None
    empty: Working[float] | None

    @property
    def tips(self) -> bool:
        """Whether it may tip under the test, on the unkind side of what is not known."""
        return self.margin is not None and low(self.margin.value) < 1

    @property
    def tips_empty(self) -> bool:
        """Whether the open drawers alone may tip it."""
        return self.empty is not None and low(self.empty.value) < 1


@formula("body = piece − open drawers")
def body_without(piece: Mass, drawers: Mass) -> Mass:
    """The mass that stays when the drawers are out. Raises BadStance where the drawers outweigh the piece."""
    if piece <= drawers:
        raise BadStance("The drawers weigh as much as the whole piece: weigh it again, drawers and all.")
    return piece - drawers


@formula("centre of the body = (piece × its centre − drawers × theirs, shut) ÷ body")
def centre_without(piece: Mass, centre: Length, drawers: Mass, shut: Length) -> Length:
    """How far behind the front feet the centre of the body is, the drawers out of it."""
    body = body_without(piece, drawers)
    return (centre * piece.grams - shut * drawers.grams) / body.grams


@formula("centre on the block = centre × cos a − height × sin a; sin a = block ÷ foot spacing")
def centre_on_block(centre: Length, height: Length, block: Length, feet: Length) -> Length:
    """How far behind the front feet the centre comes to lie when the rear feet stand on a block."""
    if not block < feet:
        raise BadStance("The feet stand no wider than the block is high: measure from front to rear foot.")
    tilt = math.asin(block / feet)
    return centre * math.cos(tilt) - height * math.sin(tilt)


@formula("margin = body × centre ÷ (drawers × reach + hung × its reach); it tips below 1")
def tip_margin(body: Mass, centre: Length, drawers: Mass, reach: Length, hung: Mass, hung_reach: Length) -> float:
    """The steadying over the tipping moment, infinite where nothing pulls. Reaches run forward of the front feet.

    Drawers whose centre is still behind the feet steady the piece.
    """
    steadying = body.grams * centre.millimetres + max(0.0, -drawers.grams * reach.millimetres)
    tipping = max(0.0, drawers.grams * reach.millimetres) + hung.grams * hung_reach.millimetres
    return max(0.0, steadying) / tipping if tipping > 0 else math.inf


def stances(piece: Input, size: tuple[Length, Length, Length], drawers: Sequence[Pulled]) -> tuple[Stance, ...]:
    """The piece with none of its drawers open, one, two … up to all, the ones that pull most first.

    `piece` is its whole mass; `size` is wide × deep × high. Raises BadStance.
    """
    _, deep, high = size
    inset, pulled = rule("safety", "feet_inset"), rule("safety", "pulled_out").value.percent / 100
    behind = usual(inset.value)
    feet = deep - behind * 2
    if feet.millimetres <= 0:
        raise BadStance("The piece is shallower than its feet: give its size as wide × deep × high.")
    centre = given("piece.size", deep * 0.5 - behind)
    height = given("piece.size", high * (rule("safety", "centre_height").value.usual.percent / 100))
    ranked = sorted(drawers, key=lambda one: -usual(one.mass).grams * one.depth.millimetres)
    found = [Stance(0, (), None, None)]
    for count in range(1, len(ranked) + 1):
        out = ranked[:count]
        mass = given("drawers", _summed([one.mass for one in out]))
        depth = _mean_depth(out)
        shut = given("drawers, shut", depth * 0.5 - behind)
        reach = given("drawers, open", depth * (pulled - 0.5) + behind * -1)
        body = work(body_without, piece=piece, drawers=mass)
        level = work(centre_without, piece=piece, centre=centre, drawers=mass, shut=shut)
        tilted = work(
            centre_on_block, centre=level, height=height, block=_test("S10", Length), feet=given("piece.size", feet)
        )
        deepest = max(one.depth for one in out)
        hung = work(
            tip_margin, body=body, centre=tilted, drawers=mass, reach=reach, hung=_test("S09", Mass.pounds),
            hung_reach=given("drawer front, open", deepest * pulled - behind),
        )  # fmt: skip
        nothing = given("nothing hung", Mass(0)), given("nothing hung", Length(0))
        empty = work(
            tip_margin, body=body, centre=level, drawers=mass, reach=reach, hung=nothing[0], hung_reach=nothing[1]
        )
        found.append(Stance(count, tuple(one.part for one in out), hung, _finite(empty)))
    return tuple(found)


def _finite(margin: Working[float]) -> Working[float] | None:
    """None where nothing pulls the piece over: there is no margin to speak of."""
    return None if math.isinf(usual(margin.value)) else margin


def _test(key: str, kind: object) -> Figure:
    figure = row("safety", "stability.csv", key).figure("value", kind)  # type: ignore[arg-type]
    if figure is None:
        raise KeyError(f"safety/stability.csv: {key} has no value")
    return figure


def _summed(masses: Sequence[Mass | Range[Mass]]) -> Mass | Range[Mass]:
    total: Mass | Range[Mass] = Mass(0)
    for mass in masses:
        ends = [(one.low, one.usual, one.high) if isinstance(one, Range) else (one,) * 3 for one in (total, mass)]
        added = [first + second for first, second in zip(*ends, strict=True)]
        total = Range(*added) if added[0] != added[2] else added[1]
    return total


def _mean_depth(drawers: Sequence[Pulled]) -> Length:
    """Their depth on average, the heavy ones counting for more."""
    weights = [usual(one.mass).grams or 1.0 for one in drawers]
    total = sum(one.depth.millimetres * weight for one, weight in zip(drawers, weights, strict=True))
    return Length(total / sum(weights))
