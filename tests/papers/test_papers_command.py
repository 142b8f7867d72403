"""`witnessmark papers` at the command line: which, of which pieces, and into which folder."""

import json

import pytest

from papers.reading import words
from pieces import DEMO
from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run
from witnessmark.papers import WHICH

CHEST, CHAIR = str(DEMO / "chest.toml"), str(DEMO / "chair.toml")
SHOP = ("--shop", str(DEMO / "shop.toml"), "--daybook", str(DEMO / "daybook.jsonl"))
NOW = ("--now", "2026-11-25T08:00+00:00")


@pytest.fixture
def cli(capsys):
    """Runs a command line and gives its exit code, what it printed and what it complained of."""

    def call(*given: str) -> tuple[int, str, str]:
        code = run(witnessmark, given)
        out, err = capsys.readouterr()
        assert "Traceback" not in out + err
        return code, out, err

    return call


def test_every_paper_at_once_into_a_folder(cli, tmp_path):
    code, out, err = cli("papers", CHEST, *SHOP, *NOW, "--which", ",".join(WHICH), "--out", str(tmp_path), "--json")
    assert (code, err) == (0, "")
    told = json.loads(out)["result"]
    assert [one["which"] for one in told] == list(WHICH)
    files = {file for one in told for file in one["files"]}
    assert files == {path.name for path in tmp_path.iterdir()}
    assert {f"{key.replace('_', '-')}.pdf" for key in WHICH} <= files
    for file in tmp_path.glob("*.pdf"):
        assert file.read_bytes().startswith(b"%PDF-1.7")


def test_several_pieces_have_a_paper_each_and_one_for_the_shop(cli, tmp_path):
    code, out, _ = cli("papers", CHEST, CHAIR, *SHOP, *NOW, "--which", "week,care_card", "--out", str(tmp_path))
    assert code == 0
    assert {path.name for path in tmp_path.iterdir()} == {"week.pdf", "care-card-C1.pdf", "care-card-W2.pdf"}
    assert "week.pdf" in out


def test_photographs_beside_the_survey_are_found(cli, tmp_path):
    assert cli("papers", CHEST, *SHOP, *NOW, "--which", "receipt", "--out", str(tmp_path))[0] == 0
    assert "Front, as found" in words((tmp_path / "receipt.pdf").read_bytes())


def test_what_is_no_paper_is_said_with_the_nearest_and_nothing_is_written(cli, tmp_path):
    out = tmp_path / "new"
    code, printed, err = cli("papers", CHEST, *NOW, "--which", "quotatoin", "--out", str(out))
    assert code == 2
    assert "Did you mean “quotation”?" in printed + err
    assert not out.exists()


def test_without_a_shop_it_says_what_was_supposed(cli, tmp_path):
    code, out, _ = cli("papers", CHEST, *NOW, "--which", "hang_tag", "--out", str(tmp_path))
    assert code == 0
    assert "Note:" in out


@pytest.mark.parametrize("given", [(), (CHEST,), (CHEST, "--which", "")])
def test_half_a_command_is_a_sentence(cli, given):
    code, _, _ = cli("papers", *given)
    assert code == 2
