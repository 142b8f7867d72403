"""Against the world outside: known least covers of well-known graphs, and the law of cooling.

Each value is from memory of the standard result named beside it, and exact unless it says otherwise.
"""

from itertools import combinations, pairwise

import pytest

from witnessmark.quantities import Span, Temperature
from witnessmark.takedown import open_in_the_cold
from witnessmark.takedown.least_harm import Freeing, least_harm


def cover(edges, cost=None):
    """The least cover of a graph's edges by its vertices: every edge is a block of two joints."""
    vertices = sorted({vertex for edge in edges for vertex in edge})
    sets = frozenset(frozenset(edge) for edge in edges)
    freeing = Freeing(
        hangs=lambda opened, left: frozenset(edge for edge in left if not edge & opened) or None,
        within=lambda left: frozenset(vertex for edge in left for vertex in edge),
        whole=sets,
    )
    harm = {vertex: (cost or {}).get(vertex, 1.0) for vertex in vertices}
    least = least_harm(freeing, vertices, harm, frozenset())
    assert least.proved
    assert all(edge & least.opened for edge in sets)
    return sum(harm[vertex] for vertex in least.opened)


def cycle(size):
    return [(number, (number + 1) % size) for number in range(size)]


@pytest.mark.parametrize("size", [3, 4, 5, 6, 7, 11])
def test_a_ring_of_n_is_covered_by_half_of_it_rounded_up(size):
    assert cover(cycle(size)) == -(-size // 2)


@pytest.mark.parametrize("size", [3, 5, 8])
def test_all_joined_to_all_leaves_out_one(size):
    assert cover(list(combinations(range(size), 2))) == size - 1


def test_the_petersen_graph_takes_six():
    # Its greatest set of vertices without an edge between them has four of its ten (Petersen, 1898).
    outer = cycle(5)
    spokes = [(number, number + 5) for number in range(5)]
    inner = [(5 + number, 5 + (number + 2) % 5) for number in range(5)]
    assert cover(outer + spokes + inner) == 6


@pytest.mark.parametrize(("left", "right"), [(3, 3), (4, 7), (26, 26)])
def test_two_sides_all_joined_take_the_smaller_side(left, right):
    # König (1931): as many as the greatest matching, here the smaller side. A rail between two sides of a press.
    assert cover([(one, 100 + other) for one in range(left) for other in range(right)]) == min(left, right)


def test_a_path_of_dear_ends_takes_its_cheap_middle():
    path = list(pairwise(range(5)))
    assert cover(path, {0: 9.0, 1: 1.0, 2: 9.0, 3: 1.0, 4: 9.0}) == 2


# --- the open time of hot glue in the cold ---


def cools_for(start, end, shop, rate=0.2):
    """Minutes of cooling, by small steps of Newton's law itself: it cools by rate × (its warmth − the shop's)."""
    step, minutes, warmth = 1e-4, 0.0, start
    while warmth > end:
        warmth -= rate * (warmth - shop) * step
        minutes += step
    return minutes


@pytest.mark.parametrize("shop", [5, 12, 16, 24])
def test_the_open_time_follows_the_law_of_cooling(shop):
    at_twenty = cools_for(60, 30, 20)
    said = open_in_the_cold(
        Span(at_twenty), Temperature(60), Temperature(30), Temperature(20), Temperature(shop), Temperature(26)
    )
    # Steps of a ten-thousandth of a minute: to a thousandth part.
    assert said.minutes == pytest.approx(cools_for(60, 30, shop), rel=1e-3)


def test_the_steps_themselves_follow_a_printed_example():
    # OpenStax, Precalculus, section 4.7, from memory: a cheesecake of 165 °F in a larder of 35 °F is at 150 °F after
    # 10 min and at 70 °F after about 107 min.
    assert cools_for(165, 70, 35) / cools_for(165, 150, 35) * 10 == pytest.approx(107, abs=0.5)
