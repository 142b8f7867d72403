"""The sums of surfaces: flat work, turned work as a surface of revolution, moulded runs. No judgement."""

import math
from itertools import pairwise

from witnessmark.quantities import Area, Length
from witnessmark.sources import formula


@formula("area = faces × length × width")
def flat_area(length: Length, width: Length, faces: float) -> Area:
    """So many broad faces of a board."""
    return Area.rectangle(length, width) * faces


@formula("area = thickness × (edges × length + ends × width)")
def rim_area(length: Length, width: Length, thickness: Length, edges: float, ends: float) -> Area:
    """So many edges, along the grain, and ends, across it."""
    return Area.rectangle(length, thickness) * edges + Area.rectangle(width, thickness) * ends


@formula("not finished = the openings and hidden areas together")
def not_finished(lengths: tuple[Length, ...], widths: tuple[Length, ...]) -> Area:
    """What comes off a face: openings, and what lies under another part."""
    return sum((Area.rectangle(*sides) for sides in zip(lengths, widths, strict=True)), Area(0.0))


@formula("net = area − not finished, and nothing at the least")
def net_area(area: Area, less: Area) -> Area:
    """What is left to finish."""
    return max(area - less, Area(0.0))


@formula("area = outer rectangle × share of it that is wood")
def frame_area(outer: Area, wood: float) -> Area:
    """The face of a frame of which only the outer rectangle is known."""
    return outer * wood


@formula("run = 2 × (length + width) − 4 × member")
def mitred_run(length: Length, width: Length, member: Length) -> Length:
    """How far a moulding runs round a mitred frame, along the middle of the member.

    True where the moulding is as full on its outer half as on its inner one; else out by part of a member's
    width at each corner.
    """
    return (length + width) * 2 - member * 4


@formula("area = run × developed profile")
def moulded_area(run: Length, developed: Length) -> Area:
    """The face of a moulding."""
    return Area.rectangle(run, developed)


@formula("area = flat area × developed profile ÷ member")
def moulded_face(area: Area, developed: Length, member: Length) -> Area:
    """The moulded face of a frame of which the flat area between its outline and its opening is known."""
    return area * (developed / member)


@formula("area = sum of π × (radius + next radius) × slant from one to the next")
def turned_area(heights: tuple[Length, ...], diameters: tuple[Length, ...]) -> Area:
    """The surface between the first and the last measured point, straight from each to the next; no ends.

    Two points at one height are a shoulder: the ring between the two diameters. Heights run one way.
    """
    points = [(h.millimetres, d.millimetres / 2) for h, d in zip(heights, diameters, strict=True)]
    total = 0.0
    for (height, radius), (next_height, next_radius) in pairwise(points):
        total += math.pi * (radius + next_radius) * math.hypot(next_height - height, next_radius - radius)
    return Area(total / 1e6)


@formula("area = π × diameter × length")
def cylinder_area(length: Length, diameter: Length) -> Area:
    """The round of a cylinder, without its ends."""
    return Area.rectangle(length, diameter) * math.pi


@formula("area = turned surface × curve × faces ÷ 2")
def seen_of_turning(surface: Area, curve: float, faces: float) -> Area:
    """The turned surface that is seen: its front and its back, or the front alone of a split turning.

    `curve` is the true surface over the one reckoned.
    """
    return surface * (curve * faces / 2)


@formula("area = π ÷ 4 × the sum of the squared diameters")
def discs_area(diameters: tuple[Length, ...]) -> Area:
    """The flat round ends of a turning."""
    return sum((Area.rectangle(d, d) for d in diameters), Area(0.0)) * (math.pi / 4)


@formula("area = area as if flat × carving")
def carved_area(area: Area, carving: float) -> Area:
    """Carved work, whose surface is more than the flat it is cut in."""
    return area * carving


@formula("area = area of the board of its size × allowance")
def unsure_area(area: Area, allowance: float) -> Area:
    """A part whose shape nobody gave."""
    return area * allowance


@formula("area = number × area of one")
def area_of_alike(area: Area, number: float) -> Area:
    """Several parts alike."""
    return area * number


@formula("area = all of these together")
def area_together(**areas: Area) -> Area:
    """Areas added up. Ranges add end to end, as if all were low or high together: wide rather than sorry."""
    return sum(areas.values(), Area(0.0))
