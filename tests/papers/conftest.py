"""Golden papers: whole texts kept as files, so that a change shows as a diff a restorer can read."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

GOLDEN = Path(__file__).resolve().parents[1] / "golden"


@pytest.fixture
def golden() -> Callable[[str, str], None]:
    """`golden("plan_chest.txt", text)`: the text must be the file's. `WITNESSMARK_GOLDEN=write` writes it anew."""

    def check(name: str, text: str) -> None:
        file = GOLDEN / name
        if os.environ.get("WITNESSMARK_GOLDEN") == "write":
            file.write_text(text, "utf-8")
        assert text == file.read_text("utf-8"), f"{name} reads otherwise; if that is meant: WITNESSMARK_GOLDEN=write"

    return check
