"""What every command shares: one JSON object, faults that say what to mend, and never a traceback."""

import json

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run


def ran(capsys, *arguments: str) -> tuple[int, str, str]:
    code = run(witnessmark, arguments)
    out, err = capsys.readouterr()
    return code, out, err


def test_json_is_one_object_with_the_four_parts(capsys):
    code, out, err = ran(capsys, "mix", "--cut", "2 lb", "--make", "600 ml", "--json")
    assert code == 0
    assert err == ""
    assert set(json.loads(out)) == {"result", "workings", "cautions", "warnings"}


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["mxi"], "mxi: found “mxi”; expected a command; see --help. Did you mean “mix”?"),
        (["mix", "--cot", "2"], "--cot: found “--cot”; expected an option of this command; see --help."),
        (["mix", "--cut", "2 ld", "--make", "1 l"], "--cut: found “2 ld”; expected a cut, such as “2 lb” or “240 g/L”"),
        (["mix", "--make", "1 l"], "--cut: expected --cut is needed here; see --help"),
        (["sources", "--standing", "publshed"], "Did you mean “published”?"),
        (["plan", "nosuch.toml"], "nosuch.toml: found “no such file”; expected a file to read."),
        (["plan", "."], ".: found “a folder”; expected a file to read."),
        (["plan", "x.toml", "--now", "today"], "expected an instant with its offset, such as 2026-11-25T08:00+00:00."),
        (["cut", "--wet", "2 g", "--dry", "10 g"], "it should lose weight"),
    ],
)
def test_bad_input_is_answered_with_what_to_mend(capsys, arguments, sentence):
    code, out, err = ran(capsys, *arguments)
    assert code == 2
    assert out == ""
    assert sentence.replace("expected --cut is", "found “nothing”; expected --cut is") in err


def test_the_same_faults_as_json(capsys):
    code, out, err = ran(capsys, "mix", "--cut", "2 ld", "--make", "1 l", "--json")
    (fault,) = json.loads(out)["faults"]
    assert code == 2
    assert err == ""
    assert set(fault) == {"where", "line", "key", "found", "expected", "nearest"}
    assert (fault["where"], fault["found"], fault["line"]) == ("--cut", "2 ld", None)


def test_a_refusal_as_json(capsys):
    code, out, _ = ran(capsys, "cut", "--wet", "2 g", "--dry", "10 g", "--json")
    assert code == 2
    assert "lose weight" in json.loads(out)["refused"]


def test_no_command_shows_the_commands(capsys):
    code, out, _ = ran(capsys)
    assert code == 0
    assert "mix" in out


def test_our_own_fault_is_said_to_be_ours_and_shows_no_traceback(capsys, monkeypatch):
    def broken(*_, **__):
        raise RuntimeError("the shelf fell down")

    monkeypatch.setattr("witnessmark.cli.listing.all_figures", broken)
    code, out, err = ran(capsys, "sources")
    assert code == 1
    assert out == ""
    assert "our fault" in err
    assert "the shelf fell down" in err
    assert "Traceback" not in err


def test_units_of_the_gallon_say_which_was_read(capsys):
    _, out, _ = ran(capsys, "mix", "--cut", "2 lb", "--make", "1 pt", "--json")
    assert any("US" in warning for warning in json.loads(out)["warnings"])
    _, out, _ = ran(capsys, "mix", "--cut", "2 lb", "--make", "1 pt", "--gallon", "imperial", "--json")
    imperial = json.loads(out)
    assert not any("US" in warning for warning in imperial["warnings"])
    assert imperial["result"]["volume"]["value"] == pytest.approx(568.26125)  # imperial pint: WMA 1985


AMOUNTS = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        ["0 ml", "-3 g", "1e400 l", "nan ml", "2 lb", "1/0 in", "9" * 400 + " ml", "½ pt", "don't know", "2–3 l"]
    ),
)
COMMANDS = st.sampled_from(
    [
        ("mix", "--cut", "--make"),
        ("mix", "--cut", "--flakes"),
        ("thin", "--from", "--to", "--have", "1 l"),
        ("cut", "--wet", "--dry"),
        ("jar", "--have", "--area", "--cut", "2 lb"),
        ("cover", "--coating", "--area", "--coats", "2"),
        ("weigh", "--wood", "--size"),
        ("move", "--wood", "--across", "--sawn", "flat", "--from-mc", "7", "--to-mc", "12"),
    ]
)


@given(COMMANDS, AMOUNTS, AMOUNTS)
@example(("mix", "--cut", "--make"), "2 lb", "0 ml")
@settings(max_examples=150)
def test_nothing_anybody_types_is_our_fault(command, one, other):
    name, first, second, *rest = command
    assert run(witnessmark, [name, first, one, second, other, *rest]) in {0, 2}
