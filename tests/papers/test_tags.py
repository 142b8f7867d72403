"""Tags and the pictures on papers."""

import io

import pytest
import segno
from PIL import Image
from pypdf import PdfReader

from papers.chest import ID, chest, shop, survey
from papers.reading import words
from witnessmark.papers import papers_of
from witnessmark.papers.pictures import picture_of, qr_of
from witnessmark.papers.tags import address_of, labels_page
from witnessmark.papers.voice import Voice
from witnessmark.plan import PiecePlan

SHA = "a" * 64
PHOTOGRAPH = f'[[photograph]]\nsha256 = "{SHA}"\ncaption = "As found"\n'


def tags_of(plan: PiecePlan) -> list[dict]:
    return labels_page(plan, Voice.of(plan.shop.shop, plan.now))["tags"]


@pytest.mark.parametrize(
    ("web", "code", "address"),
    [
        ("http://bench.local:8000", "41", "http://bench.local:8000/p/41/D1"),
        ("http://bench.local:8000/", "41", "http://bench.local:8000/p/41/D1"),
        ("https://shop.example", "", f"https://shop.example/p/{ID}/D1"),
        ("https://shop.example", "A 4/1", "https://shop.example/p/A%204%2F1/D1"),
        ("", "41", "D1"),
    ],
)
def test_a_tag_leads_to_its_part_or_says_its_code(web, code, address):
    assert address_of(chest(of=survey(code=code), at=shop(web=web)), "D1") == address


def test_the_qr_code_is_the_one_another_maker_draws():
    # The modules of segno (ISO/IEC 18004), counted off the drawing: dark ones as many as the matrix has.
    address = "http://bench.local:8000/p/41/D1"
    side = segno.make(address, error="m", micro=False).symbol_size(border=2)[0]
    assert f'width="{side}"' in qr_of(address)


def test_left_and_right_alike_have_tags_that_can_be_told_apart():
    feet = [tag["of"] for tag in tags_of(chest()) if tag["code"] == "F"]
    assert feet == ["1 of 4", "2 of 4", "3 of 4", "4 of 4"]


def test_a_part_with_no_place_leaves_room_to_write_it():
    assert next(tag for tag in tags_of(chest()) if tag["code"] == "CS")["sat"].endswith("____")


def test_long_names_are_set_smaller_and_cut_at_last():
    part = survey().part[0].model_copy(update={"name": "drawer " * 28, "sat": "upper left " * 18})
    plan = chest(of=survey().model_copy(update={"part": (part,)}))
    (tag,) = tags_of(plan)
    assert tag["name_size"] < 10
    assert tag["name"].endswith("…")
    assert len(tag["sat"]) <= 130
    assert "TOP" in words(papers_of(plan)["labels.pdf"])


# ---- photographs ----


def a_picture(kind: str, size: tuple[int, int] = (400, 300), turned: bool = False) -> bytes:
    kept, exif = io.BytesIO(), Image.Exif()
    picture = Image.new("RGBA" if kind == "PNG" else "RGB", size, (120, 60, 20))
    if turned:
        exif[0x0112] = 6  # EXIF 2.3, Orientation: row 0 is the right side: turn a quarter clockwise to see it upright
    picture.save(kept, kind, exif=exif.tobytes() if turned else b"")
    return kept.getvalue()


def photographed(more: str = "") -> PiecePlan:
    """A short plan, so that its papers are quickly made."""
    of = survey(extra=PHOTOGRAPH + more)
    return chest(of=of.model_copy(update={"part": of.part[:1]}), steps=(), branches=(), workings=())


def _images(pdf: bytes) -> int:
    return sum(len(page.images) for page in PdfReader(io.BytesIO(pdf)).pages)


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_the_photograph_stands_at_the_head_of_the_plan(kind):
    pdf = papers_of(photographed(), {SHA: a_picture(kind)}.get)["plan.pdf"]
    assert _images(pdf) == 1
    assert "As found" in words(pdf)


@pytest.mark.parametrize("content", [b"", b"not a picture", b"\xff\xd8\xff\xe0 cut short", b"GIF89a"])
def test_what_is_no_picture_is_none(content):
    assert picture_of(content) is None


@pytest.mark.parametrize("content", [None, b"not a picture"])
def test_a_photograph_that_is_not_there_or_not_one_is_left_out(content):
    assert _images(papers_of(photographed(), {SHA: content}.get)["plan.pdf"]) == 0


def test_a_large_photograph_is_made_small():
    picture = picture_of(a_picture("JPEG", (4000, 3000)))
    assert picture is not None
    assert (picture.width, picture.height) == (1200, 900)
    assert len(picture.svg) < 60_000


def test_a_photograph_taken_on_its_side_stands_upright():
    picture = picture_of(a_picture("JPEG", (400, 300), turned=True))
    assert picture is not None
    assert (picture.width, picture.height) == (300, 400)


def test_a_picture_cut_off_in_the_middle_is_none():
    whole = a_picture("PNG", (900, 900))
    assert picture_of(whole[: len(whole) // 2]) is None


def test_the_next_photograph_is_taken_where_the_first_is_missing():
    other = "b" * 64
    plan = photographed(f'[[photograph]]\nsha256 = "{other}"\ncaption = "From behind"\n')
    pdf = papers_of(plan, {other: a_picture("PNG")}.get)["plan.pdf"]
    assert "From behind" in words(pdf)
    assert "As found" not in words(pdf)
