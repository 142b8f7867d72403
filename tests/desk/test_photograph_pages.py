"""Photographs from a phone, many at once, and the marks put on them."""

import io

import pytest
from django.urls import reverse
from PIL import Image

import pieces
from lying_apart import PAGE, new_part, picture, text
from witnessmark.record import (
    Photograph,
    album,
    survey_of,
)

pytestmark = pytest.mark.usefixtures("a_minute_each")


# ---- photographs ----


def test_many_photographs_come_at_once_and_stand_in_the_survey(helper, bare):
    sent = [picture("sienna"), picture("olive"), picture("teal", form="PNG")]
    response = helper.post(reverse("more_photographs", args=[bare]), {"photograph": sent})
    assert response.status_code == 302
    kept = survey_of(bare).photograph
    assert len(kept) == 3
    assert Photograph.objects.count() == 3
    assert all(album().original(one.sha256).is_file() for one in kept)


def test_the_same_photograph_again_is_there_once(helper, bare, seen):
    helper.post(reverse("more_photographs", args=[bare]), {"photograph": picture()})
    assert [one.sha256 for one in survey_of(bare).photograph] == [seen]


def test_a_phones_heic_is_shown_as_jpeg(helper, bare):
    with (pieces.DEMO.parent / "tests/record/lying_on_its_side.heic").open("rb") as heic:
        helper.post(reverse("more_photographs", args=[bare]), {"photograph": heic})
    (one,) = survey_of(bare).photograph
    response = helper.get(reverse("photograph", args=[one.sha256, "phone"]))
    assert response["Content-Type"] == "image/jpeg"
    assert Image.open(io.BytesIO(response.content)).format == "JPEG"


def test_one_that_is_no_photograph_is_refused_by_name_and_the_others_are_kept(helper, bare):
    wrong = io.BytesIO(b"%PDF-1.7 a bill")
    wrong.name = "bill.jpg"
    helper.post(reverse("more_photographs", args=[bare]), {"photograph": [picture(), wrong]})
    assert len(survey_of(bare).photograph) == 1
    page = helper.get(reverse("piece", args=[bare]))
    assert "bill.jpg: This is a PDF" in text(page)


@pytest.mark.parametrize(("bytes_at_most", "status"), [(None, 415), (3, 413)])
def test_what_is_not_taken_is_said_with_the_limits(helper, bare, monkeypatch, bytes_at_most, status):
    if bytes_at_most:
        from witnessmark.record import pictures

        small = pictures.Limits(bytes=bytes_at_most)
        monkeypatch.setattr("witnessmark.desk.photographs.LIMITS", small)
    wrong = io.BytesIO(b"GIF89a a moving one")
    wrong.name = "dance.gif"
    response = helper.post(reverse("more_photographs", args=[bare]), {"photograph": wrong})
    assert response.status_code == status
    assert "dance.gif" in text(response)
    assert "megapixels each" in text(response)
    assert not survey_of(bare).photograph


def test_a_script_that_sends_one_by_one_is_told_where_to_go_on(helper, bare):
    response = helper.post(
        reverse("more_photographs", args=[bare]), {"photograph": picture(), "next": "new_part"},
        headers={"Accept": "application/json"},
    )  # fmt: skip
    said = response.json()
    assert said["refused"] == []
    assert said["next"] == f"{reverse('new_part', args=[bare])}?photograph={said['kept'][0]}"


def test_a_photograph_is_kept_for_good_by_the_browser_and_asked_for_once(reader, seen):
    address = reverse("photograph", args=[seen, "small"])
    first = reader.get(address)
    assert first.status_code == PAGE
    assert "immutable" in first["Cache-Control"]
    again = reader.get(address, headers={"If-None-Match": first["ETag"]})
    assert again.status_code == 304
    assert not again.content


def test_the_original_is_for_those_who_work_here(owner, helper, reader, seen):
    address = reverse("photograph", args=[seen, "original"])
    assert reader.get(address).status_code == 403
    for client in (helper, owner):
        response = client.get(address)
        assert response.content == picture().getvalue()


@pytest.mark.parametrize("size", ["small", "huge", "original"])
def test_a_photograph_that_is_not_here_is_not_found(helper, size):
    assert helper.get(reverse("photograph", args=["0" * 64, size])).status_code == 404
    assert helper.get(f"/photographs/passwd/{size}").status_code == 404


# ---- marks ----


def test_a_mark_is_put_moved_and_taken_away(helper, bare, seen):
    new_part(helper, bare, name="top")
    address = reverse("marks", args=[bare, seen])
    helper.post(address, {"code": "TOP", "x": "0.2", "y": "0.3", "up": "-90"})
    (mark,) = survey_of(bare).photograph[0].mark
    assert (mark.x, mark.y, mark.up) == (0.2, 0.3, 270)
    helper.post(address, {"code": "TOP", "x": "7", "y": "-3"})
    (mark,) = survey_of(bare).photograph[0].mark
    assert (mark.x, mark.y, mark.up) == (1, 0, None)
    helper.post(address, {"code": "TOP", "away": "yes"})
    assert not survey_of(bare).photograph[0].mark


def test_a_mark_wants_a_place(helper, bare, seen):
    new_part(helper, bare, name="top")
    helper.post(reverse("marks", args=[bare, seen]), {"code": "TOP", "x": "here"})
    assert not survey_of(bare).photograph[0].mark
    assert "Tap where it sat" in text(helper.get(reverse("apart", args=[bare])))
