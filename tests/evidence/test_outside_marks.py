"""Marks against the printed tables: every row of marks.csv and every volume of the Gazette.

Sources stand in each row. Numbers of US patents are the Patent Office's own first numbers by year; lozenges are the
letters printed by the Antique Metalware Society and two collectors' pages; registered numbers a table of 1884 to 1965.
"""

import csv
from itertools import pairwise
from pathlib import Path

import pytest

import witnessmark.evidence
from witnessmark.evidence import BadMark, corners_of, lozenge, mark

ROOM = Path(witnessmark.evidence.__file__).parent


def rows(name: str) -> list[dict[str, str]]:
    with (ROOM / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


MARKS = rows("marks.csv")
SAID = {
    "us_utility_patent": "Pat. No. {:,}", "us_design_patent": "Des. Pat. {:,}", "uk_registered_design": "Rd No {}",
}  # fmt: skip


@pytest.mark.parametrize("scheme", SAID)
def test_every_first_number_and_the_last_before_the_next(scheme):
    numbered = [(int(row["first_number"]), int(row["from_year"])) for row in MARKS
                if row["scheme"] == scheme and row["first_number"]]  # fmt: skip
    numbered = sorted(set(numbered))
    assert len(numbered) > 80
    for (first, year), (following, _) in pairwise(numbered):
        assert mark(SAID[scheme].format(first)).not_before == year
        assert mark(SAID[scheme].format(following - 1)).not_before == year
    assert "or later: the table ends there" in mark(SAID[scheme].format(numbered[-1][0] + 1)).reads


def test_every_volume_of_the_gazette_agrees_with_the_year():
    # A volume bears a year; patents of the last days of a year are in it or in the one before.
    for row in rows("us_patents.csv"):
        for column in ("first_number", "last_number"):
            assert mark(f"Pat. No. {row[column]}").not_before == int(row["year"])


def test_a_month_is_said_where_the_gazette_says_it():
    assert "granted June 1882" in mark("Patent 259,282").reads


def month_of(row: dict[str, str]) -> int:
    return int(row["month"])


@pytest.mark.parametrize("row", [row for row in MARKS if row["scheme"] == "uk_diamond_series1_year"],
                         ids=lambda row: row["key"])  # fmt: skip
def test_every_letter_of_the_first_series(row):
    for month in (one for one in MARKS if one["scheme"] == "uk_diamond_month"):
        read = lozenge({"top": row["mark"], "right": "9", "bottom": "4", "left": month["mark"]})
        assert read.not_before == f"{row['from_year']}-{month_of(month):02}-09"


@pytest.mark.parametrize("row", [row for row in MARKS if row["scheme"] == "uk_diamond_series2_year"],
                         ids=lambda row: row["key"])  # fmt: skip
def test_every_letter_of_the_second_series(row):
    for month in (one for one in MARKS if one["scheme"] == "uk_diamond_month"):
        read = lozenge({"top": "9", "right": row["mark"], "bottom": month["mark"], "left": "4"})
        assert read.not_before == f"{row['from_year']}-{month_of(month):02}-09"


@pytest.mark.parametrize("row", [row for row in MARKS if row["scheme"] == "uk_diamond_class"],
                         ids=lambda row: row["key"])  # fmt: skip
def test_every_class_says_its_material(row):
    assert f"class {row['mark']} ({row['means']})" in lozenge({"class": row["mark"], "top": "A"}).reads


def test_the_exceptions_are_said():
    # From memory; widely printed.
    assert "or 1 to 19 September 1857" in lozenge({"top": "K", "right": "5", "bottom": "1", "left": "R"}).reads
    assert "or December 1860" in lozenge({"top": "Z", "right": "5", "bottom": "1", "left": "K"}).reads
    swapped = lozenge({"top": "4", "right": "W", "bottom": "G", "left": "2"})
    assert swapped.not_before == "1878-03-04"


def test_the_lozenge_of_the_contract():
    read = lozenge(corners_of("class II, top A, left D, right 12, bottom 3"))
    assert read.not_before == "1845-09-12"
    assert "class II (wood)" in read.reads


@pytest.mark.parametrize(
    ("corners", "says"),
    [
        ({"top": "N1"}, "expected a letter"), ({}, "no top corner"),
        ({"top": "4", "right": "B", "bottom": "G", "left": "2"}, "right: found “B”, expected one of X H C"),
        ({"top": "A", "right": "31", "bottom": "1", "left": "D"}, "expected a day of September 1845"),
        ({"top": "A", "right": "1", "bottom": "1", "left": "Z"}, "left: found “Z”"),
        ({"class": "IX", "top": "A"}, "class: found “IX”, expected one of I II III IV"),
    ],
)  # fmt: skip
def test_a_lozenge_that_can_not_be(corners, says):
    with pytest.raises(BadMark, match=says.replace("(", r"\(")):
        lozenge(corners)


def test_a_corner_mistyped_is_answered_with_the_nearest():
    with pytest.raises(BadMark, match="Did you mean “bottom”"):
        corners_of("top A, botom 3")


@pytest.mark.parametrize(
    ("text", "not_before", "feature"),
    [
        ("Pat'd June 5, 1883", "1883-06-05", "mark_us_patent_date"),
        ("PATENTED 5 Sept. 1871", "1871-09-05", "mark_us_patent_date"),
        ("Patent applied for", 1860, "mark_us_patent_pending"),
        ("Made in England", 1887, "mark_made_in"),  # Merchandise Marks Act 1887
        ("Germany", 1891, "mark_us_country_name"),  # Tariff Act of 1890, in force 1891
        ("NIPPON", 1891, "mark_nippon"),
        ("Made in Occupied Japan", 1945, "mark_occupied_japan"),
        ("W. Germany", 1949, "mark_west_germany"),
        ("V.R. patent lever", 1837, "lock_mark_vr"),  # Victoria came to the throne in 1837
        ("crown over WR", 1830, "lock_mark_wr"),
        ("CC41", 1942, "mark_uk_utility"),
        ("London W.1", 1917, "label_london_district_number"),
        ("lining 1931", 1931, "lining_printed_date"),
    ],
)
def test_marks_in_words(text, not_before, feature):
    read = mark(text)
    assert (read.not_before, read.feature) == (not_before, feature)


@pytest.mark.parametrize(
    ("text", "kind", "year"),
    [
        ("Pat. No. 1,234,567", "US patent", 1917), ("US Pat 1234567", "US patent", 1917),
        ("PATENT 1,234,567", "US patent", 1917), ("Pat. Nos. 1,210,400; 1,234,567", "US patent", 1917),
        ("Patents 1,234,567 and 900,000", "US patent", 1917), ("Des. Pat. 12,345", "US design patent", 1881),
        ("D12345", "US design patent", 1881), ("Patent No. D 12,345", "US design patent", 1881),
        ("Design 12345", "US design patent", 1881), ("Rd No 123456", "UK registered design", 1889),
        ("RD. 123456", "UK registered design", 1889), ("Regd. No. 123,456", "UK registered design", 1889),
        ("Registered Design No 123456", "UK registered design", 1889), ("Reg'd 123456", "UK registered design", 1889),
    ],
)  # fmt: skip
def test_numbers_however_they_are_struck(text, kind, year):
    read = mark(text)
    assert (read.kind, read.not_before) == (kind, year)


def test_a_lock_with_gr_may_be_of_either_pair_of_kings():
    read = mark("crown GR")
    assert read.not_before == 1780
    assert "1910 to 1952" in read.reads


def test_a_design_number_is_never_looked_up_among_patents():
    assert mark("Des. Pat. 30,000").not_before != mark("Pat. No. 30,000").not_before


@pytest.mark.parametrize("text", ["", "a nice chest", "Pat. 31 Foo 1871", "Rd No 0"])
def test_what_is_no_mark_is_refused(text):
    with pytest.raises(BadMark, match=r"found .* expected|found number 0"):
        mark(text)
