"""Areas against the world outside: old theorems, printed tables, the figure of the earth, painters' own measures."""

import math

import numpy as np
import pytest

from witnessmark.quantities import Area, Length, high, low, usual
from witnessmark.sources import rule, table
from witnessmark.survey import Survey, areas_of
from witnessmark.survey.profiles import half_length, ogee_length, profile_of, quarter_length
from witnessmark.survey.solids import cylinder_area, discs_area, mitred_run, turned_area

approx = pytest.approx


def turned(points: list[tuple[float, float]]) -> float:
    """The surface in m² of these heights and radii, given in metres."""
    heights = tuple(Length.metres(height) for height, _ in points)
    return turned_area(heights, tuple(Length.metres(2 * radius) for _, radius in points)).square_metres


def arc(frm: float, to: float, steps: int) -> list[tuple[float, float]]:
    """Points of the unit circle, cosine first, from one angle to another."""
    return [(math.cos(t), math.sin(t)) for t in np.linspace(frm, to, steps + 1)]


# --- turned work ---


# Pappus's centroid theorem: surface = length of the line × way of its centroid. Read with these very cases in a
# mathematical encyclopaedia, which cites Kern and Bland, Solid Mensuration (1948), pp. 110-111.
def test_cylinder_cone_and_ring():
    assert turned([(0, 0.03), (0.7, 0.03)]) == approx(0.7 * 2 * math.pi * 0.03)
    slant = math.hypot(0.4, 0.03)
    assert turned([(0, 0.03), (0.4, 0)]) == approx(slant * 2 * math.pi * 0.015)
    assert turned([(0.1, 0.05), (0.1, 0.03)]) == approx(0.02 * 2 * math.pi * 0.04)  # a shoulder


# The same for a torus: 4 π² R r. Chords of a circle are short by (angle)² ÷ 24, and their middles lie as much
# nearer its centre: 200 steps to the half circle leave two parts in a hundred thousand.
def test_torus():
    ring, tube, steps = 0.05, 0.01, 200
    outer = [(tube * c, ring + tube * s) for c, s in arc(0, math.pi, steps)]
    inner = [(tube * c, ring - tube * s) for c, s in arc(0, math.pi, steps)]
    assert turned(outer) + turned(inner) == approx(4 * math.pi**2 * ring * tube, rel=2e-5)


# Archimedes, On the Sphere and Cylinder: a sphere has the surface of the cylinder around it, and so has each zone.
@pytest.mark.parametrize(("frm", "to"), [(0, math.pi), (0, math.pi / 2), (0.4, 1.1)])
def test_sphere_and_its_zones(frm, to):
    radius = 0.04
    zone = [(radius * c, radius * s) for c, s in arc(frm, to, 400)]
    height = radius * (math.cos(frm) - math.cos(to))
    around = cylinder_area(Length.metres(height), Length.metres(2 * radius)).square_metres
    assert turned(zone) == approx(around, rel=1e-5)


# The earth is a turning too. WGS 84 (NIMA TR8350.2): half-axes 6 378 137 m and 6 356 752.3142 m; surface
# 510 065 621.724 km² as published with them. 4000 straight steps leave less than a part in a million.
def test_the_earth_as_a_turning():
    a, b = 6378137.0, 6356752.3142
    surface = turned([(b * c, a * s) for c, s in arc(0, math.pi, 4000)])
    assert surface / 1e6 == approx(510065621.724, rel=1e-6)


def test_ends_are_circles():
    # Circle of unit diameter: 0.785 398 in every handbook table.
    assert discs_area((Length.metres(1),)).square_metres == approx(0.785398, abs=5e-7)


def test_three_points_on_a_bead_and_the_allowance_for_the_curve_between():
    # A half-round bead of radius r standing out from a stick of radius R: by Pappus π r × 2π (R + 2r/π). With only
    # its ends and its middle measured it is reckoned short; the rule says by how much at most.
    stick, bead = 0.016, 0.004
    true = math.pi * bead * 2 * math.pi * (stick + 2 * bead / math.pi)
    reckoned = turned([(0, stick), (bead, stick + bead), (2 * bead, stick)])
    curve = rule("survey", "turned_between_points").value
    assert curve.high - 0.01 < true / reckoned < curve.high
    assert curve.low == 1


# --- profiles ---


# Quarter of the meridian, from the equator to the pole, as published for WGS 84: 10 001 965.729 m.
def test_the_quarter_meridian():
    quarter = quarter_length(Length(6378137.0), Length(6356752.3142))
    assert quarter.millimetres == approx(10001965.729, abs=1e-3)


# Complete elliptic integral of the second kind: the quarter of an ellipse with half-axes 1 and √(1 − m). Read to
# twenty digits in the tests of an open numerical language; Abramowitz & Stegun, table 17.1, has them to nine
# (from memory).
@pytest.mark.parametrize(
    ("m", "integral"),
    [
        (0.0, 1.5707963267948966),
        (0.01, 1.5668619420216683),
        (0.1, 1.5307576368977632),
        (0.5, 1.3506438810476755),
        (0.9, 1.1047747327040733),
        (0.99, 1.0159935450252240),
    ],
)
def test_quarter_ellipses_against_the_table(m, integral):
    axes = Length(1.0), Length(math.sqrt(1 - m))
    assert quarter_length(*axes).millimetres == approx(integral, rel=1e-13)
    assert quarter_length(*axes[::-1]) == quarter_length(*axes)


@pytest.mark.parametrize("deep", [30.0, 17.0, 6.0])
def test_quarter_ellipses_against_ramanujan(deep):
    # Ramanujan's second approximation of 1914, π (a + b) (1 + 3h ÷ (10 + √(4 − 3h))): good to 5e-6 at these shapes.
    h = ((30 - deep) / (30 + deep)) ** 2
    around = math.pi * (30 + deep) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))
    assert quarter_length(Length(30.0), Length(deep)).millimetres == approx(around / 4, rel=5e-6)


def test_an_ellipse_without_depth_is_a_line():
    assert quarter_length(Length(30.0), Length(0.0)) == Length(30.0)
    assert quarter_length(Length(30.0), Length(1e-6)).millimetres == approx(30, rel=1e-9)


# Shapes as encyclopaedias of architecture give them: an ovolo or cavetto about a quarter of a circle or ellipse, a
# torus half of one, a roll three quarters of a circle, an ogee an ovolo and a cavetto together. Their lengths here by
# another way: many short chords.
def _drawn(profile: str, across: float, deep: float) -> np.ndarray:
    t = np.linspace(0, math.pi / 2, 20001)
    quarter = np.column_stack([across * np.sin(t), deep * (1 - np.cos(t))])
    match profile:
        case "ovolo":
            return quarter
        case "cavetto":
            return np.column_stack([across * (1 - np.cos(t)), deep * np.sin(t)])
        case "bead":
            return np.column_stack([across / 2 * np.cos(2 * t), deep * np.sin(2 * t)])
        case "roll":
            return np.column_stack([across / 2 * np.cos(3 * t), across / 2 * np.sin(3 * t)])
        case "ogee":
            first = quarter / 2
            return np.vstack([first, [across, deep] - first[::-1]])
        case "scotia":
            wide, narrow = (across + deep) / 2, (across - deep) / 2
            upper = np.column_stack([narrow * np.cos(t), narrow * np.sin(t)])
            lower = np.column_stack([wide * np.cos(t), -wide * np.sin(t)]) - [wide - narrow, 0]
            return np.vstack([upper[::-1], lower])
    raise AssertionError(profile)


@pytest.mark.parametrize("profile", ["ovolo", "cavetto", "bead", "roll", "ogee", "scotia"])
@pytest.mark.parametrize(("across", "deep"), [(20.0, 20.0), (24.0, 9.0), (31.75, 19.05)])
def test_profiles_drawn_out(profile, across, deep):
    line = _drawn(profile, across, deep)
    drawn = np.hypot(*np.diff(line, axis=0).T).sum()
    assert profile_of(f"{profile} {across} x {deep} mm").developed.value.millimetres == approx(drawn, rel=1e-7)


def test_one_size_is_a_circle():
    for words, length in [
        ("ovolo 20 mm", math.pi / 2 * 20),
        ("cavetto 3/4 in", math.pi / 2 * 19.05),
        ("bead 6 mm", math.pi / 2 * 6),
        ("scotia 20 mm", math.pi / 2 * 20),
        ("ogee 30 mm", 2 * math.pi / 2 * 15),
        ("reeding 5 x 6 mm", 5 * math.pi / 2 * 6),
        ("chamfer 5 mm", 5 * math.sqrt(2)),
        ("fillet 5 x 3 mm", 8),
        ("fillet 5 mm + ovolo 20 mm + fillet 3 mm", 8 + math.pi / 2 * 20),
    ]:
        assert profile_of(words).developed.value.millimetres == approx(length), words


def test_an_ogee_is_an_ovolo_and_a_cavetto_of_half_the_size():
    # American House Carpenter, 310: the cymas are combinations of the ovolo and the cavetto.
    half = quarter_length(Length(12.0), Length(7.0))
    assert ogee_length(Length(24.0), Length(14.0)).millimetres == approx(2 * half.millimetres)
    assert half_length(Length(24.0), Length(7.0)).millimetres == approx(
        2 * quarter_length(Length(12.0), Length(7.0)).millimetres
    )


def test_a_mitred_frame_is_four_trapezia():
    # Area of a trapezium, half the sum of its parallel sides times its height: any table of mensuration.
    long, wide, member = 600.0, 400.0, 45.0
    trapezia = sum((side + side - 2 * member) / 2 * member for side in (long, long, wide, wide))
    run = mitred_run(Length(long), Length(wide), Length(member))
    assert Area.rectangle(run, Length(member)).square_metres == approx(trapezia / 1e6)


# --- judged by eye: painters' and strippers' own measures ---


def by_eye(kind: str, size: str) -> list[float]:
    survey = {"id": "01900000-0000-7000-8000-000000000000", "piece": {"kind": kind, "size": size}}
    total = areas_of(Survey.model_validate(survey)).total.value
    return [end(total).square_metres for end in (low, usual, high)]


def test_carved_work_measured_double():
    # Painters' rules “generally adopted in America” (old how-to book, read): brackets, medallions and ornament are
    # measured double. That pays for trouble as well as surface, so it should lie in our deep carving, not beyond it.
    deep = rule("survey", "carved_deep").value
    assert deep.low < 2 < deep.high
    assert rule("survey", "carved_light").value.high < 2


def test_what_painters_add_for_edges_and_mouldings():
    # Modern Buildings Construction, vol. 2 (read): to the joiner's flat figures add a sixth for exposed edges, a
    # quarter for framed or moulded work with them. A chest of flat sides with either is within our range.
    (chest,) = [row for row in table("survey", "whole_pieces.csv", key="kind") if row.key == "chest"]
    assert chest.number("share_low") < 1 + 1 / 6 < 1 + 1 / 4 <= chest.number("share_high")


def test_a_quart_strips_a_chair_and_two_a_dining_table():
    # stripping_material_list (read): a gallon strips 75 to 100 square feet; a chair with a clear finish takes about a
    # quart, a dining table two. People buy the tin that is enough: our usual is no more, and no less than a quarter.
    least, most = Area.square_feet(75).square_metres / 4, Area.square_feet(100).square_metres / 4
    chair, dining = by_eye("chair", "450 x 500 x 900 mm"), by_eye("table", "1500 x 900 x 740 mm")
    assert most / 4 < chair[1] < least
    assert 2 * most / 4 < dining[1] < 2 * least
