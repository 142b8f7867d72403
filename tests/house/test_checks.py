"""The checkers run as tests, so that one command tells whether the house is in order."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
HOUSE = ROOT / "src" / "witnessmark"

LINT_IMPORTS = "from importlinter.cli import lint_imports; sys.exit(lint_imports(no_logo=True))"
CHECKS = {
    "ruff check": ["-m", "ruff", "check", "."],
    "ruff format": ["-m", "ruff", "format", "--check", "."],
    "mypy": ["-m", "mypy"],
    "import contracts": ["-c", f"import sys; {LINT_IMPORTS}"],
}


@pytest.mark.parametrize("check", CHECKS)
def test_in_order(check):
    done = subprocess.run([sys.executable, *CHECKS[check]], cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, f"{check}:\n{done.stdout}{done.stderr}"


# A contract that names nothing would hold for ever: what is planted here must be found.
@pytest.mark.parametrize(
    ("file", "line", "found"),
    [
        ("quantities/planted.py", "import witnessmark.plan", "Data flows one way BROKEN"),
        ("wood/planted.py", "import witnessmark.finish", "Data flows one way BROKEN"),
        ("money/planted.py", "import django", "opens no socket BROKEN"),
        ("papers/planted.py", "import socket", "opens no socket BROKEN"),
        ("attic/__init__.py", '"""A room without a place."""', "not listed as layers"),
    ],
)
def test_the_contracts_bite(tmp_path, file, line, found):
    house = tmp_path / "src" / "witnessmark"
    for room in ["", *(init.parent.name for init in HOUSE.glob("*/__init__.py"))]:
        (house / room).mkdir(parents=True, exist_ok=True)
        (house / room / "__init__.py").touch()
    (house / file).parent.mkdir(exist_ok=True)
    (house / file).write_text(line + "\n")
    (tmp_path / "pyproject.toml").write_bytes((ROOT / "pyproject.toml").read_bytes())
    planted_first = f"import sys; sys.path.insert(0, {str(house.parent)!r}); {LINT_IMPORTS}"
    done = subprocess.run([sys.executable, "-I", "-c", planted_first], cwd=tmp_path, capture_output=True, text=True)
    assert done.returncode != 0
    assert found in done.stdout
