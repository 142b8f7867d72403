"""The tables copied into the package still say what the reference library says.

Source: the reference tables kept beside the repository, `../shared/reference`; each row there names its own
source. Numbers are copied, not converted, so the comparison is exact.
"""

import csv
import re
from collections import defaultdict
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).resolve().parents[2]
REFERENCE = REPOSITORY.parent / "shared" / "reference"
PACKAGE = REPOSITORY / "src" / "witnessmark"

pytestmark = pytest.mark.skipif(
    not REFERENCE.is_dir(), reason="the reference library is not beside this repository: ../shared/reference"
)

# our table: (theirs, columns that name a row, columns that must agree), each "ours" or "ours<theirs"
COPIES = {
    "wood/species.csv": (
        "wood/species.csv",
        "wood_key<key",
        "sg_green<sg_basic_green sg_12pct density_12pct_kg_m3 "
        "density_range_low_kg_m3<density_low_kg_m3 density_range_high_kg_m3<density_high_kg_m3 "
        "shrinkage_radial_pct shrinkage_tangential_pct "
        "volumetric_shrinkage_pct<shrinkage_volumetric_pct janka_n cites_appendix "
        "sg_green_standing density_standing density_range_standing shrinkage_standing "
        "volumetric_standing janka_standing cites_standing period_standing",
    ),
    "wood/emc.csv": (
        "wood/emc.csv",
        "temp_f rh_pct",
        "temp_c emc_pct",
    ),
    "wood/change_coefficients.csv": (
        "wood/change_coefficients.csv",
        "wood_key<key",
        "radial_per_pct_mc<coeff_radial_per_pct_mc tangential_per_pct_mc<coeff_tangential_per_pct_mc kind",
    ),
    "wood/climate.csv": (
        "wood/climate.csv",
        "key<id",
        "temp_low_c temp_high_c rh_low_pct rh_high_pct mc_low_pct mc_high_pct",
    ),
    "wood/conditioning.csv": (
        "wood/conditioning.csv",
        "key<id",
        "days_low days_high mc_points_per_month_low mc_points_per_month_high",
    ),
    "wood/colour_drift.csv": (
        "wood/colour_drift.csv",
        "wood_key",
        "direction",
    ),
    "finish/coatings.csv": (
        "finish/coatings.csv",
        "material_key",
        "coverage_min_m2_per_l coverage_typ_m2_per_l coverage_max_m2_per_l solids_min_wt_pct "
        "solids_max_wt_pct touch_dry_h recoat_min_h recoat_max_h coats_typ cure_min_d cure_max_d "
        "temp_min_c temp_max_c rh_max_pct thinner_keys reversed_by_keys",
    ),
    "finish/shellac_properties.csv": (
        "finish/shellac_properties.csv",
        "material_key property applies_to",
        "min typical max unit",
    ),
    "finish/adhesives.csv": (
        "finish/adhesives.csv",
        "material_key variant<adhesive",
        "gram_strength_g working_temp_min_c working_temp_max_c open_time_min_min "
        "open_time_max_min clamp_min_h clamp_max_h full_strength_h spread_min_g_per_m2 "
        "spread_max_g_per_m2 reversed_by_keys",
    ),
    "finish/compatibility.csv": (
        "finish/compatibility.csv",
        "key<rule_id",
        "upper_keys lower_keys lower_state verdict wait_min_h wait_standing",
    ),
    "finish/solubility.csv": (
        "finish/solubility.csv",
        "material_key solvent_key state",
        "result<result_key",
    ),
    "finish/spot_tests.csv": (
        "finish/finish_tests.csv",
        "key<test_key",
        "test_order dwell_s harm_level_0_5 agent_keys<agent_key",
    ),
    "finish/teas.csv": (
        "finish/teas.csv",
        "material_key",
        "teas_fd_pct teas_fp_pct teas_fh_pct teas_standing hansen_delta_d_mpa05 hansen_delta_p_mpa05 "
        "hansen_delta_h_mpa05 molar_volume_cm3_per_mol hansen_standing boiling_point_min_c boiling_point_max_c "
        "flash_point_min_c flash_point_max_c flash_point_standing evaporation_rate_nbuac_1 evaporation_standing",
    ),
    "finish/teas_regions.csv": (
        "finish/teas_regions.csv",
        "material_key state",
        "solvent_keys centroid_fd_pct centroid_fp_pct centroid_fh_pct fd_min_pct fd_max_pct fp_min_pct fp_max_pct "
        "fh_min_pct fh_max_pct",
    ),
    "finish/hansen_spheres.csv": (
        "finish/hansen_spheres.csv",
        "material_key",
        "delta_d_mpa05 delta_p_mpa05 delta_h_mpa05 radius_mpa05",
    ),
    "safety/solvents.csv": (
        "safety/solvents.csv",
        "material_key",
        "cas molecular_weight_g_mol density_g_ml vapour_pressure_kpa_20c odour_threshold_ppm "
        "fire_flash_point_c<flash_point_c fire_lel_pct<lel_pct fire_uel_pct<uel_pct "
        "fire_autoignition_c<autoignition_c us_osha_8h_ppm<osha_pel_twa_ppm "
        "us_osha_short_ppm<osha_stel_or_ceiling_ppm us_niosh_10h_ppm<niosh_rel_twa_ppm "
        "us_niosh_short_ppm<niosh_rel_stel_or_ceiling_ppm us_idlh_ppm<idlh_ppm "
        "acgih_8h_ppm<acgih_tlv_twa_ppm acgih_short_ppm<acgih_tlv_stel_ppm "
        "uk_8h_ppm<uk_wel_8h_ppm uk_15min_ppm<uk_wel_15min_ppm ghs_h_codes "
        "fire_standing<flammability_standing us_standing<us_limits_standing acgih_standing "
        "uk_standing<uk_wel_standing ghs_standing glove_standing",
    ),
    "safety/hazards.csv": (
        "safety/hazards.csv",
        "key<id",
        "trigger_from_year<trigger_date_from trigger_to_year<trigger_date_to threshold "
        "threshold_unit trigger_keys trigger_rule as_of",
    ),
    "evidence/styles.csv": (
        "dating/styles.csv",
        "key",
        "from_year to_year revival_from_year revival_to_year from_standing<years_standing "
        "to_standing<years_standing revival_standing wood_keys",
    ),
    "survey/condition_terms.csv": (
        "dating/condition_terms.csv",
        "term",
        "category",
    ),
    "materials/woods.csv": (
        "woods.csv",
        "key",
        "kind members default_for_group default_by_region default_reason",
    ),
}
STANDING_KEPT = set(COPIES) - {"wood/emc.csv", "finish/spot_tests.csv", "materials/woods.csv"}


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    for row in rows:
        # The reference gives one usual figure in words only: “1.17 taken as working mid value”.
        middle = re.search(r"([\d.]+) taken as working mid value", row.get("note", ""))
        if middle and not row["typical"]:
            row["typical"] = middle[1]
    return rows


def told_apart(rows, names, values):
    """What the rows of each name say, numbers as numbers; two rows of one name are two sayings."""
    said = defaultdict(set)
    for row in rows:
        said[tuple(row[name] for name in names)].add(tuple(number_or_text(row[value]) for value in values))
    return said


def number_or_text(cell: str) -> float | str:
    try:
        return float(cell)
    except ValueError:
        return cell


@pytest.mark.parametrize("table", COPIES)
def test_copied_figures_are_those_of_the_reference(table):
    theirs, names, values = COPIES[table]
    pairs = [column.partition("<") for column in f"{names} {values}".split()]
    ours_columns = [ours for ours, _, _ in pairs]
    their_columns = [other or ours for ours, _, other in pairs]
    if table in STANDING_KEPT:
        ours_columns.append("standing")
        their_columns.append("standing")
    n = len(names.split())
    ours = told_apart(rows_of(PACKAGE / table), ours_columns[:n], ours_columns[n:])
    assert ours == told_apart(rows_of(REFERENCE / theirs), their_columns[:n], their_columns[n:])


def test_strippers_and_abrasives_are_those_of_the_one_reference_table():
    theirs = rows_of(REFERENCE / "finish" / "abrasives_stripping.csv")
    strippers = rows_of(PACKAGE / "finish" / "strippers.csv")
    figures = ["coverage_min_m2_per_l", "coverage_max_m2_per_l", "dwell_min_min", "dwell_max_min", "standing"]
    assert told_apart([r for r in strippers if r["what"] == "working"], ["material_key"], figures) == told_apart(
        [r for r in theirs if r["section"] == "stripper"], ["material_key"], figures
    )
    # Amounts and the rest after stripping stand in the reference as sentences.
    said = " ".join(r["item"] for r in theirs if r["section"] in {"stripper_amount", "after_strip"})
    for row in strippers:
        if row["amount_l"]:
            assert f"about {row['amount_l']} L" in said
        if row["rest_min_h"]:
            assert f"dry {row['rest_min_h']} h before refinishing" in said
    abrasives = rows_of(PACKAGE / "finish" / "abrasives.csv")
    known = [r for r in theirs if r["section"] in {"grit", "abrasive"}]
    names = ["material_key", "fepa_p", "cami"]
    ours = told_apart([r for r in abrasives if "wool" not in r["key"]], names, ["micron_um", "iso6344_um", "standing"])
    assert ours == told_apart(known, names, ["micron_published", "micron_iso6344_from_memory", "standing"])


def test_every_material_of_the_reference_is_kept_with_its_family_and_members():
    ours = {row["key"]: row for row in rows_of(PACKAGE / "materials" / "materials.csv")}
    for row in rows_of(REFERENCE / "materials.csv"):
        kept = ours[row["key"]]
        for column in ("kind", "family", "members"):
            assert kept[column] == row[column], (row["key"], column)


def test_the_answers_of_a_spot_test_are_all_kept():
    states = defaultdict(list)
    for row in rows_of(REFERENCE / "finish" / "finish_tests.csv"):
        if row["state_key"] not in states[row["test_key"]]:
            states[row["test_key"]].append(row["state_key"])
    ours = {row["key"]: row["states"].split(";") for row in rows_of(PACKAGE / "finish" / "spot_tests.csv")}
    assert ours == states
