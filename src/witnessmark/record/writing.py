"""A file is written whole or not at all."""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from witnessmark.documents import Refused

from .photograph_folder import settle


@contextmanager
def written(out: Path) -> Iterator[Path]:
    """A file beside `out` to write to, which takes its place, on the disk, once it is whole. Raises Refused."""
    coming = out.with_name(f".{out.name}.coming")
    try:
        coming.touch(mode=0o600)
        yield coming
        with coming.open("rb+") as whole:
            os.fsync(whole.fileno())
        coming.replace(out)
        settle(out.parent)
    except OSError as error:
        raise Refused(f"{out} can't be written: {(error.strerror or str(error)).lower()}") from None
    finally:
        coming.unlink(missing_ok=True)
