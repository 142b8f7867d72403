"""Cautions: at most three that bind this step, Stop before Mind, and none that the facts rule out."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.materials import UnknownName, material_keys
from witnessmark.safety import DEFERS, Level, Task, UnknownFinding, cautions_for, cautions_of_plan, vapour_ladder
from witnessmark.sources import table

ROWS = table("safety", "cautions.csv")
FOUND = [row.key for row in table("safety", "findings.csv")]


def keys(task, **kw):
    return [caution.key for caution in cautions_for(task, **kw)]


def tasks():
    return st.builds(
        Task,
        st.just("any"),
        materials=st.lists(st.sampled_from(material_keys()), max_size=3).map(tuple),
        dust=st.booleans(),
        heat=st.booleans(),
        lifting=st.booleans(),
        found=st.lists(st.sampled_from(FOUND), max_size=3, unique=True).map(tuple),
    )


@given(tasks())
def test_at_most_three_and_stop_comes_first(task):
    cautions = cautions_for(task)
    assert len(cautions) <= 3
    levels = [caution.level for caution in cautions]
    assert levels == sorted(levels, key=[Level.STOP, Level.MIND].index)
    assert cautions == cautions_for(task, at_most=None)[: len(cautions)]


@given(tasks(), tasks())
def test_more_in_the_task_never_drops_a_stop(task, other):
    both = Task(
        "both", task.materials + other.materials, dust=task.dust or other.dust, heat=task.heat or other.heat,
        lifting=task.lifting or other.lifting, found=tuple(dict.fromkeys(task.found + other.found)),
    )  # fmt: skip
    stops = {c.key for c in cautions_for(task, at_most=None) if c.level is Level.STOP}
    assert stops <= {c.key for c in cautions_for(both, at_most=None)}


def test_a_rubber_session_minds_its_vapour_its_rags_and_its_rubber():
    # The three sayings of the bench on spirit and rubber: common practice.
    assert keys(Task("body_up", ("shellac_french_polish",))) == ["flammable_vapour", "spirit_rags", "keep_the_rubber"]


def test_oil_rags_stop_the_day():
    caution = cautions_for(Task("oil", ("danish_oil",)))[0]
    assert caution.key == "oil_rags"
    assert caution.level is Level.STOP
    assert "flat outdoors" in caution.says
    assert "water" in caution.says
    assert caution.cites == ("danish_oil",)


@pytest.mark.parametrize("oil", ["raw_linseed_oil", "tung_oil", "alkyd_varnish", "stain_gel", "oil_gold_size_3h"])
def test_whatever_dries_by_taking_up_air_has_the_rag_rule(oil):
    assert "oil_rags" in keys(Task("x", (oil,)))


@pytest.mark.parametrize("calm", ["water", "hide_glue_hot", "pva_white", "shellac_french_polish", "acetone"])
def test_what_does_not_heat_itself_has_no_oil_rag_rule(calm):
    assert "oil_rags" not in keys(Task("x", (calm,)), at_most=None)


def test_old_paint_is_not_sanded_dry_nor_burnt():
    assert keys(Task("sand", dust=True, found=("old_lead_paint",)))[0] == "lead_no_dust"
    assert keys(Task("burn", heat=True, found=("old_lead_paint",)))[0] == "lead_no_heat"


def test_lead_says_nothing_on_a_piece_without_it():
    assert not [key for key in keys(Task("sand", dust=True), at_most=None) if "lead" in key]


def test_never_mix_is_seen_across_the_bench():
    bleach = Task("bleach", ("sodium_hypochlorite",))
    assert keys(bleach) == []
    assert keys(bleach, beside=["oxalic_acid"]) == ["bleach_and_acid"]
    assert keys(Task("rinse", ("acetic_acid",)), beside=["sodium_hypochlorite"]) == ["bleach_and_acid"]
    assert keys(Task("clean", ("ammonia_water", "sodium_hypochlorite")))[0] == "bleach_and_ammonia"


def test_two_jars_of_one_thing_are_not_a_pair():
    assert keys(Task("bleach", ("sodium_hypochlorite", "sodium_hypochlorite"))) == []


def test_a_group_is_taken_at_its_worst():
    # “turps” may be turpentine, whose rags heat themselves, or white spirit, whose rags don't.
    assert "oil_rags" in keys(Task("x", ("turps_trade",)), at_most=None)


def test_the_fuller_caution_takes_the_place_of_the_lesser():
    every = keys(Task("x", ("ethanol",)), at_most=None)
    assert "flammable_vapour" in every
    assert "vapour" not in every


def test_spirit_and_heat_never_meet():
    (first, *_) = cautions_for(Task("x", ("ethanol_denatured",), heat=True))
    assert (first.key, first.level) == ("spirit_and_heat", Level.STOP)


def test_a_light_piece_has_no_lifting_caution():
    assert keys(Task("open", lifting=True)) == []
    assert keys(Task("open", lifting=True, found=("heavy_piece",))) == ["heavy_lift"]


def test_the_words_follow_the_shop():
    task = Task("body_up", ("shellac_french_polish",))
    uk, us = (" ".join(c.says for c in cautions_for(task, region=region)) for region in ("UK", "US"))
    assert "rubber" in uk
    assert "pad in an airtight jar" in us


def test_the_plan_says_each_caution_once_and_all_that_called_for_it():
    plan = cautions_of_plan([Task("a", ("danish_oil",)), Task("b", ("tung_oil",)), Task("c", dust=True)])
    assert [caution.key for caution in plan] == ["oil_rags", "vapour", "dust"]
    assert plan[0].cites == ("danish_oil", "tung_oil")


def test_a_finding_nobody_knows_is_not_passed_over():
    with pytest.raises(UnknownFinding, match=r"“lead” is no finding of safety/findings\.csv"):
        cautions_for(Task("sand", dust=True, found=("lead",)))


def test_a_material_nobody_knows_is_not_passed_over():
    with pytest.raises(UnknownName, match="ethanoll"):
        cautions_for(Task("x", ("ethanoll",)))


# --- the ladder -----------------------------------------------------------------------------------------


def test_the_ladder_comes_in_the_order_of_the_bench():
    # Less open, last job, draught from behind, the right mask, outdoors: common practice.
    rungs = vapour_ladder(Task("x", ("ethanol_denatured",)))
    for rung, word in zip(rungs, ["less", "last job", "behind", "mask", "outdoors"], strict=True):
        assert word in rung


def test_no_vapour_no_ladder():
    assert vapour_ladder(Task("x", ("hide_glue_hot", "water"))) == ()


@pytest.mark.parametrize(
    ("materials", "says"),
    [
        (("ammonia_water",), "ammonia"),
        (("ethanol", "dichloromethane"), "air-fed"),
        (("acetone",), "AX"),
        (("mineral_spirits",), "type A"),
    ],
)
def test_the_mask_is_the_one_for_the_worst_of_them(materials, says):
    assert says in vapour_ladder(Task("x", materials))[3]


# --- the table ------------------------------------------------------------------------------------------


def test_every_order_is_short_plain_and_somebody_knows_better():
    for row in ROWS:
        for says in filter(None, (row["says"], row["says_us"])):
            assert len(says) <= 140, row.key
            assert says.endswith("."), row.key
        assert row["ask"], row.key
        assert row["level"] in {"Stop", "Mind"}, row.key


def test_every_row_can_bind_and_none_binds_always():
    for row in ROWS:
        assert row["materials"] or row["found"] or row["needs"], row.key
        assert set(row.keys_in("found")) <= set(FOUND), row.key
        assert set(row.keys_in("needs")) <= {"dust", "heat", "lifting"}, row.key
        assert set(row.keys_in("unless")) <= {other.key for other in ROWS}, row.key
        for key in (*row.keys_in("materials"), *row.keys_in("with_materials")):
            assert key in material_keys() or row.key == "allergy_woods", (row.key, key)
        task = Task(
            "x", (*row.keys_in("materials")[:1], *row.keys_in("with_materials")[:1]), dust="dust" in row["needs"],
            heat="heat" in row["needs"], lifting="lifting" in row["needs"], found=row.keys_in("found")[:1],
        )  # fmt: skip
        assert row.key in {*keys(task, at_most=None)} | _made_superfluous(task), row.key
    assert cautions_for(Task("look")) == ()


def _made_superfluous(task):
    there = set(keys(task, at_most=None))
    return {row.key for row in ROWS if set(row.keys_in("unless")) & there}


def test_every_finding_leads_to_a_caution():
    spoken_of = {key for row in ROWS for key in row.keys_in("found")}
    assert spoken_of == set(FOUND)


def test_the_plan_defers_to_those_who_know():
    assert "Local codes and licensed practice prevail" in DEFERS
