"""`log` as the outside meets it: words in, entries durable, counted once, the plan changed at once."""

import io
import json
import os
import shutil

import pytest
from tests.pieces import DEMO, chair, chest, dresser

from witnessmark.cli import appending, witnessmark
from witnessmark.cli.frame import run
from witnessmark.daybook import daybook_from

NOW = "2026-11-25T16:30+00:00"


@pytest.fixture
def bench(tmp_path, capsys, monkeypatch):
    """The demo's files in a folder of their own, and a way to run `log` there: (code, out, err)."""
    for file in DEMO.glob("*.toml"):
        shutil.copy(file, tmp_path)
    shutil.copy(DEMO / "daybook.jsonl", tmp_path)
    monkeypatch.chdir(tmp_path)

    def logged(*words, now=NOW):
        code = run(witnessmark, ["log", *words, "--shop", "shop.toml", "--now", now])
        said = capsys.readouterr()
        return code, said.out, said.err

    logged.path = tmp_path / "daybook.jsonl"
    logged.lines = lambda: [json.loads(line) for line in logged.path.read_text("utf-8").splitlines()]
    return logged


def result(answer):
    code, out, err = answer
    assert (code, err) == (0, ""), err
    return json.loads(out)["result"]


def test_hours_of_two_pieces(bench):
    before = bench.path.read_bytes()
    found = result(bench("3 h chest, 2 h chair", "--json"))
    assert bench.path.read_bytes().startswith(before)
    chest_line, chair_line = bench.lines()[-2:]
    assert (chest_line["piece"], chest_line["minutes"], chest_line["what"]) == (chest().id, "3 h", "worked")
    assert (chair_line["piece"], chair_line["minutes"]) == (chair().id, "2 h")
    assert found["accepted"] == [chest_line["id"], chair_line["id"]]
    assert found["known"] == []
    assert chest_line["who"] == "Ines"


def test_a_piece_by_code_title_word_or_surname(bench):
    for words in ("1 h C1", "1 h mahogany", "1 h Victorian chest"):
        assert result(bench(words, "--json"))["entries"][0]["piece"] == chest().id
    assert result(bench("1 h Penwhistle", "--json"))["entries"][0]["piece"] == chair().id
    assert result(bench("1 h brambleworth", "--json"))["entries"][0]["piece"] == dresser().id


def test_more_than_one_match_asks(bench, tmp_path):
    text = (DEMO / "chest.toml").read_text("utf-8").replace(chest().id, "01a1e4e3-d960-7450-88ee-021dbeb0fc2b")
    (tmp_path / "other.toml").write_text(text.replace('code = "C1"', 'code = "C9"'), "utf-8")
    before = bench.path.read_bytes()
    code, out, err = bench("3 h chest")
    assert (code, out) == (2, "")
    assert "(C1)" in err
    assert "(C9)" in err
    assert bench.path.read_bytes() == before
    assert result(bench("3 h C9", "--json"))["entries"][0]["piece"].endswith("fc2b")


def test_only_the_surveys_named_count(bench):
    code, _, err = bench("3 h chest", "--survey", "chair.toml")
    assert code == 2
    assert "Windsor" in err
    assert result(bench("3 h chest", "--survey", "chest.toml", "--survey", "chair.toml", "--json"))["accepted"]


def test_a_done_step_keeps_what_it_was_and_becomes_a_fact(bench):
    answer = bench("done clean on chest 40 min", "--json")
    step = result(answer)["entries"][0]["step"]
    assert step["id"] == "clean.show"
    assert step["labour"] == "clean"
    assert step["area"].endswith(" m2")
    code, out, _ = bench("1 h clean chest")
    assert code == 0
    assert "clean" in out


def test_work_that_was_not_planned_is_kept_as_a_fact(bench):
    code, out, _ = bench("done strip on chest 2 h")
    assert code == 0
    assert "not a step of the plan" in out
    assert bench.lines()[-1]["step"]["id"] == "strip.unplanned"


def test_the_plan_follows_at_once(bench):
    before = result(bench("note chest: looked at it", "--json"))["pieces"][0]
    after = result(bench("done clean on chest 30 min", "--json"))["pieces"][0]
    assert after["hours_to_come"] < before["hours_to_come"]
    assert after["done_about"] <= after["safe_day"]


def test_the_same_command_sent_again_counts_once(bench):
    first = result(bench("3 h chest", "--json"))
    again = result(bench("3 h chest", "--json"))
    assert again["accepted"] == []
    assert again["known"] == first["accepted"]
    later = result(bench("3 h chest", "--json", now="2026-11-25T16:31+00:00"))
    assert len(later["accepted"]) == 1


def test_entries_with_their_ids_are_counted_once(bench, tmp_path):
    lines = "\n".join(json.dumps(line) for line in bench.lines()[-3:])
    new = lines.replace(bench.lines()[-1]["id"], "01a213a6-5e80-7b1e-b3bb-c0455a5656d4")
    (tmp_path / "phone.jsonl").write_text(new, "utf-8")
    found = result(bench("--entries", "phone.jsonl", "--json"))
    assert (len(found["accepted"]), len(found["known"])) == (1, 2)
    assert result(bench("--entries", "phone.jsonl", "--json"))["accepted"] == []


def test_an_id_with_other_words_is_refused_and_nothing_changed(bench, tmp_path):
    changed = {**bench.lines()[-1], "note": "something else"}
    (tmp_path / "phone.jsonl").write_text(json.dumps(changed), "utf-8")
    before = bench.path.read_bytes()
    code, _, err = bench("--entries", "phone.jsonl")
    assert code == 2
    assert "add an entry that corrects it" in err
    assert bench.path.read_bytes() == before


def test_a_part_is_off_by_its_code_or_its_name(bench):
    for words in ("off TOP on chest: eight screws on its card", "off top on C1"):
        (entry,) = result(bench(words, "--json"))["entries"]
        assert (entry["what"], entry["piece"], entry["part"]) == ("off", chest().id, "TOP")
    assert "step" not in entry


def test_a_deposit_is_paid_in_the_shop_s_money(bench):
    (entry,) = result(bench("paid £120 for Penwhistle: deposit", "--json"))["entries"]
    assert (entry["what"], entry["piece"], entry["sum"], entry["note"]) == ("paid", chair().id, "£120", "deposit")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("off TIP on chest", "the code or the name of a part"),
        ("paid lots for chest", "a sum"),
        ("coat on chest", "the step the coat is of"),
        ("3 h table", "one of:"),
        ("3 h", "on which piece"),
        ("chest", "how long"),
        ("3 h chest, five chair", "how long"),
        ("2 h polsh on chest", "a step of its plan"),
        ("-3 h chest", "2"),
    ],
)
def test_bad_input_changes_nothing(bench, text, says):
    before = bench.path.read_bytes()
    code, out, err = bench("--", text) if text.startswith("-") else bench(text)
    assert code == 2
    assert out == ""
    assert says in err or text.startswith("-")
    assert bench.path.read_bytes() == before


def test_a_day_book_that_cannot_be_read_is_left_as_it_is(bench):
    bench.path.write_text(bench.path.read_text("utf-8") + "{half a line", "utf-8")
    before = bench.path.read_bytes()
    code, _, err = bench("3 h chest")
    assert code == 2
    assert "daybook.jsonl" in err
    assert bench.path.read_bytes() == before


def test_a_last_line_without_its_end_is_not_run_into(bench):
    bench.path.write_text(bench.path.read_text("utf-8").rstrip("\n"), "utf-8")
    result(bench("3 h chest", "--json"))
    assert len(daybook_from(bench.path.read_text("utf-8"), "daybook.jsonl").entries) > 1


def test_it_is_on_the_disk_before_it_is_acknowledged(bench, monkeypatch):
    synced = []
    real = os.fsync
    monkeypatch.setattr(appending.os, "fsync", lambda fd: (synced.append(os.fstat(fd).st_size), real(fd)))
    result(bench("3 h chest", "--json"))
    assert synced == [bench.path.stat().st_size]


def test_a_disk_that_fails_leaves_no_half_line(bench, monkeypatch):
    def full(fd):
        raise OSError(28, "No space left on device")

    before = bench.path.read_bytes()
    monkeypatch.setattr(appending.os, "fsync", full)
    code, _, err = bench("3 h chest")
    assert code == 2
    assert "no space left" in err
    assert bench.path.read_bytes() == before


def test_a_day_book_that_is_not_there_yet_is_begun(bench):
    bench.path.unlink()
    result(bench("3 h chest", "--json"))
    assert len(bench.lines()) == 1


def test_a_day_sheet_is_entered_in_one_go(bench, monkeypatch):
    """Ten lines of a printed day sheet, typed at night for the day before: one command."""
    sheet = (
        "Ines: 2 h chest, 1 h 30 min chair\nTobias: 3 h chest\nTobias: done dust off on dresser 40 min\n"
        "air 16 °C, 58 %: morning\nused 60 ml white spirit on chest\nstirred jar C\nnote chair: one stick is ash, new\n"
        "closed up: jars lidded, stove off\n"
    )
    monkeypatch.setattr("sys.stdin", io.StringIO(sheet))
    found = result(bench("-", "--on", "2026-11-24", "--json"))
    assert len(found["accepted"]) == 9
    assert {line["happened"] for line in bench.lines()[-9:]} == {"2026-11-24T16:59:00Z"}
    assert [line["who"] for line in bench.lines()[-9:-5]] == ["Ines", "Ines", "Tobias", "Tobias"]


def test_text_and_entries_are_not_both_given(bench):
    assert bench("3 h chest", "--entries", "daybook.jsonl")[0] == 2
    assert bench()[0] == 2
