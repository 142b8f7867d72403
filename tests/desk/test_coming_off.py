"""A part is born as it comes off: a tap on its photograph, and off."""

import re

import pytest
from django.urls import reverse

from lying_apart import PAGE, codes, entry, new_part, now, off, text
from witnessmark.daybook import What
from witnessmark.record import (
    DayBookEntry,
    Revision,
    daybook_of,
    survey_of,
)

pytestmark = pytest.mark.usefixtures("a_minute_each")


# ---- a part is born ----


def test_a_part_is_off_by_a_tap_on_its_photograph_and_off(helper, bare, seen):
    new_part(helper, bare, photograph=seen, x="0.25", y="0.75")
    (part,) = survey_of(bare).part
    assert (part.code, part.name) == ("P1", "")
    (mark,) = survey_of(bare).photograph[0].mark
    assert (mark.code, mark.x, mark.y, mark.up) == ("P1", 0.25, 0.75, None)
    assert [one.code for one in now(bare).off] == ["P1"]
    (logged,) = daybook_of(bare).entries
    assert (logged.what, logged.part, logged.photograph, logged.who) == (What.OFF, "P1", seen, "Tobias")


def test_it_is_born_without_a_script_by_one_of_nine_squares_and_eight_ways(helper, bare, seen):
    page = helper.get(reverse("new_part", args=[bare])).content.decode()
    squares = re.findall(r'name="square" value="([^"]+)"', page)
    assert len(squares) == 9
    assert len(re.findall(r'name="up" value="([^"]*)"', page)) == 9  # and “not known”
    new_part(helper, bare, photograph=seen, square=squares[2], up="90", name="drawer")
    (mark,) = survey_of(bare).photograph[0].mark
    assert (mark.code, round(mark.x, 2), round(mark.y, 2), mark.up) == ("D1", 0.83, 0.17, 90)


def test_a_part_may_be_born_without_a_photograph(helper, bare):
    new_part(helper, bare, own_name="wedge under the plinth")
    assert codes(bare) == ["WEDGE"]


def test_two_taps_on_off_are_one_part(helper, bare, seen):
    ident = entry()
    for _ in range(2):
        new_part(helper, bare, photograph=seen, x="0.5", y="0.5", entry=ident)
    assert codes(bare) == ["P1"]
    assert DayBookEntry.objects.filter(piece=bare).count() == 1


def test_its_fixings_come_with_it_and_say_where_they_are_kept(helper, bare, seen):
    new_part(helper, bare, photograph=seen, name="top", fixings="6", kind="screw", fixings_kept="bag 3", kept="rack")
    kept = survey_of(bare)
    (joint,) = kept.joint
    assert joint.parts == ("TOP", "CARC")
    assert [one.code for one in joint.fixing] == ["S1", "S2", "S3", "S4", "S5", "S6"]
    assert {one.kept for one in joint.fixing} == {"bag 3"}
    assert len(now(bare).open) == 6


@pytest.mark.parametrize(("said", "words"), [
    ({"fixings": "many"}, "expected a number"),
    ({"fixings": "4000"}, "a number from 1 to 60"),
    ({"name": "n" * 300}, "200"),
])  # fmt: skip
def test_a_slip_keeps_what_was_typed_and_keeps_nothing_else(helper, bare, seen, said, words):
    response = new_part(helper, bare, photograph=seen, kept="trestle, top", **said)
    assert response.status_code == 422
    assert words in text(response)
    assert "trestle, top" in response.content.decode()
    assert not survey_of(bare).part
    assert not DayBookEntry.objects.filter(piece=bare).exists()


def test_undo_takes_the_part_out_again_and_its_code_is_never_given_again(helper, bare, seen):
    ident = entry()
    new_part(helper, bare, photograph=seen, x="0.5", y="0.5", entry=ident, fixings="2", kind="nail")
    page = helper.get(reverse("new_part", args=[bare])).content.decode()
    undo = re.search(r'action="([^"]*/undo/[^"]*)"', page)[1]
    helper.post(undo)
    assert codes(bare) == ["CARC"]
    assert not survey_of(bare).photograph[0].mark
    assert not now(bare).off
    new_part(helper, bare, photograph=seen)
    assert codes(bare) == ["CARC", "P2"]


def test_codes_are_never_used_again_whatever_comes_and_goes(helper, bare, seen):
    """Property: of all that was ever called something on a piece, no two were called the same."""
    given: list[str] = []
    names = ["", "drawer", "", "top", "drawer", "top", "", "handle", "drawer", "own thing", "own thing", ""]
    for turn, name in enumerate(names * 2):
        ident = entry()
        new_part(helper, bare, photograph=seen, own_name=name, entry=ident, fixings=str(turn % 3), kind="screw")
        parts, joints = survey_of(bare).part, survey_of(bare).joint
        code = daybook_of(bare).entries[-1].part
        given += [code, *(one.code for joint in joints if code in joint.parts for one in joint.fixing)]
        assert code in [part.code for part in parts]
        if turn % 2:
            helper.post(reverse("take_back", args=[bare, ident]) + "?born=1")
            assert code not in codes(bare)
    assert len(given) == len(set(given))
    assert all(re.fullmatch(r"[A-Z0-9][A-Z0-9.-]{0,11}", code) for code in given)


def test_names_wait_till_tea(helper, bare, seen):
    new_part(helper, bare, photograph=seen, x="0.1", y="0.1")
    new_part(helper, bare, photograph=seen, x="0.9", y="0.9")
    page = helper.get(reverse("names", args=[bare]))
    assert page.content.decode().count("<image ") == 2  # a close look at each
    helper.post(reverse("names", args=[bare]), {"name-P1": "back board", "name-P2": ""})
    assert [(part.code, part.name) for part in survey_of(bare).part] == [("P1", "back board"), ("P2", "")]


def test_a_reader_looks_and_changes_nothing(helper, reader, bare, seen):
    new_part(helper, bare, photograph=seen, x="0.1", y="0.1", name="top")
    for name, args in (("apart", []), ("part", ["TOP"]), ("together", []), ("tags", []), ("marks", [seen])):
        page = reader.get(reverse(name, args=[bare, *args]))
        assert page.status_code == PAGE, name
        assert 'class="do-main" type="submit"' not in page.content.decode() or name == "tags"
    assert off(reader, bare, "TOP").status_code == 403
    assert new_part(reader, bare).status_code == 403
    assert codes(bare) == ["TOP"]


def test_only_what_came_off_with_the_entry_is_taken_back_with_it(helper, bare, seen):
    born, later = entry(), entry()
    new_part(helper, bare, photograph=seen, name="top", entry=born)
    helper.post(reverse("back", args=[bare, "TOP"]), {"entry": later})
    for ident in (born, later):
        response = helper.post(reverse("take_back", args=[bare, ident]) + "?born=1", follow=True)
        assert "can’t be taken back" in text(response)
    assert codes(bare) == ["TOP"]


def test_the_survey_and_the_day_book_are_written_together_or_not_at_all(helper, bare, seen, monkeypatch):
    def lost(*_, **__):
        raise RuntimeError("the power went")

    monkeypatch.setattr("witnessmark.desk.coming_off.post_said", lost)
    before = Revision.objects.filter(document=bare).count()
    with pytest.raises(RuntimeError):
        new_part(helper, bare, photograph=seen, name="top")
    assert Revision.objects.filter(document=bare).count() == before
    assert not survey_of(bare).part
