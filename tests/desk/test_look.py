"""The look: nothing inline, nothing fetched from elsewhere, small, and every mark and class there is."""

import gzip
import re
from pathlib import Path

import django_htmx
import pytest
from django.template.loader import get_template

from witnessmark import desk

DESK = Path(desk.__file__).parent
STATIC = DESK / "static/desk"
LOOK = (STATIC / "look.css").read_text("utf-8")
TEMPLATES = sorted((DESK / "templates").rglob("*.html"))
INLINE = re.compile(
    r"""<style|\sstyle\s*=|<script(?![^>]*\bsrc=)|\son[a-z]+\s*=\s*["']|javascript:|hx-on|hx-vals\s*=\s*.js:""", re.I
)


@pytest.mark.parametrize("file", TEMPLATES, ids=lambda file: str(file.relative_to(DESK / "templates")))
def test_no_template_has_a_style_or_a_script_within(file):
    found = [hit[0] for hit in INLINE.finditer(file.read_text("utf-8"))]
    assert found == []


def test_the_scan_would_find_what_it_looks_for():
    for bad in (
        '<p style="x">',
        "<style>",
        "<script>x",
        '<a onclick="x">',
        '<a href="javascript:x">',
        '<b hx-on:click="x">',
    ):
        assert INLINE.search(bad), bad
    assert not INLINE.search('<script src="/a.js" nonce="n" defer></script><section class="once">')


@pytest.mark.parametrize("file", TEMPLATES, ids=lambda file: str(file.relative_to(DESK / "templates")))
def test_every_template_reads_as_one(file):
    get_template(str(file.relative_to(DESK / "templates")))


def test_the_look_asks_for_nothing_but_its_own_fonts():
    assert "@import" not in LOOK
    urls = re.findall(r"url\(([^)]+)\)", LOOK)
    assert urls
    assert all((STATIC / url).is_file() for url in urls)
    assert LOOK.count("font-display: swap") == LOOK.count("@font-face") == len(urls)


def test_only_the_face_of_the_body_is_fetched_early():
    head = (DESK / "templates/desk/parts/head.html").read_text("utf-8")
    assert re.findall(r"desk/fonts/([\w.-]+)", head) == ["source-sans-3-latin-400-normal.woff2"]


# Outside check: the licence of the fonts (SIL OFL 1.1, condition 2) wants its text beside every copy.
@pytest.mark.parametrize("family", ["source-sans-3", "source-serif-4"])
def test_the_licence_of_a_font_lies_beside_it(family):
    assert list((STATIC / "fonts").glob(f"{family}-*.woff2"))
    licence = (STATIC / "fonts" / f"{family}-OFL.txt").read_text("utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence


def test_the_first_visit_loads_no_more_than_150_kilobytes():
    fonts = sum(len(file.read_bytes()) for file in (STATIC / "fonts").glob("*.woff2"))  # woff2 is compressed already
    htmx = Path(django_htmx.__file__).parent / "static/django_htmx/htmx-2.min.js"
    texts = sum(len(gzip.compress(file.read_bytes(), 6)) for file in (STATIC / "look.css", htmx))
    assert fonts <= 80_000
    assert fonts + texts <= 140_000  # the page itself has the rest


def test_every_mark_that_is_used_is_drawn():
    drawn = set(re.findall(r'<symbol id="(m-[\w-]+)"', (DESK / "templates/desk/parts/marks.html").read_text("utf-8")))
    used = {name for file in TEMPLATES for name in re.findall(r'\{% mark "(\w+)"', file.read_text("utf-8"))}
    assert {f"m-{name}" for name in used} <= drawn


def test_a_print_is_black_and_shows_no_button():
    printed = LOOK[LOOK.index("@media print") :]
    for token in ("--ink: #000", "--blue: #000", "--red: #000", "--paper: #fff"):
        assert token in printed
    assert re.search(r"\.do, .*display: none !important", printed)


def test_what_is_hidden_stays_hidden():
    assert "[hidden] { display: none !important; }" in LOOK


def test_movement_is_stilled_for_whoever_asks():
    assert "prefers-reduced-motion: reduce" in LOOK


def test_touch_is_never_less_than_the_thumb_needs():
    sizes = {name: float(size) for name, size in re.findall(r"--(touch[\w-]*): ([\d.]+)rem", LOOK)}
    assert sizes["touch"] * 16 >= 56
    assert sizes["touch-main"] * 16 >= 80
