"""Tables are read whole or refused with the file, the line, the column and what to write."""

from collections.abc import Callable

import pytest

from witnessmark.quantities import Cut, Density, Length, Percent, Range
from witnessmark.sources import BadTable, Figure, Row, Standing, all_figures, row, rule, table
from witnessmark.sources import tables as reading

HEADER = "key,shrink_pct,low,high,green,green_standing,green_source_key,standing,source_key,note"
WALNUT = "walnut,5.5,4,7.8,0.51,from_memory,kiln_notes,published,wood_handbook,table 4-3"
RULES = "key,value,low,high,unit,standing,source_key,note\n"


@pytest.fixture
def tabled(tmp_path, monkeypatch) -> Callable[[str, str], None]:
    """Puts a table into an otherwise empty house."""
    caches = (table, rule, reading._by_key)
    monkeypatch.setattr(reading, "PACKAGE", tmp_path / "witnessmark")
    for cache in caches:
        cache.cache_clear()

    def put(path: str, text: str) -> None:
        file = tmp_path / "witnessmark" / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, "utf-8")

    yield put
    for cache in caches:
        cache.cache_clear()


@pytest.fixture
def walnut(tabled) -> Callable[..., Row]:
    """The walnut's row, with some of its cells otherwise."""

    def row_with(**cells: str) -> Row:
        named = dict(zip(HEADER.split(","), WALNUT.split(","), strict=True)) | cells
        return Row("wood/species.csv", 14, "walnut", named)

    return row_with


# --- rows ---


def test_rows_come_in_file_order_with_their_lines(tabled):
    tabled("wood/species.csv", f"{HEADER}\n{WALNUT}\n{WALNUT.replace('walnut', 'oak')}\n")
    first, second = table("wood", "species.csv")
    assert (first.key, first.line, second.key, second.line) == ("walnut", 2, "oak", 3)
    assert second["green"] == "0.51"


def test_a_quoted_cell_may_hold_commas_and_lines(tabled):
    tabled("wood/notes.csv", 'key,note\noak,"warps, \nand checks"\nash,straight\nelm\n')
    with pytest.raises(BadTable, match=r"wood/notes\.csv, line 5: 1 cells where the header has 2\."):
        table("wood", "notes.csv")
    tabled("wood/more.csv", 'key,note\noak,"warps, \nand checks"\nash,straight\n')
    oak, ash = table("wood", "more.csv")
    assert oak["note"] == "warps, \nand checks"
    assert (oak.line, ash.line) == (2, 4)


def test_of_rows_that_share_a_key_the_first_is_given(tabled):
    tabled("wood/colours.csv", "wood_key,to\nmahogany,darker\nmahogany,redder\n")
    assert row("wood", "colours.csv", "mahogany", key="wood_key")["to"] == "darker"
    assert len(table("wood", "colours.csv", key="wood_key")) == 2


def test_a_row_that_is_not_there_is_named_with_its_table(tabled):
    tabled("wood/species.csv", f"{HEADER}\n{WALNUT}\n")
    with pytest.raises(KeyError, match=r"wood/species\.csv has no row “teak”"):
        row("wood", "species.csv", "teak")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "line 1: the header has no column “key”"),
        ("wood_key,note\noak,\n", "line 1: the header has no column “key”"),
        ("key,note\noak\n", "line 2: 1 cells where the header has 2"),
        ("key,note\noak,a,b\n", "line 2: 3 cells where the header has 2"),
        ("key,note\noak,a\n\n", "line 3: 0 cells where the header has 2"),
    ],
)
def test_a_table_out_of_shape_is_refused_with_its_line(tabled, text, says):
    tabled("wood/bad.csv", text)
    with pytest.raises(BadTable) as refused:
        table("wood", "bad.csv")
    assert str(refused.value).startswith("wood/bad.csv, ")
    assert says in str(refused.value)


@pytest.mark.parametrize(
    ("text", "what_to_write"),
    [
        ("5,5", "Write 5.5."),
        ("about 5", "Write it as 3.5."),
        ("nan", "Write it as 3.5."),
        ("1e999", "Write it as 3.5."),
        ("1_000", "Write it as 3.5."),
    ],
)
def test_what_is_no_number_is_refused_with_its_column(walnut, text, what_to_write):
    with pytest.raises(BadTable) as refused:
        walnut(shrink_pct=text).number("shrink_pct")
    assert str(refused.value) == (f"wood/species.csv, line 14, shrink_pct: “{text}” is not a number. {what_to_write}")


def test_an_empty_cell_is_no_number_and_no_figure(walnut):
    empty = walnut(shrink_pct=" ")
    assert empty.number("shrink_pct") is None
    assert empty.figure("shrink_pct", Percent) is None


def test_lists_of_keys(walnut):
    assert walnut(note="oak; ash ;;elm").keys_in("note") == ("oak", "ash", "elm")
    assert walnut(note="").keys_in("note") == ()


# --- figures ---


def test_a_cell_becomes_a_cited_figure(walnut):
    assert walnut().figure("shrink_pct", Percent) == Figure(
        "wood/species.csv:walnut:shrink_pct", Percent(5.5), Standing.PUBLISHED, "wood_handbook", "table 4-3"
    )


def test_a_group_of_columns_keeps_its_own_standing_and_source(walnut):
    green = walnut().figure("green", float, group="green")
    assert (green.standing, green.source_key) == (Standing.FROM_MEMORY, "kiln_notes")
    without = walnut(green_standing="", green_source_key="").figure("green", float, group="green")
    assert (without.standing, without.source_key) == (Standing.PUBLISHED, "wood_handbook")


def test_an_unknown_standing_is_refused_with_those_there_are(walnut):
    with pytest.raises(BadTable, match=r"line 14, standing: “hearsay” is no standing\. Write one of convention,"):
        walnut(standing="hearsay").figure("shrink_pct", Percent)


@pytest.mark.parametrize(
    ("cells", "value"),
    [
        (("4", "5.5", "7.8"), Range(Percent(4), Percent(5.5), Percent(7.8))),
        (("", "5.5", "7.8"), Range(Percent(5.5), Percent(5.5), Percent(7.8))),
        (("4", "5.5", ""), Range(Percent(4), Percent(5.5), Percent(5.5))),
        (("4", "", "8"), Range(Percent(4), Percent(6), Percent(8))),
        (("5.5", "5.5", "5.5"), Percent(5.5)),
        (("", "5.5", ""), Percent(5.5)),
    ],
)
def test_three_cells_become_one_range(walnut, cells, value):
    low, usual, high = cells
    found = walnut(low=low, shrink_pct=usual, high=high).range_figure(("low", "shrink_pct", "high"), Percent)
    assert found.value == value


@pytest.mark.parametrize("cells", [("", "", ""), ("4", "", ""), ("", "", "8")])
def test_a_range_without_its_usual_is_no_figure(walnut, cells):
    low, usual, high = cells
    assert walnut(low=low, shrink_pct=usual, high=high).range_figure(("low", "shrink_pct", "high"), Percent) is None


def test_a_table_may_keep_the_two_ends_alone(walnut):
    found = walnut().range_figure(("low", "", "high"), Percent)
    assert found.value == Range(Percent(4), Percent(5.9), Percent(7.8))
    assert found.name == "wood/species.csv:walnut:low"


def test_a_range_out_of_order_is_refused(walnut):
    with pytest.raises(BadTable, match=r"line 14, .*: a range runs from low to high, not 9, 5\.5, 7\.8"):
        walnut(low="9").range_figure(("low", "shrink_pct", "high"), Percent)


# --- rules ---


def test_a_rule_is_one_cited_constant(tabled):
    tabled("finish/rules.csv", RULES + "strongest_cut,719,,,g/L,convention,own_convention,6 lb on the US gallon\n")
    assert rule("finish", "strongest_cut") == Figure(
        "finish/rules.csv:strongest_cut", Cut(719), Standing.CONVENTION, "own_convention", "6 lb on the US gallon"
    )


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("a,0.9,0.85,0.95,1", Range(0.85, 0.9, 0.95)),
        ("a,0.9,,0.95,1", Range(0.9, 0.9, 0.95)),
        ("a,2,1,3,mm", Range(Length(1), Length(2), Length(3))),
        ("a,640,,,kg/m3", Density(640)),
        ("a,8,,,1", 8),
    ],
)
def test_a_rule_is_in_its_unit_and_may_be_a_range(tabled, line, value):
    tabled("finish/rules.csv", f"{RULES}{line},published,a_book,\n")
    assert rule("finish", "a").value == value


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("a,1,,,firkin,published,a_book,", "line 2, unit: “firkin” is no unit of ours. Write one of g, kg"),
        ("a,,,,g,published,a_book,", "line 2, value: empty. Write the number the rule stands for."),
        ('a,"1,5",,,g,published,a_book,', "line 2, value: “1,5” is not a number. Write 1.5."),
        ("a,1,2,3,g,published,a_book,", "a range runs from low to high, not 2, 1, 3."),
        ("a,1,,,g,hearsay,a_book,", "“hearsay” is no standing"),
    ],
)
def test_a_rule_that_cannot_be_read_says_what_to_mend(tabled, line, says):
    tabled("finish/rules.csv", f"{RULES}{line}\n")
    with pytest.raises(BadTable) as refused:
        rule("finish", "a")
    assert str(refused.value).startswith("finish/rules.csv, line 2, ")
    assert says in str(refused.value)


def test_a_rule_that_is_not_there(tabled):
    tabled("finish/rules.csv", RULES)
    with pytest.raises(KeyError, match=r"finish/rules\.csv has no row “brush_transfer”"):
        rule("finish", "brush_transfer")


# --- the list of all figures ---


def test_every_number_is_listed_with_unit_standing_and_source(tabled):
    tabled("wood/species.csv", f"{HEADER}\n{WALNUT}\n")
    tabled("finish/rules.csv", RULES + "charge,18,10,25,ml,common_practice,,a square metre\n")
    tabled("sources/bibliography.csv", "key,citation,year\na_book,A book,1999\n")
    listed = {figure["figure"]: figure for figure in all_figures()}
    assert list(listed) == [
        "finish/rules.csv:charge:value",
        "finish/rules.csv:charge:low",
        "finish/rules.csv:charge:high",
        "wood/species.csv:walnut:shrink_pct",
        "wood/species.csv:walnut:low",
        "wood/species.csv:walnut:high",
        "wood/species.csv:walnut:green",
    ]
    assert listed["wood/species.csv:walnut:shrink_pct"] == {
        "figure": "wood/species.csv:walnut:shrink_pct", "line": 2, "value": 5.5, "unit": "%",
        "standing": "published", "source": "wood_handbook",
    }  # fmt: skip
    assert listed["wood/species.csv:walnut:green"]["standing"] == "from_memory"
    assert listed["wood/species.csv:walnut:green"]["source"] == "kiln_notes"
    assert listed["finish/rules.csv:charge:low"]["unit"] == "ml"


def test_each_room_with_a_table_of_numbers_has_them_listed():
    root = reading.PACKAGE
    with_rules = {room.name for room in root.iterdir() if room.joinpath("rules.csv").is_file()}
    rooms = {figure["figure"].partition("/")[0] for figure in all_figures()}
    assert with_rules | {"quantities"} <= rooms
    assert "sources" not in rooms


def test_every_figure_listed_has_a_standing():
    known = {standing.value for standing in Standing}
    assert [figure for figure in all_figures() if figure["standing"] not in known] == []
