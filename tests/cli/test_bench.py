"""The bench calculators as the outside meets them: result keys, units, ranges, words."""

import json
import subprocess
import sys

import pytest

from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run
from witnessmark.sources import recomputed

# One call of each form that the contract names, and the keys its result must have.
FORMS = {
    'mix --cut|2 lb|--solvent|500 ml': {"resin": "g", "solvent": "ml", "volume": "ml"},
    'mix --cut|240 g/L|--flakes|60 g': {"resin": "g", "solvent": "ml", "volume": "ml"},
    'mix --cut|2 lb|--make|600 ml': {"resin": "g", "solvent": "ml", "volume": "ml"},
    'mix --cut|2 lb|--area|3.2 m2|--coats|8': {"resin": "g", "solvent": "ml", "volume": "ml"},
    'thin --from|3 lb|--to|2 lb|--have|1 qt': {"add": "ml", "volume": "ml"},
    'cut --wet|10.0 g|--dry|2.1 g': {"cut": "g/L"},
    'jar --have|400 ml|--cut|2 lb|--area|1.8 m2': {"coats": "coats", "short_by": None},
    'jar --have|400 ml|--cut|2 lb|--area|1.8 m2|--coats|6': {"coats": "coats", "short_by": "ml"},
    'cover --coating|Danish oil|--area|3.2 m2|--coats|2': {"volume": "ml", "rate": "m2/L"},
    'cover --coating|French polish|--area|3.2 m2': {"volume": "ml", "rate": "m2/L"},
    'cover --solids|88|--film|300 um': {"volume": None, "rate": "m2/L"},
    'move --wood|white oak|--across|18 in|--sawn|flat|--from-rh|30|--to-rh|70|--temp|21 °C': {
        "movement": "mm", "emc_from": "%", "emc_to": "%"},
    'move --wood|white oak|--across|18 in|--sawn|quarter|--from-mc|7|--to-mc|12': {
        "movement": "mm", "emc_from": "%", "emc_to": "%"},
    'weigh --wood|mahogany|--size|900 x 450 x 20 mm': {"mass": "kg"},
    'weigh --wood|mahogany|--size|900 x 450 x 20 mm|--mc|9': {"mass": "kg"},
}  # fmt: skip


@pytest.fixture
def ask(capsys):
    """Runs a command line, `|` for the gaps inside it, and gives (exit code, out, err)."""

    def asked(line, *more):
        command, _, rest = line.partition(" ")
        code = run(witnessmark, [command, *rest.split("|"), *more])
        said = capsys.readouterr()
        return code, said.out, said.err

    return asked


@pytest.fixture
def result(ask):
    def answered(line, *more):
        code, out, err = ask(line, "--json", *more)
        assert (code, err) == (0, ""), out
        return json.loads(out)

    return answered


@pytest.mark.parametrize("line", FORMS)
def test_the_result_has_the_contract_keys_and_units(result, line):
    whole = result(line)
    assert set(whole) == {"result", "workings", "cautions", "warnings"}
    units = {name: shown and shown["unit"] for name, shown in whole["result"].items()}
    assert units == FORMS[line]
    for shown in filter(None, whole["result"].values()):
        assert shown.get("low", shown["value"]) <= shown["value"] <= shown.get("high", shown["value"])


@pytest.mark.parametrize("line", FORMS)
def test_every_working_can_be_worked_again_from_its_own_inputs(result, line):
    workings = result(line)["workings"]
    for key, entry in workings.items():
        assert_same(recomputed(workings, key), entry["value"])
    assert workings


def assert_same(again, shown):
    assert set(again) == set(shown)
    for name, value in shown.items():
        assert again[name] == (value if name == "unit" else pytest.approx(value, rel=1e-9))


def test_mixing_from_the_solvent(result):
    found = result("mix --cut|2 lb|--solvent|500 ml")
    assert found["result"]["resin"]["value"] == pytest.approx(119.826, abs=0.001)
    assert found["result"]["solvent"] == {"value": 500.0, "unit": "ml"}
    # 119.8 g of resin at 1140 to 1210 kg/m³ take 99 to 105 ml.
    assert found["result"]["volume"] == pytest.approx(
        {"value": 602.416, "unit": "ml", "low": 599.030, "high": 605.111}, abs=0.001)  # fmt: skip
    assert "Alcohol vapour catches fire" in found["cautions"][0]
    assert "Local codes" in found["cautions"][0]


def test_what_is_mixed_for_coats_lays_them(result):
    made = result("mix --cut|2 lb|--area|3.2 m2|--coats|8")["result"]["volume"]
    laid = result(f"jar --have|{made['value']} ml|--cut|2 lb|--area|3.2 m2|--coats|8")["result"]
    assert laid["coats"]["value"] == pytest.approx(8)
    assert laid["short_by"]["value"] == pytest.approx(0, abs=1e-6)
    assert made["value"] == pytest.approx(8 * 3.2 / 9.8 / 0.9 * 1000)


def test_a_jar_with_enough_is_short_by_nothing(result):
    found = result("jar --have|5 l|--cut|2 lb|--area|1 m2|--coats|2")["result"]
    assert found["short_by"] == {"value": 0.0, "unit": "ml"}


def test_which_gallon_is_said_where_it_matters(result):
    said = "read as US; for imperial add --gallon imperial"
    assert said in result("mix --cut|2 lb|--make|600 ml")["warnings"][-1]
    assert not any(said in warning for warning in result("mix --cut|240 g/L|--make|600 ml")["warnings"])
    imperial = result("mix --cut|2 lb|--solvent|1 l", "--gallon", "imperial")
    assert imperial["result"]["resin"]["value"] == pytest.approx(199.55, abs=0.01)
    assert not any(said in warning for warning in imperial["warnings"])


def test_a_cut_away_from_the_usual_says_whose_coverage_it_took(result):
    warnings = result("mix --cut|3 lb|--area|1 m2|--coats|2")["warnings"]
    assert any("coverage is that of a 2 lb cut (240 g/L)" in warning for warning in warnings)
    weak = result("mix --cut|1 lb|--area|1 m2|--coats|2")
    assert weak["result"]["volume"]["value"] == pytest.approx(2 / 12.3 / 0.9 * 1000)
    assert not any("coverage" in warning for warning in weak["warnings"])


def test_thinning_shows_where_charts_part_from_it(result):
    found = result("thin --from|3 lb|--to|2 lb|--have|1 qt")
    assert found["result"]["add"]["value"] == pytest.approx(361.96, abs=0.01)
    assert found["result"]["volume"]["value"] == pytest.approx(361.96 + 946.353, abs=0.01)
    assert "charts of simple dilution add 470 ml" in found["warnings"][0]
    simple = next(entry for entry in found["workings"].values() if entry["formula"] == "finish.by_simple_dilution")
    assert simple["value"]["value"] == pytest.approx(473.18, abs=0.01)


def test_a_group_takes_its_usual_and_never_ends_in_a_fault(result):
    oak = result("move --wood|oak|--across|300 mm|--sawn|flat|--from-mc|8|--to-mc|12")
    assert oak["result"]["movement"] == pytest.approx(
        {"value": 300 * 0.0033 * 4, "unit": "mm", "low": 300 * 0.0033 * 4, "high": 300 * 0.00369 * 4})  # fmt: skip
    assert oak["warnings"] == [
        "oak (kind unknown) is a group: reckoned as European oak; "
        "the range is over white oak (American), northern red oak too"
    ]
    shellac = result("cover --coating|shellac|--area|1 m2")
    assert shellac["warnings"][0] == (
        "shellac is reckoned as shellac, brushed 2 lb cut; not as French polish, shellac wash coat, 1 lb cut"
    )
    stain = result("cover --coating|stain|--area|1 m2")
    assert "is a group: reckoned as" in stain["warnings"][0]
    tulip = result("move --wood|tulipwood|--across|300 mm|--sawn|flat|--from-mc|8|--to-mc|12")
    assert "no movement was found for Brazilian tulipwood" in tulip["warnings"][0]


def test_shrinking_is_negative(result, ask):
    line = "move --wood|white fir|--across|232 mm|--sawn|flat|--from-mc|11|--to-mc|8"
    assert result(line)["result"]["movement"]["value"] == pytest.approx(-232 * 0.00245 * 3)
    assert "The board shrinks 1.7 mm (1/16 in) across 232 mm." in ask(line)[1]


def test_twelve_per_cent_unless_said(result):
    line = "weigh --wood|Honduran mahogany|--size|900 x 450 x 20 mm"
    assert result(line)["result"]["mass"] == pytest.approx(
        {"value": 8.1 * 0.590, "unit": "kg", "low": 8.1 * 0.48, "high": 8.1 * 0.835})  # fmt: skip
    assert result(f"{line}|--mc|12")["result"]["mass"] == result(line)["result"]["mass"]


def test_words_are_short_and_as_the_jug_shows_them(ask):
    out = ask("mix --cut|240 g/L|--area|3.2 m2|--coats|8")[1]
    assert out.splitlines()[1:] == [
        "578 g of flakes in 2.4 l of solvent: a 2 lb cut (240 g/L).",
        "8 coats over 3.2 m²: 2.9 l; make 4.1 l to be safe: 817 g in 3.4 l.",
    ]


def test_mix_loads_nothing_heavy():
    code = (
        "import sys; from witnessmark.cli import witnessmark; from witnessmark.cli.frame import run;"
        "run(witnessmark, ['mix', '--cut', '2 lb', '--make', '600 ml', '--json']);"
        "print([name for name in ('pydantic', 'numpy', 'typst', 'django', 'witnessmark.wood') if name in sys.modules],"
        "file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.stderr.strip() == "[]"
