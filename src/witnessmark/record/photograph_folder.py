"""The folder of photographs: originals bit for bit under their SHA-256, and beside them what is shown, made from those.

photographs/ab/<sha256>               an original, never changed
photographs/shown/ab/<sha256>-800.jpg made for show; the folder `shown` may be deleted at any time
"""

import hashlib
import os
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, tzinfo
from pathlib import Path
from typing import BinaryIO

from witnessmark.documents import Refused

from .going_out import leaving
from .pictures import LIMITS, SIZES, Limits, Looked, Stream, Taken, looked_at, pieces_of, shown_as, taken_as

SHOWN = "shown"
_COMING = ".coming-"
_SHA256 = re.compile(r"[0-9a-f]{64}")


class NoSuchPhotograph(Refused):
    """A photograph the folder does not hold."""


class Album:
    """The photographs in one folder, which is made when the first is kept."""

    def __init__(self, folder: Path, limits: Limits = LIMITS) -> None:
        self.folder = folder
        self.limits = limits

    def keep(self, stream: Stream, zone: tzinfo = UTC) -> Taken:
        """Takes a photograph in; when this returns, its bytes would outlast a power cut. Twice is once.

        `stream` is read once, from where it stands, in pieces; `zone` is the shop's (see `picture_in`).
        Raises BadPicture, and then nothing is kept.
        """
        self.folder.mkdir(parents=True, exist_ok=True)
        with self._coming(self.folder) as (coming, out):
            digest, size = hashlib.sha256(), 0
            for piece in pieces_of(stream, self.limits):
                digest.update(piece)
                out.write(piece)
                size += len(piece)
            out.flush()
            with coming.open("rb") as written:
                looked = looked_at(written, zone, self.limits)
            taken = taken_as(looked, digest.hexdigest(), size)
            original = self.original(taken.sha256)
            # One of another length is a file that the disk has damaged: the sound one takes its place.
            if not original.is_file() or original.stat().st_size != size:
                os.fsync(out.fileno())
                if not original.parent.is_dir():
                    original.parent.mkdir(exist_ok=True)
                    settle(self.folder)
                coming.replace(original)
                settle(original.parent)
        self._show(taken.sha256, looked)
        return taken

    def original(self, sha256: str) -> Path:
        """Where an original stands, or would. Raises NoSuchPhotograph for what can't be a SHA-256."""
        return self.folder / _checked(sha256)[:2] / sha256

    def shown(self, sha256: str, side: int) -> Path:
        """A JPEG for show, upright, sRGB, without metadata, no larger than `side`, one of SIZES; made if missing.

        Raises NoSuchPhotograph.
        """
        if side not in SIZES:
            raise NoSuchPhotograph(f"no photograph is shown at {side} pixels: ask for one of {SIZES}")
        file = self._shown_file(sha256, side)
        if not _whole(file):
            with self._opened(sha256) as stream:
                looked = looked_at(stream, limits=self.limits)
            self._show(sha256, looked)
        return file

    def for_paper(self, sha256: str) -> bytes | None:
        """The largest JPEG for show, for a printed page; None where the photograph is not here."""
        try:
            return self.shown(sha256, SIZES[-1]).read_bytes()
        except NoSuchPhotograph:
            return None

    def leaving(self, sha256: str) -> bytes:
        """The form in which a photograph leaves the shop: see `leaving`. Raises NoSuchPhotograph."""
        with self._opened(sha256) as stream:
            return leaving(stream.read(), self.limits)

    def kept(self) -> Iterator[str]:
        """The SHA-256 of every original, in order."""
        for file in sorted(self.folder.glob("[0-9a-f][0-9a-f]/*")):
            if _SHA256.fullmatch(file.name) and file.name.startswith(file.parent.name):
                yield file.name

    def damaged(self) -> Iterator[str]:
        """The SHA-256 of every original whose bytes are no longer those that were kept. Reads them all."""
        for sha256 in self.kept():
            with self.original(sha256).open("rb") as stream:
                if hashlib.file_digest(stream, "sha256").hexdigest() != sha256:
                    yield sha256

    def swept(self) -> int:
        """Removes what a killed process left half written, and says how many; for when nobody else writes here."""
        left = [file for file in self.folder.rglob(f"{_COMING}*") if file.is_file()]
        for file in left:
            file.unlink(missing_ok=True)
        return len(left)

    def _shown_file(self, sha256: str, side: int) -> Path:
        return self.folder / SHOWN / _checked(sha256)[:2] / f"{sha256}-{side}.jpg"

    def _opened(self, sha256: str) -> BinaryIO:
        try:
            return self.original(sha256).open("rb")
        except FileNotFoundError:
            raise NoSuchPhotograph(f"no photograph {sha256} is kept here") from None

    def _show(self, sha256: str, looked: Looked) -> None:
        """Writes the sizes for show, not durably: a power cut at worst leaves one that is not whole and made again."""
        missing = {side: file for side in SIZES if not _whole(file := self._shown_file(sha256, side))}
        if not missing:
            return
        for side, jpeg in shown_as(looked.image):
            if side in missing:
                missing[side].parent.mkdir(parents=True, exist_ok=True)
                with self._coming(missing[side].parent) as (coming, out):
                    out.write(jpeg)
                    out.close()
                    coming.replace(missing[side])

    @contextmanager
    def _coming(self, folder: Path) -> Iterator[tuple[Path, BinaryIO]]:
        """A file on the same disk as its place to be, gone again where it was not moved there."""
        number, name = tempfile.mkstemp(prefix=_COMING, dir=folder)
        coming = Path(name)
        try:
            with os.fdopen(number, "wb") as out:
                yield coming, out
        finally:
            coming.unlink(missing_ok=True)


def _checked(sha256: str) -> str:
    if not _SHA256.fullmatch(sha256):  # also keeps a made-up name from pointing out of the folder
        raise NoSuchPhotograph(f"“{sha256[:80]}” is no photograph's SHA-256: that is 64 digits 0–9 and a–f")
    return sha256


def _whole(file: Path) -> bool:
    """Whether a JPEG was written to its end."""
    try:
        with file.open("rb") as stream:
            if stream.read(2) != b"\xff\xd8":
                return False
            stream.seek(-2, os.SEEK_END)
            return stream.read(2) == b"\xff\xd9"
    except OSError:
        return False


def settle(folder: Path) -> None:
    """Waits until the names in a folder would outlast a power cut."""
    if os.name == "posix":  # elsewhere a folder can't be opened, and the file system settles names by itself
        number = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(number)
        finally:
            os.close(number)
