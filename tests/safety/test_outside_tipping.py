"""Tipping against statics worked another way, and the note beside the reference table.

The note's example is made up there and worked by hand; no printed example was found. The test's weight (60 lb) and
block (10.9 mm) are those of the published test of clothing storage, as a testing laboratory reports it.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.quantities import Length, Mass
from witnessmark.safety.tipping import centre_on_block, tip_margin
from witnessmark.sources import row

approx = pytest.approx

KG = st.floats(0.5, 100)
METRES = st.floats(0.05, 0.6)


def test_the_worked_example_on_a_level_floor():
    # Body 45 kg at 0.20 m; two drawers of 6 kg at 0.15 m, 27.2 kg at 0.30 m: 9.00 ÷ 9.96 = 0.90.
    margin = tip_margin(
        Mass.kilograms(45), Length(200), Mass.kilograms(12), Length(150), Mass.kilograms(27.2), Length(300)
    )  # fmt: skip
    assert margin == approx(9.00 / 9.96)
    assert round(margin, 2) == 0.90


def test_the_worked_example_on_the_block():
    centre = centre_on_block(Length(200), Length(550), Length(10.9), Length(400))
    assert centre.millimetres == approx(185, abs=0.5)
    margin = tip_margin(
        Mass.kilograms(45), centre, Mass.kilograms(12), Length(150), Mass.kilograms(27.2), Length(300)
    )  # fmt: skip
    assert round(margin, 2) == 0.84


def test_the_test_weight_and_block():
    # 60 lb on an open drawer; a 0.43 in block under the rear feet: ASTM F2057-23, as reported.
    assert row("safety", "stability.csv", "S09").number("value") == 60
    assert row("safety", "stability.csv", "S10").number("value") == 10.9
    assert Length.inches(0.43).millimetres == approx(10.9, abs=0.05)


@given(KG, METRES, KG, METRES, KG, METRES)
def test_it_tips_when_the_common_centre_passes_the_feet(body, behind, drawers, ahead, hung, farther):
    # Another way to the same verdict: the centre of mass of everything lies in front of the feet.
    centre = (body * behind - drawers * ahead - hung * farther) / (body + drawers + hung)
    margin = tip_margin(
        Mass.kilograms(body), Length.metres(behind), Mass.kilograms(drawers), Length.metres(ahead),
        Mass.kilograms(hung), Length.metres(farther),
    )  # fmt: skip
    if abs(centre) > 1e-9:
        assert (margin < 1) == (centre < 0)


@given(METRES, METRES, st.floats(0.001, 0.02))
def test_on_the_block_the_centre_moves_as_a_turn_about_the_front_feet(behind, height, block):
    tilt = math.asin(block / 0.4)
    turned = complex(behind, height) * complex(math.cos(tilt), math.sin(tilt))
    ours = centre_on_block(Length.metres(behind), Length.metres(height), Length.metres(block), Length.metres(0.4))
    assert ours.millimetres / 1000 == approx(turned.real)
