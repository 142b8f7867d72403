"""Ten facts give an area: what is not measured is judged by eye, and every measurement narrows it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.quantities import Area, Range, high, low, usual
from witnessmark.sources import Standing, recomputed, table, table_of
from witnessmark.survey import KINDS, PieceKind, Survey, areas_of, starter, survey_from

approx = pytest.approx
ID = "01900000-0000-7000-8000-000000000000"

# A chest such as ours, measured throughout: 2.5 m² of show surface.
CHEST_SIZE = "1050 x 500 x 1000 mm"
CHEST = [
    {"code": "TOP", "name": "top", "size": "1060 x 510 x 20 mm", "show": ["top", "front edge", "ends"]},
    {"code": "SIDE", "name": "sides", "count": 2, "size": "950 x 480 x 20 mm", "show": ["outside"]},
    {"code": "DR", "name": "drawer fronts", "count": 4, "size": "990 x 205 x 22 mm", "show": ["front"]},
    {"code": "RAIL", "name": "rails", "count": 3, "size": "1010 x 60 x 20 mm", "show": ["front edge"]},
    {"code": "PLINTH", "name": "plinth", "size": "1060 x 90 x 20 mm", "show": ["front"]},
]


def surveyed(*parts: dict, kind: str = "chest", size: str | None = CHEST_SIZE) -> Survey:
    piece = {"kind": kind} | ({"size": size} if size else {})
    return Survey.model_validate({"id": ID, "piece": piece, "part": [{"shape": "board"} | one for one in parts]})


def total(*parts: dict, **piece: str | None) -> Range[Area] | Area:
    return areas_of(surveyed(*parts, **piece)).total.value


def unsized(part: dict) -> dict:
    return part | {"size": "don't know"}


def width(value: Range[Area] | Area) -> float:
    return (high(value) - low(value)).square_metres


@pytest.mark.parametrize("kind", [kind.value for kind in PieceKind])
def test_the_kind_alone_gives_a_wide_total(kind):
    areas = areas_of(surveyed(kind=kind, size=None))
    assert Area(0.0) < areas.total.value.low < areas.total.value.usual < areas.total.value.high
    assert [line.part for line in areas.faces] == [None]
    assert areas.missing[0].key == "size"
    assert areas.total.standing is Standing.FROM_MEMORY


@pytest.mark.parametrize("kind", [kind.value for kind in PieceKind])
def test_its_size_narrows_it(kind):
    cells = next(row for row in table("survey", "whole_pieces.csv", key="kind") if row.key == kind)
    size = " x ".join(f"{cells[f'{side}_usual_mm']} mm" for side in ("wide", "deep", "high"))
    unmeasured, measured = total(kind=kind, size=None), total(kind=kind, size=size)
    assert usual(measured) == usual(unmeasured)
    assert low(unmeasured) < low(measured) < high(measured) < high(unmeasured)


def test_a_mirror_is_measured_wide_and_high():
    flat = total(kind="mirror", size="600 x 800 mm")
    assert low(total(kind="mirror", size=None)) < low(flat) < high(flat) < high(total(kind="mirror", size=None))


def test_a_chest_by_eye_holds_the_same_chest_measured():
    measured = total(*CHEST)
    assert not isinstance(measured, Range)
    by_eye = total()
    assert by_eye.low < measured < by_eye.high


@given(st.lists(st.integers(0, len(CHEST) - 1), min_size=1, max_size=len(CHEST), unique=True))
@settings(max_examples=60)
def test_every_size_taken_away_widens_the_total_and_it_still_holds_the_truth(taken):
    truth, before = total(*CHEST), 0.0
    parts = list(CHEST)
    for at in taken:
        parts[at] = unsized(parts[at])
        now = total(*parts)
        assert low(now) <= truth <= high(now)
        assert width(now) >= before
        assert width(now) > 0
        before = width(now)


@given(st.integers(0, len(CHEST) - 1), st.sampled_from(["don't know", "one"]))
@settings(max_examples=20)
def test_a_size_never_given_is_a_size_not_known(at, how):
    part = unsized(CHEST[at]) if how == "don't know" else {k: v for k, v in CHEST[at].items() if k != "size"}
    assert total(part) == total(unsized(CHEST[at]))


def test_guesses_at_parts_are_held_to_the_guess_at_the_whole():
    areas = areas_of(surveyed(*(unsized(part) for part in CHEST)))
    apart = [sum(end(line.net.value).square_metres for line in areas.faces) for end in (low, high)]
    whole = total()
    assert apart[0] < whole.low.square_metres
    assert apart[1] > whole.high.square_metres
    assert (areas.total.value.low, areas.total.value.high) == (whole.low, whole.high)


def test_where_the_parts_come_to_more_than_such_a_piece_shows_the_parts_stand():
    bigger = [part | {"count": 3 * part.get("count", 1)} for part in CHEST]
    bigger[-1] = unsized(bigger[-1])
    areas = areas_of(surveyed(*bigger))
    lines = [end(line.net.value).square_metres for end in (low, high) for line in areas.faces]
    assert width(areas.total.value) > 0
    assert low(areas.total.value).square_metres == approx(sum(lines[: len(lines) // 2]))
    assert high(areas.total.value).square_metres == approx(sum(lines[len(lines) // 2 :]))


def test_what_is_not_listed_yet_is_a_line_of_its_own_and_goes_as_parts_are_named():
    areas = areas_of(surveyed(CHEST[0]))
    assert [line.part for line in areas.faces] == ["TOP", "TOP", "TOP", None]
    assert areas.faces[-1].face == "parts not listed"
    assert low(areas.faces[-1].net.value).square_metres == 0, "perhaps the top is all there is to do"
    assert areas.total.value.usual.square_metres == approx(total().usual.square_metres)
    assert areas.missing[0].key == "part"
    assert None not in [line.part for line in areas_of(surveyed(*CHEST)).faces]


def test_what_widens_most_is_told_first():
    parts = [unsized(part) if part["code"] in ("PLINTH", "TOP") else part for part in CHEST]
    missing = areas_of(surveyed(*parts)).missing
    assert [one.part for one in missing] == ["TOP", "PLINTH"]
    assert missing[0].widens > missing[1].widens


@pytest.mark.parametrize(
    ("name", "like"),
    [
        ("Top rail of the back", "rail"),
        ("front leg, left", "leg"),
        ("drawer fronts", "drawer front"),
        ("bottom drawer front", "drawer front"),
        ("gallery or back board on top", "gallery"),
        ("rails between the drawers", "rail"),
        ("feet", "foot"),
        ("left gable", "side"),
        ("whatsit", "thing"),
    ],
)
def test_the_noun_of_a_name_says_what_a_part_is(name, like):
    def lines(name: str) -> list:
        areas = areas_of(surveyed({"code": "A", "name": name, "show": ["front"]}))
        return [line.net.value for line in areas.faces]

    assert lines(name) == lines(like)
    assert name == "whatsit" or lines(name) != lines("whatsit")


@pytest.mark.parametrize("kind", KINDS)
def test_a_starter_gives_a_total_as_it_is_and_its_workings_come_out_again(kind):
    areas = areas_of(survey_from(starter(kind, ID), kind))
    whole = areas_of(surveyed(kind=kind, size=None)).total.value
    assert whole.low.square_metres <= areas.total.value.low.square_metres + 1e-12
    assert areas.total.value.high.square_metres <= whole.high.square_metres + 1e-12
    flat = table_of([areas.total, *(line.net for line in areas.faces)])
    for key, entry in flat.items():
        for name, number in recomputed(flat, key).items():
            assert number == (approx(entry["value"][name], rel=1e-9) if name != "unit" else entry["value"][name])


def test_one_parts_faces_together():
    areas = areas_of(surveyed(*CHEST))
    assert areas.of("TOP").value.square_metres == approx(1.06 * 0.51 + 1.06 * 0.02 + 2 * 0.51 * 0.02)
    assert areas.of("SIDE").value.square_metres == approx(2 * 0.95 * 0.48)
    assert areas.of("NONE") is None
