"""The command answers at once: what is heavy is loaded only by what needs it."""

import json
import subprocess
import sys

import pytest

HEAVY = {"django", "numpy", "pydantic", "scipy", "typst", "tree_sitter", "icalendar", "segno", "PIL"}

# The command leaves by SystemExit; what it loaded is told on the way out, past its own stdout.
TELL = """
import atexit, json, sys
def tell():
    print(json.dumps(sorted({name.partition(".")[0] for name in sys.modules})), file=sys.stderr)
atexit.register(tell)
"""


def loaded(code: str, *arguments: str) -> set[str]:
    done = subprocess.run([sys.executable, "-c", TELL + code, *arguments], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return set(json.loads(done.stderr.splitlines()[-1]))


def loaded_by_command(*arguments: str) -> set[str]:
    return loaded("from witnessmark.cli import main\nsys.exit(main())", *arguments)


def test_help_loads_nothing_heavy():
    assert "click" in loaded_by_command("--help")
    assert loaded_by_command("--help") & HEAVY == set()


def test_mixing_a_jar_loads_nothing_heavy():
    assert loaded_by_command("mix", "--cut", "2 lb", "--solvent", "500 ml") & HEAVY == set()


@pytest.mark.parametrize("room", ["quantities", "sources", "materials"])
def test_the_ground_floor_is_light(room):
    assert loaded(f"import witnessmark.{room}") & HEAVY == set()
