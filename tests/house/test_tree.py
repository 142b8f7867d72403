"""What lies in the tree: nothing of one machine, locks that hold, a wheel that carries its tables."""

import re
import shutil
import subprocess
import tomllib
import zipfile
from pathlib import Path

import pytest
from hatchling.builders.wheel import WheelBuilder

ROOT = Path(__file__).resolve().parents[2]

# Spelt in pieces, so as not to find itself.
HOSTS = ["py" + "pi.org", "python" + "hosted.org", "npm" + "js.org", "npm" + "js.com", "deb." + "debian.org"]
A_MACHINES_OWN = re.compile(
    r"(?<![\w.~*…/-])/" + "(?:work|tmp|root|home|opt|Users)/" + "|" + "|".join(map(re.escape, HOSTS))
)


def tracked() -> list[Path]:
    """Files under version control or about to be; an unpacked archive has none to tell."""
    if not (ROOT / ".git").exists():
        pytest.skip("not a git checkout")
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    return [ROOT / name for name in listed.stdout.split("\0") if name and (ROOT / name).is_file()]


def text_of(file: Path) -> str:
    """What it says, or nothing for a picture or a font."""
    try:
        return file.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return ""


def test_no_file_names_a_machine_path_or_a_registry():
    faults = [
        f"{file.relative_to(ROOT)}, line {number}: {line.strip()[:80]}"
        for file in tracked()
        for number, line in enumerate(text_of(file).splitlines(), 1)
        if A_MACHINES_OWN.search(line)
    ]
    assert faults == []


@pytest.mark.parametrize("line", ["open('/" + "tmp/x')", "see /" + "work/main", "https://" + HOSTS[0] + "/simple"])
def test_a_machine_path_is_found(line):
    assert A_MACHINES_OWN.search(line)


@pytest.mark.parametrize("line", ["https://example.org/home/page", "the half-hour/work/rest", "**/tmp"])
def test_what_only_looks_like_one_is_let_be(line):
    assert not A_MACHINES_OWN.search(line)


def test_nothing_made_by_running_is_tracked():
    made = {".venv", "out", "__pycache__", ".mypy_cache", ".ruff_cache", ".pytest_cache", ".hypothesis"}
    assert [file for file in tracked() if made & set(file.relative_to(ROOT).parts)] == []


# --- the locks ----------------------------------------------------------------------------------------------


def locked(name: str) -> dict[str, list[str]]:
    """Requirement line -> its hashes."""
    pins: dict[str, list[str]] = {}
    for line in (ROOT / "requirements" / f"{name}.txt").read_text().splitlines():
        if found := re.match(r"\s+--hash=(sha256:[0-9a-f]{64})( \\)?$", line):
            pins[list(pins)[-1]].append(found[1])
        else:
            pins[line.removesuffix("\\").strip()] = []
    return pins


def wanted(name: str) -> set[str]:
    lines = (ROOT / "requirements" / f"{name}.in").read_text().splitlines()
    return {re.split(r"[\[ ]", line)[0] for line in lines if line.strip() and not line.startswith(("-", "#"))}


@pytest.mark.parametrize("name", ["run", "dev"])
def test_a_lock_is_exact_pins_with_hashes_and_names_no_index(name):
    pins = locked(name)
    assert all(re.match(r"[a-z0-9._-]+==[\w.]+( ; .+)?$", pin) for pin in pins), list(pins)
    assert all(pins.values())
    assert wanted(name) <= {pin.partition("==")[0] for pin in pins}


def test_what_the_tests_run_on_is_what_people_run():
    run, dev = locked("run"), locked("dev")
    assert run.items() <= dev.items()


def test_pyproject_and_the_lock_ask_for_the_same_libraries():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert {re.split(r"[<>=\[ ]", line)[0] for line in project["dependencies"]} == wanted("run")


# --- the wheel ----------------------------------------------------------------------------------------------


def test_the_wheel_carries_every_file_of_the_package(tmp_path):
    for name in ("pyproject.toml", "LICENSE", ".gitignore"):
        shutil.copy(ROOT / name, tmp_path)
    shutil.copytree(ROOT / "src", tmp_path / "src", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "demo", tmp_path / "demo")
    # One of each kind that a room may keep beside its code.
    kinds = ["csv", "toml", "typ", "ttf", "svg", "txt", "json"]
    for kind in kinds:
        (tmp_path / "src" / "witnessmark" / "wood" / f"trial.{kind}").write_text("trial")
    (built,) = WheelBuilder(str(tmp_path)).build(directory=str(tmp_path / "dist"), versions=["standard"])
    carried = set(zipfile.ZipFile(built).namelist())
    ours = {str(file.relative_to(tmp_path / "src")) for file in (tmp_path / "src").rglob("*") if file.is_file()}
    assert ours - carried == set()
    assert "witnessmark/py.typed" in carried
    assert "witnessmark/demo/shop.toml" in carried  # for `witnessmark demo`
    assert any(name.endswith("licenses/LICENSE") for name in carried)
    entry = next(name for name in carried if name.endswith("entry_points.txt"))
    assert "witnessmark = witnessmark.cli:main" in zipfile.ZipFile(built).read(entry).decode()


def test_the_package_and_pyproject_agree_on_the_version():
    import witnessmark

    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert witnessmark.__version__ == project["version"]
    assert f"## {project['version']}" in (ROOT / "CHANGELOG.md").read_text()
