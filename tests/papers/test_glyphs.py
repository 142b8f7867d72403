"""What can be printed: judged by the typesetter itself, which stops at a letter it has no glyph for."""

import unicodedata
from datetime import UTC, datetime

import pytest
import typst
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.papers.glyphs import BOX, FONTS, drawable, printable

FAMILIES = ("Source Sans 3", "Source Serif 4")


def sets(text: str) -> bool:
    """Whether every font of ours has a glyph for every letter, as the typesetter says when it writes PDF/A-2a."""
    styles = [(FAMILIES[0], weight) for weight in (400, 600, 700)] + [(FAMILIES[1], weight) for weight in (400, 600)]
    page = '#set document(title: "t")\n#set text(lang: "en", fallback: false)\n' + "\n".join(
        f'#par(text(font: "{font}", weight: {weight}, sys.inputs.text))' for font, weight in styles
    )
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[FONTS])
    try:
        _, warnings = typst.compile_with_warnings(
            page.encode(), font_paths=fonts, ignore_system_fonts=True, sys_inputs={"text": text},
            pdf_standards=["ua-1", "a-2a"], timestamp=datetime(2026, 11, 25, tzinfo=UTC),
        )  # fmt: skip
    except typst.TypstError:
        return False
    return not warnings


def test_every_letter_said_to_be_drawable_is_drawn():
    assert sets(" ".join(chr(point) for point in sorted(drawable())))


@pytest.mark.parametrize("letter", ["漢", "∅", "😀", "א", "□", "\ue000"])
def test_a_letter_said_not_to_be_is_not(letter):
    assert ord(letter) not in drawable()
    assert not sets(letter)


def test_the_trades_own_signs_can_all_be_printed():
    signs = "½ ¼ ¾ ⅛ ⅜ ⅝ ⅞ × ÷ · – — ° µ ² ³ ± ≤ ≥ ≈ − √ Σ £ $ € ′ ″ “ ” ‘ ’ … → é ö ß ñ ç"
    assert printable(signs) == unicodedata.normalize("NFC", signs)


def test_what_cannot_be_drawn_leaves_a_box_and_what_draws_nothing_leaves_nothing():
    assert printable("oak 漢 plank") == f"oak {BOX} plank"
    assert printable("oak\u200b\u202e\x00 plank\ufeff") == "oak plank"
    assert printable("two\nlines\tand\u2003space") == "two lines and space"
    assert printable("e\u0301") == "é"


@given(st.text())
def test_every_printable_text_holds_only_drawable_letters(text):
    assert {ord(letter) for letter in printable(text)} <= drawable()
    assert printable(printable(text)) == printable(text)
