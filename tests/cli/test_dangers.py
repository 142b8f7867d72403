"""Hazards, law, air, lifting, tipping, blends and clearance as the outside meets them."""

import json
import re
import shlex
import subprocess
import sys

import pytest

from pieces import DEMO
from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run
from witnessmark.sources import recomputed

CHEST, CHAIR, SLOPE, DRESSER, SHOP = (
    str(DEMO / f"{name}.toml") for name in ("chest", "chair", "slope", "dresser", "shop")
)
NOW = ["--now", "2026-11-25T08:00+00:00"]
AIR = ["air", "--solvent", "ethanol", "--amount", "500 ml", "--over", "45 min", "--room", "60 m3"]
LIFT = "lift --mass|44 lb|--h|23 in|--v|15 in|--d|48 in|--angle|0|--per-min|0.2|--hours|1|--grip|fair"
LAW_KEYS = {"key", "decision", "why", "rule", "do", "ask", "as_of"}
DECISIONS = {"allowed", "allowed with paper", "forbidden", "ask"}


@pytest.fixture
def ask(capsys):
    def asked(*words):
        code = run(witnessmark, list(words))
        said = capsys.readouterr()
        return code, said.out, said.err

    return asked


@pytest.fixture
def whole(ask):
    def answered(*words):
        code, out, err = ask(*words, "--json")
        assert (code, err) == (0, ""), out or err
        return json.loads(out)

    return answered


@pytest.fixture
def result(whole):
    return lambda *words: whole(*words)["result"]


# --- air ---


def test_air_has_the_contract_keys_and_units(whole):
    found = whole(*AIR, "--mixing", "5", "--limit", "50 ppm", "--after", "2 h")
    units = {
        key: value["unit"] for key, value in found["result"].items() if isinstance(value, dict) and "unit" in value
    }
    assert units.items() >= {
        "flow_health": "m3/h", "flow_fire": "m3/h", "air_changes": "1/h", "peak": "ppm", "after": "ppm",
    }.items()  # fmt: skip
    assert found["result"]["ladder"][0].startswith("Open less at once")
    for working_id, working in found["workings"].items():
        again = recomputed(found["workings"], working_id)
        assert again["value"] == pytest.approx(working["value"]["value"])


def test_half_a_litre_of_spirit_in_half_an_hour(result):
    # Row V09 of tests/safety/data/ventilation_examples.csv: 1.145 m³/s at 500 ppm and K 5, 1 %.
    found = result("air", "--solvent", "ethanol", "--amount", "500 ml", "--over", "30 min", "--room", "60 m3",
                   "--mixing", "5", "--limit", "500 ppm")  # fmt: skip
    assert found["flow_health"]["value"] / 3600 == pytest.approx(1.145, rel=0.01)
    assert found["air_changes"]["value"] == pytest.approx(found["flow_health"]["value"] / 60)


def test_the_ladder_stands_above_the_sum(ask):
    _, out, _ = ask(*AIR)
    assert out.index("Stop: ") < out.index("1. Open less at once") < out.index("Air for health")
    assert "before your face" in out


def test_a_fan_that_is_too_weak_is_said_to_be(whole):
    weak = whole(*AIR, "--fan", "100 m3/h")
    assert any("go down the ladder" in line for line in weak["warnings"])
    assert weak["result"]["peak"]["value"] > whole(*AIR, "--fan", "1000 m3/h")["result"]["peak"]["value"]


def test_two_solvents_add_up(result):
    def health(*more):
        return result("air", "--over", "1 h", "--room", "50 m3", *more)["flow_health"]["value"]

    spirit = ("--solvent", "ethanol", "--amount", "100 ml")
    ketone = ("--solvent", "acetone", "--amount", "50 ml")
    assert health(*spirit, *ketone) == pytest.approx(health(*spirit) + health(*ketone))


def test_a_group_of_solvents_takes_its_usual_with_a_warning(whole):
    found = whole("air", "--solvent", "turps", "--amount", "100 ml", "--over", "1 h", "--room", "50 m3")
    assert any("is a group: reckoned as" in line for line in found["warnings"])


# --- lift and tip ---


def test_a_lift_in_pounds_is_worked_in_pounds(result):
    command, _, rest = LIFT.partition(" ")
    found = result(command, *rest.split("|"))
    # NIOSH 94-110, example 1 (from memory): index 2.7.
    assert found["index"] == pytest.approx(2.74, abs=0.01)
    assert found["limit"]["unit"] == "kg"
    assert found["limit"]["value"] / 0.45359237 == pytest.approx(16.03, abs=0.01)


def test_the_same_lift_in_kilograms_is_worked_in_kilograms(result):
    found = result("lift", "--mass", "20 kg", "--h", "25 cm", "--v", "75 cm", "--d", "25 cm")
    assert found == {"limit": {"value": 23.0, "unit": "kg"}, "index": pytest.approx(20 / 23)}


def test_the_chest_is_a_lift_for_more_than_two_and_its_drawers_for_one(result):
    found = result("lift", CHEST)
    assert found["mass"] == {"value": 58.0, "unit": "kg"}
    by_part = {row["part"]: row for row in found["loads"]}
    assert by_part["case, drawers out"]["mass"]["value"] < 58
    assert by_part["drawer DR5.F"]["people"] == 1
    assert found["index"] > 1


def test_tipping_is_said_by_drawers_open(result):
    found = result("tip", CHEST)
    assert [row["open"] for row in found["by_open"]] == [0, 1, 2, 3, 4, 5]
    margins = [row["margin"] for row in found["by_open"][1:]]
    assert margins == sorted(margins, reverse=True)
    assert found["margin"] == margins[-1]
    assert found["tips"] is True


def test_what_is_not_known_blocks_nothing(whole):
    found = whole("tip", CHAIR)
    assert found["result"]["tips"] is None
    assert any("measure wide x deep x high" in line for line in found["warnings"])
    assert whole("lift", CHAIR)["result"]["mass"] is None


# --- hazards ---


def test_the_lead_painted_dresser(whole):
    found = whole("hazards", DRESSER)
    lead = next(row for row in found["result"] if row["key"] == "old_lead_paint")
    assert set(lead) >= LAW_KEYS
    assert lead["level"] == "Stop"
    assert "laboratory" in lead["test"]
    assert any(line.startswith("Stop: Don't sand or scrape") for line in found["cautions"])


def test_a_clean_chest_says_little(whole):
    found = whole("hazards", CHEST)
    assert [row["key"] for row in found["result"]] == ["heavy_piece"]
    assert not any(line.startswith("Stop") for line in found["cautions"])


def test_what_in_the_cupboard_fires_itself_is_said(result):
    rows = {row["key"]: row for row in result("hazards", CHEST, "--shop", SHOP)}
    assert rows["oil_rags"]["says"] == "boiled linseed oil"


# --- law ---


def test_regulated_material_has_the_contract_keys(whole):
    found = whole("regulated", "--material", "ivory", "--year", "1830", "--share", "4 %", "--mass", "6 kg",
                  "--from", "UK", "--to", "UK", *NOW)  # fmt: skip
    assert [row["key"] for row in found["result"]] == ["R06"]
    for row in found["result"]:
        assert set(row) >= LAW_KEYS
        assert row["decision"] == "allowed with paper"
    assert any("elephant ivory is the strictest" in line for line in found["warnings"])
    assert any("R06" in line and "check them" in line for line in found["warnings"])


@pytest.mark.parametrize("name", ["ivory", "rosewood", "mahogany", "ebony", "stripper", "glue", "turps", "oak"])
@pytest.mark.parametrize("end", ["UK", "US", "FR"])
def test_a_group_never_stops_the_answer(result, name, end):
    for row in result("regulated", "--material", name, "--from", "UK", "--to", end, *NOW):
        assert row["decision"] in DECISIONS


def test_the_ivory_escutcheon_is_not_sent_to_the_us(whole):
    found = whole("regulated", SLOPE, "--to", "US", *NOW)
    first = found["result"][0]
    assert (first["decision"], first["parts"]) == ("forbidden", ["ESC"])
    assert any("into a repair" in line for line in found["warnings"])
    assert any("R72" in line for line in found["warnings"])  # lapsed: said, not ruled


def test_where_it_is_taken_to_be_is_said(whole):
    assert any("taken to be in the UK" in line for line in whole("regulated", SLOPE, "--to", "US", *NOW)["warnings"])
    told = whole("regulated", SLOPE, "--from", "US", "--to", "US", *NOW)["warnings"]
    assert not any("taken to be in the UK" in line for line in told)


def test_an_earlier_now_is_answered_by_the_rules_of_then(result):
    line = ("regulated", "--material", "hippo ivory", "--year", "1960", "--share", "4 %")
    kinds = [row["key"] for row in result(*line[:2], "sperm whale teeth", *line[3:], "--now", "2026-11-25T08:00+00:00")]
    before = [
        row["key"] for row in result(*line[:2], "sperm whale teeth", *line[3:], "--now", "2024-11-25T08:00+00:00")
    ]
    assert kinds == ["R11"]
    assert before == []


# --- blend and clearance ---


def test_a_blend_has_the_contract_keys(whole):
    found = whole("blend", "ethanol 70, white spirit 30", "--dissolve", "shellac", "--spare", "linseed_oil_film")
    answer = found["result"]
    # By volume: 0.7 × (36, 18, 46) + 0.3 × (90, 4, 6).
    assert [answer[key] for key in ("fd", "fp", "fh")] == pytest.approx([52.2, 13.8, 34.0])
    assert answer["flash_point"] == {"value": 13.0, "unit": "°C"}
    assert [(row["material"], row["wanted"], row["by"]) for row in answer["distances"]] == [
        ("shellac", "dissolve", "teas"), ("linseed_oil_film", "spare", "teas"),
    ]  # fmt: skip
    assert any("told by Teas" in line for line in found["warnings"])


def test_the_mildest_of_a_shelf_is_offered(result):
    found = result("blend", "--dissolve", "shellac", "--spare", "linseed_oil_film", "--shop", SHOP)
    assert found["mildest"][0]["blend"][0]["solvent"] == "ethanol_denatured"
    assert found["cost"] == {"value": 4.4, "unit": "GBP"}  # 5 l of meths for £22 in the demo's cupboard


def test_clearance_of_the_chest(result):
    found = result("clearance", CHEST, "--shop", SHOP, *NOW)
    assert [row["part"] for row in found["drawers"]] == [f"DR{number}.F" for number in range(1, 6)]
    for row in found["drawers"]:
        assert set(row) >= {"part", "least", "month"}
        assert row["least"]["unit"] == "mm"
        assert row["month"] == "August"
    assert {row["joint"]: row["bound"] for row in found["fixings"]}["J1"] is True
    assert not any(row["ready"] for row in found["condition"])


def test_clearance_without_drawers_is_an_empty_answer(result):
    assert result("clearance", CHAIR, *NOW)["drawers"] == []


# --- faults ---


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((*AIR, "--amount", "1 l"), "one --amount for each --solvent"),
        ((*AIR[:-1], "0 m3"), "more than nothing"),
        ((*AIR, "--mixing", "0.5"), "a factor from 1"),
        ((*AIR, "--mixing", "nan"), "a factor from 1"),
        ((*AIR, "--limit", "5 ppm", "--limit", "6 ppm"), "one --limit for all"),
        (("air", "--solvent", "moonshine", *AIR[3:]), "a solvent, such as ethanol"),
        (("air", "--solvent", "dimethyl sulfoxide", *AIR[3:]), "supplier's sheet"),
        (("lift",), "exactly one of FILE, --mass"),
        (("lift", "--mass", "44 lb"), "--h beside --mass"),
        (("lift", "--mass", "nought", "--h", "1 in", "--v", "1 in", "--d", "1 in"), "a mass, such as"),
        (("lift", "--mass", "9 kg", "--h", "70 cm", "--v", "75 cm", "--d", "25 cm"), "No load may be lifted so"),
        (("lift", "--mass", "9 kg", "--h", "30 cm", "--v", "75 cm", "--d", "25 cm", "--per-min", "nan"),
         "off the table"),
        (("tip", "nowhere.toml"), "a file to read"),
        (("regulated",), "a survey or --material"),
        (("regulated", SLOPE, "--material", "ivory"), "a survey or --material"),
        (("regulated", "--material", "ivory", "--to", "Atlantis"), "no place whose law"),
        (("regulated", "--material", "ivory", "--year", "long ago"), "a year or two"),
        (("regulated", "--material", "unobtainium"), "a material or a wood"),
        (("regulated", "--material", "ivory", "--value", "plenty"), "one price with its currency"),
        (("blend",), "a blend, or --dissolve"),
        (("blend", "ethanol, white spirit"), "its parts by volume"),
        (("blend", "ethanol 0"), "parts of more than nothing"),
        (("blend", "moonshine 70"), "a solvent, such as ethanol"),
        (("blend", "ethanol 70", "--dissolve", "steel wool"), "on neither map"),
    ],
)  # fmt: skip
def test_a_fault_says_what_to_do_and_ends_with_2(ask, words, says):
    code, out, err = ask(*words)
    assert code == 2, out
    assert says in err
    assert "Traceback" not in err
    wants_json, out, _ = ask(*words, "--json")
    assert wants_json == 2
    assert json.loads(out).keys() <= {"faults", "refused"}


@pytest.mark.parametrize(
    "words",
    [
        ("lift", CHEST),
        ("tip", CHEST),
        ("tip", DRESSER),
        ("clearance", CHEST, "--shop", SHOP, *NOW),
        ("clearance", DRESSER, *NOW),
        ("blend", "ethanol 70, acetone 30", "--dissolve", "nitrocellulose", "--spare", "shellac", "--shop", SHOP),
        (*AIR, "--fan", "400 m3/h", "--after", "1 h"),
    ],
)
def test_every_working_can_be_done_again(whole, words):
    workings = whole(*words)["workings"]
    assert workings
    for working_id, working in workings.items():
        assert recomputed(workings, working_id) == pytest.approx(working["value"]), working["formula"]


# --- the page ---


def test_the_page_of_what_a_piece_brings_with_it_runs(ask, monkeypatch):
    page = (DEMO.parent / "docs" / "restorer" / "what-a-piece-brings-with-it.md").read_text("utf-8")
    commands = re.findall(r"`witnessmark ([^`]+)`", page)
    assert {command.split()[0] for command in commands} == {
        "hazards", "regulated", "air", "lift", "tip", "blend", "clearance",
    }  # fmt: skip
    monkeypatch.chdir(DEMO)
    for command in commands:
        assert ask(*shlex.split(command))[0] == 0, command
    for target in re.findall(r"\]\(\.\./workings/([a-z-]+\.md)\)", page):
        assert (DEMO.parent / "docs" / "workings" / target).exists()


def test_air_reads_no_document_and_waits_for_none():
    code = "import sys; from witnessmark.cli import witnessmark; from witnessmark.cli.frame import run; " \
        f"run(witnessmark, {AIR!r}); sys.exit('pydantic' in sys.modules)"  # fmt: skip
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, check=False).returncode == 0
