"""`time` as the outside meets it."""

import json
import math

import pytest

from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run
from witnessmark.sources import recomputed


@pytest.fixture
def ask(capsys):
    def asked(*words):
        code = run(witnessmark, ["time", *words])
        said = capsys.readouterr()
        return code, said.out, said.err

    return asked


@pytest.fixture
def result(ask):
    def answered(*words):
        code, out, err = ask(*words, "--json")
        assert (code, err) == (0, ""), out
        return json.loads(out)

    return answered


BARE = ("--usual", "25 min/m2", "--spread", "0.4", "--trial-spread", "0.25")
ONE = ("--trial", "0.1 m2, 12 min", "--area", "3 m2")


def test_the_result_is_as_the_contract_has_it(result):
    whole = result(*ONE)
    assert set(whole) == {"result", "workings", "cautions", "warnings"}
    assert set(whole["result"]) == {"minutes", "rate", "weight"}
    minutes = whole["result"]["minutes"]
    assert set(minutes) == {"p50", "p80", "p95"}
    assert 0 < minutes["p50"] < minutes["p80"] < minutes["p95"]
    assert whole["result"]["rate"]["unit"] == "min/m2"
    assert 0 < whole["result"]["weight"] < 1
    for key, entry in whole["workings"].items():
        again, shown = recomputed(whole["workings"], key), entry["value"]
        assert again["value"] == pytest.approx(shown["value"])


def test_given_spreads_are_used_as_they_stand(result):
    """Worked by hand: the conjugate normal rule on logarithms, one patch of 120 min/m2 against 25."""
    found = result(*ONE, *BARE)["result"]
    weight = 0.4**2 / (0.4**2 + 0.25**2)
    rate = math.exp(math.log(25) + weight * math.log(120 / 25))
    spread = math.sqrt(0.4**2 * (1 - weight) + 0.25**2)
    assert found["weight"] == pytest.approx(weight)
    assert found["rate"]["value"] == pytest.approx(rate)
    assert found["minutes"]["p50"] == pytest.approx(3 * rate)  # no set-up
    assert found["minutes"]["p80"] == pytest.approx(3 * rate * math.exp(0.841621 * spread))
    assert found["minutes"]["p95"] == pytest.approx(3 * rate * math.exp(1.644854 * spread))


def test_two_patches_of_the_worked_example(result):
    # tests/schedule/data/duration_examples.csv, W1: weight 0.8475, 55.12 min/m2, 132.3 and 178.8 min.
    found = result(
        "--trial", "1 m2, 62 min", "--trial", "1 m2, 55 min", "--area", "2.4 m2",
        "--usual", "40 min/m2", "--spread", "0.5", "--trial-spread", "0.3",
    )["result"]  # fmt: skip
    assert found["weight"] == pytest.approx(0.8475, abs=0.0005)
    assert found["rate"]["value"] == pytest.approx(55.12, abs=0.02)
    assert found["minutes"]["p50"] == pytest.approx(132.3, abs=0.1)
    assert found["minutes"]["p80"] == pytest.approx(178.8, abs=0.2)


def test_halving_the_patchs_spread_narrows_the_answer(result):
    def width(spread):
        minutes = result(*ONE, "--usual", "25 min/m2", "--spread", "0.4", "--trial-spread", spread)["result"]["minutes"]
        return minutes["p95"] / minutes["p50"]

    assert width("0.125") < width("0.25") < width("0.5")


def test_the_usual_rate_may_be_by_the_foot(result):
    feet = result(*ONE, "--usual", "2.32258 min per ft2", "--spread", "0.4", "--trial-spread", "0.25")["result"]
    metres = result(*ONE, *BARE)["result"]
    assert feet["rate"]["value"] == pytest.approx(metres["rate"]["value"], rel=1e-4)


def test_a_first_patch_counts_for_less_unless_spreads_are_given(result):
    plain = result(*ONE, "--work", "strip")["result"]
    twice = result("--trial", "0.1 m2, 12 min", *ONE, "--work", "strip")["result"]
    assert plain["weight"] < twice["weight"]
    # spread 0.5 of the table, patch 0.3 counted double.
    assert plain["weight"] == pytest.approx(0.5**2 / (0.5**2 + 2 * 0.3**2), abs=0.1)


def test_it_says_what_it_did_not_know(result):
    said = " ".join(result(*ONE)["warnings"])
    assert "--work" in said
    assert "second" in said


def test_a_wide_area_widens_the_answer(result):
    wide = result("--trial", "0.1 m2, 12 min", "--area", "2 to 4 m2", *BARE)["result"]["minutes"]
    sharp = result(*ONE, *BARE)["result"]["minutes"]
    assert wide["p50"] == pytest.approx(sharp["p50"])
    assert wide["p80"] > sharp["p80"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--trial", "0.1 m2", "--area", "3 m2"), "0.1 m2, 12 min"),
        (("--trial", "12 min, 0.1 m2", "--area", "3 m2"), "an area and its minutes"),
        (("--trial", "0 m2, 12 min", "--area", "3 m2"), "more than nothing"),
        (("--trial", "0.1 m2, 12 min", "--area", "0 m2"), "more than nothing"),
        (("--trial", "0.1 m2, 12 min", "--area", "3"), "--area"),
        (("--area", "3 m2"), "--trial"),
        ((*ONE, "--usual", "25 min"), "25 min/m2"),
        ((*ONE, "--spread", "0"), "0.01 to 3"),
        ((*ONE, "--spread", "nan"), "0.01 to 3"),
        ((*ONE, "--trial-spread", "wide"), "0.01 to 3"),
        ((*ONE, "--work", "juggling"), "one of:"),
        ((*ONE, "--work", "photograph"), "does not go by area"),
    ],
)
def test_bad_input_is_told_how_to_be_mended(ask, words, says):
    code, _, err = ask(*words)
    assert code == 2
    assert says in err
    assert "Traceback" not in err


def test_people_read_hours_and_what_they_rest_on(ask):
    code, out, _ = ask(*ONE, "--work", "strip")
    assert code == 0
    assert "four times in five" in out
    assert "minutes a square metre" in out
