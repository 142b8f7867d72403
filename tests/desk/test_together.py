"""Putting back: last off first, every fixing to its ending, together only when none is open."""

import re

import pytest
from django.urls import reverse

from lying_apart import back, entry, new_part, now, text
from witnessmark.plan import stage_of
from witnessmark.record import (
    daybook_of,
    survey_of,
)

pytestmark = pytest.mark.usefixtures("a_minute_each")


# ---- putting back ----


@pytest.fixture
def apart(helper, bare, seen) -> str:
    """The chest with its top off, held by three screws, and a nameless part."""
    new_part(helper, bare, photograph=seen, name="top", fixings="3", kind="screw", fixings_kept="bag 3")
    new_part(helper, bare, photograph=seen, x="0.5", y="0.5")
    return bare


def test_the_last_off_goes_back_first(helper, apart):
    said = text(helper.get(reverse("together", args=[apart])))
    assert said.index("P1 is back") < said.index("TOP is back")


def test_it_is_not_together_while_one_is_open_and_it_says_which(helper, apart):
    back(helper, apart, "P1")
    back(helper, apart, "TOP")
    page = text(helper.get(reverse("together", args=[apart])))
    assert "Not together yet" in page
    assert "S2 of TOP, kept in bag 3: still open" in page
    helper.post(reverse("call_together", args=[apart]), {"entry": entry()})
    assert "Not together yet. S1 of TOP" in text(helper.get(reverse("together", args=[apart])))
    assert stage_of(survey_of(apart), daybook_of(apart)).stage.value != "together"


def test_all_of_its_fixings_are_back_in_one_tap_and_it_is_together(helper, apart):
    back(helper, apart, "P1")
    back(helper, apart, "TOP", fixings="all")
    assert now(apart).together
    assert stage_of(survey_of(apart), daybook_of(apart)).stage.value == "together"


def test_back_is_undone_with_its_fixings(helper, apart):
    back(helper, apart, "TOP", fixings="all")
    page = helper.get(reverse("together", args=[apart])).content.decode()
    helper.post(re.findall(r'action="([^"]*/undo/[^"]*)"', page)[-1].replace("&amp;", "&"))
    assert {one.code for one in now(apart).off} == {"TOP", "P1"}
    assert len(now(apart).open) == 3


def test_a_fixing_ends_back_not_going_back_or_replaced(helper, apart):
    address = reverse("fixings", args=[apart])
    helper.post(address, {"fixing": "S1", "ends": "not going back", "words": "a later screw"})
    helper.post(address, {"fixing": "S2", "ends": "replaced", "words": "a screw of the same gauge"})
    helper.post(address, {"fixing": "S3", "ends": "back"})
    ends = {one.code: (one.ends.value, one.why, one.by) for one in survey_of(apart).joint[0].fixing}
    assert ends == {
        "S1": ("not going back", "a later screw", ""),
        "S2": ("replaced", "", "a screw of the same gauge"),
        "S3": ("back", "", ""),
    }
    helper.post(address, {"fixing": "S1", "ends": "open"})
    assert [one.fixing.code for one in now(apart).open] == ["S1"]


def test_an_ending_is_undone_in_one_tap(helper, apart):
    helper.post(reverse("fixings", args=[apart]), {"fixing": ["S1", "S2"], "ends": "back"})
    assert len(now(apart).open) == 1
    page = helper.get(reverse("together", args=[apart])).content.decode()
    undo = [address for address in re.findall(r'action="([^"]+)"', page) if "ends=open" in address]
    helper.post(undo[-1].replace("&amp;", "&"))
    assert len(now(apart).open) == 3


def test_one_that_is_not_going_back_wants_its_reason(helper, apart):
    helper.post(reverse("fixings", args=[apart]), {"fixing": "S1", "ends": "not going back", "words": ""})
    assert len(now(apart).open) == 3
    assert "S1: say why not." in text(helper.get(reverse("together", args=[apart])))


def test_glue_ups_stand_by_stage_with_seconds_against_the_open_time(helper, demo_shop):
    chair = demo_shop("chair")
    said = text(helper.get(reverse("together", args=[chair])))
    assert "Glue-ups, by stage" in said
    stages = now(chair).stages
    assert len(stages) >= 1
    assert said.count("Open time") == len(stages)
    for stage in stages:
        assert ", ".join(stage["joints"]) in said
