"""Backing up while the desk is open, and putting a backup back: one zip with the database, photographs and papers.

The database is copied by SQLite's own online backup, so the copy is one instant's; a photograph is on the disk before
the record knows of it, so every one that the copy names is there. Who is signed in, the key that signs it and the
certificates stay at home: after restoring, everybody enters again.
"""

import hashlib
import json
import re
import shutil
import sqlite3
import tempfile
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import IO, Any

from witnessmark.documents import Refused

from .photograph_folder import Album, settle
from .writing import written

DATABASE = "witnessmark.sqlite3"
PHOTOGRAPHS, PAPERS = "photographs", "papers"
MANIFEST, FORMAT = "backup.json", 1
_OURS = re.compile(rf"{DATABASE}|{PHOTOGRAPHS}/([0-9a-f]{{2}})/\1[0-9a-f]{{62}}|{PAPERS}/[\w-]+(/[\w.-]+)+", re.ASCII)
_CHUNK = 1 << 20
# What reading a damaged zip, or one made by somebody else, raises.
_DAMAGE = (zipfile.BadZipFile, zlib.error, KeyError, ValueError, TypeError, AttributeError, EOFError, RuntimeError)


class Damaged(Refused):
    """A backup that is not whole, or none."""


@dataclass(frozen=True)
class Backup:
    """What a backup holds."""

    at: str
    pieces: int
    entries: int
    photographs: int


def backed_up(folder: Path, out: Path, at: datetime) -> Backup:
    """Writes the shop in `folder` to `out`, whole or not at all; nobody at the desk needs to wait. Raises Refused."""
    if not (folder / DATABASE).is_file():
        raise Refused(f"there is no shop in {folder}")
    with written(out) as coming, tempfile.TemporaryDirectory(dir=out.parent, prefix=".backup-") as beside:
        copy = Path(beside) / DATABASE
        counts = _copied(folder / DATABASE, copy)
        digests: dict[str, str] = {}
        with zipfile.ZipFile(coming, "w", zipfile.ZIP_STORED, strict_timestamps=False) as archive:
            digests[DATABASE] = _put(archive, DATABASE, copy, zipfile.ZIP_DEFLATED)
            for name, file in _files(folder):
                digests[name] = _put(archive, name, file, zipfile.ZIP_STORED)
            photographs = sum(name.startswith(PHOTOGRAPHS) for name in digests)
            told = Backup(at.isoformat(), *counts, photographs)
            archive.writestr(MANIFEST, json.dumps({"witnessmark backup": FORMAT, **vars(told), "files": digests}))
    return told


def _copied(database: Path, copy: Path) -> tuple[int, int]:
    """The database as it is at one instant, in one file; how many pieces and entries."""
    # Not read-only: of a database whose log is being written nobody may otherwise read before the first writer.
    source, target = sqlite3.connect(database, timeout=20), sqlite3.connect(copy)
    try:
        source.backup(target)
        target.execute("PRAGMA journal_mode=DELETE")
        target.execute("DELETE FROM django_session")
        target.commit()
        pieces = target.execute("SELECT count(DISTINCT document) FROM record_revision WHERE kind = 'survey'").fetchone()
        entries = target.execute("SELECT count(*) FROM record_daybookentry").fetchone()
        return pieces[0], entries[0]
    except sqlite3.DatabaseError as error:
        raise Refused(f"the database can't be copied: {error}") from None
    finally:
        source.close()
        target.close()


def _files(folder: Path) -> Iterator[tuple[str, Path]]:
    """The originals and the papers, under the names they have in a backup."""
    album = Album(folder / PHOTOGRAPHS)
    for sha256 in album.kept():
        yield f"{PHOTOGRAPHS}/{sha256[:2]}/{sha256}", album.original(sha256)
    for file in sorted((folder / PAPERS).rglob("*")):
        name = file.relative_to(folder).as_posix()
        if file.is_file() and _OURS.fullmatch(name):
            yield name, file


def _put(archive: zipfile.ZipFile, name: str, file: Path, how: int) -> str:
    """Writes a file into the zip, a piece at a time; its SHA-256."""
    described = zipfile.ZipInfo.from_file(file, name, strict_timestamps=False)
    described.compress_type = how
    with file.open("rb") as source, archive.open(described, "w", force_zip64=True) as target:
        return _poured(source, target)


def _poured(source: IO[bytes], target: IO[bytes]) -> str:
    digest = hashlib.sha256()
    while piece := source.read(_CHUNK):
        digest.update(piece)
        target.write(piece)
    return digest.hexdigest()


def restored(archive: Path, folder: Path, at: datetime, over: bool = False) -> tuple[Backup, Path | None]:
    """Puts the shop in a backup into `folder`; what it holds, and where the shop that was there is kept now.

    Everything is unpacked beside and checked before anything is moved. Raises Damaged for a backup that is not whole,
    Refused where a shop is there and `over` was not said, or the desk is open on it; then nothing is changed.
    """
    folder.mkdir(parents=True, exist_ok=True)
    there = (folder / DATABASE).exists()
    if there and not over:
        raise Refused(f"there is a shop in {folder} already: name another folder, or say --over to put it aside")
    with tempfile.TemporaryDirectory(dir=folder, prefix=".restoring-") as beside:
        told = _unpacked(archive, Path(beside))
        aside = _put_aside(folder, at) if there else None
        for name in (PHOTOGRAPHS, PAPERS, DATABASE):  # the database last: with it the shop is there
            coming = Path(beside) / name
            if not coming.exists():
                continue
            if (folder / name).is_dir():
                shutil.copytree(coming, folder / name, dirs_exist_ok=True)
            else:
                coming.replace(folder / name)
        settle(folder)
    return told, aside


def _unpacked(archive: Path, beside: Path) -> Backup:
    """The files of a backup, every one checked by its digest."""
    damaged = f"{archive} is damaged or no backup of ours"
    try:
        with zipfile.ZipFile(archive) as inside:
            told: dict[str, Any] = json.loads(inside.read(MANIFEST))
            if told.get("witnessmark backup") != FORMAT:
                raise Damaged(f"{archive} is no backup of a kind that this release knows")
            digests: dict[str, str] = told["files"]
            for name, digest in digests.items():
                if not _OURS.fullmatch(name) or ".." in name:
                    raise Damaged(f"{damaged}: it holds “{name[:80]}”, which no shop has")
                file = beside / name
                file.parent.mkdir(parents=True, exist_ok=True)
                with inside.open(name) as source, file.open("wb") as target:
                    if _poured(source, target) != digest:
                        raise Damaged(f"{damaged}: {name} is not as it was written")
            counts = {key: told[key] for key in ("at", "pieces", "entries", "photographs")}
    except Refused:
        raise
    except _DAMAGE:
        raise Damaged(f"{damaged}: nothing was changed. Try an older backup.") from None
    except OSError as error:
        raise Refused(f"{archive} can't be read: {(error.strerror or str(error)).lower()}") from None
    _sound(beside / DATABASE, damaged)
    return Backup(**counts)


def _sound(database: Path, damaged: str) -> None:
    if not database.is_file():
        raise Damaged(f"{damaged}: it holds no database")
    connection = sqlite3.connect(database)
    try:
        found = connection.execute("PRAGMA integrity_check").fetchone()[0]
    except sqlite3.DatabaseError as error:
        found = str(error)
    finally:
        connection.close()
    if found != "ok":
        raise Damaged(f"{damaged}: its database says {found[:200]}")


def _put_aside(folder: Path, at: datetime) -> Path:
    """Moves the shop that is there into a folder of its own beside, named for the moment."""
    aside = folder / f"before-{at:%Y%m%d-%H%M%S-%f}"
    aside.mkdir()
    for name in (DATABASE, f"{DATABASE}-wal", f"{DATABASE}-shm", PHOTOGRAPHS, PAPERS):
        if (folder / name).exists():
            (folder / name).replace(aside / name)
    return aside
