"""Seats, cane, marble, baize, gilding, listed materials: each dealt with as what it is, and by whom it is done."""

import pytest

from small_surveys import CHEST, TOP, condition, decision, finish, survey_with, wishes
from witnessmark.materials import material_keys, wood_keys
from witnessmark.safety import hazards_in
from witnessmark.sources import table
from witnessmark.survey import areas_of, condition_named
from witnessmark.treatment import Undo, chosen_way, findings_in, skipped_in, steps_for, ways_for

CHAIR = '[piece]\nkind = "chair"\nshow_wood = "beech"\n'


def part(code: str, **said: str) -> str:
    lines = "".join(f'{key} = "{value}"\n' for key, value in {"name": code.lower(), **said}.items())
    return f'[[part]]\ncode = "{code}"\n{lines}'


def planned(*tables: str, way: str = "clean_wax", piece: str = CHEST):
    survey = survey_with(*tables, piece=piece)
    hazards = hazards_in(survey)
    findings = findings_in(survey, hazards)
    taken = next(one for one in ways_for(findings, skipped_in(survey))[0] if one.key == way)
    return steps_for(survey, findings, taken, areas_of(survey).total, hazards)


def rules(*tables: str, way: str = "clean_wax", piece: str = CHEST) -> list[str]:
    return [step.rule for step in planned(*tables, way=way, piece=piece)[0]]


def says(step) -> str:
    return " ".join(reason.says for reason in step.why)


LOOSE = '[[joint]]\ncode = "J1"\nparts = ["RAIL", "LEG"]\nheld = ["glued"]\nstate = "loose"\n'
FRAME = part("RAIL", wood="beech", shape="board") + part("LEG", wood="beech", shape="board")


def test_an_upholstered_seat_in_the_order_of_the_trade():
    # trade notes: photograph layers, keep samples, strip, check for tack-rot, glue the frame, back to the upholsterer
    seat = part("SEAT", name="stuffed seat", shape="cloth")
    got = rules(seat, FRAME, LOOSE, finish("shellac"), condition("weak webbing", "SEAT"), piece=CHAIR)
    order = ["record", "seat", "tack_rot", "open_joints", "glue_up", "wax", "seat_out", "photograph_after"]
    assert [rule for rule in got if rule in order] == order


def test_a_drop_in_seat_is_covered_no_thicker():
    def out(name):
        steps, _ = planned(part("SEAT", name=name, shape="cloth"), condition("tear", "SEAT"), piece=CHAIR)
        return says(next(step for step in steps if step.rule == "seat_out"))

    assert "bursts a drop-in frame" in out("drop-in seat")
    assert "bursts" not in out("stuffed-over seat")


def test_torn_cane_goes_to_the_caner_and_sound_worn_cane_stays():
    seat = part("SEAT", name="caned seat")
    torn = rules(seat, condition("tear", "SEAT"), piece=CHAIR)
    assert {"woven_off", "woven_out"} <= set(torn)
    assert not {"seat", "patch", "close_split", "mend_break"} & set(torn)
    assert "woven_out" not in rules(seat, condition("wear", "SEAT"), piece=CHAIR)


def test_marble_is_lifted_before_and_laid_after_and_never_glued_like_wood():
    marble = part("SLAB", name="top", material="white marble")
    got = rules(TOP, marble, finish("shellac"), condition("crack", "SLAB"), condition("stain", "SLAB"))
    assert got.index("stone_off") < got.index("clean") < got.index("stone_back")
    assert {"stone_out", "stone_clean"} <= set(got)
    assert not {"close_crack", "close_split", "mend_break", "colour_film"} & set(got)


@pytest.mark.parametrize(
    ("made", "term", "rule"),
    [
        ({"shape": "leather"}, "brittleness", "leather"),
        ({"shape": "glass"}, "crack", "glass"),
        ({"name": "baize lining"}, "tear", "baize"),
        ({"shape": "hardware", "name": "lock"}, "break", "lock"),
        ({"shape": "hardware"}, "break", "metal_mend"),
        ({"shape": "hardware"}, "missing", "find_fitting"),
        ({"shape": "hardware"}, "tarnish", "metal_clean"),
        ({"shape": "turned"}, "missing", "turn_missing"),
        ({"shape": "board"}, "missing", "make_missing"),
        ({}, "missing", "look_missing"),
    ],
)
def test_a_fault_is_dealt_with_by_what_the_part_is_of(made, term, rule):
    got = rules(part("X", **made), finish("shellac"), condition(term, "X"))
    assert rule in got
    wood = {"close_split", "close_crack", "mend_break", "patch", "seat"}
    assert not wood & set(got)


def test_lost_carving_is_let_in_first_and_carved_in_place():
    got = rules(part("CREST", shape="carved", wood="oak"), finish("shellac"), condition("loss", "CREST"))
    assert got.index("patch") < got.index("carve") < got.index("level")


def test_a_gouge_is_filled_over_a_sealed_surface_and_a_loss_is_let_in():
    assert "fill" in rules(TOP, finish("shellac"), condition("gouge", "TOP", "slight"))
    deep = rules(TOP, finish("shellac"), condition("gouge", "TOP", "major"))
    assert "patch" in deep
    assert "fill" not in deep


def test_wood_is_dyed_bare_then_sealed_then_adjusted_and_sealed_first_only_where_it_blotches():
    def order(wood):
        got = rules(part("T", wood=wood, shape="board"), finish("shellac"), condition("loss", "T"))
        return [rule for rule in got if rule in {"sample", "size_first", "colour_bare", "seal_repairs", "colour_film"}]

    assert order("oak") == ["sample", "colour_bare", "seal_repairs", "colour_film"]
    assert order("pine") == ["sample", "size_first", "colour_bare", "seal_repairs", "colour_film"]


@pytest.mark.parametrize(
    ("made", "substitute"),
    [
        ({"wood": "Brazilian rosewood", "shape": "board"}, "pear"),
        ({"wood": "mahogany", "shape": "board"}, "sapele"),  # only the group is known: its strictest member counts
        ({"material": "ivory", "shape": "hardware"}, "bone"),
        ({"material": "bone or ivory", "shape": "hardware"}, "bone"),
        ({"material": "tortoiseshell", "shape": "board"}, "horn"),
    ],
)
def test_nothing_listed_goes_in_and_the_substitute_is_named(made, substitute):
    # trade notes: a repair never uses regulated material even where the piece has it
    steps, heard = planned(part("X", **made), finish("shellac"), condition("missing", "X"))
    (new,) = [step for step in steps if step.rule in {"make_missing", "find_fitting"}]
    assert substitute in says(new)
    assert "listed" in says(new)
    assert {rule.rule: rule.fired for rule in heard}["harm.csv: nothing_listed_goes_in"]


def test_an_unlisted_wood_needs_no_substitute():
    steps, _ = planned(part("X", wood="oak", shape="board"), finish("shellac"), condition("missing", "X"))
    assert not any("listed" in says(step) for step in steps)


def test_every_listed_species_has_its_substitute_and_no_substitute_is_listed():
    from witnessmark.wood import species

    substitutes = {row.key for row in table("treatment", "substitutes.csv")}
    known = {*wood_keys(), *material_keys()}
    assert substitutes <= known
    for row in table("wood", "species.csv", "wood_key"):
        if species(row.key).cites_appendix:
            assert row.key in substitutes, row.key


# --- the ladder of reviving: mildest first, only where needed ---


def test_reviving_goes_from_the_mildest_and_only_as_far_as_it_must():
    ladder = ["clean", "thin_polish", "local_reflow", "whole_reflow", "wax"]

    def climbed(*tables):
        return [rule for rule in rules(TOP, *tables, way="revive") if rule in ladder]

    assert climbed(finish("shellac"), condition("wear", "TOP")) == ["clean", "thin_polish", "wax"]
    places = climbed(finish("shellac"), condition("crazing", "TOP"))
    assert places == ["clean", "thin_polish", "local_reflow", "wax"]
    assert climbed(finish("shellac"), condition("crazing")) == ["clean", "thin_polish", "whole_reflow", "wax"]
    both = climbed(finish("shellac"), condition("crazing"), condition("crazing", "TOP"))
    assert both == ladder


def test_reflow_can_not_be_undone_and_says_what_it_does():
    steps, _ = planned(TOP, finish("shellac"), condition("crazing"), way="revive")
    (whole,) = [step for step in steps if step.rule == "whole_reflow"]
    assert whole.undo is Undo.NO
    assert "melts dirt in for good" in says(whole)


@pytest.mark.parametrize(
    ("kind", "solvent"), [("shellac", "ethanol_denatured"), ("nitrocellulose lacquer", "lacquer_thinner")]
)
def test_a_film_is_melted_with_what_melts_it(kind, solvent):
    # printed order of work, S06a: shellac with alcohol, lacquer with thinner
    steps, _ = planned(TOP, finish(kind), condition("crazing"), way="revive")
    (whole,) = [step for step in steps if step.rule == "whole_reflow"]
    assert whole.needs[0].material == solvent


# --- what is forbidden is forbidden ---


def test_water_and_caustic_are_forbidden_by_name_on_veneer_paint_gilding_and_hide_glue():
    for tables in (
        (finish("shellac"), part("X", veneered="yes")),
        (finish("oil paint"),),
        (finish("gilding"),),
        (finish("shellac"), FRAME + LOOSE),
    ):
        _, heard = planned(*tables, way="leave_record")
        said = {rule.rule: rule for rule in heard}
        assert said["harm.csv: no_flooding"].fired
        assert said["harm.csv: no_caustic"].fired
    _, heard = planned(finish("shellac"), way="leave_record")
    assert not {rule.rule for rule in heard if rule.fired and rule.rule.startswith("harm")}


@pytest.mark.parametrize(
    ("kind", "stripper"),
    [
        ("shellac", "stripper_ethanol_wash"),  # spirit takes shellac off: the mildest that does it
        ("nitrocellulose lacquer", "stripper_solvent"),
        ("oil varnish", "stripper_solvent"),
        ("oil paint", "stripper_solvent"),
    ],
)
def test_each_film_has_the_mildest_stripper_that_moves_it(kind, stripper):
    steps, _ = planned(TOP, finish(kind), way="strip_brush")
    (strip,) = [step for step in steps if step.rule == "strip"]
    assert strip.needs[0].material == stripper


def test_lead_paint_is_never_levelled_dry():
    steps, heard = planned(TOP, finish("oil paint"), condition("split", "TOP"), way="keep_paint")
    assert "level" not in [step.rule for step in steps]
    (level,) = [said for said in heard if said.rule == "level"]
    assert "never scraped or sanded dry" in level.overruled_by


def test_a_skip_may_be_named_by_rule_id_or_trade_name():
    for name in ("wax", "wax.show", "Wax and burnish"):
        assert "wax" not in rules(TOP, finish("shellac"), decision("skip", step=name))


# --- what the tests told ---


def told(*tests: tuple[str, str]) -> str:
    return "".join(f'[[test]]\ntest = "{test}"\nstate = "{state}"\n' for test, state in tests)


def test_a_reading_tells_the_finish_and_the_steps_cite_it():
    steps, _ = planned(TOP, told(("alcohol", "softens_sticky")), condition("wear", "TOP"), way="revive")
    assert "spot_tests" not in [step.rule for step in steps]
    survey = survey_with(TOP, told(("alcohol", "softens_sticky")), wishes(keep="old surface"), condition("wear", "TOP"))
    way, _ = chosen_way(survey, ways_for(findings_in(survey))[0])
    assert way.key == "revive"
    assert {cite for f in findings_in(survey) if f.key == "old_finish" for cite in f.cites} == {"test.1"}


def test_readings_that_speak_against_one_another_tell_nothing():
    survey = survey_with(told(("alcohol", "softens_sticky"), ("lacquer_thinner", "no_change")))
    assert "film_unknown" in {finding.key for finding in findings_in(survey)}


def test_what_is_written_wins_over_a_reading():
    survey = survey_with(finish("wax"), told(("alcohol", "softens_sticky")))
    assert "waxed_finish" in {finding.key for finding in findings_in(survey)}


def test_every_term_of_the_part_tables_is_a_condition_term():
    made = {row.key for row in table("treatment", "made_of.csv")}
    for row in table("treatment", "material_findings.csv"):
        assert row["of"] in made
        for term in row.keys_in("terms"):
            assert term == "any" or condition_named(term).term == term


# --- joints held by metal ---


def test_a_loose_bolted_joint_is_tightened_and_a_loose_glued_one_glued():
    bolted = LOOSE.replace('"glued"', '"bolted"')
    assert "tighten" in rules(FRAME, bolted, piece=CHAIR)
    assert "glue_up" not in rules(FRAME, bolted, piece=CHAIR)
    assert "glue_up" in rules(FRAME, LOOSE, piece=CHAIR)


def test_what_is_blocked_and_holds_is_left_and_what_split_is_freed():
    joint = (
        '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE"]\nheld = ["screwed"]\nstate = "tight"\nacross_grain = "yes"\n'
    )
    assert "free_fixing" not in rules(TOP, joint, finish("shellac"))
    assert "free_fixing" in rules(TOP, joint, finish("shellac"), condition("split", "TOP"))


def test_a_joint_said_twice_is_worked_once():
    off = LOOSE.replace("loose", "open") + LOOSE.replace("J1", "J2").replace("RAIL", "FOOT")
    foot = part("FOOT", wood="beech", shape="board")

    def counts(*tables):
        return {step.rule: step.count for step in planned(foot, FRAME, off, *tables, piece=CHAIR)[0]}

    assert counts()["glue_up"] == 2
    assert counts(condition("joint failure", "RAIL"))["glue_up"] == 2
    fixed_back = counts(condition("detached element", "FOOT"))
    assert (fixed_back["glue_up"], fixed_back["refix"]) == (1, 1)
    both = counts(condition("detached element", "FOOT"), condition("detached element", "RAIL"))
    assert "glue_up" not in both
    assert both["refix"] == 2
