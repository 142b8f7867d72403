"""What was found on a piece that can hurt: from finish, kind, shape, condition and words; dated against the bans."""

import pytest

from witnessmark.safety import Task, cautions_for, hazards_in
from witnessmark.survey import survey_from

HEAD = """
id = "01935d8e-7c00-7abc-8def-0123456789ab"
[piece]
kind = "{kind}"
made = "{made}"
{piece}
[finish]
kind = "{finish}"
{more}
"""


def survey(kind="chest", made="don't know", finish="french polish", piece="", more=""):
    return survey_from(HEAD.format(kind=kind, made=made, finish=finish, piece=piece, more=more), "piece.toml")


def found(*args, region="UK", **kw):
    return {hazard.key: hazard for hazard in hazards_in(survey(*args, **kw), region)}


def test_the_dresser_in_old_paint_is_taken_to_hold_lead():
    hazard = found("sideboard", "about 1880", "oil paint")["old_lead_paint"]
    assert hazard.cites == ("finish.kind", "piece.made")
    assert "lead" in hazard.says
    assert "lead" in hazard.ask


@pytest.mark.parametrize(
    ("made", "region", "lead"),
    [
        ("1850", "UK", True),
        ("1985", "UK", True),
        ("1995", "UK", False),
        ("about 1995", "UK", True),  # ten years out either way
        ("1985", "US", False),
        ("1985", "any", True),  # no region of its own: the later ban
        ("don't know", "UK", True),
        ("before 1995", "UK", True),
        ("1995, from old pine", "UK", True),
        ("1960-2000", "UK", True),
    ],
)
def test_paint_is_dated_against_the_ban_of_its_place(made, region, lead):
    assert ("old_lead_paint" in found("chest", made, "oil paint", region=region)) is lead


def test_a_finish_known_not_to_be_paint_raises_nothing():
    assert not [key for key in found("chest", "1850", "french polish") if "lead" in key]


def test_an_unknown_finish_may_be_paint():
    assert "maybe_lead_paint" in found("chest", "1850", "don't know")
    assert "old_lead_paint" not in found("chest", "1850", "don't know")
    assert "maybe_lead_paint" not in found("chest", "2005", "don't know")


def test_one_painted_part_is_said_to_be_that_part():
    more = """
[[part]]
code = "BACK"
name = "backboards"
finish = "oil paint"
"""
    hazard = found(made="1850", more=more)["old_lead_paint"]
    assert hazard.parts == ("BACK",)
    assert hazard.cites[0] == "part.BACK.finish"


def test_when_every_part_says_its_own_finish_the_whole_is_not_asked():
    more = '[[part]]\ncode = "A"\nname = "top"\nfinish = "wax"\n'
    assert "maybe_lead_paint" not in found(made="1850", finish="don't know", more=more)


def test_an_old_mirror_may_be_tin_and_mercury_and_a_late_one_is_not():
    more = '[[part]]\ncode = "M"\nname = "plate"\nshape = "mirror"\n'
    assert found(made="1840", more=more)["tin_mercury_mirror"].parts == ("M",)
    assert "tin_mercury_mirror" in found(made="1840", kind="mirror")
    assert "tin_mercury_mirror" not in found(made="1925", more=more)


@pytest.mark.parametrize(
    ("note", "is_there"),
    [
        ("asbestos pad under the burner", True),
        ("no asbestos", False),
        ("there is not any asbestos in it", True),  # too far from the word to be sure: said rather than not
        ("not sure, asbestos?", True),
        ("Heat board at the back", True),
    ],
)
def test_a_word_somebody_wrote_counts_unless_it_is_denied(note, is_there):
    assert ("asbestos_board" in found(piece=f'note = "{note}"')) is is_there


def test_a_condition_of_a_part_is_found_there():
    more = '[[part]]\ncode = "B"\nname = "back"\n[[condition]]\nterm = "mould"\npart = "B"\n'
    assert found(more=more)["mould"].parts == ("B",)
    assert found(more=more)["mould"].cites == ("condition.mould.B",)


@pytest.mark.parametrize(
    ("kind", "weight", "heavy"),
    [
        ("chest", "don't know", True),
        ("chest", "12 kg", False),
        ("chair", "don't know", False),
        ("chair", "40 kg", True),
    ],
)
def test_weight_decides_where_it_is_known_and_the_kind_where_it_is_not(kind, weight, heavy):
    # Two people over about 25 kg: common practice.
    assert ("heavy_piece" in found(kind, piece=f'weight = "{weight}"')) is heavy


def test_less_known_never_means_less_warned():
    known = set(found("chest", "1850", "oil paint", piece='weight = "40 kg"'))
    less = set(found("chest", "don't know", "oil paint"))
    assert known <= less


def test_what_is_found_binds_the_step_that_meets_it():
    keys = tuple(found("sideboard", "1880", "oil paint"))
    assert cautions_for(Task("sand", dust=True, found=keys))[0].key == "lead_no_dust"
    assert not [c for c in cautions_for(Task("sand", dust=True, found=tuple(found(made="1880")))) if "lead" in c.key]
