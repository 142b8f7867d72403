"""The commands of the desk's keeper: people, keys, import and export, backup and restore."""

import json
import sqlite3
import zipfile
from pathlib import Path
from typing import Any

import pytest

import pieces
from own_process import witnessmark
from witnessmark.documents import Refused
from witnessmark.record import Damaged, backed_up, restored

PASSWORD = "a plane and a rasp"


def said(*words: str, typed: str = "") -> Any:
    """What a command that succeeds says, as JSON."""
    done = witnessmark(*words, "--json", typed=typed)
    assert done.returncode == 0, done.stderr + done.stdout
    return json.loads(done.stdout)["result"]


def refused(*words: str, typed: str = "") -> str:
    done = witnessmark(*words, typed=typed)
    assert done.returncode == 2, done.stderr + done.stdout
    assert "Traceback" not in done.stderr
    return done.stderr


@pytest.fixture(scope="module")
def kept(tmp_path_factory) -> Path:
    """A folder with the demo shop and an owner."""
    folder = tmp_path_factory.mktemp("shops") / "shop"
    said("import", str(pieces.DEMO), "--data", str(folder))
    said("person", "add", "Ines", "--role", "owner", "--password-stdin", "--data", str(folder), typed=PASSWORD)
    return folder


def everything(folder: Path) -> dict[str, list[Any]]:
    """Every row of every table, and every photograph."""
    connection = sqlite3.connect(folder / "witnessmark.sqlite3")
    try:
        names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        found = {name: sorted(connection.execute(f'SELECT * FROM "{name}"'), key=repr) for name in names}
        found["triggers"] = sorted(connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"))
    finally:
        connection.close()
    found.pop("django_session")
    pictures = sorted((folder / "photographs").glob("[0-9a-f][0-9a-f]/*"))
    return found | {"photographs": [(file.name, file.read_bytes()) for file in pictures]}


def test_people_come_and_go(kept):
    there = ("--data", str(kept))
    assert "only owner" in refused("person", "remove", "Ines", *there)
    made = said("person", "add", "Tobias", "--role", "helper", "--password-stdin", *there, typed=PASSWORD)
    assert made == {"name": "Tobias", "role": "helper", "new": True}
    again = said("person", "add", "tobias", "--role", "reader", "--password-stdin", *there, typed="another password")
    assert again == {"name": "Tobias", "role": "reader", "new": False}
    key = said("token", "Tobias", *there)["token"]
    assert key.encode() not in (kept / "witnessmark.sqlite3").read_bytes()
    said("person", "remove", "Tobias", *there)
    people = {one["name"]: one for one in said("person", "list", *there)["people"]}
    assert people["Tobias"] == {"name": "Tobias", "role": "reader", "may_enter": False}
    assert "may no longer enter" in refused("token", "Tobias", *there)
    assert "Did you mean “Tobias”?" in refused("token", "Tobais", *there)
    more = ("person", "add", "Dale", "--password-stdin", *there)
    assert "at least 10" in refused(*more, "--role", "reader", typed="rasp")
    assert "owner, helper, reader" in refused(*more, "--role", "king")


def test_a_piece_goes_to_another_shop_and_is_equal_there(kept, tmp_path):
    out, other = tmp_path / "chest.zip", tmp_path / "other"
    assert said("export", "C1", "--out", str(out), "--data", str(kept))["photographs"] == 3
    said("import", str(pieces.DEMO / "shop.toml"), "--data", str(other))
    found = said("import", str(out), "--data", str(other))
    assert (found["surveys"], len(found["photographs"])) == ([pieces.chest().id], 3)
    text = tmp_path / "chest.toml"
    said("export", pieces.chest().id, "--out", str(text), "--data", str(other))
    assert said("import", str(text), "--data", str(kept))["known"] == [pieces.chest().id]
    assert "no piece here" in refused("export", "xylophone", "--out", str(text), "--data", str(kept))
    assert "no such file" in refused("import", str(tmp_path / "none"), "--data", str(other))


def test_a_backup_gives_an_equal_shop(kept, tmp_path):
    out, other = tmp_path / "shop.backup", tmp_path / "other"
    told = said("backup", "--out", str(out), "--data", str(kept))
    assert (told["pieces"], told["photographs"]) == (len(list(pieces.DEMO.glob("**/*.toml"))) - 1, 6)
    said("restore", str(out), "--data", str(other))
    assert everything(other) == everything(kept)
    assert "--over" in refused("restore", str(out), "--data", str(other))
    aside = Path(said("restore", str(out), "--over", "--data", str(other))["aside"])
    assert everything(aside) == everything(other) == everything(kept)
    assert said("rebuild", "--data", str(other))["pieces"] == told["pieces"]


def test_a_backup_holds_one_instant_while_the_shop_goes_on(kept, tmp_path):
    writing = sqlite3.connect(kept / "witnessmark.sqlite3")
    try:
        writing.execute("BEGIN IMMEDIATE")
        writing.execute("INSERT INTO record_token (sha256, made, person_id) SELECT 'half', '2026-11-25', min(id) "
                        "FROM record_person")  # fmt: skip
        backed_up(kept, tmp_path / "b.zip", pieces.NOW)
        writing.rollback()
    finally:
        writing.close()
    restored(tmp_path / "b.zip", tmp_path / "other", pieces.NOW)
    assert everything(tmp_path / "other") == everything(kept)


def test_a_damaged_backup_changes_nothing(kept, tmp_path):
    whole = tmp_path / "b.zip"
    backed_up(kept, whole, pieces.NOW)
    content = whole.read_bytes()
    other = tmp_path / "other"
    restored(whole, other, pieces.NOW)
    before = everything(other)
    middle = len(content) // 2
    overwritten = content[:middle] + bytes(4) + content[middle + 4 :]
    broken = [b"", b"not a zip", content[:middle], content[:-30], overwritten]
    for number, damaged in enumerate(broken):
        file = tmp_path / f"broken{number}.zip"
        file.write_bytes(damaged)
        with pytest.raises(Damaged):
            restored(file, other, pieces.NOW, over=True)
    assert everything(other) == before
    assert not list(other.glob("before-*")) + list(other.glob(".restoring-*"))


def test_a_backup_that_was_tampered_with_writes_nothing_elsewhere(kept, tmp_path):
    backed_up(kept, tmp_path / "b.zip", pieces.NOW)
    with zipfile.ZipFile(tmp_path / "b.zip") as whole, zipfile.ZipFile(tmp_path / "evil.zip", "w") as evil:
        manifest = json.loads(whole.read("backup.json"))
        manifest["files"] = {"../evil": "0" * 64} | manifest["files"]
        evil.writestr("../evil", b"evil")
        evil.writestr("backup.json", json.dumps(manifest))
    with pytest.raises(Damaged, match="which no shop has"):
        restored(tmp_path / "evil.zip", tmp_path / "other", pieces.NOW)
    assert not (tmp_path / "evil").exists()


def test_no_shop_no_backup(tmp_path):
    with pytest.raises(Refused, match="no shop in"):
        backed_up(tmp_path, tmp_path / "b.zip", pieces.NOW)
    assert "no shop in" in refused("backup", "--out", str(tmp_path / "b.zip"), "--data", str(tmp_path / "none"))
    assert not (tmp_path / "b.zip").exists()
