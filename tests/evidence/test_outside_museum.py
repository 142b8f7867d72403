"""Dates against pieces that museums have dated.

`museum_cases.csv` beside this file: the museum, its number and the record's years; the clues and styles are our own
reading of the same record, so what is dated with a style is a check of consistency, not proof. Ten records name
nothing that stands for the making.
"""

import sys
from pathlib import Path

import numpy as np
import pytest

from witnessmark.evidence import Age, Clue, date, ticket

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "bench"))

from accuracy_dates import YEARS, calibration, intersection, museum_cases, museum_lines, museum_rows, score

CASES = {case.key: case for case in museum_cases()}


def test_the_catalogued_years_are_likelier_than_by_chance_or_by_plain_intersection():
    alone, with_style, _ = museum_rows()
    for _, _, ours, uniform, plain, _, _ in (alone, with_style):
        assert ours > plain > uniform
    assert with_style[5] <= 45  # median width of the 90 % range, years
    assert alone[6] >= 0.95  # share of ranges that overlap the catalogued years
    assert with_style[6] >= 0.95


def test_the_two_baselines_are_what_they_say():
    chest = CASES["case_va_1671_chest"]
    assert intersection([Clue("nail_wrought"), Clue("glass_float")]) == pytest.approx(1 / len(YEARS.line))
    even = np.full(len(YEARS.line), 1 / len(YEARS.line))
    assert score(even, chest) == pytest.approx(-np.log(371))


def test_new_brasses_do_not_move_the_date_of_an_old_chest():
    # Victoria and Albert Museum, O371807: dated 1671 on the drawer fronts; brass handles and lock plates replaced.
    chest = CASES["case_va_1671_chest"]
    plain = date(chest.clues, chest.styles, "UK")
    brassed = date([*chest.clues, Clue("plate_willow", age=Age.LATER)], chest.styles, "UK")
    assert brassed.range90[0] <= 1671 <= brassed.range90[1]
    assert abs(brassed.range50[1] - plain.range50[1]) <= 5
    handles = next(part for part in brassed.parts if part.part == "handles")
    assert handles.begins >= 1735
    assert handles.later == pytest.approx(1.0)


def test_a_modern_label_dates_only_itself():
    # Rhode Island Furniture Archive, RIF1180: 1760-1780; a modern printed paper label.
    case = CASES["case_rifa_rif1180"]
    labelled = date([*case.clues, Clue("label_us_zip")], case.styles, "US")
    assert labelled.range50[0] <= 1780
    assert labelled.range50[1] >= 1760
    label = next(part for part in labelled.parts if part.part == "lining")
    assert label.begins >= 1963
    assert "1963 or later" in ticket(labelled)


def test_a_case_without_a_key_is_dated_by_its_style_alone_and_says_so():
    # J. Paul Getty Museum, 70.DA.79: a 19th-century commode with reused stamped posts. No clue of its making.
    case = CASES["case2_getty_70_da_79"]
    assert case.clues == []
    assert date([], case.styles, "FR").from_style
    assert "by its style alone" in ticket(date([], case.styles, "FR"))
    assert ticket(date([])) == "date not known: nothing that dates it has been seen"


def test_reused_stamps_do_not_date_a_later_commode():
    # The same: masters' stamps of 1743-1791 on old posts are older than the piece, once the eye has said so.
    dated = date([Clue("mark_fr_guild_jme", age=Age.OLDER), Clue("screw_gimlet_point", age=Age.UNDISTURBED),
                  Clue("veneer_knife_cut")])  # fmt: skip
    assert dated.range50[0] >= 1850


def test_invented_pieces_are_held_as_often_as_said():
    # 600 of the 2,000 pieces that bench/accuracy_dates.py draws: one standard deviation is 1.2 in 100.
    for _, _, share, _ in calibration(600, seed=7):
        assert 0.86 <= share <= 0.94


def test_the_page_of_accuracy_says_what_is_measured():
    page = (Path(__file__).resolve().parents[2] / "docs" / "accuracy.md").read_text("utf-8")
    assert all(line in page for line in museum_lines()), "write it again: python bench/accuracy.py"
