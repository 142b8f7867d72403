"""Papers into a folder: whole or not at all, and nothing of anybody else's touched."""

import os
from pathlib import Path

import pytest

from papers.chest import chest
from witnessmark.documents import Refused
from witnessmark.papers import PAPERS, NoFolder, write_papers
from witnessmark.papers.folder import keep

OLD = {"a.pdf": b"old a", "b.pdf": b"old b"}
NEW = {"a.pdf": b"new a", "b.pdf": b"new b", "c.pdf": b"new c"}


def there(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir() if file.is_file()}


def test_a_plan_is_written_whole(tmp_path):
    written = write_papers(chest(), tmp_path / "out" / "chest")
    assert [file.name for file in written] == list(PAPERS)
    assert all(file.read_bytes() for file in written)
    assert sorted(os.listdir(tmp_path / "out" / "chest")) == sorted(PAPERS)


def test_files_that_are_not_ours_are_left_alone(tmp_path):
    (tmp_path / "a.pdf").write_bytes(b"old a")
    (tmp_path / "notes.txt").write_bytes(b"mine")
    keep(NEW, tmp_path)
    assert there(tmp_path) == {**NEW, "notes.txt": b"mine"}


@pytest.mark.parametrize("refused", ["a.pdf", "b.pdf", "c.pdf"])
def test_when_one_cannot_be_moved_into_place_all_are_as_before(tmp_path, monkeypatch, refused):
    for name, content in OLD.items():
        (tmp_path / name).write_bytes(content)
    really = os.replace

    def replace(source, target):
        if Path(target).name == refused and not str(source).endswith(".before"):
            raise OSError(28, "No space left on device")
        really(source, target)

    monkeypatch.setattr(os, "replace", replace)
    with pytest.raises(NoFolder, match="No space left on device"):
        keep(NEW, tmp_path)
    monkeypatch.undo()
    assert there(tmp_path) == OLD
    assert sorted(os.listdir(tmp_path)) == sorted(OLD)


def test_a_full_disk_leaves_no_new_folder_behind(tmp_path, monkeypatch):
    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(NoFolder, match="Nothing there was changed"):
        keep(NEW, tmp_path / "deep" / "out")
    assert os.listdir(tmp_path) == []


def test_a_folder_that_is_a_file_is_refused_in_words(tmp_path):
    (tmp_path / "out").write_bytes(b"a file")
    with pytest.raises(Refused, match=r"can't be kept in “.*out”.*Name another folder"):
        keep(NEW, tmp_path / "out")
    with pytest.raises(NoFolder):
        keep(NEW, tmp_path / "out" / "beneath")
    assert (tmp_path / "out").read_bytes() == b"a file"


def test_a_folder_in_the_place_of_a_paper_is_refused_before_anything_is_changed(tmp_path):
    (tmp_path / "a.pdf").write_bytes(b"old a")
    (tmp_path / "b.pdf").mkdir()
    with pytest.raises(NoFolder, match=r"b\.pdf is a folder there"):
        keep(NEW, tmp_path)
    assert there(tmp_path) == {"a.pdf": b"old a"}


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_may_not_be_written_is_refused(tmp_path):
    tmp_path.chmod(0o500)
    try:
        with pytest.raises(NoFolder, match="Permission denied"):
            keep(NEW, tmp_path)
    finally:
        tmp_path.chmod(0o700)
