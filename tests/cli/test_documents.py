"""Starting, checking and printing the schema of the three documents, at the command line."""

import json
from pathlib import Path

import pytest

from pieces import DEMO, PIECES
from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run
from witnessmark.daybook import What
from witnessmark.survey import KINDS

NOW = ("--now", "2026-11-25T08:00+00:00")


@pytest.fixture
def cli(capsys):
    """Runs a command line and gives its exit code, what it printed and what it complained of."""

    def call(*words: str) -> tuple[int, str, str]:
        code = run(witnessmark, words)
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return code, out, err

    return call


def result(printed: tuple[int, str, str]) -> dict:
    code, out, err = printed
    assert (code, err) == (0, "")
    return json.loads(out)["result"]


@pytest.mark.parametrize("kind", KINDS)
def test_a_new_survey_passes_its_own_check(cli, tmp_path, kind):
    file = str(tmp_path / "new.toml")
    code, out, _ = cli("survey", "new", kind, "--out", file, *NOW)
    assert code == 0
    assert out == f"A survey of a {kind} is in {file}. Fill in what you know, then: witnessmark survey check {file}\n"
    code, out, err = cli("survey", "check", file)
    assert (code, err) == (0, "")
    assert out.startswith(f"A {kind}: ")
    assert "Still don't know: its size, how it came," in out


def test_printed_and_written_starters_are_one_text(cli, tmp_path):
    file = tmp_path / "new.toml"
    code, printed, _ = cli("shop", "new")
    assert code == 0
    cli("shop", "new", "--out", str(file))
    assert file.read_text("utf-8") == printed
    assert cli("shop", "check", str(file))[0] == 0


def test_each_new_survey_has_an_id_of_its_own_made_at_that_instant(cli):
    ids = [result(cli("survey", "new", "chest", "--json", *NOW))["id"] for _ in range(2)]
    assert ids[0] != ids[1]
    assert ids[0].startswith("01a21")
    assert ids[0][:13] == ids[1][:13], "the first 48 bits are the instant"


def test_a_new_day_book_is_empty_or_shows_each_kind(cli, tmp_path):
    empty, example = tmp_path / "empty.jsonl", tmp_path / "example.jsonl"
    assert cli("daybook", "new")[:2] == (0, "")
    assert cli("daybook", "new", "--out", str(empty))[0] == 0
    assert empty.read_bytes() == b""
    assert cli("daybook", "new", "--example", "--out", str(example), *NOW)[0] == 0
    kinds = {json.loads(line)["what"] for line in example.read_text("utf-8").splitlines()}
    assert kinds == {what.value for what in What}
    assert result(cli("daybook", "check", str(example), "--json"))["corrected"] == 1
    assert cli("daybook", "check", str(empty))[1] == "The day book is empty: nothing has been logged yet.\n"


@pytest.mark.parametrize("words", [("survey", "new", "chest"), ("shop", "new"), ("daybook", "new", "--example")])
def test_a_file_that_is_there_is_left_as_it_is(cli, tmp_path, words):
    file = tmp_path / "mine.txt"
    file.write_text("a week's work")
    code, out, err = cli(*words, "--out", str(file))
    assert (code, out) == (2, "")
    assert err == f"{file} is there already, and was left as it is: give another name, or move it away.\n"
    assert file.read_text() == "a week's work"
    assert json.loads(cli(*words, "--out", str(file), "--json")[1]) == {"refused": err.strip()}


def test_a_folder_that_is_not_there_is_told(cli, tmp_path):
    file = str(tmp_path / "no" / "such.toml")
    code, _, err = cli("shop", "new", "--out", file)
    assert code == 2
    assert err.startswith(f"--out: found “{file}”; expected a file in a folder that may be written to")


@pytest.mark.parametrize("name", PIECES)
def test_the_demo_surveys_check(cli, name):
    checked = result(cli("survey", "check", str(DEMO / f"{name}.toml"), "--json"))
    assert checked["counts"]["part"] >= 10
    assert checked["says"].startswith(checked["title"])


def test_the_demo_shop_and_day_book_check(cli):
    assert result(cli("shop", "check", str(DEMO / "shop.toml"), "--json"))["dont_know"] == []
    assert result(cli("daybook", "check", str(DEMO / "daybook.jsonl"), "--json"))["first"] == "2026-11-16"


def test_a_material_we_do_not_know_is_a_warning(cli, tmp_path):
    file = tmp_path / "shop.toml"
    file.write_text((DEMO / "shop.toml").read_text("utf-8").replace('"pumice"', '"fairy dust"'))
    code, out, _ = cli("shop", "check", str(file))
    assert code == 0
    assert "Note: “fairy dust” is not in our tables: it can't be planned with.\n" in out


@pytest.mark.parametrize("document", ["survey", "shop", "daybook"])
def test_the_schema_is_printed_as_it_is_and_in_the_envelope(cli, document):
    code, out, _ = cli(document, "schema")
    assert code == 0
    assert json.loads(out) == result(cli(document, "schema", "--json"))
    assert json.loads(out)["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_the_terms_are_listed(cli):
    assert {
        "term": "split",
        "category": "wood",
        "definition": "separation along the grain that goes through",
    } in result(cli("survey", "terms", "--json"))
    assert "\nsplit: separation along the grain that goes through\n" in cli("survey", "terms")[1]


def test_areas(cli):
    areas = result(cli("survey", "areas", str(DEMO / "chest.toml"), "--json"))
    assert {"part", "face", "net"} == set(areas["faces"][0])
    assert areas["total"]["unit"] == "m2"


# --- what is wrong ---


def test_faults_on_the_screen_and_as_json_are_one(cli, tmp_path):
    file = tmp_path / "chest.toml"
    file.write_text((DEMO / "chest.toml").read_text("utf-8").replace('shape = "turned"', 'shape = "turnd"', 1))
    code, out, err = cli("survey", "check", str(file))
    assert (code, out) == (2, "")
    line = file.read_text().split("\n").index('shape = "turnd"') + 1
    assert err == (
        f"{file}, line {line}, part[19].shape: found “turnd”; expected one of: board, panel, frame, turned, moulding, "
        "carved, hardware, glass, mirror, cloth, leather, don't know. Did you mean “turned”?\n"
    )
    code, out, err = cli("survey", "check", str(file), "--json")
    assert (code, err) == (2, "")
    (fault,) = json.loads(out)["faults"]
    assert set(fault) == {"where", "line", "key", "found", "expected", "nearest"}
    assert (fault["line"], fault["key"], fault["found"], fault["nearest"]) == (
        line,
        "part[19].shape",
        "turnd",
        "turned",
    )


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "found “an empty file”; expected a survey; start one with “witnessmark survey new chest”."),
        (b'{"schema": 1}', "found “{\"schema\": 1}”; expected TOML: this looks like JSON."),
        (b"\x89PNG\r\n\x1a\n\x00", "found “byte 0x89 at 0”; expected a text file in UTF-8; save it again as UTF-8."),
        ("title = “façade”".encode("cp1252"), "found “byte 0x93 at 8”; expected a text file in UTF-8; save "
         "it again as UTF-8."),
        (b"schema = 1\x00", "found “a byte 0”; expected text: this looks like a picture or a program."),
        ((DEMO / "shop.toml").read_bytes(), "found “benches, closed, cupboard_on, shop, person, costs, room, cramp, "
         "cupboard, store…”; expected a survey, and none of its keys is here; start one "
         "with “witnessmark survey new chest”."),
    ],
    ids=["empty", "json", "picture", "latin", "nul", "shop"],
)  # fmt: skip
def test_a_file_that_is_no_survey_is_told_in_a_sentence(cli, tmp_path, content, says):
    file = tmp_path / "odd.toml"
    file.write_bytes(content)
    code, out, err = cli("survey", "check", str(file))
    assert (code, out, err) == (2, "", f"{file}: {says}\n")


@pytest.mark.parametrize("change", [lambda text: "\ufeff" + text, lambda text: text.replace("\n", "\r\n")])
def test_files_of_other_editors_are_read(cli, tmp_path, change):
    file = tmp_path / "chest.toml"
    file.write_bytes(change((DEMO / "chest.toml").read_text("utf-8")).encode())
    assert cli("survey", "check", str(file))[0] == 0


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("survey",), "witnessmark survey: found “nothing”; expected one of areas, check, "
         "new, schema, terms after it; see --help.\n"),
        (("survey", "new", "sofa"), "KIND: found “sofa”; expected one of: chest, sideboard, table, chair, box, "
         "bookcase, bed, mirror; for any other piece take the nearest and change its kind.\n"),
        (("survey", "new", "chests"), "KIND: found “chests”; expected one of: chest, sideboard, table, chair, box, "
         "bookcase, bed, mirror; for any other piece take the nearest and change its kind. Did you mean “chest”?\n"),
    ],
)  # fmt: skip
def test_a_slip_on_the_line_is_told(cli, words, says):
    assert cli(*words) == (2, "", says)


def test_a_file_that_is_not_there_names_the_nearest(cli, tmp_path):
    Path(tmp_path / "chest.toml").touch()
    code, _, err = cli("survey", "check", str(tmp_path / "chets.toml"))
    assert code == 2
    assert "Did you mean “chest.toml”?" in err
