"""The order and the waits, against a printed “order of work for a traditional finish on an antique”, row by row.

Its rows S01 to S24 lean on museum furniture-care booklets, finishing magazines, makers' pages and common practice.
Where they and the notes from the bench disagree the notes win, unless safety says otherwise; each difference is said.
"""

from itertools import pairwise

import pytest

from small_surveys import CHEST, TOP, condition, finish, survey_with
from witnessmark.finish import Verdict, over
from witnessmark.sources import table
from witnessmark.survey import areas_of
from witnessmark.treatment import Cure, findings_in, steps_for, ways_for

JOINT = '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE"]\nheld = ["glued"]\nstate = "loose"\n'
PULL = '[[part]]\ncode = "PULL"\nname = "handles"\nshape = "hardware"\ncount = 8\n'
PIECE = (
    finish("shellac", 'waxed_over = "yes"'), TOP, PULL, JOINT, condition("split", "TOP"), condition("loss", "TOP"),
    condition("wear", "TOP"),
)  # fmt: skip
WAYS = ("revive", "strip_brush", "strip_rubber", "varnish_barrier", "oil")


def steps(way: str, *tables: str):
    survey = survey_with(*(tables or PIECE), piece=CHEST)
    findings = findings_in(survey)
    taken = next(one for one in ways_for(findings)[0] if one.key == way)
    return {step.rule: step for step in steps_for(survey, findings, taken, areas_of(survey).total)[0]}


def unknown(way: str):
    return steps(way, TOP, finish("don't know"))


# row, our steps, the steps of the rows it needs before it, least hours after them as printed
SEQUENCE = [
    ("S01", ["record"], [], 0),
    ("S02", ["dust_off"], ["record"], 0),
    ("S04", ["clean"], ["dust_off"], 0),
    ("S06a", ["thin_polish"], ["clean", "dewax"], 0),
    ("S06b", ["strip"], ["clean", "dewax"], 0),
    ("S07", ["wash_down"], ["strip"], 0),
    ("S08", ["glue_up", "close_split", "patch"], ["wash_down"], 24),  # 24 h printed after stripping
    ("S09", ["patch"], ["glue_up"], 12),  # hot hide glue 12 to 24 h
    ("S10", ["level"], ["close_split", "patch"], 12),  # fills shrink: level after drying
    ("S14", ["colour_bare"], ["level"], 0),
    ("S15", ["seal_repairs"], ["colour_bare"], 0.1),  # spirit stain 0.1 to 0.5 h
    ("S18", ["colour_film"], ["seal_repairs"], 0.5),  # colour goes between film coats only
    ("S16", ["seal"], ["colour_bare", "colour_film"], 0),
    ("S19", ["brush_coats", "body_up", "varnish_coats"], ["seal"], 0.5),
    ("S20", ["flatten"], ["brush_coats"], 72),  # shellac 3 to 7 days
    ("S21", ["flatten"], ["body_up", "brush_coats"], 0),
    ("S22", ["wax"], ["thin_polish", "colour_film"], 4),
    ("S21", ["wax"], ["flatten"], 0),
    ("S23", ["hardware_back"], ["finish_off", "varnish_coats", "oil_coats", "wax"], 4),  # 24 h after film, wax 4
    ("S24", ["photograph_after"], ["hardware_back", "wax"], 0),
]


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    ("row", "mine", "before", "least"), SEQUENCE, ids=[f"{row[0]}-{row[1][0]}" for row in SEQUENCE]
)
def test_each_row_of_the_printed_order(way, row, mine, before, least):
    got = steps(way)
    place = {rule: number for number, rule in enumerate(got)}
    for rule in mine:
        for earlier in before:
            if rule in got and earlier in got:
                assert place[earlier] < place[rule], row
                assert got[earlier].wait.least.in_hours >= least, (row, earlier)


def test_s03_an_unknown_finish_is_tested_on_dusted_ground_before_any_cleaner():
    order = list(unknown("clean_wax"))
    assert order.index("dust_off") < order.index("spot_tests") < order.index("clean")


def test_rows_we_leave_out_and_why():
    """S12 raises the grain for a water stain, S17 fills the pores of new work. We dye with spirit, and an old surface
    has its pores filled: neither is planned. A restorer who wants one adds it by hand."""
    for way in WAYS:
        assert not {"raise_grain", "fill_grain"} & set(steps(way))
        for step in steps(way).values():
            assert not any(need.material == "stain_water_dye" for need in step.needs)


def test_s20_french_polish_is_cut_back_sooner_than_printed():
    # Printed: French polish 21 to 30 days. The notes from the bench say cut back or wax at one to three weeks, and win.
    rest = steps("strip_rubber")["body_up"].wait
    assert 7 * 24 <= rest.least.in_hours < 21 * 24
    assert rest.cure is Cure.CUT_BACK


# --- its hard precedence rules ---


@pytest.mark.parametrize("way", WAYS)
def test_rule_2_nothing_but_wax_after_wax(way):
    order = list(steps(way))
    if "wax" in order:
        films = {rule for rule, step in steps(way).items() if step.film}
        assert not films & set(order[order.index("wax") + 1 :])
    assert order.index("dewax") < min(order.index(rule) for rule, step in steps(way).items() if step.film)


@pytest.mark.parametrize("way", WAYS)
def test_rule_1_and_10_no_dust_on_a_wet_film_and_no_strain_on_a_fresh_joint(way):
    got = steps(way)
    place = {rule: number for number, rule in enumerate(got)}
    for rule, step in got.items():
        if step.dust:
            coats = [film for film, one in got.items() if one.film and one.area and place[film] < place[rule]]
            for film in coats:
                assert got[film].wait.least.minutes > 0 or film == "strip", (rule, film)
        if any(need.material == "hide_glue_hot" for need in step.needs):
            assert step.wait.least.in_hours >= 12


@pytest.mark.parametrize("way", WAYS)
def test_rule_3_8_and_12_no_water_once_there_is_a_film_and_no_bleach_at_all(way):
    got = list(steps(way).values())
    first_film = next(number for number, step in enumerate(got) if step.film and step.area and step.rule != "strip")
    assert not any(need.material == "water" for step in got[first_film:] for need in step.needs)
    never = {"waterborne_film", "polyurethane_oil", "oxalic_acid", "hydrogen_peroxide", "stripper_caustic"}
    assert not never & {need.material for step in got for need in step.needs}


def test_rule_11_gesso_before_leaf_and_nothing_burnished_is_sealed():
    gilt = steps("keep_gilding", TOP, finish("gilding"), condition("loss", "TOP"))
    order = list(gilt)
    assert order.index("gesso") < order.index("gild")
    assert gilt["gesso"].wait.least.in_hours >= 24
    assert not {"seal", "wax"} & set(order)


# --- coat over coat: the compatibility table ---


def layers(way: str):
    """Each material laid on the whole surface, with the step that lays it, in order."""
    return [(need.material, step) for step in steps(way).values() if step.film and step.area for need in step.needs]


@pytest.mark.parametrize("way", ["revive", "strip_brush", "strip_rubber", "varnish_barrier", "keep_paint"])
def test_each_coat_may_go_over_the_one_before_and_waits_as_long_as_the_table_says(way):
    laid = [pair for pair in layers(way) if not pair[0].startswith("stripper")]
    laid += [("wax_paste_beeswax_carnauba", step) for rule, step in steps(way).items() if rule == "wax"]
    for (lower, beneath), (upper, _) in pairwise(laid):
        found = over(upper, lower, "cured")
        assert found.verdict is not Verdict.FORBID, (way, upper, lower)
        if upper.startswith("wax") and found.wait:  # coats of one film melt into one another: sequence row S19
            flat = steps(way).get("flatten")
            waits = beneath.wait.least.in_hours + (flat.wait.least.in_hours if flat else 0)
            assert waits >= found.wait.value.in_hours, (way, upper, lower)


def test_a_touched_up_place_is_waxed_sooner_than_a_whole_film():
    # Touch-up order of the same printed text: 12 h before sheen work. The table's week (C010) is for whole films.
    assert steps("clean_wax")["colour_film"].wait.least.in_hours == 12


def test_no_way_lays_what_the_table_forbids_over_what_it_laid_before():
    for way in table("treatment", "ways.csv"):
        for lower, upper in pairwise(way.keys_in("lays_keys")):
            assert over(upper, lower, "cured").verdict in {Verdict.ALLOW, Verdict.CONDITIONAL, Verdict.CAUTION}
