"""Steps: in the order of the trade, each with its reason; what is forbidden is forbidden, not delayed."""

import inspect
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from small_surveys import TOP, condition, decision, finish, survey_with, wishes
from witnessmark.sources import row, table
from witnessmark.survey import areas_of
from witnessmark.treatment import Basis, Undo, findings_in, steps_for, wait_named, ways_for

FINDERS = ("findings", "part_findings", "joint_findings", "repairs")


def steps(*tables: str, way: str):
    survey = survey_with(*tables)
    findings = findings_in(survey)
    taken = next(one for one in ways_for(findings)[0] if one.key == way)
    return steps_for(survey, findings, taken, areas_of(survey).total)


def rules(*tables: str, way: str) -> list[str]:
    return [step.rule for step in steps(*tables, way=way)[0]]


def waits_of(cells) -> list[str]:
    """The waits a step may have: a cell may choose by a finding, “reflow_handle@broken_all_over;reflowed”."""
    return [choice.partition("@")[0] for choice in cells["wait"].split(";")]


def test_the_table_of_steps_joins():
    names = {cells.key for cells in table("treatment", "steps.csv", key="rule")}
    ways = {cells.key for cells in table("treatment", "ways.csv")}
    rates = {cells.key for cells in table("schedule", "labour_rates.csv")}
    for cells in table("treatment", "steps.csv", key="rule"):
        assert set(cells.keys_in("after")) <= names, cells.key
        assert cells["ways"] in {"all", "treat"} or set(cells.keys_in("ways")) <= ways, cells.key
        assert cells["labour"] in rates, cells.key
        Basis(cells["basis"])
        Undo(cells["undo"])
        for wait in (*waits_of(cells), cells["between"]):
            wait_named(wait)


def test_every_finding_a_step_waits_for_can_be_found():
    # A rule that no survey can call is dead: its findings must come from the table or from the code.
    columns = ("finding", "when_slight", "when_major")
    told = {cells[name] for cells in table("treatment", "findings.csv", "term") for name in columns}
    told |= {cells["finding"] for cells in table("treatment", "material_findings.csv")}
    room = Path(inspect.getfile(findings_in)).parent
    source = "".join((room / f"{name}.py").read_text("utf-8") for name in FINDERS)
    rows = [(cells.key, cells) for cells in table("treatment", "steps.csv", key="rule")]
    rows += [(cells.key, cells) for cells in table("treatment", "harm.csv")]
    for key, cells in rows:
        chosen = [c.partition("@")[2] for name in ("material", "wait") for c in cells.cells.get(name, "").split(";")]
        unless = cells.keys_in("unless") if "unless" in cells.cells else ()
        for finding in filter(None, (*cells.keys_in("when"), *unless, *chosen)):
            assert finding in told or f'"{finding}"' in source or finding == "old_lead_paint", f"{key}: {finding}"


# Order: reference text “order of work for a traditional finish on an antique” and common practice.
ORDER = [
    "record", "isolate", "condition", "secure_veneer", "dust_off", "clean", "dewax", "hardware_off", "open_joints",
    "strip", "wash_down", "free_fixing", "joint_clean", "dry_fit", "glue_up", "close_split", "level", "colour_bare",
    "seal_repairs", "colour_film", "seal", "body_up", "flatten", "finish_off", "hardware_back", "photograph_after",
]  # fmt: skip


def everything() -> tuple[str, ...]:
    joint = (
        '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE"]\nheld = ["screwed", "glued"]\n'
        'state = "loose"\nacross_grain = "yes"\n'
    )
    handle = '[[part]]\ncode = "PULL"\nname = "handles"\nshape = "hardware"\ncount = 8\n'
    return (
        TOP, handle, joint, finish("shellac", 'waxed_over = "yes"'), condition("split", "TOP"),
        condition("veneer lifting", "SIDE"), condition("frass"),
    )  # fmt: skip


def test_the_order_of_the_trade():
    piece = '[piece]\nkind = "chest"\nsize = "1105 x 500 x 1080 mm"\nshow_wood = "mahogany"\ncame_from = "barn"\n'
    survey = survey_with(*everything(), piece=piece)
    findings = findings_in(survey)
    way = next(one for one in ways_for(findings)[0] if one.key == "strip_rubber")
    got = steps_for(survey, findings, way, areas_of(survey).total)[0]
    place = {step.rule: number for number, step in enumerate(got)}
    assert set(ORDER) <= set(place)
    for before, after in pairwise(ORDER):
        assert place[before] < place[after], (before, after)


def test_every_step_comes_after_what_it_names():
    got, _ = steps(*everything(), way="strip_rubber")
    seen: set[str] = set()
    for step in got:
        assert set(step.after) <= seen, step.id
        seen.add(step.id)


def test_stripping_never_comes_before_the_wax_is_off_and_wax_is_the_last_film():
    got = rules(*everything(), way="strip_brush")
    assert got.index("dewax") < got.index("strip")
    films = [name for name in got if name in {"seal", "brush_coats", "wax"}]
    assert films[-1] == "wax"


def test_flattening_waits_until_the_film_may_be_cut_back():
    got = {step.rule: step for step in steps(*everything(), way="strip_rubber")[0]}
    # trade notes: cut back or wax at one to three weeks (common practice)
    assert 7 * 24 <= got["body_up"].wait.least.in_hours <= got["body_up"].wait.usual.in_hours <= 21 * 24
    assert got["body_up"].wait.cure == "cut_back"
    assert got["finish_off"].wait.cure == "refit"


def test_padding_is_sessions_and_brushing_is_coats():
    got = {step.rule: step for step in steps(*everything(), way="strip_rubber")[0]}
    assert 6 <= got["body_up"].sessions <= 8  # trade notes: six to eight to body up (common practice)
    assert 4 <= got["finish_off"].sessions <= 6  # and four to six after flattening
    assert {step.rule: step for step in steps(*everything(), way="strip_brush")[0]}["brush_coats"].sessions == 3


def test_sound_joints_stay_shut():
    tight = '[[joint]]\ncode = "J1"\nparts = ["TOP", "SIDE"]\nstate = "tight"\n'
    assert not {"open_joints", "glue_up"} & set(rules(TOP, tight, finish("shellac"), way="clean_wax"))


def test_why_it_broke_comes_before_how_to_mend_it():
    got = rules(*everything(), way="clean_wax")
    assert got.index("free_fixing") < got.index("close_split")


def test_thin_veneer_is_never_levelled():
    thin = '[[part]]\ncode = "TOP"\nname = "top"\nveneer_thickness = "0.4 mm"\n'
    done, heard = steps(thin, finish("shellac"), condition("veneer loss", "TOP"), way="revive")
    assert "level" not in [step.rule for step in done]
    (level,) = [said for said in heard if said.rule == "level"]
    assert not level.fired
    assert "0.4 mm" in str(level.overruled_by)


def test_bare_wood_is_not_stripped_and_paint_to_keep_is_not_dewaxed():
    assert not {"strip", "wash_down", "clean"} & set(rules(TOP, finish("none"), way="strip_brush"))
    assert "dewax" not in rules(TOP, finish("oil paint"), wishes(keep="paint"), way="keep_paint")


def test_no_steam_near_veneer():
    veneered = '[piece]\nkind = "chest"\nveneered = "yes"\n'
    survey = survey_with(condition("bruise", ""), finish("shellac"), piece=veneered)
    findings = findings_in(survey)
    way = next(one for one in ways_for(findings)[0] if one.key == "strip_brush")
    assert "raise_dents" not in [step.rule for step in steps_for(survey, findings, way, areas_of(survey).total)[0]]


def test_leave_and_record_touches_nothing():
    assert rules(*everything(), way="leave_record") == ["record", "isolate", "dust_off", "photograph_after", "write_up"]


def test_a_step_skipped_by_hand_is_overruled_and_says_by_whom():
    done, heard = steps(TOP, finish("shellac"), decision("skip", step="wax"), way="clean_wax")
    assert "wax" not in [step.rule for step in done]
    (wax,) = [said for said in heard if said.rule == "wax"]
    assert wax.overruled_by == "Ann, 2026-11-20: tried it"


def test_a_step_added_by_hand_takes_its_place_and_its_minutes():
    done, _ = steps(
        TOP,
        finish("shellac"),
        decision("add", choose="ease the flap", after="clean", minutes="20 min"),
        way="clean_wax",
    )
    place = [step.rule for step in done]
    own = done[place.index("by_hand")]
    assert place.index("by_hand") == place.index("clean") + 1
    assert own.trade_name == "ease the flap"
    assert own.minutes_said is not None
    assert own.minutes_said.minutes == 20
    assert own.after == ("clean.show",)


def test_what_can_not_be_undone_says_so():
    got = {step.rule: step.undo for step in steps(*everything(), way="strip_rubber")[0]}
    assert got["strip"] is Undo.NO
    assert got["record"] is Undo.YES


TERMS = sorted({cells.key for cells in table("treatment", "findings.csv", key="term")})


@given(
    st.lists(st.tuples(st.sampled_from(TERMS), st.sampled_from(["slight", "moderate", "major"])), max_size=6),
    st.sampled_from(["shellac", "oil paint", "none", "don't know", "polyurethane", "wax", "gilding"]),
    st.sampled_from([cells.key for cells in table("treatment", "ways.csv")]),
)
@settings(max_examples=60)
def test_any_survey_gives_steps_in_an_order_that_can_be_kept(conditions, kind, way):
    got, heard = steps(TOP, finish(kind), *(condition(term, "TOP", much) for term, much in conditions), way=way)
    seen: set[str] = set()
    for step in got:
        assert step.id not in seen
        assert set(step.after) <= seen
        assert step.why
        assert len(step.cautions) <= 3
        seen.add(step.id)
    assert {said.rule for said in heard if ":" not in said.rule} == {
        cells.key for cells in table("treatment", "steps.csv", key="rule")
    }


@pytest.mark.parametrize(
    "key", sorted({wait for cells in table("treatment", "steps.csv", "rule") for wait in waits_of(cells)} - {""})
)
def test_no_wait_is_shorter_at_usual_than_at_least(key):
    wait = wait_named(key)
    assert wait.least <= wait.usual
    assert wait.latest is None or wait.usual <= wait.latest
    assert row("treatment", "waits.csv", key)["standing"]
