"""The most common pieces of advice in the texts our tables rest on: the plan says the same, or here is why it differs.

Each is told in our own words with the keys of `sources/bibliography.csv` that give it; “common practice” where the
texts give it without anybody's name. How common: by how many of the texts read say it.
"""

from itertools import pairwise

import pytest

from pieces import NOW
from small_surveys import TOP, condition, decision, finish, survey_with, wishes
from witnessmark.daybook import DayBook
from witnessmark.plan import PiecePlan, plan_piece
from witnessmark.shop import plain_shop
from witnessmark.sources import bibliography, row

SOURCES = {
    "test_in_a_hidden_place": ("smithsonian_care", "furnituremaking_finish_test", "magazine_qa_identifying_finishes"),
    "clean_before_you_decide": ("smithsonian_care",),
    "keep_the_old_finish": ("cci_notes_7_2",),
    "wax_off_first": ("furnituremaking_compatibility",),
    "strip_then_wash_then_wait": ("newspaper_column_2002", "magazine_stripping"),
    "no_caustic": ("strip_shop_chemical_classes",),
    "spirit_for_shellac": ("how_to_strip_furniture", "furnituremaking_finish_test"),
    "dewaxed_shellac_between": ("flexner_compatibility", "magazine_shellac_cut"),
    "old_glue_out": ("woodworkers_glue_page", "hide_glue_page"),
    "thin_coats": ("dry_time_table_sealers",),
    "lead_until_tested": ("hse_lead_page", "usc_15_2681"),
    "wax_is_last": ("furnituremaking_compatibility",),
    "strip_and_sand": ("better_homes_manual",),
    "cut_and_coats": ("magazine_shellac_cut",),
}


@pytest.mark.parametrize("key", sorted({key for keys in SOURCES.values() for key in keys}))
def test_who_says_so_is_in_the_bibliography(key):
    assert bibliography()[key].citation


def plan(*tables: str, way: str = "", **more) -> PiecePlan:
    chosen = (decision("way", choose=way),) if way else ()
    return plan_piece(survey_with(*tables, *chosen, **more), plain_shop(), DayBook(), NOW)


def starts(made: PiecePlan) -> dict[str, object]:
    return {step.step.rule: step.starts for step in made.steps}


def in_order(made: PiecePlan, *rules: str) -> None:
    at = starts(made)
    for before, after in pairwise(rules):
        assert at[before] <= at[after], (before, after)


def chosen(made: PiecePlan) -> str:
    return next(way.offered.key for way in made.ways if way.chosen)


def test_1_test_the_finish_in_a_hidden_place_mildest_first():
    made = plan(TOP, finish("don't know"))
    in_order(made, "dust_off", "spot_tests", "clean")
    (test,) = [step.step for step in made.steps if step.step.rule == "spot_tests"]
    assert "hidden" in test.trade_name
    assert "mildest" in test.why[0].says


def test_2_clean_before_you_decide_since_dirt_locks_under_any_coat():
    for way in ("revive", "strip_brush", "varnish_barrier"):
        made = plan(TOP, finish("shellac"), condition("wear"), way=way)
        first_film = {"revive": "thin_polish", "strip_brush": "strip", "varnish_barrier": "strip"}[way]
        in_order(made, "clean", first_film)


def test_3_an_old_finish_is_worth_keeping():
    for kind in ("shellac", "oil varnish", "oil paint", "wax", "gilding"):
        made = plan(TOP, finish(kind), wishes(keep="old surface"))
        assert "strip" not in starts(made), kind
    assert chosen(plan(TOP, finish("don't know"))) == "clean_wax"  # until it is known the mildest is planned


def test_4_all_wax_off_before_any_finish():
    made = plan(TOP, finish("shellac", 'waxed_over = "yes"'), condition("wear"), way="revive")
    in_order(made, "dewax", "thin_polish")
    left_on = plan(TOP, finish("shellac", 'waxed_over = "yes"'), decision("skip", step="dewax"))
    revive = next(way.offered for way in left_on.ways if way.offered.key == "revive")
    assert not revive.allowed


def test_5_after_stripping_wash_down_and_let_it_dry_a_day():
    made = plan(TOP, finish("oil varnish"), condition("split", "TOP"), way="strip_brush")
    at = {step.step.rule: step for step in made.steps}
    assert (at["close_split"].starts - at["wash_down"].ends).total_seconds() >= 24 * 3600  # 24 h printed


def test_6_no_caustic_and_no_flooding_on_veneer_and_glue():
    veneered = '[piece]\nkind = "chest"\nveneered = "yes"\n'
    made = plan(TOP, finish("oil varnish"), way="strip_brush", piece=veneered)
    assert {rule.rule for rule in made.rules if rule.fired} >= {"harm.csv: no_caustic", "harm.csv: no_flooding"}
    assert "stripper_caustic" not in {need.material for step in made.steps for need in step.step.needs}


def test_7_spirit_takes_shellac_off_and_nothing_stronger_is_wanted():
    made = plan(TOP, finish("shellac"), way="strip_brush")
    (strip,) = [step.step for step in made.steps if step.step.rule == "strip"]
    assert strip.needs[0].material == "stripper_ethanol_wash"


def test_8_dewaxed_shellac_is_the_coat_between():
    made = plan(TOP, finish("oil varnish"), way="varnish_barrier")
    in_order(made, "strip", "seal", "varnish_coats")
    assert "shellac_dewaxed" in row("treatment", "ways.csv", "varnish_barrier").keys_in("lays_keys")


JOINT = '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE"]\nheld = ["glued"]\nstate = "loose"\n'


def test_9_old_glue_out_dry_run_then_glue_and_leave_it_cramped():
    made = plan(TOP, JOINT, finish("shellac"))
    in_order(made, "open_joints", "joint_clean", "dry_fit", "glue_up", "wax")
    (glue,) = [step.step for step in made.steps if step.step.rule == "glue_up"]
    assert glue.needs[0].material == "hide_glue_hot"  # the glue that comes undone again
    assert glue.wait.least.in_hours >= 12


def test_10_thin_coats_each_dry_before_the_next():
    for way, rule in (("strip_brush", "brush_coats"), ("varnish_barrier", "varnish_coats"), ("oil", "oil_coats")):
        (coats,) = [s for s in plan(TOP, finish("oil varnish"), way=way).steps if s.step.rule == rule]
        assert coats.step.sessions == 3
        sessions = [[slot for slot in coats.slots if slot.session == number] for number in (1, 2, 3)]
        for one, other in pairwise(sessions):
            gap = other[0].start - one[-1].end
            assert gap.total_seconds() / 60 >= coats.step.between.least.minutes


def test_11_old_paint_holds_lead_until_tested_and_is_never_sanded_dry():
    made = plan(TOP, finish("oil paint"), condition("flaking", "TOP"), condition("split", "TOP"), wishes(keep="paint"))
    assert chosen(made) == "keep_paint"
    assert "level" not in starts(made)
    assert any("lead" in caution.says.lower() for caution in made.cautions)


def test_12_wax_is_the_last_coat_of_all():
    for way in ("clean_wax", "revive", "strip_brush", "keep_paint"):
        kind = "oil paint" if way == "keep_paint" else "shellac"
        made = plan(TOP, finish(kind), condition("wear"), way=way)
        films = [step for step in made.steps if step.step.film]
        (wax,) = [step for step in made.steps if step.step.rule == "wax"]
        assert all(step.ends <= wax.starts for step in films), way


# --- where the plan differs from what is often said ---


def test_difference_1_manuals_strip_and_sand_to_bare_wood_the_plan_levels_repairs_only():
    """House manuals of the last century strip first and sand the whole piece. An old surface can't be put back and
    veneer is thinner than it looks; the notes from the bench keep what can be kept: only repairs come down."""
    for way in ("strip_brush", "strip_rubber", "varnish_barrier", "oil"):
        made = plan(TOP, finish("shellac"), condition("split", "TOP"), way=way)
        assert "sand" not in starts(made)
        (level,) = [step.step for step in made.steps if step.step.rule == "level"]
        assert level.area is None  # by the repair, not by the surface


def test_difference_2_manuals_count_coats_of_french_polish_the_plan_counts_sessions():
    """A cut and a number of coats × area is for the brush. With the rubber a little is charged at a time: six to eight
    sessions to body up and four to six after flattening (notes from the bench, common practice), from one mix."""
    made = plan(TOP, finish("shellac"), way="strip_rubber")
    sessions = {step.step.rule: step.step.sessions for step in made.steps}
    assert 6 <= sessions["body_up"] <= 8
    assert 4 <= sessions["finish_off"] <= 6
    (jar,) = [mix for mix in made.mixes if mix.id == "jar.shellac"]
    assert {"body_up.show", "finish_off.show"} <= {use.step for use in jar.uses}
