"""The chances of the spot tests beside the reference they were copied from, and a printed order of solvents."""

import csv
from pathlib import Path

import pytest

from witnessmark.finish import Tried, spot_tests, tell_finish
from witnessmark.sources import table

REFERENCE = Path(__file__).resolve().parents[3] / "shared" / "reference" / "finish"


def test_the_chances_say_what_the_reference_says():
    if not REFERENCE.is_dir():
        pytest.skip("the reference library is not beside this repository: ../shared/reference")
    with (REFERENCE / "finish_tests.csv").open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    theirs = [(row["test_key"], row["finish_key"], row["state_key"], row["probability"], row["likelihood_word"],
               row["standing"]) for row in rows]  # fmt: skip
    ours = [(row["test"], row["finish_key"], row["state"], row["probability"], row["likelihood_word"], row["standing"])
            for row in table("finish", "finish_tests.csv")]  # fmt: skip
    assert ours == theirs
    orders = {row["test_key"]: int(row["test_order"]) for row in rows}
    assert [test.key for test in spot_tests()] == sorted(orders, key=lambda key: orders[key])
    for row in rows:
        assert next(test.harm for test in spot_tests() if test.key == row["test_key"]) == int(row["harm_level_0_5"])


# The order printed in university extension and magazine texts (see finish_tests.csv): spirit softens shellac, then
# thinners soften lacquer, then xylene softens a waterborne film; what none of them touches is varnish or tougher.
PRINTED = [
    ([("alcohol", "softens_sticky")], {"shellac"}),
    ([("alcohol", "no_change"), ("lacquer_thinner", "dissolves"), ("wax_scrape_spirits", "no_change")],
     {"lacquer_nitrocellulose"}),
    ([("alcohol", "no_change"), ("xylene", "softens_gummy")], {"waterborne_film"}),
    ([("alcohol", "no_change"), ("lacquer_thinner", "no_change"), ("wax_scrape_spirits", "no_change")],
     {"oil_varnish", "polyurethane_oil", "lacquer_catalysed"}),
    ([("ammonia", "liquefies"), ("oil_drop", "soaks_in")], {"casein_milk_paint"}),
]  # fmt: skip


@pytest.mark.parametrize(("tests", "finishes"), PRINTED, ids=[" or ".join(sorted(found)) for _, found in PRINTED])
def test_the_printed_order_of_solvents(tests, finishes):
    layer = tell_finish([Tried(test, state) for test, state in tests]).layer
    assert next(iter(layer.probabilities)) in finishes
