"""Findings: what the survey shows, each with the facts it rests on."""

import pytest

from small_surveys import TOP, condition, finish, survey_with, wishes
from witnessmark.safety import hazards_in
from witnessmark.sources import table
from witnessmark.survey import condition_named
from witnessmark.treatment import findings_in


def keys(*tables: str, piece: str | None = None) -> set[str]:
    survey = survey_with(*tables) if piece is None else survey_with(*tables, piece=piece)
    return {finding.key for finding in findings_in(survey)}


def test_every_term_of_the_findings_table_is_a_condition_term():
    for row in table("treatment", "findings.csv", key="term"):
        assert condition_named(row.key).term == row.key


def test_an_unknown_finish_is_a_finding_and_not_a_sound_film():
    assert "film_unknown" in keys(finish("don't know"))
    assert "film_sound" not in keys(finish("don't know"))


def test_a_known_film_with_nothing_amiss_is_sound():
    assert "film_sound" in keys(finish("shellac"))


@pytest.mark.parametrize(
    ("term", "severity", "finding"),
    [
        ("crazing", "slight", "finish_broken"),
        ("crazing", "major", "finish_ruined"),
        ("flight holes, active", "moderate", "live_insects"),
        ("active woodworm", "moderate", "live_insects"),
        ("mildew", "slight", "mould"),
        ("veneer lifting", "slight", "veneer_lifting"),
        ("rot", "major", "ruinous"),
    ],
)
def test_what_is_amiss_becomes_a_finding_of_the_trade(term, severity, finding):
    assert finding in keys(finish("shellac"), condition(term, severity=severity))


def test_old_worm_holes_ask_for_nothing():
    found = keys(finish("shellac"), condition("flight holes, old"))
    assert "live_insects" not in found
    assert "film_sound" in found


@pytest.mark.parametrize(("made", "lead"), [("about 1870", True), ("don't know", True), ("2005", False)])
def test_old_oil_paint_holds_lead_until_its_date_rules_it_out(made, lead):
    survey = survey_with(finish("oil paint"), piece=f'[piece]\nkind = "chest"\nmade = "{made}"\n')
    found = {finding.key for finding in findings_in(survey, hazards_in(survey))}
    assert ("old_lead_paint" in found) is lead


def test_a_top_glued_across_its_grain_is_blocked_and_a_slotted_one_is_not():
    joint = '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE"]\nheld = ["screwed"]\nacross_grain = "yes"\n'
    split = condition("split", "TOP")
    assert "blocked_movement" in keys(TOP, joint, split)
    assert "blocked_movement" not in keys(TOP, joint + 'slack = "12 mm"\n', split)
    assert "blocked_movement" not in keys(TOP, joint.replace('"yes"', '"no"'), split)
    assert "blocked_movement" not in keys(TOP, joint)  # it holds, though it is blocked: it is left alone


def test_blocked_movement_says_how_far_the_wood_moves_and_rests_on_its_facts():
    joint = (
        '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE"]\nheld = ["screwed"]\nacross_grain = "yes"\nslack = "1 mm"\n'
    )
    found = findings_in(survey_with(TOP, joint, condition("split", "TOP")))
    (blocked,) = [f for f in found if f.key == "blocked_movement"]
    assert blocked.cites == (
        "joint.J1.across_grain", "joint.J1.held", "part.TOP.size", "joint.J1.slack", "condition.split.TOP",
    )  # fmt: skip
    assert blocked.working is not None
    assert "1 mm" in blocked.says


def test_a_missing_handle_is_metal_to_find_and_not_wood_to_make():
    handle = '[[part]]\ncode = "PULL"\nname = "handles"\nshape = "hardware"\n'
    found = keys(handle, condition("missing", "PULL"))
    assert "missing_metal" in found
    assert "missing" not in found


def test_a_missing_part_of_unknown_make_is_looked_at_first():
    assert "missing_unknown" in keys(condition("missing"))
    assert "missing" in keys(TOP, condition("missing", "TOP"))


def test_thin_veneer_is_said_where_it_was_measured():
    assert "veneer_thin" in keys('[[part]]\ncode = "TOP"\nname = "top"\nveneer_thickness = "0.4 mm"\n')
    assert "veneer_thin" not in keys('[[part]]\ncode = "TOP"\nname = "top"\nveneer_thickness = "1.2 mm"\n')


def test_wishes_are_findings_and_not_knowing_them_is_none():
    assert {"keep_surface", "gloss_wanted"} <= keys(wishes(keep="old surface", sheen="gloss"))
    assert not {"keep_surface", "gloss_wanted"} & keys(wishes(keep="don't know", sheen="don't know"))


def test_every_finding_but_the_absences_cites_a_fact():
    survey = survey_with(TOP, finish("shellac", 'waxed_over = "yes"'), condition("split", "TOP"), wishes(keep="colour"))
    for finding in findings_in(survey):
        assert finding.cites or finding.key == "not_ruinous"
