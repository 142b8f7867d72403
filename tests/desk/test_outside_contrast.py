"""Contrast of the look, worked here by the formula of WCAG 2.2, not by ours."""

import re
from pathlib import Path

import pytest

from witnessmark import desk

LOOK = (Path(desk.__file__).parent / "static/desk/look.css").read_text("utf-8")
TOKEN = re.compile(r"--([\w-]+): (#[0-9a-f]{6})\b")


def tokens(after: str) -> dict[str, str]:
    begins = LOOK.index(after)
    return dict(TOKEN.findall(LOOK[begins : LOOK.index("}", begins)]))


PAPER = tokens(":root {\n  color-scheme: light")
DARK = tokens(":root:not([data-paper='sheet'])")
SLATE = tokens(":root[data-paper='slate'] {")


# Outside check: W3C, Web Content Accessibility Guidelines 2.2, “relative luminance” and “contrast ratio”.
def luminance(colour: str) -> float:
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_black_on_white_is_21_to_1_and_the_known_grey_just_passes():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(
        4.54, abs=0.005
    )  # the greyest grey that passes on white; from memory


# SC 1.4.3 (AA) wants 4.5 for text; 1.4.6 (AAA) wants 7, which words on the bench should reach in ink.
TEXT = [
    ("ink", "paper", 7), ("ink", "sheet", 7), ("ink", "well", 7), ("pencil", "paper", 4.5),
    ("pencil", "sheet", 4.5), ("pencil", "well", 4.5), ("blue", "sheet", 4.5), ("blue", "paper", 4.5),
    ("blue", "well", 4.5), ("on-blue", "blue", 4.5), ("on-blue", "blue-deep", 4.5),
    ("blue-deep", "blue-wash", 4.5), ("blue", "blue-wash", 4.5), ("ink", "blue-wash", 7), ("red", "sheet", 4.5),
    ("red", "paper", 4.5), ("red", "well", 4.5), ("red", "red-wash", 4.5), ("ink", "red-wash", 7),
    ("pencil", "red-wash", 4.5), ("pencil", "blue-wash", 4.5), ("on-tape", "tape", 7), ("sheet", "ink", 7),
]  # fmt: skip
# SC 1.4.11 wants 3 for the lines and fills that carry something.
SHAPES = [
    ("faint", "paper"), ("faint", "sheet"), ("faint", "well"), ("amber", "sheet"), ("amber", "glass"),
    ("blue", "sheet"), ("red", "sheet"), ("pencil", "glass"), ("ink", "glass"),
]  # fmt: skip


@pytest.mark.parametrize(("fore", "back", "least"), TEXT)
def test_words_can_be_read_by_day_and_by_night(fore, back, least):
    assert contrast(PAPER[fore], PAPER[back]) >= least
    assert contrast(SLATE[fore], SLATE[back]) >= least


@pytest.mark.parametrize(("fore", "back"), SHAPES)
def test_lines_and_fills_that_carry_something_stand_out(fore, back):
    assert contrast(PAPER[fore], PAPER[back]) >= 3
    assert contrast(SLATE[fore], SLATE[back]) >= 3


# Golden: the table the look was agreed with.
@pytest.mark.parametrize(("fore", "back", "day", "night"), [
    ("ink", "paper", 12.9, 15.1), ("ink", "sheet", 14.9, 13.5), ("pencil", "paper", 6.1, 8.7),
    ("pencil", "sheet", 7.0, 7.8), ("pencil", "well", 5.5, 9.3), ("blue", "sheet", 7.7, 8.2),
    ("blue", "paper", 6.6, 9.2), ("on-blue", "blue", 8.1, 8.8), ("blue-deep", "blue-wash", 9.3, 9.9),
    ("red", "sheet", 7.1, 7.9), ("red", "red-wash", 6.3, 7.6), ("on-tape", "tape", 10.3, 9.2),
    ("faint", "paper", 3.6, 5.0), ("faint", "well", 3.3, 5.3), ("amber", "sheet", 3.9, 6.1),
    ("amber", "glass", 3.7, 5.4),
])  # fmt: skip
def test_the_colours_are_still_those_that_were_agreed(fore, back, day, night):
    assert contrast(PAPER[fore], PAPER[back]) == pytest.approx(day, abs=0.06)
    assert contrast(SLATE[fore], SLATE[back]) == pytest.approx(night, abs=0.06)


def test_night_is_the_same_whether_chosen_or_asked_for_by_the_machine():
    assert DARK == SLATE
    assert set(DARK) == set(PAPER)
