"""Tags on a strip, one a page, and the address they say."""

import io
from dataclasses import replace
from functools import cache

import pytest
from pypdf import PdfReader

import pieces
from papers.reading import pages, words
from witnessmark.papers import TagForm, screw_cards_of, tags_of
from witnessmark.papers.tags import address_of
from witnessmark.plan import PiecePlan, plan_piece
from witnessmark.shop import Shop

A_MM = 72 / 25.4  # PDF units: 72 to the inch of 25.4 mm (ISO 32000-1, 8.3.2.3)


@cache
def plan() -> PiecePlan:
    return plan_piece(pieces.chest(), pieces.shop(), pieces.daybook(), pieces.NOW)


def without_address(shop: Shop) -> Shop:
    return shop.model_copy(update={"shop": shop.shop.model_copy(update={"web": ""})})


def test_a_strip_has_one_tag_a_page_and_each_says_its_part():
    strip = pages(tags_of(plan(), TagForm.STRIP, ["TOP", "LOCK"]))
    locks = next(part for part in plan().survey.part if part.code == "LOCK").count
    assert len(strip) == 1 + locks
    assert "TOP" in strip[0]
    assert all("LOCK" in page for page in strip[1:])
    assert f"{locks} of {locks}" in strip[-1]


def test_a_tag_of_the_strip_is_a_tag_and_no_page():
    (page, *_) = PdfReader(io.BytesIO(tags_of(plan(), TagForm.STRIP, ["TOP"]))).pages
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((100 * A_MM, 62 * A_MM), abs=0.1)


def test_a_sheet_may_hold_the_tags_of_some_parts_only():
    said = words(tags_of(plan(), TagForm.SHEET, ["TOP"]))
    assert "TOP" in said
    assert "LOCK" not in said


def test_the_shops_own_address_goes_before_the_desks():
    assert address_of(plan(), "TOP", "http://10.0.0.2:8000").startswith(plan().shop.shop.web)
    bare = replace(plan(), shop=without_address(plan().shop))
    assert address_of(bare, "TOP", "http://10.0.0.2:8000") == "http://10.0.0.2:8000/p/C1/TOP"
    assert address_of(bare, "TOP") == "TOP"


def test_screw_cards_stand_alone_too():
    assert "Screw cards" in words(screw_cards_of(plan()))
