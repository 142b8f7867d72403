"""The taking-apart page, what a scanned tag opens, and tags."""

import re

import pytest
from django.urls import reverse

import pieces
from lying_apart import PAGE, codes, new_part, now, off, text
from small_surveys import TOP, survey_with
from witnessmark.record import (
    DayBookEntry,
    Revision,
    keep_survey,
    survey_of,
)
from witnessmark.takedown import takedown

pytestmark = pytest.mark.usefixtures("a_minute_each")


# ---- the page ----


def test_the_page_says_cautions_the_next_part_and_the_order(helper, demo_shop):
    page = helper.get(reverse("apart", args=[demo_shop("chest")]))
    said = text(page)
    assert "Cautions while taking apart" in said
    assert "last man’s screw" in said
    assert "LOCK is off" in said  # one tap
    assert "Taking-apart map of piece C1" in said
    order = pieces_in_order("chest")
    at = [said.index(f" {code} ", said.index("Order off")) for code in order]
    assert at == sorted(at)


def pieces_in_order(name: str) -> list[str]:
    return [taken.take for taken in takedown(pieces.piece(name)).order]


def test_one_tap_takes_the_planned_part_off_and_the_next_one_stands_there(helper, demo_shop):
    chest = demo_shop("chest")
    first, second, *_ = pieces_in_order("chest")
    page = helper.get(reverse("apart", args=[chest])).content.decode()
    ident = re.search(r'name="entry" value="([^"]+)"', page)[1]
    for _ in range(2):  # a double tap
        helper.post(reverse("off", args=[chest, first]), {"entry": ident})
    assert [one.code for one in now(chest).off] == [first]
    said = text(helper.get(reverse("apart", args=[chest])))
    assert f"{second} is off" in said
    assert DayBookEntry.objects.filter(piece=chest, what="off").count() == 1


def test_off_is_undone_in_one_tap(helper, demo_shop):
    chest = demo_shop("chest")
    off(helper, chest, "LOCK")
    page = helper.get(reverse("apart", args=[chest])).content.decode()
    helper.post(re.search(r'action="([^"]*/undo/[^"]*)"', page)[1])
    assert not now(chest).off
    assert "LOCK" in codes(chest)


def test_freeing_one_part_shows_the_least_it_takes(helper, demo_shop):
    said = text(helper.get(reverse("apart", args=[demo_shop("chest")]), {"free": "TOP"}))
    assert "First off" in said
    assert re.search(r"Opens\s+J", said)
    assert helper.get(reverse("apart", args=[demo_shop("chest")]), {"free": "NOSUCH"}).status_code == PAGE


def test_a_part_nobody_has_is_not_found(helper, demo_shop):
    chest = demo_shop("chest")
    assert off(helper, chest, "NOSUCH").status_code == 404
    assert helper.get(reverse("part", args=[chest, "NOSUCH"])).status_code == 404
    assert helper.get(reverse("apart", args=["nowhere"])).status_code == 404


# ---- what a tag opens ----


def test_a_scanned_tag_opens_the_part(reader, helper, bare, seen):
    new_part(helper, bare, photograph=seen, x="0.3", y="0.4", up="45", name="top", fixings="2", kind="screw",
             fixings_kept="bag 3", kept="rack", sat="flush at the back")  # fmt: skip
    said = text(reader.get("/p/K7/TOP"))
    assert "flush at the back" in said
    assert "up and to the right on the photograph" in said
    assert "Kept: bag 3" in said
    assert "TOP: middle left" in said  # the marked photograph, in words


def test_a_tag_of_a_piece_whose_code_has_a_stroke_opens_too(reader, helper):
    coded = survey_with(TOP, piece='[piece]\nkind = "chest"\ncode = "A 4/1"\n')
    keep_survey(coded, "Ines", pieces.NOW)
    assert reader.get("/p/A%204%2F1/TOP").status_code == PAGE


def test_the_part_says_what_is_due_on_it(helper, demo_shop):
    said = text(helper.get(reverse("part", args=[demo_shop("chest"), "TOP"])))
    due = said[said.index("Due on it") :]
    assert "from " in due
    assert "No step of the plan names it" not in due


def test_a_bare_code_opens_the_one_piece_that_has_it_or_asks(helper, demo_shop):
    demo_shop("chest")
    assert helper.get("/t/SPLAT").url == reverse("part", args=[pieces.chair().id, "SPLAT"])
    asked = helper.get("/t/TOP")
    assert asked.status_code == PAGE
    assert "Which one is it?" in text(asked)
    assert helper.get("/t/NOSUCH").status_code == 404


def test_what_is_written_down_of_a_part_is_kept(helper, bare):
    new_part(helper, bare, name="top")
    said = {"name": "top", "kept": "rack 2", "sat": "", "up": "arrow", "note": "", "fixings": "2", "kind": "nail"}
    helper.post(reverse("edit_part", args=[bare, "TOP"]), said)
    part = survey_of(bare).parts_by_code()["TOP"]
    assert (part.kept, part.sat, part.up) == ("rack 2", "", "arrow")
    assert [one.code for one in survey_of(bare).joint[0].fixing] == ["N1", "N2"]
    slip = helper.post(reverse("edit_part", args=[bare, "TOP"]), {"name": "top", "kept": "k" * 400})
    assert slip.status_code == 422


def test_two_people_write_different_things_of_a_part_and_both_stand(helper, owner, bare):
    new_part(helper, bare, name="top")
    address = reverse("edit_part", args=[bare, "TOP"])
    number = Revision.objects.filter(document=bare).count()
    as_it_was = {"number": number, "name": "top", "kept": "", "sat": "", "up": "", "note": ""}
    assert owner.post(address, as_it_was | {"kept": "rack 1"}).status_code == 302
    assert helper.post(address, as_it_was | {"sat": "flush at the back"}).status_code == 302
    part = survey_of(bare).parts_by_code()["TOP"]
    assert (part.kept, part.sat) == ("rack 1", "flush at the back")


def test_two_people_write_the_same_thing_and_the_second_sees_the_first(helper, owner, bare):
    new_part(helper, bare, name="top")
    address = reverse("edit_part", args=[bare, "TOP"])
    number = Revision.objects.filter(document=bare).count()
    as_it_was = {"number": number, "name": "top", "kept": "", "sat": "", "up": "", "note": ""}
    owner.post(address, as_it_was | {"kept": "rack 1"})
    both = helper.post(address, as_it_was | {"kept": "rack 2"})
    assert both.status_code == 422
    assert "Ines wrote “rack 1” meanwhile" in text(both)
    assert 'value="rack 2"' in both.content.decode()
    again = re.search(r'name="number" value="(\d+)"', both.content.decode())[1]
    assert helper.post(address, as_it_was | {"kept": "rack 2", "number": again}).status_code == 302
    assert survey_of(bare).parts_by_code()["TOP"].kept == "rack 2"


# ---- tags ----


def test_tags_are_set_on_sheet_and_strip(helper, demo_shop):
    chest = demo_shop("chest")
    for form in ("sheet", "strip"):
        response = helper.get(reverse("tags_pdf", args=[chest]), {"form": form, "part": ["TOP", "LOCK"]})
        assert response["Content-Type"] == "application/pdf"
        assert response.content.startswith(b"%PDF")
    assert helper.get(reverse("tags_pdf", args=[chest]), {"part": "NOSUCH"}).status_code == 404
    assert helper.get(reverse("cards_pdf", args=[chest])).content.startswith(b"%PDF")


@pytest.mark.parametrize("page", ["apart", "new_part", "names", "together", "tags"])
def test_a_page_asks_the_record_few_questions(helper, demo_shop, page, django_assert_max_num_queries):
    chest = demo_shop("chest")
    helper.get(reverse(page, args=[chest]))
    with django_assert_max_num_queries(25):
        helper.get(reverse(page, args=[chest]))


def test_the_page_of_a_part_asks_the_record_few_questions(helper, demo_shop, django_assert_max_num_queries):
    address = reverse("part", args=[demo_shop("chest"), "TOP"])
    helper.get(address)  # the plan is made once
    with django_assert_max_num_queries(25):
        helper.get(address)
