"""Five odd pieces, surveyed from scratch: what a restorer would do to each, in which order, and what nobody may do."""

from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from pieces import NOW, shop
from witnessmark.daybook import DayBook
from witnessmark.plan import PiecePlan, plan_piece, survey_words
from witnessmark.survey import survey_from

ODD = Path(__file__).parent / "odd"
NAMES = sorted(path.stem for path in ODD.glob("*.toml"))


@cache
def plan(name: str) -> PiecePlan:
    text = (ODD / f"{name}.toml").read_text("utf-8")
    survey = survey_from(text, f"{name}.toml", shop().context, survey_words())
    return plan_piece(survey, shop(), DayBook(), NOW)


def chosen(name: str) -> str:
    return next(way.offered.key for way in plan(name).ways if way.chosen)


def rules(name: str) -> list[str]:
    """Its rules in the order of the days, jars left out."""
    return [step.step.rule for step in plan(name).steps if step.step.rule not in {"mix", "stir", "soak"}]


def starts(name: str) -> dict[str, object]:
    return {step.step.rule: step.starts for step in plan(name).steps}


def reasons(name: str, rule: str) -> str:
    (step,) = [step.step for step in plan(name).steps if step.step.rule == rule]
    return " ".join(reason.says for reason in step.why)


def in_order(name: str, *wanted: str) -> None:
    at = starts(name)
    for before, after in pairwise(wanted):
        assert at[before] <= at[after], (before, after)


def test_all_five_are_there():
    assert NAMES == ["bed", "card_table", "coffer", "mirror", "rush_chair"]


@pytest.mark.parametrize("name", NAMES)
def test_nothing_of_the_old_surface_is_taken_off(name):
    # All five owners asked for the old surface.
    assert not {"strip", "wash_down", "flatten", "body_up", "brush_coats", "oil_coats"} & set(rules(name))


@pytest.mark.parametrize("name", NAMES)
def test_every_step_has_its_day_and_its_reason(name):
    for step in plan(name).steps:
        assert step.slots, step.step.id
        assert step.step.why[0].says


# --- the bed: out of a barn, worm in a slat, bolts loose, a side rail split ---


def test_the_bed_is_isolated_before_anything_and_comes_into_condition_before_glue():
    in_order("bed", "record", "isolate", "condition", "dust_off", "clean", "close_split")
    waited = starts("bed")["condition"] - starts("bed")["isolate"]
    assert waited.days >= 14  # two to four weeks of dated dust counts: common practice


def test_bolts_are_tightened_and_never_glued():
    assert "tighten" in rules("bed")
    assert not {"glue_up", "open_joints", "joint_clean", "dry_fit", "spring_joints"} & set(rules("bed"))


def test_one_slight_scratch_does_not_bring_polish_over_a_whole_bed():
    assert chosen("bed") == "clean_wax"
    assert "thin_polish" not in rules("bed")
    in_order("bed", "colour_film", "wax")


# --- the mirror: gilt, flaking, leaves lost, the plate gone grey ---


def test_the_mirror_is_secured_before_it_is_dusted_and_then_made_good():
    assert chosen("mirror") == "keep_gilding"
    in_order("mirror", "condition", "secure_flaking", "dust_off", "gesso", "gild", "photograph_after")


def test_gilding_is_never_wiped_waxed_coloured_or_let_into():
    forbidden = {"clean", "dewax", "wax", "thin_polish", "seal", "colour_bare", "colour_film", "patch", "level", "fill"}
    assert not forbidden & set(rules("mirror"))
    assert not any(need.material == "water" for step in plan("mirror").steps for need in step.step.needs)
    allowed = {way.offered.key for way in plan("mirror").ways if way.offered.allowed}
    assert allowed == {"leave_record", "keep_gilding", "sell_as_found"}


def test_the_old_plate_is_left_and_its_mercury_said():
    assert "mirror" in rules("mirror")
    assert any(caution.key == "mercury_mirror" for caution in plan("mirror").cautions)


def test_rubbed_gilding_is_left_as_it_is():
    # Abrasion through to the bole is age: only the losses are made good.
    (gild,) = [step.step for step in plan("mirror").steps if step.step.rule == "gild"]
    assert gild.parts == ("LEAVES",)
    assert gild.count == 2


# --- the card table: baize, lifting veneer, rosewood banding, a warped leaf ---


def test_the_card_tables_veneer_is_laid_before_any_cloth_passes():
    in_order("card_table", "secure_veneer", "dust_off", "clean", "dewax_spots", "patch", "level", "colour_bare", "wax")


def test_new_rosewood_is_never_let_in():
    assert "pear" in reasons("card_table", "patch")
    assert "Rosewood is listed" in reasons("card_table", "patch")


def test_baize_is_new_baize_and_not_a_seat_and_comes_after_the_wax():
    in_order("card_table", "wax", "baize", "photograph_after")
    assert not {"seat", "seat_out", "tack_rot", "woven_out"} & set(rules("card_table"))


def test_a_warped_leaf_is_recorded_and_not_forced():
    parts = {part for step in plan("card_table").steps if step.step.faces == () for part in step.step.parts}
    assert parts & {"LEAF"} == {"LEAF"}  # the ring mark on it is touched up
    assert not {"close_split", "free_fixing", "open_joints", "glue_up"} & set(rules("card_table"))


def test_hinges_that_are_sound_stay_on_for_a_clean_and_wax():
    assert not {"hardware_off", "hardware_back", "metal_clean"} & set(rules("card_table"))


# --- the coffer: one board lid split by its cleats, old wax, old worm, rusted straps ---


def test_the_coffers_lid_is_freed_before_it_is_closed():
    in_order("coffer", "condition", "clean", "free_fixing", "close_split", "colour_bare", "wax")
    assert "with the seasons" in reasons("coffer", "free_fixing")


def test_old_dark_worm_holes_ask_for_nothing():
    assert not {"isolate", "fill", "patch"} & set(rules("coffer"))


def test_nailed_straps_are_cleaned_where_they_are():
    assert "metal_clean" in rules("coffer")
    assert not {"metal_off", "metal_back", "hardware_off"} & set(rules("coffer"))


def test_a_waxed_piece_gets_wax_and_no_film():
    assert chosen("coffer") == chosen("rush_chair") == "clean_wax"
    assert not {"seal_repairs", "colour_film", "thin_polish", "seal"} & set(rules("coffer"))


# --- the chair: the rush gone, rungs loose, wax good ---


def test_the_rush_goes_first_and_comes_back_last():
    in_order("rush_chair", "record", "woven_off", "open_joints", "glue_up", "wax", "woven_out", "photograph_after")


def test_the_rush_workers_weeks_set_the_last_day():
    # one to eight weeks: common practice
    assert (starts("rush_chair")["photograph_after"] - starts("rush_chair")["woven_out"]).days >= 7


def test_rush_is_not_upholstery_and_worn_rungs_are_left():
    assert not {"seat", "seat_out", "tack_rot", "patch", "turn_missing", "make_missing", "level"} & set(
        rules("rush_chair")
    )
    assert not {"colour_bare", "sample"} & set(rules("rush_chair"))


def test_rungs_are_glued_within_the_open_time():
    stages = plan("rush_chair").apart.stages
    assert stages
    assert all(stage.fits for stage in stages)
