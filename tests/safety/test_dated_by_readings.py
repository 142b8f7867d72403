"""What the readings of the date rule out: only what ended before the whole of their 90 % range."""

import pytest

from witnessmark.evidence import dating_of, years_read
from witnessmark.safety import hazards_in
from witnessmark.survey import survey_from

HEAD = """schema = 1
id = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
[piece]
kind = "chest"
title = "Chest"
made = "1850"
region = "UK"
note = "arsenic green paint"
[finish]
kind = "oil paint"
"""


def read(*features: str):
    rows = (f'[[reading]]\nabout = "date"\nfeature = "{one}"\nseen = "seen"\nlater = "no"\n' for one in features)
    return survey_from(HEAD + "".join(rows), "chest.toml")


def found(survey):
    made, dated_by = years_read(survey) or (None, ("piece.made",))
    return {one.key: one for one in hazards_in(survey, made, "UK", dated_by)}


def test_without_readings_the_words_date_it():
    assert years_read(read()) is None
    assert "piece.made" in found(read())["arsenic_green"].cites


def test_a_danger_that_stays_cites_the_readings_that_date_it():
    survey = read("screw_lathe_blunt")
    (first, last), cites = years_read(survey) or pytest.fail("not dated")
    assert (first, last) == dating_of(survey).range90
    assert first < 1900
    assert cites == ("reading.1",)
    assert "reading.1" in found(survey)["arsenic_green"].cites
    assert "piece.made" not in found(survey)["arsenic_green"].cites


def test_only_a_range_wholly_after_the_last_year_rules_it_out():
    survey = read("screw_cross_recess", "sec_plywood_drawer")
    (first, _), _ = years_read(survey) or pytest.fail("not dated")
    assert first >= 1900
    assert "arsenic_green" not in found(survey)
    assert "old_lead_paint" in found(survey)  # its ban came later
