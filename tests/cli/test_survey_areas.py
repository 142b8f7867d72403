"""`survey areas`: the faces of a survey and their total, as a table and as JSON."""

import json

import pytest

from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run

CHEST = """
schema = 1
id = "01900000-0000-7000-8000-000000000000"
[piece]
kind = "chest"
size = "1050 x 500 x 1000 mm"
[[part]]
code = "TOP"
name = "top"
shape = "board"
size = "1060 x 510 x 20 mm"
show = ["top", "front edge"]
[[part]]
code = "PLINTH"
name = "plinth"
shape = "moulding"
"""


@pytest.fixture
def asked(tmp_path, capsys):
    def ask(text: str, *options: str) -> tuple[int, str]:
        file = tmp_path / "chest.toml"
        file.write_text(text, "utf-8")
        code = run(witnessmark, ["survey", "areas", str(file), *options])
        told = capsys.readouterr()
        return code, told.out + told.err

    return ask


def test_a_table_for_people_with_the_total_first(asked):
    code, told = asked(CHEST)
    first, head, *rows = told.splitlines()
    assert code == 0
    assert first.endswith("m²).")
    assert "to finish in all (" in first
    assert head.split() == ["part", "face", "net"]
    assert rows[0].split() == ["TOP", "top", "0.54", "m²"]
    assert len({row.index(word) for row, word in zip([head, *rows[:2]], ["face", "top", "front"], strict=True)}) == 1
    assert rows[-1].startswith("Would narrow it most: ")


def test_json_has_each_face_the_total_and_a_working_for_each(asked):
    code, told = asked(CHEST, "--json")
    answer = json.loads(told)
    faces = answer["result"]["faces"]
    assert code == 0
    assert [(line["part"], line["face"]) for line in faces] == [
        ("TOP", "top"), ("TOP", "front edge"), ("PLINTH", "face"), (None, "parts not listed"),
    ]  # fmt: skip
    assert faces[0]["net"] == {"value": pytest.approx(0.5406), "unit": "m2"}
    total = answer["result"]["total"]
    assert total["unit"] == "m2"
    assert total["low"] < total["value"] < total["high"]
    values = [entry["value"] for entry in answer["workings"].values()]
    assert all(line["net"] in values for line in faces)
    assert total in values


def test_a_word_that_is_no_face_is_told_with_its_line(asked):
    code, told = asked(CHEST.replace("front edge", "front egde"), "--json")
    (fault,) = json.loads(told)["faults"]
    assert code == 2
    assert (fault["key"], fault["line"], fault["nearest"]) == ("part[1].show", 12, "front edge")
