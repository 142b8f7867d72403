"""A new piece at the door: ten facts and a photograph on one page, straight to a first plan."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from witnessmark.desk.new_piece import OFTEN, door_sections
from witnessmark.record import Photograph, StockRow, survey_of
from witnessmark.survey import condition_terms


@pytest.fixture(autouse=True)
def _own_folder(settings, tmp_path):
    settings.DATA = tmp_path


def photograph(colour="brown", name="door.png", side=64):
    out = io.BytesIO()
    Image.new("RGB", (side, side), colour).save(out, "PNG")
    return SimpleUploadedFile(name, out.getvalue(), "image/png")


def form(client):
    """The page at the door as it stands, untouched."""
    page = client.get("/new/")
    assert page.status_code == 200
    said = {field.name: field.value for group in page.context["groups"] for field in group}
    return said | {"entry": page.context["entry"]}


def test_at_most_a_screen_of_facts_is_asked_and_dont_know_stands_first(helper, db):
    asked = [one.key for section in door_sections() for one in section.asked]
    assert len(asked) <= 18
    page = helper.get("/new/").content.decode()
    for name in ("piece.came", "piece.came_from", "piece.veneered", "finish.kind", "wishes.keep", "wishes.use"):
        choice = page[page.index(f'name="{name}"') :]
        assert choice[choice.index("<option") :].startswith('<option value="don&#x27;t know" selected>Don’t know')


def test_the_words_that_stand_open_are_words_of_the_survey():
    assert {one.key for one in condition_terms()} >= OFTEN


def test_only_the_kind_is_needed_for_a_first_plan(helper, db):
    answer = helper.post("/new/", form(helper) | {"piece.kind": "table"}, follow=True)
    piece = StockRow.objects.get().piece
    assert answer.redirect_chain == [(f"/p/{piece}/", 302)]
    page = answer.content.decode()
    assert "Most worth finding out" in page
    assert "Ways to go about it" in page
    assert survey_of(piece).piece.came_on.isoformat() == "2026-11-25"


def test_ten_facts_and_photographs_are_kept(helper, db):
    facts = {
        "piece.kind": "chair", "piece.owner": "Penwhistle", "piece.title": "Ladder-back", "piece.code": "L7",
        "piece.came": "customer's", "piece.came_from": "barn", "piece.size": "18 x 17 x 40 in",
        "piece.show_wood": "ash", "finish.kind": "wax", "wishes.keep": "colour", "wishes.use": "daily",
        "piece.loose_bits": "a rung\none peg", "condition": ["split", "dirt"],
        "photograph": [photograph(), photograph("black", "two.png")],
    }  # fmt: skip
    helper.post("/new/", form(helper) | facts)
    survey = survey_of(StockRow.objects.get(code="L7").piece)
    assert survey.piece.size.text == "18 x 17 x 40 in"
    assert survey.piece.loose_bits == ("a rung", "one peg")
    assert [one.term for one in survey.condition] == ["split", "dirt"]
    assert survey.finish.kind.value == "wax"
    assert len(survey.photograph) == 2
    assert Photograph.objects.count() == 2


def test_without_a_kind_all_that_was_typed_and_photographed_stays(helper, db):
    sent = form(helper) | {"piece.owner": "Hollis", "condition": ["split"], "photograph": photograph()}
    answer = helper.post("/new/", sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'id="f-piece.kind-fault"' in page
    assert 'value="Hollis"' in page
    assert 'value="split" checked' in page
    kept = answer.context["kept"]
    assert len(kept) == 1
    again = helper.post("/new/", sent | {"piece.kind": "box", "kept": kept, "photograph": []})
    assert again.status_code == 302
    assert survey_of(StockRow.objects.get().piece).photograph[0].sha256 == kept[0]


def test_a_photograph_that_is_not_kept_here_is_not_taken_on(helper, db):
    helper.post("/new/", form(helper) | {"piece.kind": "box", "kept": ["0" * 64]})
    assert survey_of(StockRow.objects.get().piece).photograph == ()


def test_a_size_nobody_can_read_is_told_beside_its_field(helper, db):
    answer = helper.post("/new/", form(helper) | {"piece.kind": "box", "piece.size": "as big as a dog"})
    assert answer.status_code == 422
    assert 'id="f-piece.size-fault"' in answer.content.decode()
    assert "as big as a dog" in answer.content.decode()
    assert StockRow.objects.count() == 0


def test_what_is_no_photograph_is_told_and_loses_nothing(helper, db):
    not_one = SimpleUploadedFile("door.png", b"%PDF-1.7 nothing", "image/png")
    sent = form(helper) | {"piece.kind": "box", "photograph": [not_one, photograph()]}
    page = helper.post("/new/", sent, follow=True).content.decode()
    assert "door.png" in page
    assert "PDF" in page
    assert len(survey_of(StockRow.objects.get().piece).photograph) == 1


def test_a_page_sent_twice_makes_one_piece(helper, db):
    sent = form(helper) | {"piece.kind": "box"}
    helper.post("/new/", sent)
    helper.post("/new/", sent)
    assert StockRow.objects.count() == 1


def test_the_next_number_is_offered_where_pieces_go_by_number(helper, db):
    assert form(helper)["piece.code"] == "1"
    helper.post("/new/", form(helper) | {"piece.kind": "box", "piece.code": "99"})
    assert form(helper)["piece.code"] == "100"
