"""The handing-in receipt: gone through together, signed on the screen by finger or by a typed name."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from forms_sent import form_of
from witnessmark.daybook import What
from witnessmark.desk.receipt import typed_signature
from witnessmark.record import Photograph, daybook_of, latest, survey_of


@pytest.fixture(autouse=True)
def _own_folder(settings, tmp_path):
    settings.DATA = tmp_path


def picture(colour, name):
    out = io.BytesIO()
    Image.new("RGB", (80, 40), colour).save(out, "PNG")
    return SimpleUploadedFile(name, out.getvalue(), "image/png")


def sent(**said):
    return {
        "name": "Mx Penwhistle",
        "keys": "2",
        "shelves": "0",
        "loose_bits": "a finial\na bag of screws",
        "contents": ["a letter", "three buttons", ""],
        "returned": ["yes", "no", "don't know"],
        "spend_up_to": "£200",
        "may_say_yes": "her brother, by telephone",
        "signature": picture("white", "signature.png"),
    } | said


def signed(piece):
    return [entry for entry in daybook_of(piece).entries if entry.what is What.SIGNED]


def test_it_is_signed_with_a_finger(helper, demo_shop):
    chair = demo_shop("chair")
    assert helper.post(f"/p/{chair}/receipt/", sent()).status_code == 302
    entry = signed(chair)[0]
    assert entry.to == "handing-in receipt"
    assert Photograph.objects.filter(sha256=entry.photograph).exists()
    for words in (
        "Mx Penwhistle",
        "keys: 2; shelves: 0; a finial; a bag of screws",
        "a letter, given back",
        "£200",
        "her brother",
    ):
        assert words in entry.note
    survey = survey_of(chair)
    assert survey.piece.loose_bits == ("a finial", "a bag of screws")
    assert survey.wishes.spend_up_to.text == "£200"
    handed = survey.handed_in
    assert (handed.keys, handed.shelves, handed.who) == (2, 0, "Mx Penwhistle")
    assert handed.may_say_yes == "her brother, by telephone"
    assert handed.on == entry.happened.date()
    assert [(one.what, one.returned) for one in handed.contents] == [("a letter", "yes"), ("three buttons", "no")]
    assert latest(chair).number == 2
    assert "Signed" in helper.get(f"/p/{chair}/receipt/").content.decode()


def test_by_keyboard_the_typed_name_stands_for_it(helper, demo_shop):
    chair = demo_shop("chair")
    answer = helper.post(f"/p/{chair}/receipt/", sent(signature="", by_typing="yes"))
    assert answer.status_code == 302
    assert signed(chair)[0].photograph
    assert Image.open(io.BytesIO(typed_signature("Mx Penwhistle", "today"))).size == (900, 240)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"signature": ""}, "Sign with a finger"),
        ({"name": ""}, "a name"),
        ({"spend_up_to": "plenty"}, "plenty"),
        ({"keys": "a few"}, "a few"),
        ({"shelves": "-1"}, "-1"),
    ],
)
def test_what_is_wanting_is_told_and_nothing_is_signed(helper, demo_shop, said, words):
    chair = demo_shop("chair")
    answer = helper.post(f"/p/{chair}/receipt/", sent(**said))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert "a finial" in page
    assert 'value="three buttons"' in page
    assert not signed(chair)
    assert latest(chair).number == 1


def photographed(client, piece):
    """The SHA-256 of a photograph just added to the piece."""
    client.post(f"/p/{piece}/photographs/", {"photograph": picture("red", "seat.png")})
    return survey_of(piece).photograph[-1].sha256


def test_damage_pointed_at_is_still_there_when_something_else_was_amiss(helper, demo_shop):
    chair = demo_shop("chair")
    spot = f"{photographed(helper, chair)} 0.25 0.5"
    page = helper.post(f"/p/{chair}/receipt/", sent(name="", damage=["stain"], where=["arm, right"], spot=[spot]))
    assert 'value="arm, right"' in page.content.decode()
    assert f'value="{spot}"' in page.content.decode()
    assert not survey_of(chair).damage_marks()


def test_damage_touched_on_the_photograph_is_a_thing_amiss_and_its_mark(helper, demo_shop):
    chair = demo_shop("chair")
    sha256, before = photographed(helper, chair), len(survey_of(chair).condition)
    damage = {
        "damage": ["split", "", "stain"],
        "where": ["seat, front", "", ""],
        "spot": ["", "", f"{sha256} 0.25 0.5"],
    }
    assert helper.post(f"/p/{chair}/receipt/", sent(**damage)).status_code == 302
    survey = survey_of(chair)
    assert [(one.term, one.note) for one in survey.condition[before:]] == [("split", "seat, front"), ("stain", "")]
    ((number, marked, mark),) = survey.damage_marks()
    assert (number, marked) == (before + 2, sha256)
    assert (mark.says, mark.x, mark.y) == ("stain", 0.25, 0.5)


@pytest.mark.parametrize("spot", ["nonsense", "f" * 64 + " 0.5 0.5", "{} 0.5", "{} a b"])
def test_a_place_on_no_photograph_of_it_leaves_the_damage_in_words(helper, demo_shop, spot):
    chair = demo_shop("chair")
    sha256 = photographed(helper, chair)
    helper.post(f"/p/{chair}/receipt/", sent(damage=["stain"], where=["seat"], spot=[spot.format(sha256)]))
    assert survey_of(chair).condition[-1].note == "seat"
    assert not survey_of(chair).damage_marks()


def test_a_place_off_the_picture_signs_nothing(helper, demo_shop):
    chair = demo_shop("chair")
    spot, number = f"{photographed(helper, chair)} 1.5 0.5", latest(chair).number
    assert helper.post(f"/p/{chair}/receipt/", sent(damage=["stain"], spot=[spot])).status_code == 422
    assert latest(chair).number == number
    assert not signed(chair)


def test_the_mark_is_seen_on_the_piece_and_can_be_taken_away(helper, demo_shop):
    chair = demo_shop("chair")
    sha256 = photographed(helper, chair)
    helper.post(f"/p/{chair}/receipt/", sent(damage=["stain"], where=["seat"], spot=[f"{sha256} 0.25 0.5"]))
    number = str(len(survey_of(chair).condition))
    marks = f"/p/{chair}/photographs/{sha256}/"
    for page in (f"/p/{chair}/", f"/p/{chair}/apart/", marks, f"/p/{chair}/receipt/?of={sha256}"):
        assert f"{number}, stain: seat: middle left." in helper.get(page).content.decode()
    helper.post(marks, {"away_damage": number})
    assert not survey_of(chair).damage_marks()
    assert survey_of(chair).condition[-1].note == "seat"  # what is amiss stays


def test_a_part_marked_on_the_same_photograph_leaves_the_damage(helper, demo_shop):
    chair = demo_shop("chair")
    sha256 = photographed(helper, chair)
    helper.post(f"/p/{chair}/receipt/", sent(damage=["stain"], spot=[f"{sha256} 0.25 0.5"]))
    code, marks = survey_of(chair).part[0].code, f"/p/{chair}/photographs/{sha256}/"
    helper.post(marks, {"code": code, "x": "0.5", "y": "0.5"})
    assert [mark.code or mark.says for mark in survey_of(chair).photograph[-1].mark] == ["stain", code]
    part = helper.get(f"/p/{chair}/{code}/").content.decode()
    assert f"{code}: centre." in part
    assert "stain: middle left" not in part  # a part's page shows its own marks only
    helper.post(marks, {"code": code, "away": "yes"})
    assert [mark.says for mark in survey_of(chair).photograph[-1].mark] == ["stain"]


def test_what_was_gone_through_stands_in_the_survey_and_its_form(helper, demo_shop):
    chair = demo_shop("chair")
    helper.post(f"/p/{chair}/receipt/", sent())
    form = form_of(helper, chair, "handed_in")
    assert (form["keys"], form["contents[2].what"], form["contents[2].returned"]) == ("2", "three buttons", "no")
    form |= {"shelves": "3", "contents[2].returned": "yes"}
    assert helper.post(f"/p/{chair}/survey/handed_in/", form).status_code == 302
    assert survey_of(chair).handed_in.shelves == 3
    assert [one.returned for one in survey_of(chair).handed_in.contents] == ["yes", "yes"]


def test_a_signature_that_is_no_picture_signs_nothing(helper, demo_shop):
    chair = demo_shop("chair")
    answer = helper.post(f"/p/{chair}/receipt/", sent(signature=SimpleUploadedFile("s.png", b"no picture")))
    assert answer.status_code == 422
    assert latest(chair).number == 1
    assert not signed(chair)


def test_two_taps_sign_once(helper, demo_shop):
    chair = demo_shop("chair")
    entry = "0190a5b2-0000-7000-8000-0000000000ab"
    for _ in range(2):
        helper.post(f"/p/{chair}/receipt/", sent(entry=entry))
    assert len(signed(chair)) == 1
    assert latest(chair).number == 2
