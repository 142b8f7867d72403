"""What stands on the papers of the chest, in words a restorer would look for."""

import csv
import io
import json
from dataclasses import replace
from functools import cache

from papers.chest import ID, NOW, chest, mixes, shop, steps, survey
from papers.reading import pages, words
from witnessmark.papers import PAPERS, papers_of
from witnessmark.papers.plan_page import plan_page
from witnessmark.papers.typesetting import typeset
from witnessmark.papers.voice import Voice
from witnessmark.plan import Facts, plan_as_json
from witnessmark.quantities import Mass


@cache
def ours() -> dict[str, bytes]:
    return papers_of(chest())


def test_all_papers_of_a_plan_are_made():
    assert tuple(ours()) == PAPERS


def test_the_same_plan_gives_the_same_bytes():
    assert papers_of(chest()) == ours()


def test_another_plan_gives_other_bytes():
    other = papers_of(chest(now=NOW.replace(hour=9)))
    assert [name for name in PAPERS if name.endswith("pdf") and ours()[name] == other[name]] == []


def test_the_plan_as_a_restorer_reads_it(golden):
    golden("plan_chest.txt", "\n\f\n".join(pages(ours()["plan.pdf"])) + "\n")


def test_the_plan_says_what_cannot_be_undone_how_long_and_how_it_dries():
    text = words(ours()["plan.pdf"])
    assert "Strip off the glue lines" in text
    assert "Can't be undone" in text
    assert "34 min (44 min)" in text
    assert (
        "then 24 h until it can be cut back or waxed (4 h at least; no later than 3 days; shop at 15 °C or more)"
        in text
    )
    assert "Local codes and licensed practice prevail" in text


def test_amounts_stand_as_the_jug_shows_them_with_their_standing_and_their_jar():
    text = words(ours()["plan.pdf"])
    assert "240–340 ml shellac, 2 lb cut from Jar 1 from memory" in text
    assert "345 g flakes" in text


def test_a_step_done_is_in_ink_and_off_the_day_sheet():
    papers = ours()
    assert "Done Wed 25 Nov in 20 min by Ellen." in words(papers["plan.pdf"])
    assert "Photograph and record as found" not in words(papers["day-sheet.pdf"])


def test_what_is_dearer_than_its_pence_is_said_without_them():
    assert "£612 (£540–£700)" in words(ours()["plan.pdf"])


def test_a_shop_in_us_words_reads_its_own_trade():
    papers = papers_of(chest(at=shop(words="US", units="inches")))
    text = " ".join(words(papers[name]) for name in ("plan.pdf", "mixing-card.pdf", "day-sheet.pdf"))
    for british, american in [
        ("rubber", "pad"),
        ("cramps", "clamps"),
        ("meths", "denatured alcohol"),
        ("Colour", "Color"),
    ]:
        assert american in text
        assert british not in text
    assert "Wed Nov 25, 8:00 am" in text
    assert "Tuesday, December 1, 2026" in text


def test_what_people_wrote_is_never_put_into_other_words():
    # An owner's own title keeps its spelling on US paper.
    plan = chest(of=survey(title="Grey-coloured carcase"), at=shop(words="US"), steps=(), workings=())
    assert "Grey-coloured carcase" in words(papers_of(plan)["plan.pdf"])


def test_a_plan_says_the_safe_day_what_the_air_must_be_and_what_is_out():
    plan = chest(likely_day=NOW.replace(day=27), safe_day=NOW.replace(day=30), air="“Seal”: shop at 16 °C or more",
                 away=("KN, with the turner since 24 November",))  # fmt: skip
    papers = papers_of(plan)
    said = words(papers["plan.pdf"])
    assert "Safe day to say Mon 30 Nov four times in five; likely Fri 27 Nov" in said
    assert "“Seal”: shop at 16 °C or more." in said
    assert "Out: KN, with the turner since 24 November." in said
    sheets = pages(papers["day-sheet.pdf"])
    assert "“Seal”: shop at 16 °C or more." in sheets[0]
    assert "“Seal”" not in sheets[1]


def test_a_day_sheet_is_a_page_a_day_the_first_working_day_first():
    sheets = pages(ours()["day-sheet.pdf"])
    assert len(sheets) == 5
    assert "Wednesday 25 November 2026" in sheets[0]
    for sheet in sheets:
        assert "Before the door is locked" in sheet
        assert "Oil rags flat outdoors, or under water" in sheet
        assert "Checked by" in sheet


def test_the_days_cautions_are_three_at_most_and_stop_comes_first():
    sheets = pages(ours()["day-sheet.pdf"])
    monday = next(sheet for sheet in sheets if "Monday 30 November" in sheet)
    assert monday.index("Stop. No flame") < monday.index("To do")
    assert monday.count("Stop.") + monday.count("Mind.") <= 3


def test_a_card_a_jar_with_what_to_weigh_and_what_to_beware_of():
    cards = pages(ours()["mixing-card.pdf"])
    assert len(cards) == 2
    for said in ("345 g", "1.7 l", "meths", "200 g/L", "Mon 30 Nov, 08:00", "Highly flammable", "A drop on glass"):
        assert said in cards[0]
    assert "step 27: 150 ml" in cards[0]
    assert "water" in cards[1]
    assert "A drop on glass" not in cards[1]


def test_glue_is_weighed_dry_and_its_water_beside_it():
    # Its water is what is ready less what is dry: mass is kept.
    glue = replace(mixes()[1], solvent=None)
    said = words(papers_of(chest(mixes=(glue,)))["mixing-card.pdf"])
    assert "60 g dry glue 120 g water" in said
    assert "makes 180 g" in said


def test_nothing_to_mix_is_said_on_a_card():
    assert "Nothing is to be mixed" in words(papers_of(chest(mixes=()))["mixing-card.pdf"])


def test_every_part_has_its_tag_and_parts_alike_have_one_each():
    text = words(ours()["labels.pdf"])
    assert text.count("turned foot") == 4
    assert "1 of 4" in text
    assert "4 of 4" in text
    assert text.count("this way up") == sum(part.count for part in survey().part)
    assert "carcase, left" in text


def test_a_piece_nobody_knows_anything_of_has_papers_too():
    nothing = survey(title="", code="")
    bare = nothing.model_copy(
        update={"part": (), "piece": nothing.piece.model_copy(update={"owner": "", "size": None})}
    )
    plan = chest(of=bare, steps=(), mixes=(), ways=(), shopping=(), branches=(), workings=(), cautions=(), warnings=(),
                 facts=Facts((), (), None), total=None)  # fmt: skip
    papers = papers_of(plan)
    assert "Chest" in words(papers["plan.pdf"])
    assert "No part is named yet" in words(papers["labels.pdf"])
    assert "Nothing of this piece is down for today" in words(papers["day-sheet.pdf"])


def test_two_hundred_parts_go_on_as_many_pages_as_they_need():
    more = "".join(f'[[part]]\ncode = "X{n}"\nname = "slat {n}"\n' for n in range(200))
    plan = chest(of=survey(extra=more))
    every = tuple(part.code for part in plan.survey.part)
    first = replace(steps()[2], step=replace(steps()[2].step, parts=every))
    plan = replace(plan, steps=(first, *plan.steps[3:]))
    text = words(typeset("plan", plan_page(plan, Voice.of(plan.shop.shop, plan.now), None), plan.now))
    assert text.count("slat 199") == 1
    assert "X198, X199" in text


def test_a_branch_says_what_it_adds_and_leaves_out():
    plan = chest()
    plan = replace(plan, steps=tuple(one for one in plan.steps if one.step.rule != "strip"))
    text = words(papers_of(plan)["plan.pdf"])
    assert "Adds: strip off the glue lines." in text
    assert "Leaves out: photograph and record as found;" in text


def test_the_plan_as_a_file_is_the_plan_rooms_own_json():
    assert json.loads(ours()["plan.json"]) == json.loads(json.dumps(plan_as_json(chest())))


def test_the_shopping_is_a_table_with_units():
    rows = list(csv.DictReader(io.StringIO(ours()["shopping.csv"].decode())))
    assert rows[0]["material"] == "shellac"
    assert (rows[0]["need"], rows[0]["need_unit"], rows[0]["buy"], rows[0]["packs"]) == ("345.0", "g", "2 × 250 g", "2")
    assert (rows[0]["price"], rows[0]["price_high"], rows[0]["currency"]) == ("36.0", "44.0", "GBP")
    assert rows[2]["packs"] == "0"


def test_no_cell_is_taken_for_a_formula():
    plan = chest()
    line = replace(plan.shopping[0], name="=HYPERLINK(0)", need=Mass(1), price=None)
    rows = list(csv.DictReader(io.StringIO(papers_of(replace(plan, shopping=(line,)))["shopping.csv"].decode())))
    assert rows[0]["name"] == "'=HYPERLINK(0)"


def test_the_piece_is_named_in_every_document():
    papers = ours()
    assert json.loads(papers["plan.json"])["piece"]["id"] == ID
    for name in ("plan.pdf", "labels.pdf", "mixing-card.pdf", "day-sheet.pdf"):
        assert "Victorian mahogany chest of drawers" in words(papers[name])
