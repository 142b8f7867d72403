"""`takedown` at the command line: in words and as JSON, and what it says to a miss."""

import json
import re
from pathlib import Path

import pytest

from pieces import DEMO, PIECES
from takedown.made_up import joint, piece, screw
from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run
from witnessmark.survey import survey_from, survey_text
from witnessmark.takedown import takedown

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "restorer" / "take-a-piece-apart.md").read_text("utf-8")
SHOP = """
[shop]
name = "A shop"
[[person]]
name = "One"
hours = { mon = "8-12" }
[[person]]
name = "Two"
hours = { mon = "8-12" }
[[room]]
name = "bench room"
day_temperature = "12 °C"
[[cramp]]
length = "600 mm"
count = 1
"""


@pytest.fixture
def cli(capsys):
    def call(*words):
        code = run(witnessmark, words)
        printed = capsys.readouterr()
        assert "Traceback" not in printed.out + printed.err
        return code, printed.out, printed.err

    return call


@pytest.fixture
def chest(tmp_path):
    survey = piece(
        [
            joint("J1", "TOP SIDE-L SIDE-R", "up", "screwed", fixing=[screw("S1", "left, back")], behind=["DR"]),
            joint("J2", "DR SIDE-L SIDE-R", "forward", "slides"),
            joint("J3", "RAIL SIDE-L", "right", state="loose", play="0.4 mm"),
            joint("J4", "RAIL SIDE-R", "left"),
        ],
        "chest",
        "900 x 450 x 800 mm",
    )
    file = tmp_path / "chest.toml"
    file.write_text(survey_text(survey), "utf-8")
    return str(file)


@pytest.fixture
def shop(tmp_path):
    file = tmp_path / "shop.toml"
    file.write_text(SHOP, "utf-8")
    return str(file)


def result(printed):
    code, out, err = printed
    assert (code, err) == (0, "")
    return json.loads(out)


def test_the_json_has_the_names_of_the_contract(cli, chest, shop):
    told = result(cli("takedown", chest, "--free", "top", "--shop", shop, "--json"))
    assert set(told) == {"result", "workings", "cautions", "warnings"}
    found = told["result"]
    assert [step["take"] for step in found["order"]] == ["DR", "TOP"]
    assert found["order"][1] | {"note": ""} == {
        "take": "TOP", "with": [], "joints": ["J1"], "fixings": ["S1"], "harm": 3.0, "note": "", "way": "up",
    }  # fmt: skip
    assert found["free"]["joints"] == ["J1", "J2"]
    assert found["free"]["first_off"] == ["DR"]
    assert found["stays_shut"] == ["J3", "J4"]
    assert found["refit"][0]["part"] == "TOP"
    assert found["refit"][0]["fixings"] == [{"code": "S1", "hole": "left, back", "ends": "open"}]
    assert found["still_off"] == [{"part": "TOP", "fixings": ["S1"]}]
    assert found["glue_stages"] == []


def test_gluing_up_counts_the_shop_s_hands_cramps_and_warmth(cli, chest, shop):
    told = result(cli("takedown", chest, "--free", "RAIL", "--shop", shop, "--json"))
    stages = told["result"]["glue_stages"]
    assert {code for stage in stages for code in stage["joints"]} == {"J3", "J4"}
    for stage in stages:
        assert stage["seconds"]["unit"] == stage["open_time"]["unit"] == "s"
        assert stage["open_time"]["value"] < 330  # the table's 5 1/2 minutes, in a shop of 12 °C
        assert stage["cramps"] == [{"length": {"value": 1000.0, "unit": "mm"}, "count": 1, "have": 0}]
    assert any("open_in_the_cold" in key for key in told["workings"])


def test_in_words_it_is_numbered_with_the_harm_and_the_caution_first(cli, chest):
    code, out, _ = cli("takedown", chest)
    assert code == 0
    assert out.startswith(("Mind: ", "Stop: "))
    said = " ".join(out.split())
    assert "1 DR, dr, forward. Opens J2. No harm. Draw it out." in said
    assert "Stays shut J4: sound" in said
    assert "J3: perhaps. Test the old glue" in said
    assert "Fit it only when the carcase is square and in condition." in said


def test_a_miss_is_answered_with_the_nearest_part(cli, chest):
    code, _, err = cli("takedown", chest, "--free", "REIL")
    assert code == 2
    assert err == "--free: found “REIL”; expected the code or the name of a part of the survey. Did you mean “RAIL”?\n"


def test_a_glue_nobody_knows_is_answered_with_the_nearest(cli, chest):
    code, _, err = cli("takedown", chest, "--glue", "hyde glue")
    assert code == 2
    assert "Did you mean “hide glue”" in err


@pytest.mark.parametrize("glue", ["hide glue", "pva", "liquid hide glue", "animal glue", "epoxy", "glue size"])
def test_a_glue_may_be_named_as_the_shop_names_it(cli, chest, glue):
    told = result(cli("takedown", chest, "--free", "RAIL", "--glue", glue, "--json"))
    assert told["result"]["glue_stages"]


def test_a_ring_is_refused_with_its_parts(cli, tmp_path):
    ring = piece(
        [joint("J1", "A B", "left"), joint("J2", "A C", "up"), joint("J3", "D B", "up"), joint("J4", "D C", "left")]
    )
    file = tmp_path / "ring.toml"
    file.write_text(survey_text(ring), "utf-8")
    code, out, _ = cli("takedown", str(file), "--free", "A", "--json")
    assert code == 2
    assert "A, B, C and D hold one another" in json.loads(out)["refused"]


def test_a_faulty_survey_is_mended_first(cli, chest):
    file = Path(chest)
    file.write_text(file.read_text("utf-8").replace('behind = ["DR"]', 'behind = ["DRR"]'), "utf-8")
    code, _, err = cli("takedown", chest)
    assert code == 2
    assert "Did you mean “DR”" in err


def test_a_joint_is_not_behind_a_part_that_it_joins(cli, chest):
    file = Path(chest)
    file.write_text(file.read_text("utf-8").replace('behind = ["DR"]', 'behind = ["TOP"]'), "utf-8")
    code, _, err = cli("takedown", chest)
    assert code == 2
    assert "a part that stands before it, not one it joins" in err


@pytest.mark.parametrize("name", PIECES)
def test_the_demo_pieces_come_apart_by_rule(cli, name):
    told = result(cli("takedown", str(DEMO / f"{name}.toml"), "--shop", str(DEMO / "shop.toml"), "--json"))
    opened = {code for step in told["result"]["order"] for code in step["joints"]}
    assert not opened & set(told["result"]["stays_shut"])


def test_the_working_opens_the_harm(cli, chest):
    _, out, _ = cli("takedown", chest, "--free", "TOP", "--working")
    assert "J1, screwed: 3  [convention: own_convention]" in out


def test_the_page_s_example_comes_apart_as_the_page_says():
    text = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)[0]
    head = 'schema = 1\nid = "01a1e4e3-d960-7450-88ee-021dbeb0fc2a"\n[piece]\nkind = "chest"\n'
    survey = survey_from(head + text, "the page")
    taken = takedown(survey, survey.parts_by_code()["TOP"])
    assert [step.take for step in taken.order] == ["DR1", "TOP"]
    for option in ("--free TOP", "--shop shop.toml", '--glue "hide glue, hot"'):
        assert option in PAGE
