"""Readings for date, wood and finish: ticked seen, not seen or unsure; odds, what disagrees, the next best look."""

import pytest

from witnessmark import evidence
from witnessmark.desk.readings_told import date_told, finish_features, finish_told, wood_told
from witnessmark.finish import spot_tests
from witnessmark.record import survey_of
from witnessmark.wood import lens_features


@pytest.mark.parametrize("about", ["date", "wood", "finish"])
@pytest.mark.parametrize("name", ["chest", "slope", "chair", "dresser"])
def test_each_question_says_what_it_knows_and_what_to_look_at_next(owner, demo_shop, about, name):
    page = owner.get(f"/p/{demo_shop(name)}/read/{about}/")
    text = page.content.decode()
    assert page.status_code == 200
    told = page.context["told"]
    assert told.line in text or told.line.replace("'", "&#x27;") in text
    assert "Look next" in text or told.enough
    for look in page.context["best"]:
        assert look.key in text


def test_the_date_is_the_one_the_papers_print(owner, demo_shop):
    survey = survey_of(demo_shop("chest"))
    dating = evidence.dating_of(survey)
    told = date_told(survey)
    assert told.line.lower().startswith(evidence.ticket(dating).lower())
    page = owner.get(f"/p/{survey.id}/read/date/").content.decode()
    assert "<svg" in page
    assert "The same as a table" in page
    assert str(dating.range50[0]) in page
    for row in told.twin:
        assert row[2] in page.replace("&#x27;", "'")


def test_a_drawing_holds_no_style_that_the_page_would_not_run(owner, demo_shop):
    page = owner.get(f"/p/{demo_shop('chest')}/read/date/").content.decode()
    assert " style=" not in page
    assert "<style" not in page
    assert " style=" not in owner.get(f"/p/{demo_shop('chest')}/read/wood/").content.decode()


def test_a_clue_is_written_down_and_moves_the_date(helper, demo_shop):
    slope = demo_shop("slope")
    before = len(survey_of(slope).reading)
    answer = helper.post(f"/p/{slope}/read/date/", {"feature": "screw_lathe_blunt", "seen": "seen"})
    assert answer.status_code == 302
    reading = survey_of(slope).reading[-1]
    assert (reading.feature, reading.seen.value) == ("screw_lathe_blunt", "seen")
    assert len(survey_of(slope).reading) == before + 1
    assert "Nine times in ten" in helper.get(f"/p/{slope}/read/date/").content.decode()


def test_said_again_of_the_same_part_the_last_word_holds(helper, demo_shop):
    slope = demo_shop("slope")
    for seen in ("seen", "unsure", "not seen"):
        helper.post(f"/p/{slope}/read/date/", {"feature": "screw_lathe_blunt", "seen": seen})
    said = [one.seen.value for one in survey_of(slope).reading if one.feature == "screw_lathe_blunt"]
    assert said == ["not seen"]


def test_a_reading_is_taken_back(helper, demo_shop):
    slope = demo_shop("slope")
    helper.post(f"/p/{slope}/read/date/", {"feature": "screw_lathe_blunt", "seen": "seen"})
    number = helper.get(f"/p/{slope}/read/date/").context["number"]
    at = len(survey_of(slope).reading) - 1
    assert helper.post(f"/p/{slope}/read/date/{at}/back/", {"number": number}).status_code == 302
    assert len(survey_of(slope).reading) == at
    assert helper.post(f"/p/{slope}/read/date/0/back/", {}).status_code == 404


def test_a_feature_nobody_knows_is_refused_with_the_nearest(helper, demo_shop):
    slope = demo_shop("slope")
    answer = helper.post(f"/p/{slope}/read/date/", {"feature": "screw_lathe_blunted", "seen": "seen"})
    assert answer.status_code == 422
    assert "screw_lathe_blunt" in answer.content.decode()


def test_wood_is_read_by_drawn_states_of_one_part(helper, demo_shop):
    chest = demo_shop("chest")
    feature = next(one for one in lens_features() if one.key == "porosity")
    state = feature.states[0].key
    helper.post(f"/p/{chest}/read/wood/", {"feature": "porosity", "state": state, "seen": "seen", "part": "SIDE-L"})
    page = helper.get(f"/p/{chest}/read/wood/?part=SIDE-L").content.decode()
    assert "Of SIDE-L" in page or "SIDE-L</a>" in page
    assert "sketch" in page
    assert wood_told(survey_of(chest), "SIDE-L").said[-1].part == "SIDE-L"


def test_finish_tests_stand_the_mildest_first_with_their_cautions(owner, demo_shop):
    harms = [one.harm for one in finish_features("UK")]
    assert harms == sorted(harms)
    assert len(harms) == len(spot_tests())
    assert all(one.cautions for one in finish_features("UK") if one.harm >= 2)
    page = owner.get(f"/p/{demo_shop('chair')}/read/finish/").content.decode()
    assert "what a solvent lifts does not come back" in page


def test_a_finish_test_is_written_down_with_who_and_when(helper, demo_shop):
    dresser = demo_shop("dresser")
    test = next(one for one in spot_tests() if one.key == "alcohol")
    helper.post(f"/p/{dresser}/read/finish/", {"feature": "alcohol", "state": test.states[0]})
    made = survey_of(dresser).test[-1]
    assert (made.test, made.state, made.who, made.on.isoformat()) == ("alcohol", test.states[0], "Tobias", "2026-11-25")
    assert finish_told(survey_of(dresser)).said


def test_features_are_found_by_any_word(owner, demo_shop):
    slope = demo_shop("slope")
    page = owner.get(f"/p/{slope}/read/date/?q=dovetail")
    keys = [one.key for one in page.context["features"]]
    assert keys
    assert all("dovetail" in f"{one.name} {one.do} {one.group}".lower() for one in page.context["features"])
    assert owner.get(f"/p/{slope}/read/date/?q=zzzz").status_code == 200
    assert owner.get(f"/p/{slope}/read/colour/").status_code == 404
