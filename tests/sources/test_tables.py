"""Every table in the package: rows whole, standing and source on each, keys that join."""

import csv
import re
from pathlib import Path

import pytest

import witnessmark
from witnessmark.materials import material_keys, wood, wood_keys
from witnessmark.sources import Standing, bibliography

PACKAGE = Path(witnessmark.__file__).parent
BIBLIOGRAPHY = "sources/bibliography.csv"
TABLES = sorted(p.relative_to(PACKAGE).as_posix() for p in PACKAGE.rglob("*.csv"))
CITED = [name for name in TABLES if name != BIBLIOGRAPHY]
STANDINGS = {standing.value for standing in Standing}

# Tables brought in whole: a row more or less is a change somebody must mean. Tables of rules may grow.
ROWS = {
    "evidence/features.csv": 221,
    "evidence/marks.csv": 496,
    "evidence/styles.csv": 58,
    "evidence/us_patents.csv": 743,
    "finish/abrasives.csv": 47,
    "finish/adhesives.csv": 26,
    "finish/coatings.csv": 32,
    "finish/compatibility.csv": 45,
    "finish/finish_tests.csv": 560,
    "finish/hansen_spheres.csv": 7,
    "finish/old_finishes.csv": 10,
    "finish/shellac_properties.csv": 62,
    "finish/solubility.csv": 81,
    "finish/spot_tests.csv": 12,
    "finish/strippers.csv": 12,
    "finish/teas.csv": 47,
    "finish/teas_regions.csv": 9,
    "finish/test_states.csv": 56,
    "materials/materials.csv": 259,
    "materials/woods.csv": 126,
    "papers/hazard_words.csv": 34,
    "papers/record_checklist.csv": 64,
    "safety/hazards.csv": 49,
    "safety/regulated.csv": 89,
    "safety/solvents.csv": 36,
    "safety/stability.csv": 33,
    "survey/condition_terms.csv": 64,
    "survey/part_names.csv": 82,
    "wood/change_coefficients.csv": 77,
    "wood/climate.csv": 39,
    "wood/colour_drift.csv": 48,
    "wood/conditioning.csv": 7,
    "wood/emc.csv": 342,
    "wood/feature_states.csv": 122,
    "wood/features.csv": 28,
    "wood/identification.csv": 822,
    "wood/species.csv": 83,
    "wood/woods_in_use.csv": 83,
}
# A column's sum, to three places, catches a slip in a figure where the reference is not at hand.
SUMS = {
    ("wood/emc.csv", "emc_pct"): 3094.7,
    ("wood/species.csv", "density_12pct_kg_m3"): 54676,
    ("wood/species.csv", "shrinkage_tangential_pct"): 598.2,
    ("wood/change_coefficients.csv", "tangential_per_pct_mc"): 0.216,
    ("finish/coatings.csv", "coverage_typ_m2_per_l"): 310.6,
    ("safety/solvents.csv", "fire_lel_pct"): 78.65,
}
# Standards the code follows; no table of ours rests a number on them.
FOLLOWED = {"iso_80000_1", "iso_8502_4", "nist_sp811_2008", "rfc_5545"}


def rows_of(name: str) -> list[dict[str, str]]:
    with (PACKAGE / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle, restkey="too many cells", restval=None))


def parts(cell: str) -> list[str]:
    return [part for part in cell.split(";") if part]


def each_cell(name: str):
    """Where it stands, its column and its text, of every cell."""
    for line, row in enumerate(rows_of(name), 2):
        for column, cell in row.items():
            yield f"{name}, line {line}, {column}: “{cell}”", column, cell, row


@pytest.mark.parametrize("name", TABLES)
def test_a_table_is_plain(name):
    text = (PACKAGE / name).read_bytes().decode("utf-8")
    assert "\r" not in text
    assert text.endswith("\n")
    assert len(text.splitlines()) == text.count("\n")  # one line a row, or our reader loses count
    for where, column, cell, _ in each_cell(name):
        assert column != "too many cells", where
        assert cell is not None, where
        assert cell == cell.strip(), where


@pytest.mark.parametrize("name", CITED)
def test_every_row_has_standing_and_known_sources(name):
    head = list(rows_of(name)[0])
    assert head[-3:] == ["standing", "source_key", "note"]
    for where, column, cell, row in each_cell(name):
        if column == "standing":
            assert cell in STANDINGS, where
        elif column.endswith("_standing"):
            assert cell in STANDINGS | {""}, where
        elif column == "source_key" or column.endswith("_source_key"):
            assert set(parts(cell)) <= set(bibliography()), where
        if column == "standing" or column.endswith("_standing"):
            own_source = row.get(column.removesuffix("standing") + "source_key", "")
            assert cell != "published" or own_source or row["source_key"], where


@pytest.mark.parametrize("name", CITED)
def test_a_number_in_a_group_has_the_groups_standing(name):
    groups = [column.removesuffix("_standing") for column in rows_of(name)[0] if column.endswith("_standing")]
    for where, column, cell, row in each_cell(name):
        for group in groups:
            if column.startswith(f"{group}_") and re.fullmatch(r"-?[\d.]+", cell):
                assert row[f"{group}_standing"], where


@pytest.mark.parametrize("name", CITED)
def test_keys_of_woods_and_materials_join(name):
    known = {*wood_keys(), *material_keys()}
    for where, column, cell, _ in each_cell(name):
        if re.search(r"(^|_)keys?$", column) and "source_key" not in column and column != "key":
            assert set(parts(cell)) <= known, where
        if column in {"family", "members", "default_for_group"} and name.startswith("materials/"):
            assert set(parts(cell)) <= known, where


@pytest.mark.parametrize("name", ["wood/species.csv", "wood/change_coefficients.csv", "wood/colour_drift.csv"])
def test_figures_of_a_wood_are_a_species_own(name):
    for where, column, cell, _ in each_cell(name):
        if column == "wood_key":
            assert not wood(cell).is_group, where


def test_every_species_has_its_row():
    assert {row["wood_key"] for row in rows_of("wood/species.csv")} == {
        key for key in wood_keys() if not wood(key).is_group
    }


@pytest.mark.parametrize("name", ROWS)
def test_tables_brought_in_are_whole(name):
    rows = rows_of(name)
    assert len(rows) == ROWS[name]
    first = [next(iter(row.values())) for row in rows]
    assert len(set(first)) == len(first), "the first column names the row"
    assert all(len(row["note"]) <= 60 for row in rows)


@pytest.mark.parametrize(("name", "column"), SUMS)
def test_column_sums(name, column):
    assert round(sum(float(row[column] or 0) for row in rows_of(name)), 3) == SUMS[name, column]


def test_bibliography_is_in_order():
    rows = rows_of(BIBLIOGRAPHY)
    keys = [row["key"] for row in rows]
    assert keys == sorted(set(keys))
    assert {row["read"] for row in rows} <= {"yes", "partly", "no"}
    assert all(row["citation"] and row["kind"] for row in rows)


def test_every_source_is_cited():
    cited = {
        key
        for name in CITED
        for _, column, cell, _ in each_cell(name)
        if column == "source_key" or column.endswith("_source_key")
        for key in parts(cell)
    }
    assert set(bibliography()) - cited <= FOLLOWED
