"""`tell finish` as the outside meets it."""

import json

import pytest

from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run
from witnessmark.finish import old_finishes

SURVEY = """schema = 1
id = "0190a5b2-0000-7000-8000-000000000001"
[piece]
kind = "table"
[[part]]
code = "TOP"
name = "top"
[[part]]
code = "LEG"
name = "leg"
count = 4
[[test]]
test = "alcohol"
state = "no_change"
part = "TOP"
[[test]]
test = "acetone"
state = "no_change"
part = "TOP"
[[test]]
test = "look_history"
state = "thin_clear_orange"
part = "LEG"
[[test]]
test = "alcohol"
state = "softens_sticky"
part = "LEG"
"""


def tell(capsys, *arguments):
    code = run(witnessmark, ["tell", "finish", *arguments])
    said = capsys.readouterr()
    return code, said.out, said.err


def answer(capsys, *arguments):
    code, out, _ = tell(capsys, *arguments, "--json")
    assert code == 0, out
    return json.loads(out)


def test_the_result_is_that_of_the_contract(capsys):
    found = answer(capsys, "--seen", "alcohol=softens_sticky", "--not", "uv_lamp=fluoresces_none")["result"]
    assert {"candidates", "readings", "conflicts", "next", "none_of_these", "group"} <= set(found)
    assert {each["key"] for each in found["candidates"]} == set(old_finishes())
    assert {tuple(each) for each in found["candidates"]} == {("key", "name", "probability")}
    whole = sum(each["probability"] for each in found["candidates"]) + found["none_of_these"]
    assert whole == pytest.approx(1)
    assert [(each["key"], each["state"]) for each in found["readings"]] == [
        ("alcohol", "softens_sticky"), ("uv_lamp", "fluoresces_none")]  # fmt: skip
    assert {"look", "gain", "harm", "minutes"} <= set(found["next"][0])
    assert found["candidates"][0]["key"] == "shellac"


def test_plain_words(capsys):
    _, said, _ = tell(capsys, "--seen", "meths=softens and turns sticky", "--seen", "UV=orange")
    assert said.startswith("It is shellac ")


def test_wax_is_to_be_cleaned_off_first(capsys):
    _, said, _ = tell(capsys, "--seen", "wax scrape=scrapes up", "--seen", "water=beads")
    assert "wipe a spot clean with white spirit before a solvent" in said


def test_a_solvent_test_comes_with_its_cautions(capsys):
    found = answer(capsys, "--seen", "look_history=no_film_dark_grain", "--seen", "uv_lamp=fluoresces_faintly",
                   "--seen", "wax_scrape_spirits=no_change", "--seen", "oil_drop=stands")  # fmt: skip
    assert found["result"]["next"][0]["harm"] >= 2
    assert any("will not be seen" in caution for caution in found["cautions"])
    assert found["cautions"]
    assert found["cautions"][-1].startswith("Local codes and licensed practice prevail")


def test_surfaces_of_a_survey_that_differ(capsys, tmp_path):
    file = tmp_path / "table.toml"
    file.write_text(SURVEY)
    found = answer(capsys, str(file))["result"]
    assert found["same_throughout"] < 0.5
    assert [surface["part"] for surface in found["surfaces"]] == ["TOP", "LEG"]
    _, said, _ = tell(capsys, str(file))
    assert said.startswith("The surfaces differ; a later coat may lie on one only.")
    assert "LEG: It is shellac" in said
    leg = answer(capsys, str(file), "--part", "leg")["result"]
    assert leg["candidates"][0]["key"] == "shellac"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "nothing tried"),
        (["--seen", "aceton=no_change"], "Did you mean “acetone”?"),
        (["--seen", "acetone=purple"], "of acetone one of gummy_slow"),
        (["--seen", "alcohol"], "alcohol=STATE, the state one of softens_sticky"),
        (["nowhere.toml"], "no such file"),
    ],
)
def test_bad_input_is_answered(capsys, arguments, says):
    code, _, err = tell(capsys, *arguments)
    assert code == 2
    assert says in err


def test_a_part_that_is_not_there(capsys, tmp_path):
    file = tmp_path / "table.toml"
    file.write_text(SURVEY)
    code, _, err = tell(capsys, str(file), "--part", "LEGG")
    assert code == 2
    assert "Did you mean “LEG”?" in err
