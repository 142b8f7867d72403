"""A plan that would come out the same without one of its facts has not used it; one that changes must have cited it.

Every fact of the demo surveys is taken away in turn. What changes or drops must be exactly the steps whose *why*
cites the fact; what is added may only be looks that the missing fact calls for. Dates and logged steps don't count.
"""

from pathlib import Path

import pytest

from fact_by_fact import astray, cited, work_without_dates
from pieces import PIECES, piece, shop
from witnessmark.survey import survey_from

ODD = sorted((Path(__file__).parent / "odd").glob("*.toml"))


@pytest.mark.parametrize("name", PIECES)
def test_taking_a_fact_away_changes_only_the_steps_that_cite_it(name):
    assert astray(piece(name)) == []


# A loose joint of which nobody knows how it is held is planned as glued, the most work it may be: not knowing widens.
WIDENS = {
    "bed": [f"joint.J1.held: adds {rule}" for rule in ("dry_fit", "glue_up", "joint_clean", "open_joints")],
}


@pytest.mark.parametrize("file", ODD, ids=lambda file: file.stem)
def test_the_odd_pieces_own_up_to_their_facts_as_well(file):
    survey = survey_from(file.read_text("utf-8"), file.name, shop().context)
    found = [said for said in astray(survey) if "mix.glue" not in said]
    assert found == WIDENS.get(file.stem, [])


PAINTED = """schema = 1
id = "0190a5b2-0000-7000-8000-00000000b0d1"
[piece]
kind = "box"
title = "Painted box"
region = "UK"
size = "400 x 250 x 200 mm"
show_wood = "pine"
[finish]
kind = "oil paint"
[[part]]
code = "LID"
name = "lid"
size = "400 x 250 x 15 mm"
show = ["top"]
[[condition]]
term = "dirt"
severity = "slight"
[[reading]]
about = "date"
feature = "{0}"
later = "no"
[[reading]]
about = "date"
feature = "{1}"
later = "no"
"""
READ = {
    "still leaded": ("screw_lathe_blunt", "nail_cut_uk"),
    "after the ban": ("screw_cross_recess", "sec_plywood_drawer"),
}


@pytest.mark.parametrize("read", READ.values(), ids=READ)
def test_readings_that_date_the_paint_are_cited_one_by_one(read):
    survey = survey_from(PAINTED.format(*read), "box.toml", shop().context)
    resting = {key for step in work_without_dates(survey).values() for key in cited(step) if key.startswith("reading.")}
    assert resting == {"reading.1", "reading.2"}
    assert astray(survey) == []
