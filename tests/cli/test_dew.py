"""`dew` as the outside meets it."""

import json

import pytest

from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run


@pytest.fixture
def ask(capsys):
    def asked(*words):
        code = run(witnessmark, ["dew", *words])
        said = capsys.readouterr()
        return code, said.out, said.err

    return asked


def air(temp, rh, surface, *more):
    return ("--temp", temp, "--rh", rh, "--surface", surface, *more)


@pytest.mark.parametrize(
    ("words", "verdict"),
    [
        (air("13 °C", "84", "6 °C"), "heat first"),
        (air("20 °C", "50", "19 °C"), "go"),
        (air("68 °F", "50 %", "66 °F"), "go"),
        (air("32 °C", "95", "31 °C"), "not today"),
        (air("14 °C", "50", "14 °C"), "go"),
        (air("14 °C", "50", "14 °C", "--coating", "French polish"), "heat first"),
        (air("30 °C", "40", "29 °C", "--coating", "French polish"), "not today"),
    ],
)
def test_the_verdict_of_the_contract(ask, words, verdict):
    code, out, err = ask(*words, "--json")
    assert (code, err) == (0, "")
    whole = json.loads(out)
    assert whole["result"]["verdict"] == verdict
    assert set(whole["result"]) == {"dew_point", "rh_at_surface", "verdict"}
    assert whole["result"]["dew_point"]["unit"] == "°C"
    assert whole["result"]["rh_at_surface"]["unit"] == "%"


def test_a_cold_surface_is_told_why_and_what_to_do(ask):
    _, out, _ = ask(*air("13 °C", "84", "6 °C"))
    assert out.startswith("Heat first: the work at 6 °C is colder than the dew point, 10 °C: water falls on it.")
    assert "the work itself to 14 °C" in out


def test_the_air_a_coating_wants_is_said(ask):
    _, out, _ = ask(*air("20 °C", "50", "20 °C", "--coating", "French polish"))
    assert "It wants 16 to 25 °C, at most 65 % humidity" in out


def test_a_group_takes_its_usual_member_and_says_so(ask):
    code, out, _ = ask(*air("20 °C", "50", "20 °C", "--coating", "polish"))
    assert code == 0
    assert "is a group: reckoned as" in out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (air("13 °C", "840", "6 °C"), "more than 0 and at most 100"),
        (air("13 °C", "0", "6 °C"), "more than 0 and at most 100"),
        (air("90 °C", "50", "6 °C"), "Give the shop's"),
        (air("13", "50", "6 °C"), "--temp"),
        (air("13 °C", "50", "6 °C", "--coating", "french polsh"), "French polish"),
        (("--temp", "13 °C"), "--rh"),
    ],
)
def test_bad_input_is_told_how_to_be_mended(ask, words, says):
    code, _, err = ask(*words)
    assert code == 2
    assert says.lower() in err.lower()
    assert "Traceback" not in err
