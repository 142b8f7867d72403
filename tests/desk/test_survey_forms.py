"""The forms of a survey: one description, don't know first, faults beside their field, two people at once."""

from zoneinfo import ZoneInfo

import pytest

import pieces
from forms_sent import form_of
from witnessmark.desk.survey_forms import BY_KEY, SECTIONS, changes_in, fields_of, not_asked
from witnessmark.documents import json_of
from witnessmark.record import Revision, latest, survey_of

ZONE = ZoneInfo("Europe/London")


def test_every_key_of_the_survey_is_asked_for_somewhere():
    assert not_asked() == {}


@pytest.mark.parametrize("name", pieces.PIECES)
def test_a_form_sent_back_as_it_stands_changes_nothing(name):
    body = json_of(pieces.piece(name))
    for section in SECTIONS:
        for table in body.get(section.key, []) if section.many else [body.get(section.key, {})]:
            shown = {field.name: field.value for field in fields_of(section, table, [], ZONE)}
            assert changes_in(section, table, shown, ZONE) == {}


@pytest.mark.parametrize(("table", "key"), [("finish", "kind"), ("part", "shape"), ("wishes", "keep"),
                                            ("joint", "state"), ("piece", "veneered")])  # fmt: skip
def test_dont_know_is_the_first_choice(table, key):
    field = next(one for one in fields_of(BY_KEY[table], {}) if one.name == key)
    assert field.options[0][1] == "Don’t know"
    assert field.value == field.options[0][0]


@pytest.mark.parametrize("section", [section.key for section in SECTIONS])
def test_every_section_opens_filled_and_empty(owner, demo_shop, section):
    chest = demo_shop("chest")
    assert owner.get(f"/p/{chest}/survey/{section}/").status_code == 200
    if BY_KEY[section].many:
        assert owner.get(f"/p/{chest}/survey/{section}/new/").status_code == 200
        rows = json_of(pieces.chest()).get(section)
        assert owner.get(f"/p/{chest}/survey/{section}/1/").status_code == (200 if rows else 404)
        assert owner.get(f"/p/{chest}/survey/{section}/999/").status_code == 404


@pytest.mark.parametrize("address", ["survey/nonsense/", "survey/part/0/", "survey/part/x/", "survey/piece/1/",
                                     "survey/decision/"])  # fmt: skip
def test_a_place_no_survey_has_is_not_found(owner, demo_shop, address):
    chest = demo_shop("chest")
    assert owner.get(f"/p/{chest}/{address}").status_code == 404


def test_an_amount_is_kept_in_the_words_it_was_written_in(helper, demo_shop):
    chair = demo_shop("chair")
    sent = form_of(helper, chair, "piece") | {"size": "23 1/2 x 24 x 41 in"}
    assert helper.post(f"/p/{chair}/survey/piece/", sent).status_code == 302
    assert survey_of(chair).piece.size.text == "23 1/2 x 24 x 41 in"
    assert latest(chair).who == "Tobias"


def test_what_is_wrong_stays_in_its_field_with_the_fault_beside_it(helper, demo_shop):
    chair = demo_shop("chair")
    sent = form_of(helper, chair, "piece") | {"size": "rather large", "show_wood": "mahogny", "title": "Kept words"}
    answer = helper.post(f"/p/{chair}/survey/piece/", sent)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'value="rather large"' in page
    assert 'value="Kept words"' in page
    assert 'id="f-size-fault"' in page
    assert "mahogany" in page  # the nearest right word
    assert latest(chair).number == 1


def test_a_part_is_added_changed_and_taken_out(helper, demo_shop):
    chair = demo_shop("chair")
    parts = len(survey_of(chair).part)
    new = form_of(helper, chair, "part", "new/") | {"code": "STRAY", "name": "stray spindle", "shape": "turned"}
    assert helper.post(f"/p/{chair}/survey/part/new/", new).status_code == 302
    assert survey_of(chair).part[-1].name == "stray spindle"
    sent = form_of(helper, chair, "part", f"{parts + 1}/") | {"name": "back spindle", "show": "all round\nend"}
    helper.post(f"/p/{chair}/survey/part/{parts + 1}/", sent)
    sent = form_of(helper, chair, "part", f"{parts + 1}/")
    helper.post(f"/p/{chair}/survey/part/{parts + 1}/", sent | {"remove": "yes"})
    assert len(survey_of(chair).part) == parts


def test_a_part_that_joints_name_is_not_taken_out_and_it_says_why(helper, demo_shop):
    chest = demo_shop("chest")
    at = [part.code for part in survey_of(chest).part].index("TOP") + 1
    answer = helper.post(f"/p/{chest}/survey/part/{at}/", form_of(helper, chest, "part", f"{at}/") | {"remove": "yes"})
    assert answer.status_code == 422
    assert "joint[1].parts[1]" in answer.content.decode()


def test_a_code_that_another_part_has_is_refused_at_its_field(helper, demo_shop):
    chest = demo_shop("chest")
    sent = form_of(helper, chest, "part", "new/") | {"code": "TOP", "name": "another"}
    answer = helper.post(f"/p/{chest}/survey/part/new/", sent)
    assert answer.status_code == 422
    assert 'id="f-code-fault"' in answer.content.decode()


def test_a_joint_is_written_with_its_fixings(helper, demo_shop):
    chest = demo_shop("chest")
    fixings = len(survey_of(chest).joint[0].fixing)
    sent = form_of(helper, chest, "joint", "1/")
    sent |= {f"fixing[{fixings + 1}].code": "S99", f"fixing[{fixings + 1}].kind": "screw", "fixing[1].ends": "back"}
    assert helper.post(f"/p/{chest}/survey/joint/1/", sent).status_code == 302
    joint = survey_of(chest).joint[0]
    assert [joint.fixing[-1].code, joint.fixing[0].ends.value] == ["S99", "back"]
    assert joint.parts == pieces.chest().joint[0].parts


def test_a_fixing_not_going_back_wants_its_reason(helper, demo_shop):
    chest = demo_shop("chest")
    sent = form_of(helper, chest, "joint", "1/") | {"fixing[1].ends": "not going back"}
    answer = helper.post(f"/p/{chest}/survey/joint/1/", sent)
    assert answer.status_code == 422
    assert 'id="f-fixing[1].why-fault"' in answer.content.decode()


def test_air_is_read_in_the_shops_own_time(helper, demo_shop):
    chest = demo_shop("chest")
    sent = form_of(helper, chest, "air", "new/") | {"at": "2026-11-25T08:30", "temperature": "14 °C", "rh": "61 %"}
    helper.post(f"/p/{chest}/survey/air/new/", sent)
    assert survey_of(chest).air[-1].at.utcoffset().total_seconds() == 0
    assert survey_of(chest).air[-1].rh.text == "61 %"


# ---- two people at once ----


def test_different_keys_of_one_table_go_together(owner, helper, demo_shop):
    chair = demo_shop("chair")
    ines, tobias = form_of(owner, chair, "piece"), form_of(helper, chair, "piece")
    owner.post(f"/p/{chair}/survey/piece/", ines | {"marks": "a stamp beneath the seat"})
    assert helper.post(f"/p/{chair}/survey/piece/", tobias | {"weight": "6.2 kg"}).status_code == 302
    piece = survey_of(chair).piece
    assert (piece.marks, piece.weight.text) == ("a stamp beneath the seat", "6.2 kg")


def both_wrote(owner, helper, chair):
    ines, tobias = form_of(owner, chair, "piece"), form_of(helper, chair, "piece")
    owner.post(f"/p/{chair}/survey/piece/", ines | {"weight": "6 kg"})
    return helper.post(f"/p/{chair}/survey/piece/", tobias | {"weight": "6.2 kg", "marks": "none"})


def test_the_same_key_shows_both_versions(owner, helper, demo_shop):
    chair = demo_shop("chair")
    answer = both_wrote(owner, helper, chair)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Ines wrote here meanwhile" in page
    assert page.index("6 kg") < page.index("6.2 kg")
    assert survey_of(chair).piece.weight.text == "6 kg"


@pytest.mark.parametrize(("take", "kept"), [("theirs", "6 kg"), ("mine", "6.2 kg")])
def test_the_person_chooses_which_of_both_holds(owner, helper, demo_shop, take, kept):
    chair = demo_shop("chair")
    shown = both_wrote(owner, helper, chair).context
    sent = {field.name: field.value for field in shown["fields"]} | {"number": shown["number"], "take.weight": take}
    assert helper.post(f"/p/{chair}/survey/piece/", sent).status_code == 302
    assert (survey_of(chair).piece.weight.text, survey_of(chair).piece.marks) == (kept, "none")


def test_a_part_is_found_again_though_another_was_taken_out_before_it(owner, helper, demo_shop):
    chair = demo_shop("chair")
    new = form_of(owner, chair, "part", "new/") | {"code": "STRAY", "name": "stray"}
    owner.post(f"/p/{chair}/survey/part/new/", new)
    owner.post(f"/p/{chair}/survey/part/new/", form_of(owner, chair, "part", "new/") | {"code": "LAST", "name": "last"})
    rows = [part.code for part in survey_of(chair).part]
    mine = form_of(helper, chair, "part", f"{rows.index('LAST') + 1}/") | {"kept": "tin 4"}
    gone = f"part/{rows.index('STRAY') + 1}/"
    owner.post(f"/p/{chair}/survey/{gone}", form_of(owner, chair, "part", gone[5:]) | {"remove": "yes"})
    assert helper.post(f"/p/{chair}/survey/part/{rows.index('LAST') + 1}/", mine).status_code == 302
    assert survey_of(chair).parts_by_code()["LAST"].kept == "tin 4"


def test_what_was_taken_out_meanwhile_is_told(owner, helper, demo_shop):
    chair = demo_shop("chair")
    owner.post(f"/p/{chair}/survey/part/new/", form_of(owner, chair, "part", "new/") | {"code": "GONE", "name": "x"})
    at = len(survey_of(chair).part)
    mine = form_of(helper, chair, "part", f"{at}/") | {"kept": "tin 4"}
    owner.post(f"/p/{chair}/survey/part/{at}/", form_of(owner, chair, "part", f"{at}/") | {"remove": "yes"})
    page = helper.post(f"/p/{chair}/survey/part/{at}/", mine, follow=True).content.decode()
    assert "Not kept: it was taken out" in page


def test_the_same_words_again_make_no_new_state(helper, demo_shop):
    chair = demo_shop("chair")
    helper.post(f"/p/{chair}/survey/piece/", form_of(helper, chair, "piece"))
    assert Revision.objects.filter(document=chair).count() == 1


def test_a_reader_sees_the_form_and_cannot_keep(reader, demo_shop):
    chair = demo_shop("chair")
    assert ">Keep<" not in reader.get(f"/p/{chair}/survey/piece/").content.decode()
    assert reader.post(f"/p/{chair}/survey/piece/", {}).status_code == 403
