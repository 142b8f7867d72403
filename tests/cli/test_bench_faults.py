"""Bad input at the bench: what was found, where, what to write instead; exit 2, never a traceback."""

import json

import pytest

from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run

FAULTS = {
    # Amounts that are no amounts.
    "mix --cut|0 lb|--solvent|1 l": ("--cut", "0 lb", "more than nothing"),
    "mix --cut|2 lb|--solvent|-3 l": ("--solvent", "-3 l", "not below 0"),
    "mix --cut|two|--solvent|1 l": ("--cut", "two", "a cut, such as “2 lb” or “240 g/L”"),
    "mix --cut|2 lb|--solvent|don't know": ("--solvent", "don't know", "one amount"),
    "cover --coating|Danish oil|--area|0 m2": ("--area", "0 m2", "more than nothing"),
    # Too much said, or too little.
    "mix --cut|2 lb": ("command line", "none of them", "exactly one of --solvent, --flakes, --make, --area"),
    "mix --cut|2 lb|--solvent|1 l|--flakes|10 g": ("command line", "--solvent and --flakes", "exactly one of"),
    "mix --cut|2 lb|--area|1 m2": ("--coats", "", "--coats beside --area"),
    "mix --cut|2 lb|--coats|2|--make|1 l": ("--area", "", "--area beside --coats"),
    "mix --solvent|1 l": ("--cut", "nothing", "--cut is needed"),
    "cover --area|1 m2": ("command line", "none of them", "exactly one of --coating, --solids"),
    "cover --solids|88": ("--film", "", "--film beside --solids"),
    "move --wood|oak|--across|1 m|--sawn|flat": ("command line", "none of them", "exactly one of --from-rh"),
    "move --wood|oak|--across|1 m|--sawn|flat|--from-mc|9": ("--to-mc", "", "--to-mc beside --from-mc"),
    "move --wood|oak|--across|1 m|--sawn|flat|--from-rh|30|--to-rh|40": ("--temp", "", "--temp beside"),
    "move --wood|oak|--across|1 m|--sawn|rift|--from-mc|9|--to-mc|8": ("--sawn", "rift", "flat"),
    "weigh --wood|oak|--size|900 x 450 mm": ("--size", "900 mm x 450 mm", "length, width and thickness"),
    # Names.
    "weigh --wood|mahagony|--size|1 x 1 x 1 m": ("--wood", "mahagony", "a wood by its usual name"),
    "cover --coating|hide glue|--area|1 m2": ("--coating", "hide glue", "a coating by its usual name"),
    "cover --coating|rosewood|--area|1 m2": ("--coating", "rosewood", "a coating by its usual name"),
    "cover --coating|dansh oil|--area|1 m2": ("--coating", "dansh oil", "a coating by its usual name"),
}

REFUSALS = {
    "mix --cut|20 lb|--solvent|1 l": "flakes hardly dissolve. Check the unit",
    "thin --from|2 lb|--to|3 lb|--have|1 qt": "is not thinning. To make it stronger add flakes: 94 g",
    "cut --wet|2 g|--dry|10 g": "it should lose weight. Check which is which",
    "cover --solids|120|--film|300 um": "Volume solids lie above 0 and up to 100 %",
    "cover --coating|oil paint|--area|1 m2": "is not a coating with a row",
    "cover --coating|japanning|--area|1 m2": "Give its solids by volume",
    "move --wood|oak|--across|1 m|--sawn|flat|--from-rh|30|--to-rh|99|--temp|20 C": "outside 0 to 97 %",
    "move --wood|oak|--across|1 m|--sawn|flat|--from-rh|30|--to-rh|60|--temp|-9 C": "outside the table",
    "move --wood|oak|--across|1 m|--sawn|flat|--from-mc|45|--to-mc|12": "give 30 for green wood",
    "move --wood|ironwood|--across|1 m|--sawn|flat|--from-mc|9|--to-mc|12": "Name a wood that moves alike",
    "weigh --wood|oak|--size|0 x 450 x 20 mm": "Give length, width and thickness",
}


def words(line):
    command, _, rest = line.partition(" ")
    return [command, *rest.split("|")]


@pytest.mark.parametrize("line", FAULTS)
def test_a_fault_says_where_what_and_what_instead(capsys, line):
    where, found, expected = FAULTS[line]
    assert run(witnessmark, [*words(line), "--json"]) == 2
    faults = json.loads(capsys.readouterr().out)["faults"]
    assert [set(fault) for fault in faults] == [{"where", "line", "key", "found", "expected", "nearest"}] * len(faults)
    assert (faults[0]["where"], faults[0]["found"]) == (where, found)
    assert expected in faults[0]["expected"]

    assert run(witnessmark, words(line)) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert where in said.err
    assert "Traceback" not in said.err


@pytest.mark.parametrize("line", REFUSALS)
def test_a_refusal_gives_its_reason(capsys, line):
    assert run(witnessmark, [*words(line), "--json"]) == 2
    assert REFUSALS[line] in json.loads(capsys.readouterr().out)["refused"]
    assert run(witnessmark, words(line)) == 2
    assert REFUSALS[line] in capsys.readouterr().err


def test_a_near_miss_is_offered(capsys):
    run(witnessmark, words("weigh --wood|mahagony|--size|1 x 1 x 1 m"))
    assert "Did you mean “mahogany”?" in capsys.readouterr().err
