"""The drawings: what they show, in words too, and that they can stand together on one page."""

import math
import os
import re
from collections import Counter
from datetime import timedelta
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

import desk_samples
from desk_samples import CHAIR, CHEST, NOW, WALL, at
from witnessmark.desk import drawings
from witnessmark.desk.drawings import Bar, Board, Hole, MapPart, Row
from witnessmark.desk.drawings.fronts import fronts
from witnessmark.desk.drawings.weeks import Weeks

GOLDEN = Path(__file__).resolve().parents[1] / "golden"
LOOK = (Path(drawings.__file__).parents[1] / "static/desk/look.css").read_text("utf-8")
ONE_OF_EACH = {
    "jar": drawings.jar("one", "Jar 7", 210, 300, 73, 62, 86),
    "short jar": drawings.jar("two", "Jar 9", 160, 300, 190),
    "dissolving jar": drawings.jar("three", "Jar 10", 400, 500, dissolving=True),
    "dial": drawings.dial("four", NOW, at(10, 14.5), "glue in clamps"),
    "long dial": drawings.dial("five", NOW, at(11, 9), "film hardens"),
    "strip": drawings.strip("six", 4, "Apart"),
    "tally": drawings.tally("seven", 3, 12, "parts off"),
    "wall": drawings.wall("eight", **WALL),
    "map of the chest": drawings.apart_map("nine", "41", CHEST),
    "map of the chair": drawings.apart_map("ten", "42", CHAIR),
    "way up": drawings.way_up("eleven", "D4", "triangle on the back", [Hole("N7", 0.2, 0.9), Hole("N8")], 1000, 230),
}


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def words(svg: str) -> list[str]:
    return [node.text or "" for node in parsed(svg).iter("text")]


def by_class(svg: str, css: str) -> list[ElementTree.Element]:
    return [node for node in parsed(svg).iter() if css in node.get("class", "").split()]


@pytest.mark.parametrize("name", ONE_OF_EACH)
def test_every_drawing_says_what_it_is_and_what_it_shows(name):
    drawn = parsed(ONE_OF_EACH[name])
    title, desc = drawn.find("title"), drawn.find("desc")
    assert title is not None
    assert desc is not None
    assert title.text
    assert desc.text
    assert drawn.get("role") == "img"
    assert drawn.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"


def test_all_drawings_together_share_no_id_and_fill_only_with_their_own_patterns():
    ids = [value for svg in ONE_OF_EACH.values() for value in re.findall(r'\bid="([^"]+)"', svg)]
    assert [value for value, many in Counter(ids).items() if many > 1] == []
    for svg in ONE_OF_EACH.values():
        assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(re.findall(r'\bid="([^"]+)"', svg))


@pytest.mark.parametrize("name", ONE_OF_EACH)
def test_a_drawing_has_its_colours_from_the_look_alone(name):
    svg = ONE_OF_EACH[name]
    assert not re.findall(r"\bstyle=|\bon\w+=|<script|<style|#[0-9a-f]{3,6}\b(?!\))", svg)
    assert set(re.findall(r'fill="([^"]+)"', svg)) <= {
        f"url(#{key})" for key in re.findall(r'pattern id="([^"]+)"', svg)
    }
    known = set(re.findall(r"\.([a-z][\w-]*)", LOOK))
    used = {css for group in re.findall(r'class="([^"]+)"', svg) for css in group.split()}
    assert used <= known | {"tri"}


def test_a_name_with_an_ampersand_or_an_arrow_does_not_break_the_drawing():
    drawn = drawings.apart_map("k", "4<1", [MapPart("A&B", 'door "left" <i>', "on", 1, "<b> & mind")])
    assert "A&B" in words(drawn)


# ---- the jar ----


def test_the_jar_is_drawn_as_it_was_agreed():
    kept(GOLDEN / "jar.svg", drawings.jar("jar", "Jar 7", 210, 300, 73, 62, 86))


def test_a_jar_that_falls_short_says_by_how_much_and_lets_a_broken_red_line_through_the_shelf():
    svg = ONE_OF_EACH["short jar"]
    assert "Short by 30 ml." in svg
    assert [node.get("d") for node in by_class(svg, "k-red") if "dash" in node.get("class", "")]
    assert "Short" not in ONE_OF_EACH["jar"]
    assert not by_class(ONE_OF_EACH["jar"], "k-red")


def level(svg: str) -> float:
    return float(re.search(r"M5 ([\d.]+)H", by_class(svg, "k-level")[0].get("d", ""))[1])


@given(st.floats(1, 1000), st.floats(0, 1), st.floats(0, 1))
def test_the_more_a_jar_holds_the_higher_it_stands_and_always_within_the_glass(capacity, some, more):
    less, most = sorted((some * capacity, more * capacity))
    low, high = (level(drawings.jar("j", "Jar", amount, capacity)) for amount in (less, most))
    glass = re.search(r"V158Q.*V([\d.]+)C", drawings.jar("j", "Jar", less, capacity))[1]
    assert 163.05 >= low >= high >= float(glass) - 0.05


def test_flakes_lie_in_the_jar_only_while_they_dissolve():
    assert by_class(ONE_OF_EACH["dissolving jar"], "k-flake")
    assert not by_class(ONE_OF_EACH["jar"], "k-flake")


# ---- the clock ----


def test_the_clock_is_drawn_as_it_was_agreed():
    kept(GOLDEN / "dial.svg", drawings.dial("dial", NOW, at(10, 14.5), "glue in clamps"))


# Outside check: where the hour hand stands is plain geometry, 30° an hour from the top, clockwise.
@pytest.mark.parametrize(("hour", "degrees"), [(3, 90), (6, 180), (9, 270), (10.5, 315), (12, 0), (22.5, 315)])
def test_the_hand_stands_where_the_hour_hand_of_a_clock_stands(hour, degrees):
    svg = drawings.dial("d", at(10, hour), at(10, hour) + timedelta(hours=1))
    hand = next(node for node in by_class(svg, "k-ink2"))
    x1, y1, x2, y2 = map(float, re.findall(r"[\d.]+", hand.get("d", "")))
    angle = math.degrees(math.atan2(x2 - x1, y1 - y2)) % 360
    assert min(abs(angle - degrees), 360 - abs(angle - degrees)) < 0.5


def test_a_wait_of_more_than_twelve_hours_is_a_full_outer_turn_and_its_rest_inside():
    short, long = ONE_OF_EACH["dial"], ONE_OF_EACH["long dial"]
    assert len(list(parsed(long).iter("circle"))) == len(list(parsed(short).iter("circle"))) + 2
    assert "tomorrow" in long
    assert "till 14:30" in short


def test_a_wait_that_is_over_has_nothing_hatched():
    svg = drawings.dial("d", NOW, NOW - timedelta(minutes=10))
    assert "url(#" not in svg


# ---- the boards and the tally ----


def test_the_boards_say_done_now_and_to_come_in_words_beside_the_triangle():
    made = drawings.boards(desk_samples.BOARDS)
    assert made.count(", done</span>") == 3
    assert made.count(", now</span>") == 1
    assert made.count(", to come</span>") == 3
    assert made.count('aria-current="step"') == 1
    assert "4 of 7: Apart, 3 of 12 parts off" in made


def test_the_triangle_of_a_piece_that_is_out_is_closed_in_ink():
    out = [Board(board.word, "inked") for board in desk_samples.BOARDS]
    made = drawings.boards(out)
    assert "ghost" not in made
    assert "7 of 7: Out" in made
    assert 'class="f-none tocome"' not in drawings.strip("s", 7, "Out")
    assert 'class="f-none tocome"' in drawings.strip("s", 6, "Together")


@given(st.integers(0, 40), st.integers(0, 40))
def test_a_tally_has_as_many_ink_strokes_as_are_done(done, more):
    svg = drawings.tally("t", done, done + more, "parts off")
    ink, pencil = by_class(svg, "k-ink2")[0].get("d", ""), by_class(svg, "k-pencil")[0].get("d", "")
    assert (ink.count("M"), pencil.count("M")) == (done, more)


# ---- the wall ----


def test_near_weeks_are_wide_and_far_weeks_narrow_and_closed_days_a_sliver():
    weeks = Weeks(NOW, WALL["first"], WALL["last"])
    mondays = [day.wide for day in weeks.days if day.on.weekday() == 0]
    assert mondays == sorted(mondays, reverse=True)
    assert mondays[0] > mondays[1] > mondays[2]
    assert all(day.wide < mondays[-1] for day in weeks.days if day.shut)


@given(st.floats(0, 20 * 24), st.floats(0, 20 * 24))
def test_what_is_later_never_stands_further_left(one, other):
    weeks = Weeks(NOW, WALL["first"], WALL["last"])
    first, second = sorted((one, other))
    begins = at(9, 0)
    assert weeks.x(begins + timedelta(hours=first)) <= weeks.x(begins + timedelta(hours=second)) + 1e-9


def test_work_to_come_has_a_corner_cut_and_never_stands_left_of_the_plumb_line():
    late = Row("Chest", "41", bars=(Bar("tocome", at(9, 9), at(9, 10), "H", "late"),))
    svg = drawings.wall("w", [late], NOW, WALL["first"], WALL["last"])
    bar = next(node for node in by_class(svg, "f-blue"))
    left = float(re.search(r"M([\d.]+)", bar.get("d", ""))[1])
    plumb = Weeks(NOW, WALL["first"], WALL["last"]).x(NOW)
    assert left >= plumb - 0.05
    assert "L" in bar.get("d", "")
    done = drawings.wall("w", [Row("Chest", "41", bars=(Bar("done", at(9, 9), at(9, 12), "H"),))], NOW, WALL["first"],
                         WALL["last"])  # fmt: skip
    ink = next(node for node in by_class(done, "f-ink") if node.tag == "path" and "k-sheet" in node.get("class", ""))
    assert "L" not in ink.get("d", "")


def test_a_promise_beyond_the_page_stands_at_its_edge_with_its_day_and_odds():
    said = words(ONE_OF_EACH["wall"])
    assert "18 Dec" in said
    assert "64 %" in said
    assert "thin odds" in said


def test_a_wall_without_papers_still_shows_the_weeks_and_now():
    said = words(drawings.wall("w", [], NOW, WALL["first"], WALL["last"]))
    assert "This week" in said
    assert "now, 10:40" in said


# ---- the taking-apart map and the part as marked ----


def test_the_map_says_off_next_and_care_in_words():
    svg = ONE_OF_EACH["map of the chest"]
    said = words(svg)
    assert {"D1 off", "D2 off", "D3 off", "next", "on the trestle", "right runner"} <= set(said)
    told = parsed(svg).find("desc").text
    assert "D1, D2, D3, LOCK: off and on the trestle." in told
    assert "Take care at D4: right runner worn: lift." in told


def test_short_drawers_stand_side_by_side_and_what_the_front_hides_stands_beside():
    levels, unseen = fronts(CHEST)
    assert [[part.code for part in row.parts] for row in levels] == [
        ["TOP"], ["D1", "D2"], ["D3"], ["D4"], ["D5"], ["PLINTH"], ["FOOT-L", "FOOT-R"],
    ]  # fmt: skip
    assert [part.code for part in unseen] == ["BACK", "LOCK"]


def test_a_chair_stands_bow_above_seat_above_legs():
    levels, unseen = fronts(CHAIR)
    order = [part.code for row in levels for part in row.parts]
    assert (
        order.index("BOW") < order.index("ARM-L") < order.index("SEAT") < order.index("LEG-FL") < order.index("STR.M")
    )
    assert unseen == []


def test_no_part_is_lost_whatever_it_is_called():
    names = ["gizmo", "top", "drawer 1", "drawer runners", "left door", "", "leg, front left"]
    parts = [MapPart(f"P{at}", name, "on", at) for at, name in enumerate(names)]
    levels, unseen = fronts(parts)
    assert sorted([part.code for row in levels for part in row.parts] + [part.code for part in unseen]) == [
        part.code for part in parts
    ]


def test_a_part_whose_way_up_is_not_known_says_so():
    assert "which way up: not known" in words(drawings.way_up("u", "RUN"))
    assert "up ↑" in words(drawings.way_up("u", "RUN", "arrow on the underside"))


def test_an_empty_hole_is_hollow_and_says_that_only_the_hole_is_left():
    svg = drawings.way_up("u", "D4", "up", [Hole("N7", 0.2, 0.9), Hole("N8", 0.8, 0.9, empty=True)])
    filled = [node.get("class") for node in parsed(svg).iter("circle")]
    assert filled == ["f-ink", "f-sheet k-ink"]
    assert "N7, N8 hole only" in words(svg)


def kept(file: Path, svg: str) -> None:
    """The drawing must be the file's. `WITNESSMARK_GOLDEN=write` writes it anew."""
    text = svg.replace("><", ">\n<") + "\n"
    if os.environ.get("WITNESSMARK_GOLDEN") == "write":
        file.write_text(text, "utf-8")
    assert text == file.read_text("utf-8"), f"{file.name} changed; WITNESSMARK_GOLDEN=write keeps the new one"
