"""Areas of parts: which faces are counted, what comes off, what adds up, and what is said of input that can't be."""

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.documents import Faulty
from witnessmark.quantities import Range, high, low, say, usual
from witnessmark.sources import recomputed, rule, table, table_of
from witnessmark.survey import Survey, area_faults, areas_answer, areas_of, survey_from
from witnessmark.survey.profiles import profile_of

approx = pytest.approx
PAGE = Path(__file__).resolve().parents[2] / "docs" / "workings" / "areas.md"


def surveyed(*parts: dict, kind: str = "mirror", size: str = "50 x 1 x 50 mm") -> Survey:
    """A survey of a small piece, so that what is listed is never thought too little to be all of it."""
    tables = {
        "id": "01900000-0000-7000-8000-000000000000",
        "piece": {"kind": kind, "size": size},
        "part": [{"code": f"P{n}", "name": "thing", "shape": "board"} | part for n, part in enumerate(parts)],
    }
    return Survey.model_validate(tables)


def nets(*parts: dict) -> list:
    return [line.net.value for line in areas_of(surveyed(*parts)).faces]


def square_metres(*parts: dict) -> float:
    """The total of parts whose area is one figure, not a range."""
    total = areas_of(surveyed(*parts)).total.value
    assert not isinstance(total, Range), total
    return total.square_metres


BOARD = {"size": "1000 x 500 x 20 mm"}


@pytest.mark.parametrize(
    ("show", "area"),
    [
        (["face"], 0.5),
        (["top"], 0.5),
        (["both faces"], 1.0),
        (["front", "inside"], 1.0),
        (["front edge"], 0.02),
        (["edges"], 0.04),
        (["left end"], 0.01),
        (["ends"], 0.02),
        (["all edges"], 0.06),
        (["top", "front edge", "ends"], 0.54),
        (["all round"], 1.06),
        (["nothing"], None),
    ],
)
def test_each_word_is_so_many_faces_edges_and_ends_of_the_board(show, area):
    lines = areas_of(surveyed(BOARD | {"show": show})).faces
    if area is None:
        assert [line.face for line in lines] == ["whole piece"]
    else:
        assert sum(line.net.value.square_metres for line in lines) == approx(area)


def test_every_word_of_the_list_and_each_of_its_synonyms_gives_the_same_area():
    for row in table("survey", "faces.csv", key="word"):
        if row.key == "nothing":
            continue
        expected = nets(BOARD | {"show": [row.key]})
        for word in (*row.keys_in("aliases"), row.key.upper(), row.key.replace(" ", "-")):
            assert nets(BOARD | {"show": [word]}) == expected, word


def test_no_word_means_two_things():
    words = [w for row in table("survey", "faces.csv", key="word") for w in (row.key, *row.keys_in("aliases"))]
    assert len(words) == len(set(words))
    names = [n for row in table("survey", "profiles.csv", key="name") for n in (row.key, *row.keys_in("aliases"))]
    assert len(names) == len(set(names))


def test_of_a_board_nobody_said_anything_of_nothing_is_counted_and_that_is_told():
    areas = areas_of(surveyed(BOARD, BOARD | {"show": ["face"]}))
    assert [line.part for line in areas.faces] == ["P1"]
    assert areas.left_out == (("P0", "nobody said what of it shows"),)


def test_worked_parts_are_seen_unless_somebody_says_otherwise():
    leg = {"shape": "turned", "size": "700 x 60 mm"}
    assert len(nets(leg)) == 1
    areas = areas_of(surveyed(leg | {"show": ["nothing"]}, leg | {"material": "brass"}, BOARD | {"show": ["top"]}))
    assert [line.part for line in areas.faces] == ["P2"]


def test_metal_glass_and_cloth_are_not_finished():
    shapes = ["hardware", "glass", "mirror", "cloth", "leather"]
    parts = [BOARD | {"shape": shape, "show": ["face"]} for shape in shapes]
    areas = areas_of(surveyed(BOARD | {"show": ["face"]}, *parts))
    assert [line.part for line in areas.faces] == ["P0"]
    assert [code for code, _ in areas.left_out] == ["P1", "P2", "P3", "P4", "P5"]


def test_not_knowing_which_faces_show_runs_from_none_to_both():
    (net,) = nets(BOARD | {"show": ["don't know"]})
    assert [end.square_metres for end in (net.low, net.usual, net.high)] == approx([0, 0.5, 1.0])


def test_several_alike_count_each():
    assert square_metres(BOARD | {"show": ["top"], "count": 4}) == approx(2.0)


def test_what_is_not_finished_comes_off_the_largest_face():
    part = BOARD | {"show": ["front edge", "top"], "less": ["300 x 200 mm", "100 x 100 mm"]}
    assert [net.square_metres for net in nets(part)] == approx([0.02, 0.5 - 0.06 - 0.01])


def test_it_comes_off_each_of_several_alike():
    part = BOARD | {"show": ["top"], "less": ["300 x 200 mm"], "count": 3}
    assert square_metres(part) == approx(3 * 0.44)


def test_where_nobody_knows_how_much_is_covered_the_face_widens_down():
    (net,) = nets(BOARD | {"show": ["top"], "less": ["don't know"]})
    assert net.high.square_metres == approx(0.5)
    assert net.low < net.usual < net.high
    assert areas_of(surveyed(BOARD | {"show": ["top"], "less": ["don't know"]})).missing[0].key == "less"


def test_an_unknown_thickness_widens_the_edges_alone():
    top, edge = nets({"size": "1000 x 500 mm", "show": ["top", "front edge"]})
    assert top.square_metres == approx(0.5)
    assert edge.low.square_metres < 0.02 < edge.high.square_metres


def test_a_moulded_edge_counts_by_its_developed_length():
    plain, moulded = nets(BOARD | {"show": ["front edge"]}, BOARD | {"show": ["front edge"], "profile": "ovolo 20 mm"})
    assert moulded / plain == approx(3.141592653589793 / 2)


# --- frames ---


def test_a_frame_is_its_outer_rectangle_less_the_opening_on_each_face():
    frame = {"shape": "frame", "size": "600 x 400 x 20 mm", "less": ["500 x 300 mm"]}
    assert square_metres(frame | {"show": ["face"]}) == approx(0.09)
    assert square_metres(frame | {"show": ["both faces"]}) == approx(0.18)


def test_a_frame_of_flat_members_comes_to_the_same_by_its_opening_and_by_its_member():
    frame = {"shape": "frame", "size": "600 x 400 x 20 mm", "show": ["face"]}
    by_opening = square_metres(frame | {"less": ["500 x 300 mm"]})
    assert square_metres(frame | {"profile": "flat 50 mm"}) == approx(by_opening)


def test_a_moulded_frame_comes_to_the_same_either_way_and_to_more_than_flat():
    frame = {"shape": "frame", "size": "600 x 400 x 20 mm", "show": ["face"], "profile": "ogee 50 x 20 mm"}
    assert square_metres(frame) == approx(square_metres(frame | {"less": ["500 x 300 mm"]}))
    assert square_metres(frame) > square_metres(frame | {"profile": "flat 50 mm"})


def test_a_frame_of_which_only_the_outside_is_known_is_a_range_that_holds_the_true_area():
    (net,) = nets({"shape": "frame", "size": "600 x 400 x 20 mm", "show": ["face"]})
    assert net.low.square_metres < 0.09 < net.high.square_metres


# --- mouldings, turnings, carving ---


def test_a_moulding_is_its_run_by_its_developed_profile():
    moulding = {"shape": "moulding", "size": "1200 x 25 x 20 mm", "profile": "fillet 5 mm + ovolo 20 mm"}
    assert square_metres(moulding) == approx(1.2 * (0.005 + 0.02 * 3.141592653589793 / 2))


def test_a_name_without_a_size_takes_the_section_of_the_part():
    moulding = {"shape": "moulding", "size": "1200 x 25 x 20 mm"}
    named = nets(moulding | {"profile": "ovolo"})
    assert named == nets(moulding | {"profile": "ovolo 25 x 20 mm"})


def test_a_moulding_of_unknown_profile_holds_whatever_it_may_be():
    moulding = {"shape": "moulding", "size": "1200 x 25 x 20 mm"}
    (unknown,) = nets(moulding)
    for profile in ("ovolo", "cavetto", "chamfer", "ogee", "fillet 25 x 20 mm"):
        (known,) = nets(moulding | {"profile": profile})
        assert low(unknown) <= known or low(unknown).square_metres == approx(known.square_metres)
        assert known <= high(unknown)


TURNING = (("0 mm", "40 mm"), ("200 mm", "60 mm"), ("700 mm", "30 mm"))


def test_a_turning_is_reckoned_from_its_measured_points_and_its_curve_may_be_fuller():
    (net,) = nets({"shape": "turned", "turning": TURNING})
    straight = sum(
        3.141592653589793 * (d + e) / 2e6 * (h * h + ((d - e) / 2) ** 2) ** 0.5
        for d, e, h in ((40, 60, 200), (60, 30, 500))
    )
    assert net.low.square_metres == approx(straight)
    assert net.low < net.usual < net.high


def test_a_turning_is_written_as_pairs_in_the_survey():
    text = """
        schema = 1
        id = "01900000-0000-7000-8000-000000000000"
        [piece]
        kind = "mirror"
        size = "50 x 1 x 50 mm"
        [[part]]
        code = "P0"
        name = "post"
        turning = [["0 mm", "40 mm"], ["200 mm", "60 mm"], ["700 mm", "30 mm"]]
    """
    (line,) = areas_of(survey_from(text, "page")).faces
    assert [line.net.value] == nets({"shape": "turned", "turning": TURNING})


def test_points_not_known_are_left_out_and_order_may_be_from_either_end():
    part = {"shape": "turned", "turning": TURNING}
    assert nets(part) == nets(part | {"turning": (*TURNING[:2], ("400 mm", "don't know"), TURNING[2])})
    (down,), (up,) = nets(part | {"turning": TURNING[::-1]}), nets(part)
    assert usual(down).square_metres == approx(usual(up).square_metres)


def test_a_split_turning_shows_half_and_an_end_is_a_disc():
    whole, half, ends = nets(
        *({"shape": "turned", "turning": TURNING, "show": [word]} for word in ("all round", "front", "ends"))
    )
    assert usual(half) / usual(whole) == approx(0.5)
    assert ends.square_metres == approx(3.141592653589793 / 4 * (0.04**2 + 0.03**2))


def test_length_and_largest_diameter_give_a_range_at_most_the_cylinder():
    (net,) = nets({"shape": "turned", "size": "450 x 40 mm"})
    assert net.high.square_metres == approx(3.141592653589793 * 0.45 * 0.04)
    assert net.low < net.usual < net.high


def test_a_part_measured_as_a_turning_needs_no_shape():
    assert nets({"shape": "don't know", "turning": TURNING}) == nets({"shape": "turned", "turning": TURNING})


def test_carving_adds_surface_and_more_the_deeper():
    flat = {"shape": "board", "size": "600 x 100 x 20 mm", "show": ["face"]}
    light, medium, deep = (nets(flat | {"carving": depth})[0] for depth in ("light", "medium", "deep"))
    assert light.low.square_metres > 0.06
    assert light.usual < medium.usual < deep.usual
    (somehow,) = nets(flat | {"shape": "carved"})
    assert (somehow.low, somehow.high) == (light.low, deep.high)


def test_carving_is_on_the_faces_not_the_edges():
    assert nets(BOARD | {"show": ["edges"], "carving": "deep"}) == nets(BOARD | {"show": ["edges"]})


def test_an_unknown_shape_is_a_board_give_or_take():
    (net,) = nets(BOARD | {"shape": "don't know", "show": ["face"]})
    assert net.low.square_metres < 0.5 < net.high.square_metres


# --- laws ---

MILLIMETRES = st.integers(200, 2000)


@given(MILLIMETRES, MILLIMETRES, st.integers(5, 50), st.floats(0.05, 0.95))
@settings(max_examples=40)
def test_a_board_sawn_in_two_has_the_area_of_both_halves(length, width, thick, at):
    def board(long: float) -> dict:
        return {"size": f"{long:.6f} x {width} x {thick} mm", "show": ["both faces", "edges"]}

    halves = square_metres(board(length * at), board(length * (1 - at)))
    assert square_metres(board(length)) == approx(halves, rel=1e-5)


@given(st.floats(0.2, 8), st.sampled_from(["board", "frame", "turned", "moulding", "carved", "don't know"]))
@settings(max_examples=40)
def test_twice_the_size_is_four_times_the_area(times, shape):
    def part(by: float) -> dict:
        size = " x ".join(f"{side * by:.9f} mm" for side in (800, 60, 25))
        return {"shape": shape, "size": size, "show": ["front"]}

    (once,), (again,) = nets(part(1)), nets(part(times))
    for end in (low, usual, high):
        assert end(again) / end(once) == approx(times**2, rel=1e-6)


@given(
    st.lists(
        st.fixed_dictionaries(
            {
                "shape": st.sampled_from(["board", "panel", "frame", "turned", "moulding", "carved", "don't know"]),
                "size": st.builds("{} x {} x {} mm".format, MILLIMETRES, MILLIMETRES, MILLIMETRES),
                "show": st.sampled_from([["face"], ["both faces"], ["don't know"], ["front"]]),
                "less": st.sampled_from([[], ["10 x 5 mm"], ["don't know"]]),
                "count": st.integers(1, 9),
            }
        ),
        min_size=1,
        max_size=15,
    )
)
@settings(max_examples=25)
def test_no_area_is_below_nothing_and_the_total_is_their_sum(parts):
    areas = areas_of(surveyed(*parts))
    assert all(low(line.net.value).square_metres >= 0 for line in areas.faces)
    for end in (low, usual, high):
        total = sum(end(line.net.value).square_metres for line in areas.faces)
        assert end(areas.total.value).square_metres == approx(total)


def test_every_working_comes_out_again_from_what_it_shows():
    survey = surveyed(
        BOARD | {"show": ["all round"], "less": ["100 x 50 mm"], "count": 2, "carving": "light"},
        {"shape": "frame", "size": "600 x 400 mm", "show": ["don't know"]},
        {"shape": "frame", "size": "600 x 400 mm", "show": ["face"], "profile": "fillet 3 mm + reeding 5 x 6 mm"},
        {"shape": "moulding", "size": "900 x 30 mm", "show": ["both faces"]},
        {"shape": "turned", "turning": TURNING, "show": ["front", "ends"]},
        {"shape": "turned", "size": "450 x 40 mm"},
        {"show": ["top", "front edge"], "name": "top"},
        kind="chest", size="1050 x 500 x 1000 mm",
    )  # fmt: skip
    answer = areas_answer(areas_of(survey))
    workings = [*(line["net"] for line in answer["faces"]), answer["total"]]
    flat = table_of(workings)
    for key, entry in flat.items():
        again = recomputed(flat, key)
        assert again.keys() == entry["value"].keys()
        assert [v for v in again.values() if v != again["unit"]] == approx(
            [v for v in entry["value"].values() if v != again["unit"]], rel=1e-9
        )
    assert all(working.id in flat for working in workings)


def test_many_parts_add_up_without_being_worked_at_every_corner():
    parts = [{"shape": "turned", "size": "450 x 40 mm", "count": n % 3 + 1} for n in range(120)]
    total = areas_of(surveyed(*parts)).total.value
    assert total.high.square_metres == approx(240 * 3.141592653589793 * 0.45 * 0.04)


# --- what is said of input that can't be ---


@pytest.mark.parametrize(
    ("part", "key", "expected", "nearest"),
    [
        ({"show": ["frnt"]}, "show", "a face of the part", "front"),
        ({"show": ["top", "top"]}, "show", "each face once", None),
        ({"show": ["both faces", "top"]}, "show", "each face once", None),
        ({"show": ["all round", "front edge"]}, "show", "each face once", None),
        ({"show": ["top", "front"]}, "show", "back to back", "front edge"),
        ({"show": ["don't know", "front"]}, "show", "don't know", None),
        ({"show": ["top"], "less": ["2000 x 400 mm"]}, "less", "less than the face", None),
        ({"shape": "moulding", "profile": "ovolio 20 mm"}, "profile", "ovolo", "ovolo"),
        ({"shape": "moulding", "profile": "ovolo 20 x 10 x 5 mm"}, "profile", "across × deep", None),
        ({"shape": "moulding", "profile": "ovolo 20"}, "profile", "unit", None),
        ({"shape": "moulding", "profile": "reeding 6 mm"}, "profile", "how many and how wide", None),
        ({"shape": "moulding", "profile": "scotia 10 x 20 mm"}, "profile", "scotia", None),
        ({"shape": "moulding", "profile": "ovolo 20 mm +"}, "profile", "one of", None),
        ({"shape": "frame", "show": ["face"], "profile": "flat 300 mm"}, "profile", "half as wide", None),
        ({"shape": "turned", "turning": (("0 mm", "40"), ("9 mm", "5 mm"))}, "turning", "unit", None),
        ({"shape": "turned", "turning": (("0 mm", "4 to 5 mm"), ("9 mm", "5 mm"))}, "turning", "one amount", None),
        ({"shape": "turned", "turning": (("0 mm", "4 mm"), ("9 mm", "-5 mm"))}, "turning", "not below 0", "5 mm"),
        (
            {"shape": "turned", "turning": (("0 mm", "4 mm"), ("9 mm", "5 mm"), ("3 mm", "5 mm"))},
            "turning", "heights in order", None,
        ),
        ({"size": "900 x 450 m"}, "size", "check the unit", None),
        ({"shape": "moulding", "profile": "ovolo 90 m"}, "profile", "check the unit", None),
        ({"shape": "moulding", "profile": "reeding 9000 x 6 mm"}, "profile", "check the unit", None),
        ({"shape": "turned", "turning": (("0 mm", "4 m"), ("9 mm", "50 m"))}, "turning", "check the unit", None),
        ({"shape": "turned", "show": ["front edge"]}, "show", "a face of a turning", "all round"),
    ],
)  # fmt: skip
def test_what_gives_no_area_is_told_with_its_key_and_what_to_write(part, key, expected, nearest):
    survey = surveyed(BOARD | {"show": ["top"]}, BOARD | part)
    (fault,) = area_faults(survey, "chest.toml")
    assert (fault.where, fault.key) == ("chest.toml", f"part[2].{key}")
    assert expected in fault.expected
    assert fault.nearest == nearest
    with pytest.raises(Faulty):
        areas_of(survey)


def test_a_piece_too_large_is_told_too():
    with pytest.raises(Faulty, match=r"piece\.size"):
        areas_of(surveyed(size="1050 x 500 x 1000 m"))


def test_all_faults_are_told_at_once():
    survey = surveyed(BOARD | {"show": ["frnt"]}, BOARD | {"show": ["top"]}, BOARD | {"profile": "ovlo 3 mm"})
    with pytest.raises(Faulty) as told:
        areas_of(survey, "chest.toml")
    assert [fault.key for fault in told.value.faults] == ["part[1].show"]
    survey = surveyed(BOARD | {"show": ["frnt"]}, BOARD | {"show": ["top"], "profile": "ovlo 3 mm"})
    assert [fault.key for fault in area_faults(survey)] == ["part[1].show", "part[2].profile"]


@given(st.text(max_size=40))
@settings(max_examples=200)
def test_no_text_for_a_profile_breaks_it(text):
    faults = area_faults(surveyed({"shape": "moulding", "size": "900 x 20 x 20 mm", "profile": text}))
    assert all(fault.key == "part[1].profile" for fault in faults)


def test_every_profile_of_the_list_and_its_synonyms_is_understood():
    for row in table("survey", "profiles.csv", key="name"):
        size = "5 x 6 mm" if row["curve"] == "reeds" else "20 x 15 mm"
        lengths = {profile_of(f"{name} {size}").developed.value for name in (row.key, *row.keys_in("aliases"))}
        assert len(lengths) == 1, row.key


# --- the page ---


def test_the_page_says_what_the_program_says():
    page = PAGE.read_text("utf-8")
    (text,) = re.findall(r"```toml\n(.*?)```", page, re.DOTALL)
    said = re.findall(
        r"^\| (\S+) \| ([^|]+) \| [^|]+ \| ([\d.]+)(?: \(([\d.]+) to ([\d.]+)\))? \|$", page, re.MULTILINE
    )
    areas = areas_of(survey_from(text, "page"))
    lines = [(line.part or "–", line.face, line.net.value) for line in areas.faces]
    lines.append(("total", "all", areas.total.value))
    assert len(said) == len(lines) > 5
    for (part, face, middle, least, most), (code, word, net) in zip(said, lines, strict=True):
        assert (part, face) == (code, word)
        shown = [f"{end(net).square_metres:.3f}" for end in (usual, low, high)]
        assert [middle, least or middle, most or middle] == shown, part


def test_the_page_names_every_rule_and_every_word():
    page = PAGE.read_text("utf-8")
    for name in ("faces.csv", "profiles.csv", "rules.csv", "whole_pieces.csv", "named_parts.csv"):
        assert f"survey/{name}" in page
    for row in table("survey", "rules.csv"):
        value = rule("survey", row.key).value
        ends = f", {say(value.low)} – {say(value.high)}" if isinstance(value, Range) else ""
        assert f"| `{row.key}` | {say(usual(value))}{ends} |" in page
    for column, name in (("word", "faces.csv"), ("name", "profiles.csv")):
        for row in table("survey", name, key=column):
            assert row.key in page, row.key
