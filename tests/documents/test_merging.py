"""Two people on one document: what goes together by itself, and what is shown to both."""

import json
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

import pieces
from witnessmark.documents import json_of, merged

CODES = st.sampled_from(["TOP", "DR1", "DR2", "LEG"])
ROWS = st.fixed_dictionaries({}, optional={"size": st.sampled_from(["1 mm", "2 mm"]), "count": st.integers(1, 3)})
PARTS = st.dictionaries(CODES, ROWS, max_size=4).map(lambda by: [{"code": code} | row for code, row in by.items()])
AMISS = {"severity": st.sampled_from(["slight", "severe"])}
NOTES = st.lists(st.fixed_dictionaries({"term": st.sampled_from(["split", "stain"])}, optional=AMISS), max_size=3)
DOCUMENTS = st.fixed_dictionaries(
    {}, optional={"piece": ROWS, "part": PARTS, "condition": NOTES, "note": st.sampled_from(["", "a", "b"])}
)


def chest(**piece: Any) -> dict[str, Any]:
    tables = json.loads(json.dumps(json_of(pieces.chest())))
    tables["piece"] |= piece
    return tables


def part(tables: dict[str, Any], code: str) -> dict[str, Any]:
    return next(row for row in tables["part"] if row["code"] == code)


def paths(tables: Any, path: tuple[str, ...] = ()) -> set[tuple[str, ...]]:
    """Every key of tables, rows by their code."""
    if isinstance(tables, dict):
        return {path} | {one for key, value in tables.items() for one in paths(value, (*path, key))}
    if isinstance(tables, list):
        return {path} | {one for row in tables if "code" in row for one in paths(row, (*path, row["code"]))}
    return {path}


def test_different_keys_of_one_piece_go_together():
    theirs, mine = chest(title="The tall one"), chest(note="Smells of mice")
    found = merged(chest(), theirs, mine)
    assert found.both == {}
    assert found.tables == chest(title="The tall one", note="Smells of mice")


def test_the_same_key_shows_what_both_said():
    found = merged(chest(), chest(title="The tall one"), chest(title="The dear one"))
    assert found.both == {"piece.title": ("The tall one", "The dear one")}
    assert found.tables == chest(title="The tall one")


def test_two_keys_of_one_part_go_together_and_the_same_key_is_named_by_the_part():
    theirs, mine, alike = chest(), chest(), chest()
    code = theirs["part"][0]["code"]
    part(theirs, code)["kept"] = "shelf 2"
    part(mine, code)["note"] = "worm"
    part(alike, code)["kept"] = "shelf 3"
    both = merged(chest(), theirs, mine).tables
    assert (part(both, code)["kept"], part(both, code)["note"]) == ("shelf 2", "worm")
    assert merged(chest(), theirs, alike).both == {f"part[{code}].kept": ("shelf 2", "shelf 3")}


def test_a_part_that_one_takes_out_and_the_other_changes_is_shown_to_both():
    theirs, mine = chest(), chest()
    gone = theirs["part"].pop()
    part(mine, gone["code"])["note"] = "worm"
    found = merged(chest(), theirs, mine)
    assert found.both == {f"part[{gone['code']}]": (None, gone | {"note": "worm"})}


def test_two_keys_of_one_line_without_a_name_go_together():
    base = {"condition": [{"term": "split"}, {"term": "stain", "part": "TOP"}]}
    theirs = {"condition": [{"term": "split", "severity": "slight"}, {"term": "stain", "part": "TOP"}]}
    mine = {"condition": [{"term": "split", "note": "old"}, {"term": "stain", "part": "TOP"}, {"term": "worm"}]}
    found = merged(base, theirs, mine)
    assert found.both == {}
    assert found.tables == {"condition": [{"term": "split", "severity": "slight", "note": "old"},
                                          {"term": "stain", "part": "TOP"}, {"term": "worm"}]}  # fmt: skip
    alike = {"condition": [{"term": "split", "severity": "severe"}, {"term": "stain", "part": "TOP"}]}
    assert merged(base, theirs, alike).both == {"condition[1].severity": ("slight", "severe")}


def test_parts_that_both_added_are_all_there_and_one_that_both_added_alike_is_there_once():
    base = {"part": [{"code": "TOP"}]}
    theirs = {"part": [{"code": "TOP"}, {"code": "DR1", "name": "drawer"}, {"code": "DR2"}]}
    mine = {"part": [{"code": "LEG"}, {"code": "TOP"}, {"code": "DR2"}]}
    found = merged(base, theirs, mine)
    assert found.both == {}
    assert [row["code"] for row in found.tables["part"]] == ["LEG", "TOP", "DR1", "DR2"]


def test_one_who_only_moved_rows_has_their_order():
    base = {"part": [{"code": "A"}, {"code": "B"}, {"code": "C"}]}
    theirs = {"part": [{"code": "C"}, {"code": "A"}, {"code": "B"}]}
    mine = {"part": [{"code": "A", "note": "x"}, {"code": "B"}, {"code": "C"}]}
    assert merged(base, theirs, mine).tables == {"part": [{"code": "C"}, {"code": "A", "note": "x"}, {"code": "B"}]}
    other = {"part": [{"code": "B"}, {"code": "A"}, {"code": "C"}]}
    assert set(merged(base, theirs, other).both) == {"part"}


def test_true_is_not_one():
    assert merged({"a": 1}, {"a": True}, {"a": 1}).tables["a"] is True


@given(DOCUMENTS, DOCUMENTS)
def test_who_changed_nothing_gets_what_the_other_said(base, other):
    assert merged(base, base, other) == merged(base, other, base)
    assert merged(base, other, base).tables == other
    assert merged(base, other, other).tables == other
    assert not merged(base, other, base).both


@given(DOCUMENTS, DOCUMENTS, DOCUMENTS)
def test_who_came_first_makes_no_difference(base, one, other):
    found, turned = merged(base, one, other), merged(base, other, one)
    assert found.both == {key: (mine, theirs) for key, (theirs, mine) in turned.both.items()}
    if not found.both:
        assert json.dumps(found.tables, sort_keys=True) == json.dumps(turned.tables, sort_keys=True)


@given(DOCUMENTS, DOCUMENTS, DOCUMENTS)
def test_no_key_is_lost_that_nobody_took_out_and_none_stays_that_somebody_did(base, one, other):
    found = merged(base, one, other)
    if not found.both:
        here, theirs, mine = paths(found.tables), paths(one), paths(other)
        assert theirs & mine <= here
        assert (theirs | mine) - paths(base) <= here
        assert here <= theirs | mine
