"""What may go over what, against the printed rules row by row.

`data/compatibility_rows.csv` is a second transcription of them: a furniture-making textbook's compatibility text, a
finishing writer's magazine articles, a woodworkers' knowledge base and common practice; which row is whose stands in
`finish/compatibility.csv` (`source_key`). Waits are common practice.
"""

import csv
from pathlib import Path

import pytest

from witnessmark.finish import Verdict, layer_rules, over
from witnessmark.materials import members_of

PLACE = Path(__file__).parent / "data" / "compatibility_rows.csv"
PRINTED = list(csv.DictReader(PLACE.read_text("utf-8").splitlines()))
ORDER = list(Verdict)


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: row["rule"])
def test_each_printed_rule_is_ours(row):
    (rule,) = [rule for rule in layer_rules() if rule.key == row["rule"]]
    assert ";".join(rule.uppers) == row["uppers"]
    assert ";".join(rule.lowers) == row["lowers"]
    assert (rule.lower_state, rule.verdict.value) == (row["state"], row["verdict"])
    assert (f"{rule.wait.value.in_hours:g}" if rule.wait else "") == row["wait_h"]


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: row["rule"])
def test_no_layer_is_judged_milder_or_sooner_than_a_printed_rule(row):
    """Several rules may speak of two layers: the strictest verdict and the longest wait count."""
    for upper in [leaf for key in row["uppers"].split(";") for leaf in members_of(key)]:
        for lower in [leaf for key in row["lowers"].split(";") for leaf in members_of(key)]:
            found = over(upper, lower, row["state"])
            assert row["rule"] in {rule.key for rule in found.rules}
            assert found.verdict is not None
            assert ORDER.index(found.verdict) >= ORDER.index(Verdict(row["verdict"]))
            if row["wait_h"]:
                assert found.wait is not None
                assert found.wait.value.in_hours >= float(row["wait_h"])


def test_all_the_printed_rules_are_there_and_no_other():
    assert [row["rule"] for row in PRINTED] == [rule.key for rule in layer_rules()]


@pytest.mark.parametrize(
    ("upper", "lower", "verdict"),
    [
        ("shellac_french_polish", "beeswax", Verdict.FORBID),
        ("wax_paste_beeswax_carnauba", "shellac_french_polish", Verdict.ALLOW),
        ("polyurethane_oil", "shellac_waxy", Verdict.FORBID),
        ("alkyd_varnish", "shellac_dewaxed", Verdict.ALLOW),
        ("pva", "hide_glue", None),  # only over *old* glue is anything printed
    ],
)
def test_layers_of_the_shop(upper, lower, verdict):
    assert over(upper, lower).verdict is verdict


def test_a_rule_binds_only_in_its_state():
    assert over("pva", "hide_glue", "old").verdict is Verdict.FORBID
    assert over("hide_glue_hot", "hide_glue", "old").verdict is Verdict.ALLOW
