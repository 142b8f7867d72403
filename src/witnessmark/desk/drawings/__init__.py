"""Drawings of the shop: plain values come in, SVG text goes out; no sums but those of where a line goes.

Each has a title and a desc, ids made from the `key` its page gives it, and classes of look.css alone, so that it
turns with paper and slate. Every state is a shape and a word too: a black print loses nothing.
"""

from .apart_map import apart_map
from .boards import Board, boards, strip, tally
from .dial import dial
from .fronts import MapPart
from .jar import jar
from .wall import Bar, Promise, Row, wall
from .way_up import Hole, way_up

__all__ = [
    "Bar", "Board", "Hole", "MapPart", "Promise", "Row", "apart_map", "boards", "dial", "jar", "strip", "tally", "wall",
    "way_up",
]  # fmt: skip
