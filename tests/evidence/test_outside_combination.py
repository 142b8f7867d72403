"""Dating against worked examples from outside: termini, spans, trapezoids and replaced parts.

`combination_examples.csv` beside this file names the source of each. Left out are the examples of methods that are not
ours: mean ceramic dates, pooled radiocarbon determinations and aoristic sums.
"""

import csv
import json
from pathlib import Path

import numpy as np
import pytest

from witnessmark.evidence.clues import Clue, weight_of
from witnessmark.evidence.years import (
    Years,
    common_span,
    commonness,
    densest_years,
    later_than,
    middle_year,
    not_before,
    relation,
    trapezoid,
)

with (Path(__file__).parent / "combination_examples.csv").open(encoding="utf-8", newline="") as handle:
    EXAMPLES = {row["key"]: (json.loads(row["inputs"]), json.loads(row["expected"])) for row in csv.DictReader(handle)}
LINE = Years(1600, 1970)


def test_a_pit_is_no_older_than_the_newest_thing_in_it():
    given, expected = EXAMPLES["tpq_npstype"]
    assert not_before(given["items_from"]) == expected["tpq"]


def test_spans_are_intersected_and_never_averaged():
    given, expected = EXAMPLES["interval_join"]
    assert common_span([tuple(span) for span in given["intervals"]]) == (expected["from"], expected["to"])
    assert common_span([(1846, None), (None, 1830)]) is None


@pytest.mark.parametrize("key", ["allen_1", "allen_2"])
def test_two_spans_stand_as_allen_says(key):
    given, expected = EXAMPLES[key]
    one, other = tuple(given["a"]), tuple(given["b"])
    assert relation(one, other) == expected["relation"]
    shared = common_span([one, other])
    assert shared == (expected["common"] and tuple(expected["common"]))


@pytest.mark.parametrize(
    ("one", "other", "says"),
    [
        ((1, 2), (3, 4), "before"), ((3, 4), (1, 2), "after"), ((1, 3), (3, 4), "meets"), ((3, 4), (1, 3), "met by"),
        ((1, 3), (2, 4), "overlaps"), ((2, 4), (1, 3), "overlapped by"), ((1, 2), (1, 4), "starts"),
        ((1, 4), (1, 2), "started by"), ((2, 3), (1, 4), "during"), ((1, 4), (2, 3), "contains"),
        ((3, 4), (1, 4), "finishes"), ((1, 4), (3, 4), "finished by"), ((1, 4), (1, 4), "equals"),
    ],
)  # fmt: skip
def test_the_thirteen_relations(one, other, says):
    # Allen, Comm. ACM 26 (1983) 832, figure 2; definitions from memory.
    assert relation(one, other) == says


def test_two_trapezoids_multiply():
    given, expected = EXAMPLES["trapezoid_product"]
    heights = np.prod([trapezoid(LINE.line, *corners) for corners in given["features"]], axis=0)
    assert heights.sum() == pytest.approx(expected["sum_of_weights"], abs=1e-3)
    assert (heights * LINE.line).sum() / heights.sum() == pytest.approx(expected["mean"], abs=1e-3)
    assert middle_year(heights, LINE) == expected["median"]
    there = LINE.line[heights > 0]
    assert [there[0], there[-1]] == expected["support"]
    densest = densest_years(heights, 0.9, LINE)
    assert len(densest) == expected["hpd90_count"]
    assert [densest[0], densest[-1]] == expected["hpd90"]


def test_a_part_may_be_a_replacement():
    given, expected = EXAMPLES["replacement_mixture"]
    new, chance = trapezoid(LINE.line, *given["feature"]), given["replaceable"]
    mixed = (1 - chance) * new + chance * later_than(new)
    for year, likelihood in expected["likelihood"].items():
        assert mixed[LINE.at(int(year))] == pytest.approx(likelihood, abs=1e-5)


# Section 9 of the method's own description: no style, 1600 to 1970, no allowance for misreading or older parts.
@pytest.mark.parametrize(
    ("keys", "median", "densest"),
    [
        (("nail_cut_hand_headed", "screw_lathe_blunt"), 1806, (1792, 1824)),
        (("dovetail_fine_hand_us", "nail_cut_machine_headed", "plate_oval_stamped"), 1801, (1758, 1829)),
        (("pin_and_crescent", "nail_wire_us"), 1888, (1870, 1904)),
        (("wood_mahogany_uk", "drawer_bottom_grain_front_back", "nail_wrought", "screw_cross_recess"), 1742,
         (1722, 1770)),
    ],
)  # fmt: skip
def test_the_worked_cases_of_the_method(keys, median, densest):
    chances = np.ones(len(LINE.line))
    for key in keys:
        # The method fits replacements from the bare trapezoid, up to 1970; ours allow for error there too, and to now.
        weight = weight_of(Clue(key, reliability=1.0), LINE)
        replaced = weight.feature.replaced
        chances *= (1 - replaced) * weight.new + replaced * later_than(commonness(weight.feature, LINE.line))
    assert middle_year(chances, LINE) == pytest.approx(median, abs=1)  # printed to the year
    years = densest_years(chances, 0.9, LINE)
    assert (years[0], years[-1]) == densest
