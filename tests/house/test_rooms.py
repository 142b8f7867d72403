"""What the import contracts can't say of the rooms: doors, clocks, sizes, names."""

import ast
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
HOUSE = ROOT / "src" / "witnessmark"
CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
ROOMS = [room for layer in CONTRACTS[0]["layers"] for room in layer.split(" | ")]
CORE = [module.removeprefix("witnessmark.") for module in CONTRACTS[1]["source_modules"]]

CLOCKS = {
    "date.today", "datetime.now", "datetime.today", "datetime.utcnow", "time.ctime", "time.gmtime",
    "time.localtime", "time.monotonic", "time.perf_counter", "time.strftime", "time.time", "time.time_ns",
}  # fmt: skip
CHANCE = {"os.urandom", "uuid.uuid1", "uuid.uuid4", "uuid4", "uuid1", "random.random", "secrets"}
NETWORK = {"urllib.request", "http.client"}

LONGEST = 450
LONGER: dict[str, str] = {}  # file within src/: why it is better whole


def modules(*rooms: str) -> Iterator[Path]:
    for room in rooms:
        yield from sorted((HOUSE / room).rglob("*.py"))


def named(file: Path) -> str:
    return str(file.relative_to(HOUSE))


def words(tree: ast.AST) -> Iterator[tuple[str, int]]:
    """Every imported name (`from time import time` as `time.time`) and each attribute's last two words."""
    for node in ast.walk(tree):
        match node:
            case ast.Import(names=names):
                yield from ((alias.name, node.lineno) for alias in names)
            case ast.ImportFrom(module=str(module), names=names):
                yield module, node.lineno
                yield from ((f"{module}.{alias.name}", node.lineno) for alias in names)
            case ast.Attribute():
                yield ".".join(ast.unparse(node).split(".")[-2:]), node.lineno


def found(source: str, forbidden: set[str]) -> list[str]:
    return [f"line {line}: {word}" for word, line in words(ast.parse(source)) if word in forbidden]


def test_the_core_is_every_room_from_papers_down():
    assert ROOMS[ROOMS.index("papers") :] == CORE


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_says_at_its_door_what_it_is_for(room):
    assert ast.get_docstring(ast.parse((HOUSE / room / "__init__.py").read_text()))


@pytest.mark.parametrize("room", CORE)
def test_the_core_reads_no_clock_draws_no_chance_and_calls_nobody(room):
    faults = {named(file): found(file.read_text(), CLOCKS | CHANCE | NETWORK) for file in modules(room)}
    assert {file: fault for file, fault in faults.items() if fault} == {}


@pytest.mark.parametrize(
    "line",
    [
        "today = datetime.date.today()",
        "now = datetime.now(UTC)",
        "from time import monotonic",
        "from uuid import uuid4",
        "import urllib.request",
        "default_factory = datetime.utcnow",
    ],
)
def test_a_hidden_clock_is_found(line):
    assert found(line, CLOCKS | CHANCE | NETWORK)


@pytest.mark.parametrize("room", ROOMS)
def test_other_rooms_are_entered_by_their_door(room):
    # `from witnessmark.quantities import Mass`, never `from witnessmark.quantities.amounts import Mass`.
    faults = []
    for file in modules(room):
        for node in ast.walk(ast.parse(file.read_text())):
            match node:
                case ast.Import(names=names):
                    entered = [alias.name for alias in names]
                case ast.ImportFrom(module=str(module), level=0, names=names):
                    entered = [module]
                case ast.ImportFrom(level=level) if level > 1:
                    entered = ["." * level]
                case _:
                    continue
            for name in entered:
                parts = name.split(".")
                by_the_window = parts[0] == "witnessmark" and len(parts) > 2 and parts[1] != room
                if by_the_window or name.startswith(".."):
                    faults.append(f"{named(file)}, line {node.lineno}: {name}")
    assert faults == []


def test_no_module_outgrows_a_sitting():
    long = {named(file) for file in modules("") if len(file.read_text().splitlines()) > LONGEST}
    assert long - LONGER.keys() == set(), f"over {LONGEST} lines: split it, or give the reason in LONGER"
    assert LONGER.keys() - long == set(), "no longer so long: take it off LONGER"


def test_names_are_the_trades_own():
    drawers_for_anything = {"utils", "util", "helpers", "helper", "common", "misc"}
    assert [named(file) for file in modules("") if file.stem in drawers_for_anything] == []
    classes = [
        f"{named(file)}: {node.name}"
        for file in modules("")
        for node in ast.walk(ast.parse(file.read_text()))
        if isinstance(node, ast.ClassDef) and node.name.endswith(("Manager", "Service", "Handler"))
    ]
    assert classes == []
