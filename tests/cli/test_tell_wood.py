"""`tell wood` as the outside meets it."""

import json

import pytest

from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run
from witnessmark.sources import recomputed
from witnessmark.wood import woods_told_apart

SURVEY = """schema = 1
id = "0190a5b2-0000-7000-8000-000000000001"
[piece]
kind = "chest"
region = "UK"
made = "about 1790"
[[part]]
code = "LINING"
name = "drawer lining"
[[part]]
code = "TOP"
name = "top"
[[reading]]
about = "wood"
feature = "porosity"
state = "ring_porous"
part = "LINING"
[[reading]]
about = "wood"
feature = "rays_on_end_grain"
state = "broad_conspicuous"
part = "LINING"
"""
ON_TOP = """[[reading]]
about = "wood"
feature = "porosity"
state = "diffuse_porous"
part = "TOP"
"""


def tell(capsys, *arguments):
    code = run(witnessmark, ["tell", "wood", *arguments])
    said = capsys.readouterr()
    return code, said.out, said.err


def result(capsys, *arguments):
    code, out, _ = tell(capsys, *arguments, "--json")
    assert code == 0, out
    return json.loads(out)["result"]


def test_the_result_is_that_of_the_contract(capsys):
    found = result(capsys, "--seen", "porosity=ring_porous", "--not", "ripple_marks", "--unsure", "texture=coarse")
    assert {"candidates", "readings", "conflicts", "next", "none_of_these", "group"} <= set(found)
    assert {tuple(each) for each in found["candidates"]} == {("key", "name", "probability")}
    assert {each["key"] for each in found["candidates"]} == set(woods_told_apart())
    whole = sum(each["probability"] for each in found["candidates"]) + found["none_of_these"]
    assert whole == pytest.approx(1)
    chances = [each["probability"] for each in found["candidates"]]
    assert chances == sorted(chances, reverse=True)
    assert [set(each) >= {"key", "state", "ratio", "says"} for each in found["readings"]] == [True] * 3
    assert [(each["key"], each["state"]) for each in found["readings"]] == [
        ("porosity", "ring_porous"), ("ripple_marks", "present"), ("texture", "coarse")]  # fmt: skip
    assert {"look", "gain", "harm", "minutes"} <= set(found["next"][0])


def test_a_weighed_part_has_its_density_and_working(capsys):
    code, out, _ = tell(capsys, "--weigh", "31.2 g", "--size", "120 x 60 x 8 mm", "--json")
    answer = json.loads(out)
    assert code == 0
    assert answer["result"]["density"]["value"] == pytest.approx(541.7, abs=0.1)
    assert [one["key"] for one in answer["result"]["readings"]] == ["weight"]
    density = next(key for key in answer["workings"] if key.startswith("wood.density_of:"))
    assert recomputed(answer["workings"], density) == answer["result"]["density"]
    _, said, _ = tell(capsys, "--weigh", "31.2 g", "--size", "120 x 60 x 8 mm")
    assert "it floats in water" in said


def test_ebony_sinks(capsys):
    _, said, _ = tell(capsys, "--weigh", "60 g", "--size", "100 x 50 x 10 mm", "--seen", "colour=jet black")
    assert "it sinks in water" in said
    assert "ebony" in said.splitlines()[0]


def test_a_group_is_said(capsys):
    said = ["diffuse porous", "rays=broad", "fleck=medium dark", "fleck spacing=scattered"]
    options = [part for text in said for part in ("--seen", text)]
    assert result(capsys, *options)["group"]["key"] == "beech"
    _, out, _ = tell(capsys, *options)
    assert out.startswith("It is beech (kind unknown) (")
    assert "can't be told yet" in out


def test_where_it_comes_from_counts(capsys):
    lens = ["--seen", "ring porous", "--seen", "rays=broad"]
    uk = result(capsys, *lens, "--region", "UK", "--made", "1780-1800", "--use", "lining")["candidates"][0]
    us = result(capsys, *lens, "--region", "US")["candidates"][0]
    assert uk["key"] == "oak_european"
    assert us["key"] in {"oak_white_american", "oak_red_northern"}


def test_deposits_come_back_under_the_tables_own_keys(capsys):
    found = result(capsys, "--seen", "vessel_contents=dark_gum")
    assert [(each["key"], each["state"]) for each in found["readings"]] == [("vessel_contents", "dark_gum")]
    assert not [each for each in found["next"] if "." in each["look"]]


def test_a_survey_is_read(capsys, tmp_path):
    file = tmp_path / "chest.toml"
    file.write_text(SURVEY)
    found = result(capsys, str(file))
    assert found["candidates"][0]["key"] == "oak_european"
    more = result(capsys, str(file), "--seen", "tyloses=abundant")
    assert len(more["readings"]) == len(found["readings"]) + 1


def test_parts_of_a_survey_are_told_apart(capsys, tmp_path):
    file = tmp_path / "chest.toml"
    file.write_text(SURVEY + ON_TOP)
    code, _, err = tell(capsys, str(file))
    assert code == 2
    assert "one of LINING, TOP" in err
    assert result(capsys, str(file), "--part", "lining")["candidates"][0]["key"] == "oak_european"
    code, _, err = tell(capsys, str(file), "--part", "LINNING")
    assert code == 2
    assert "Did you mean “LINING”?" in err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "nothing seen"),
        (["--seen", "porosty=ring_porous"], "Did you mean “porosity”?"),
        (["--seen", "porosity=ring_porus"], "Did you mean “ring_porous”?"),
        (["--seen", "porosity"], "porosity=STATE, the state one of ring_porous"),
        (["--seen", "=x"], "KEY or KEY=STATE"),
        (["--weigh", "31 g"], "--size beside --weigh"),
        (["--weigh", "31 g", "--size", "12 x 6 cm"], "length, width and thickness"),
        (["--weigh", "31 kg", "--size", "12 x 6 x 1 cm"], "where a part of wood weighs 50 to 2000"),
        (["--weigh", "0 g", "--size", "12 x 6 x 1 cm"], "more than nothing"),
        (["--weigh", "31 g", "--size", "12 x 0 x 1 cm"], "--size"),
        (["--seen", "ring porous", "--made", "long ago"], "a year or two"),
        (["--seen", "ring porous", "--use", "roof"], "one of show, secondary"),
        (["--seen", "ring porous", "--region", "ES"], "one of UK, US"),
        (["nowhere.toml"], "no such file"),
    ],
)
def test_bad_input_is_answered(capsys, arguments, says):
    code, _, err = tell(capsys, *arguments)
    assert code == 2
    assert says in err
    assert "Traceback" not in err


def test_every_fault_is_told_at_once(capsys):
    code, out, _ = tell(capsys, "--seen", "porosty=x", "--not", "odour=blue", "--json")
    assert code == 2
    assert [fault["where"] for fault in json.loads(out)["faults"]] == ["--seen", "--not"]
