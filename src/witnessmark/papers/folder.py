"""Papers into a folder, whole or not at all; files that are not ours are left alone."""

import os
import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from witnessmark.documents import Refused


class NoFolder(Refused):
    """The papers can't be kept there: where, and why."""


def keep(papers: Mapping[str, bytes], folder: Path) -> None:
    """Writes each paper under its name, all of them or none.

    They are written beside first and then moved into place one by one; if one can't be, those before it are put
    back as they were. Raises NoFolder, and then nothing has changed.
    """
    made = _make(folder)
    try:
        beside = Path(tempfile.mkdtemp(prefix=".papers-", dir=folder))
    except OSError as error:
        _unmake(made)
        raise _refusal(folder, error) from error
    moved: list[str] = []
    try:
        for name, content in papers.items():
            if (folder / name).is_dir():
                raise IsADirectoryError(f"{name} is a folder there")
            with (beside / name).open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        for name in papers:
            if (folder / name).exists():
                os.link(folder / name, beside / f"{name}.before")
            os.replace(beside / name, folder / name)
            moved.append(name)
    except OSError as error:
        for name in moved:
            before = beside / f"{name}.before"
            if before.exists():
                os.replace(before, folder / name)
            else:
                (folder / name).unlink()
        shutil.rmtree(beside, ignore_errors=True)
        _unmake(made)
        raise _refusal(folder, error) from error
    shutil.rmtree(beside, ignore_errors=True)


def _make(folder: Path) -> list[Path]:
    """Makes the folder and what is missing above it. Gives those made, the innermost last."""
    missing = [place for place in (folder, *folder.parents) if not place.exists()]
    made: list[Path] = []
    try:
        for place in reversed(missing):
            place.mkdir()
            made.append(place)
        if not folder.is_dir():
            raise NotADirectoryError("it is a file")
    except OSError as error:
        _unmake(made)
        raise _refusal(folder, error) from error
    return made


def _unmake(made: list[Path]) -> None:
    for place in reversed(made):
        if place.is_dir() and not any(place.iterdir()):
            place.rmdir()


def _refusal(folder: Path, error: OSError) -> NoFolder:
    reason = error.strerror or str(error)
    return NoFolder(
        f"The papers can't be kept in “{folder}”: {reason}. Nothing there was changed. "
        "Name another folder, or make room."
    )
