"""The shop's data folder: opened, its tables brought up to date, and held by one desk at a time."""

import errno
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from witnessmark.documents import Refused

DATABASE = "witnessmark.sqlite3"
_HELD = "serving.lock"
_BEGINS = b"SQLite format 3\0"  # the file format's magic, https://www.sqlite.org/fileformat.html §1.3
_PATIENCE = 2.0  # seconds: a desk that was killed takes its worker along within one


class BadFolder(Refused):
    """A data folder that can't be opened as one."""


def made(folder: Path) -> None:
    """The folder, made where it is missing; what else lies in it is left alone. Raises BadFolder."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "photographs").mkdir(exist_ok=True)
        with (folder / _HELD).open("a"):
            pass
    except OSError as error:
        raise BadFolder(
            f"{folder}: {(error.strerror or str(error)).lower()}. Expected a folder that may be written to, or a place "
            "where one may be made; name another with --data."
        ) from None


def opened(folder: Path, **settings: str) -> None:
    """Django, set up on a data folder, its tables brought up to date. Raises BadFolder."""
    made(folder)
    _looks_like_ours(folder / DATABASE)
    os.environ["WITNESSMARK_DATA"] = str(folder.resolve())
    os.environ.update(settings)
    os.environ["DJANGO_SETTINGS_MODULE"] = "witnessmark.desk.settings"
    import django
    from django.core.management import call_command
    from django.db import DatabaseError

    django.setup()
    try:
        _not_newer(folder)
        call_command("migrate", verbosity=0, interactive=False)
    except DatabaseError as error:
        raise BadFolder(
            f"{folder / DATABASE}: {error}. Expected the shop's database. Bring it back from a backup with "
            "“witnessmark restore”, or name another folder with --data; nothing was changed."
        ) from None


def _looks_like_ours(file: Path) -> None:
    try:
        with file.open("rb") as stream:
            begins = stream.read(len(_BEGINS))
    except FileNotFoundError:
        return
    except OSError as error:
        raise BadFolder(
            f"{file}: {(error.strerror or str(error)).lower()}. Expected a file that may be read."
        ) from None
    if begins and begins != _BEGINS:
        raise BadFolder(
            f"{file} is no SQLite database. Move it away, bring the shop's own back from a backup with “witnessmark "
            "restore”, or name another folder with --data."
        )


def _not_newer(folder: Path) -> None:
    from django.db import connection
    from django.db.migrations.loader import MigrationLoader

    loader = MigrationLoader(connection)
    ours = {app for app, _ in loader.disk_migrations}
    unknown = sorted(
        f"{app} {name}"
        for app, name in loader.applied_migrations
        if app in ours and (app, name) not in loader.disk_migrations
    )
    if unknown:
        raise BadFolder(
            f"{folder / DATABASE} was kept by a newer witnessmark: it has “{unknown[-1]}”, which this one does not "
            "know. Install the newer witnessmark, or bring back a backup made before; nothing was changed."
        )


@contextmanager
def held(folder: Path) -> Iterator[None]:
    """The folder, for this process alone while the block lasts. Raises BadFolder where another desk has it."""
    made(folder)
    with (folder / _HELD).open("a+") as file:
        until = time.monotonic() + _PATIENCE
        while not _locked(file):
            if time.monotonic() > until:
                raise BadFolder(
                    f"{folder}: another desk is open on this folder. Use that one, or stop it first (Ctrl-C in its "
                    "terminal)."
                )
            time.sleep(0.1)
        yield


def _locked(file: IO[str]) -> bool:
    """Takes the lock if nobody has it; the system gives it back when the process ends, however it ends."""
    if os.name == "nt":
        import msvcrt

        file.seek(0)
        try:
            msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
        except OSError:
            return False
        return True
    import fcntl

    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (errno.EWOULDBLOCK, errno.EACCES):
            return False
        raise
    return True
