"""Names of parts as they come off, and their codes: short, of the piece, never given twice."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.survey import PieceKind, free_code, main_body_of, part_names_for, stem_for

CODE = re.compile(r"[A-Z0-9][A-Z0-9.-]{0,11}")


@pytest.mark.parametrize("kind", PieceKind)
def test_every_kind_of_piece_has_its_names_and_one_body_they_come_off_from(kind):
    names = part_names_for(kind)
    assert len(names) >= 6
    assert sum(one.main for one in names) == 1
    assert main_body_of(kind) in names
    assert all(CODE.fullmatch(one.stem) for one in names)
    assert len({one.name for one in names}) == len(names)


def test_a_drawer_counts_and_a_top_stands_bare():
    assert free_code(stem_for(PieceKind.CHEST, "drawer"), set()) == "D1"
    assert free_code(stem_for(PieceKind.CHEST, "long drawer"), {"D1"}) == "D2"
    assert free_code(stem_for(PieceKind.CHEST, "Top"), set()) == "TOP"
    assert free_code(stem_for(PieceKind.TABLE, "top"), {"TOP"}) == "TOP2"


def test_a_name_of_ones_own_gives_its_own_beginning():
    assert stem_for(PieceKind.CHAIR, "wing, padded") == "WING"
    assert stem_for(PieceKind.OTHER, "") == "P"
    assert stem_for(PieceKind.OTHER, "…") == "P"


@given(st.lists(st.tuples(st.sampled_from(list(PieceKind)), st.text(max_size=30)), max_size=40))
def test_whatever_parts_are_called_no_two_get_one_code(called):
    taken: set[str] = set()
    for kind, name in called:
        code = free_code(stem_for(kind, name), taken)
        assert CODE.fullmatch(code)
        assert code not in taken
        taken.add(code)
