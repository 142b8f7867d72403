"""What the readings of the date rule out: only what ended before the whole of their 90 % range, and the words too."""

from datetime import date

import pytest

from witnessmark.evidence import dating_of, years_read
from witnessmark.quantities import Percent
from witnessmark.safety import Decision, Facts, hazards_in, laws_of, years_vouched
from witnessmark.survey import survey_from

HEAD = """schema = 1
id = "0192f0c1-2a3b-7c4d-8e5f-60718293a4b5"
[piece]
kind = "chest"
title = "Chest"
made = "{made}"
region = "UK"
note = "arsenic green paint"
[finish]
kind = "oil paint"
"""


def read(*features: str, made: str = "1850", part: str = ""):
    rows = (f'[[reading]]\nabout = "date"\nfeature = "{one}"\nseen = "seen"\nlater = "no"\n' for one in features)
    return survey_from(HEAD.format(made=made) + "".join(rows) + part, "chest.toml")


def found(survey):
    return {one.key: one for one in hazards_in(survey)}


def test_without_readings_the_words_date_it():
    assert years_read(read()) is None
    assert found(read())["arsenic_green"].cites == ("piece.note", "piece.made")


def test_a_danger_that_stays_cites_the_readings_that_date_it():
    survey = read("screw_lathe_blunt", made="don't know")
    (first, last), cites = years_read(survey) or pytest.fail("not dated")
    assert (first, last) == dating_of(survey).range90
    assert first < 1900
    assert cites == ("reading.1",)
    assert found(survey)["arsenic_green"].cites == ("piece.note", "reading.1")
    assert found(read("screw_lathe_blunt"))["arsenic_green"].cites == ("piece.note", "piece.made", "reading.1")


LATE = ("screw_cross_recess", "sec_plywood_drawer")


def test_only_a_range_wholly_after_the_last_year_rules_it_out():
    survey = read(*LATE, made="don't know")
    (first, _), _ = years_read(survey) or pytest.fail("not dated")
    assert first >= 1900
    assert "arsenic_green" not in found(survey)
    assert "old_lead_paint" in found(survey)  # its ban came later


def test_words_and_readings_that_differ_rule_nothing_out_unless_both_do():
    assert "arsenic_green" in found(read(*LATE, made="1850"))
    assert "arsenic_green" in found(read("screw_lathe_blunt", made="1950"))
    assert "arsenic_green" not in found(read(*LATE, made="1950"))


IVORY = '[[part]]\ncode = "E"\nname = "escutcheon"\nmaterial = "ivory"\n'


def readings_of(*features, **said):
    return years_vouched(read(*features, **said))


def test_no_exemption_of_the_law_rests_on_readings_alone():
    (first, last), _ = years_read(read("screw_lathe_blunt")) or pytest.fail("not dated")
    assert readings_of("screw_lathe_blunt", made="don't know") == (None, None)
    assert readings_of("screw_lathe_blunt", made="1830") == (min(1830, first), max(1830, last))
    assert readings_of("screw_lathe_blunt", made="after 1800") == (min(1800, first), None)
    assert readings_of(made="1830") == (1830, 1830)


def test_readings_past_the_cut_off_take_an_exemption_away():
    # UK Ivory Act 2018: made before 3 March 1947 and less than 10 % ivory is exempt once registered.
    exempt = laws_of(read(made="1830", part=IVORY), "UK", "UK", date(2026, 11, 25), Facts(share=Percent(2)))
    assert Decision.WITH_PAPER in {law.strictest for law in exempt if law.member.startswith("ivory")}
    doubted = laws_of(read(*LATE, made="1830", part=IVORY), "UK", "UK", date(2026, 11, 25), Facts(share=Percent(2)))
    assert {law.strictest for law in doubted if law.member.startswith("ivory")} == {Decision.ASK}
