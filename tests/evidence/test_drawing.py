"""The drawing of the evidence: whole, readable without colour, and heard if not seen."""

import xml.etree.ElementTree as ET

import pytest

from witnessmark.evidence import Clue, date, picture, ticket
from witnessmark.odds import How

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def dating():
    return date(
        [Clue("dovetail_fine_hand_uk"), Clue("cockbead_drawer"), Clue("plate_oval_stamped"),
         Clue("screw_cross_recess"), Clue("saw_circular", How.NOT_SEEN), Clue("leg_turned_reeded", How.UNSURE),
         Clue("lining_printed_date", year=1931)],
        ["uk_regency"], "UK",
    )  # fmt: skip


@pytest.fixture(scope="module")
def drawn(dating):
    return ET.fromstring(picture(dating))


def texts(drawn) -> str:
    return " ".join(one.text or "" for one in drawn.iter(f"{SVG}text"))


def test_it_has_a_title_and_says_itself_in_words(drawn, dating):
    assert drawn.find(f"{SVG}title").text.casefold() == f"{ticket(dating)}.".casefold()
    told = drawn.find(f"{SVG}desc").text
    assert f"{dating.range90[0]}–{dating.range90[1]} nine times in ten" in told
    assert all(one.says in told for one in dating.conflicts)


def test_one_trapezoid_a_clue_and_one_for_the_style(drawn, dating):
    assert len(list(drawn.iter(f"{SVG}polygon"))) == len(dating.weights) + len(dating.styles)


def test_what_disagrees_is_broken_red_and_crossed_with_its_reason(drawn, dating):
    against = [one for one in drawn.iter(f"{SVG}polygon") if one.get("stroke") == "#a1231b"]
    assert len(against) == len(dating.conflicts) == 2
    assert all(one.get("stroke-dasharray") for one in against)
    assert texts(drawn).count("later than the rest") == 2
    agreeing = [one for one in drawn.iter(f"{SVG}polygon") if one.get("stroke") != "#a1231b"]
    assert all("hatch-red" not in one.get("fill") for one in agreeing)


def test_the_slopes_are_the_rows_years(drawn):
    # The oval plate begins 1777, is common 1785 to 1815, and goes out by 1830.
    ticks = {one.text: float(one.get("x")) for one in drawn.iter(f"{SVG}text") if (one.text or "").isdigit()}
    scale = (ticks["1850"] - ticks["1800"]) / 50
    corners = next(one for one in drawn.iter(f"{SVG}polygon")
                   if len(set(one.get("points").split())) == 4
                   and abs(float(one.get("points").split(",")[0]) - (ticks["1800"] - 23 * scale)) < 0.2)  # fmt: skip
    xs = [float(point.split(",")[0]) for point in corners.get("points").split()]
    years = [1800 + (x - ticks["1800"]) / scale for x in xs]
    assert years == pytest.approx([1777, 1785, 1815, 1830], abs=0.3)


def test_no_style_sheet_no_script_no_letters_too_small(drawn):
    assert not list(drawn.iter(f"{SVG}style"))
    assert not list(drawn.iter(f"{SVG}script"))
    assert all("style" not in one.attrib for one in drawn.iter())
    assert min(int(one.get("font-size")) for one in drawn.iter(f"{SVG}text")) >= 13


def test_it_is_the_same_every_time(dating):
    assert picture(dating) == picture(dating)


def test_nothing_seen_is_drawn_too():
    assert "date not known" in ET.fromstring(picture(date([]))).find(f"{SVG}desc").text or "Date not known" in picture(
        date([])
    )
