"""start.py sets up once, says in a sentence what it lacks, and then gets out of the way."""

import ast
import contextlib
import fcntl
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
import sysconfig
import threading
import time
import zipfile
from pathlib import Path
from types import ModuleType, SimpleNamespace

import pytest

ROOT = Path(__file__).resolve().parents[2]
LOCKED = ["--no-deps", "--require-hashes", "--only-binary", ":all:", "-r"]


class Became(Exception):
    """Stands for the process that start.py turns into."""


class Shop:
    """A folder with start.py and two locks in it; pip and venv are played by us."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.ran: list[list[str]] = []
        self.compiled: list[list[str]] = []
        self.became: list[str] = []
        self.became_in = Path()
        self.pip_says = ("", 0)
        (folder / "requirements").mkdir(parents=True)
        shutil.copy(ROOT / "start.py", folder)
        for name in ("run", "dev"):
            self.lock(name).write_text(f"{name}==1 --hash=sha256:0\n")
        self.start = load(folder / "start.py")
        self.start.subprocess.run = self.run
        self.start.os.execv = self.become
        self.start.os.chdir = self.go_to

    def lock(self, name: str) -> Path:
        return self.folder / "requirements" / f"{name}.txt"

    def run(self, words: list[str], **_: object) -> SimpleNamespace:
        if "compileall" in words:
            self.compiled.append(words)
            return SimpleNamespace(stdout="", returncode=0)
        self.ran.append(words)
        if "venv" in words:
            shutil.rmtree(self.folder / ".venv", ignore_errors=True)
            self.start.PYTHON.parent.mkdir(parents=True)
            self.start.PYTHON.touch()
            Path(sysconfig.get_path("purelib", "venv", {"base": str(self.start.VENV)})).mkdir(parents=True)
            return SimpleNamespace(stdout="", returncode=0)
        says, code = self.pip_says
        return SimpleNamespace(stdout=says, returncode=code)

    def go_to(self, folder: Path) -> None:
        self.became_in = folder

    def become(self, python: Path, words: list[str]) -> None:
        self.became = words
        raise Became

    def starts(self, *arguments: str) -> list[list[str]]:
        """What this start made and installed before it became the command."""
        self.ran = []
        with pytest.raises(Became):
            self.start.main(list(arguments))
        return self.ran

    def fails(self, *arguments: str) -> str:
        """What a start that can't go on says."""
        with pytest.raises(SystemExit) as stopped:
            self.start.main(list(arguments))
        assert isinstance(stopped.value.code, str), "a sentence, and so exit code 1"
        return stopped.value.code


def load(file: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location("start", file)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    # Its own copies, so that a test may replace a function without replacing it for pytest too.
    for name in ("os", "subprocess"):
        setattr(module, name, SimpleNamespace(**vars(getattr(module, name))))
    return module


@pytest.fixture
def shop(tmp_path, monkeypatch):
    monkeypatch.setenv("WITNESSMARK_BROWSER", "chromium")  # so that no test looks for one by itself
    return Shop(tmp_path / "a shop")


# --- setting up ------------------------------------------------------------------------------------------


def test_first_start_makes_the_venv_and_installs_exactly_the_lock(shop):
    venv, pip = shop.starts("mix", "--cut", "2 lb")
    assert venv == [sys.executable, "-m", "venv", "--clear", str(shop.start.VENV)]
    assert pip[0] == str(shop.start.PYTHON)
    assert pip[-len(LOCKED) - 1 :] == [*LOCKED, str(shop.lock("run"))]
    assert shop.became == [str(shop.start.PYTHON), str(shop.start.COMMAND), "mix", "--cut", "2 lb"]
    assert shop.became_in == Path(), "the command runs where the caller is"


def test_our_own_files_are_compiled_once_and_for_all(shop):
    shop.starts("mix")
    shop.starts("mix")
    assert [words[-1] for words in shop.compiled] == [str(shop.folder / "src")]


def test_second_start_installs_nothing(shop):
    shop.starts("mix")
    assert shop.starts("mix") == []


def test_the_stamp_is_the_lock_and_the_python(shop):
    shop.starts("mix")
    due = hashlib.sha256(shop.lock("run").read_bytes() + sys.version.encode()).hexdigest()
    assert (shop.start.VENV / "run.stamp").read_text() == due


def test_a_changed_lock_is_installed_afresh(shop):
    shop.starts("mix")
    shop.lock("run").write_text("run==2 --hash=sha256:0\n")
    assert ["venv" in words for words in shop.starts("mix")] == [True, False]


def test_another_python_is_set_up_afresh(shop, monkeypatch):
    shop.starts("mix")
    monkeypatch.setattr(sys, "version", "3.14.0 (another build)")
    assert len(shop.starts("mix")) == 2


def test_a_vanished_python_is_set_up_afresh(shop):
    shop.starts("mix")
    shop.start.PYTHON.unlink()  # as when the system's Python it pointed to is removed
    assert len(shop.starts("mix")) == 2


def test_an_interrupted_set_up_begins_afresh(shop):
    shop.pip_says = ("Killed", -9)
    shop.fails("mix")
    shop.pip_says = ("", 0)
    assert ["venv" in words for words in shop.starts("mix")] == [True, False]


def test_tests_are_installed_on_top_and_a_later_plain_start_installs_nothing(shop):
    _, run, dev = shop.starts("test", "tests/wood", "-q")
    assert run[-1] == str(shop.lock("run"))
    assert dev[-1] == str(shop.lock("dev"))
    assert shop.became == [str(shop.start.PYTHON), "-m", "pytest", "tests/wood", "-q"]
    assert shop.became_in == shop.folder
    assert shop.starts("mix") == []
    assert shop.starts("test") == []


def test_with_no_test_named_as_many_files_run_at_once_as_there_are_cores(shop):
    shop.start.os.cpu_count = lambda: 2
    shop.starts("test")
    assert shop.became[1:] == ["-m", "pytest", "-n", "2", "--dist", "loadfile"]


@pytest.mark.parametrize(("root", "installed"), [(True, ["update", "install"]), (False, [])])
def test_a_browser_for_the_pages_is_installed_only_as_root_and_only_where_there_is_none(
    shop, monkeypatch, root, installed
):
    monkeypatch.delenv("WITNESSMARK_BROWSER")
    shop.start.os.geteuid = lambda: 0 if root else 1000
    shop.start.shutil = SimpleNamespace(which=lambda name: None if name == "chromium" else name)
    asked = [words[2] for words in shop.starts("test") if words[0] == "apt-get"]
    assert asked == installed
    assert "WITNESSMARK_BROWSER" not in os.environ
    shop.start.shutil = SimpleNamespace(which=lambda name: f"/somewhere/{name}")
    shop.starts("test")
    assert os.environ["WITNESSMARK_BROWSER"] == "/somewhere/chromium"


def test_tests_run_on_where_no_browser_could_be_installed(shop, monkeypatch, capsys):
    shop.starts("test")
    monkeypatch.delenv("WITNESSMARK_BROWSER")
    shop.start.os.geteuid = lambda: 0
    shop.start.shutil = SimpleNamespace(which=lambda name: None if name == "chromium" else name)
    shop.pip_says = ("Could not resolve: getaddrinfo", 100)
    shop.starts("test")
    assert "pages are not opened" in capsys.readouterr().err


def test_a_failed_dev_set_up_leaves_the_command_usable(shop):
    shop.starts("mix")
    shop.pip_says = ("ERROR: no", 1)
    shop.fails("test")
    assert shop.starts("mix") == []
    assert len(shop.ran) == 0


def test_a_bare_start_plans_the_demo_chest_beside_start_py(shop, capfd):
    shop.starts()
    words = "plan demo/chest.toml --shop demo/shop.toml --daybook demo/daybook.jsonl --out out"
    assert shop.became[2:] == words.split()
    assert shop.became_in == shop.folder
    out, err = capfd.readouterr()
    assert out == "", "stdout is the command's own"
    assert str(shop.folder / "out") in err


def test_a_start_waits_for_another_and_then_finds_it_done(shop, capfd):
    shop.starts("mix")
    whole = (shop.start.VENV / "run.stamp").read_text()
    (shop.start.VENV / "run.stamp").unlink()
    shop.ran = []
    other = os.open(shop.folder, os.O_RDONLY)
    fcntl.flock(other, fcntl.LOCK_EX)

    def start():
        with contextlib.suppress(Became):
            shop.start.main(["mix"])

    ours = threading.Thread(target=start)
    ours.start()
    said = ""
    deadline = time.monotonic() + 10
    while "waiting" not in said and time.monotonic() < deadline:
        time.sleep(0.01)
        said += capfd.readouterr().err
    assert "another start is setting up" in said
    (shop.start.VENV / "run.stamp").write_text(whole)
    os.close(other)
    ours.join(10)
    assert not ours.is_alive()
    assert shop.ran == []


def test_stopped_by_hand_exits_130_and_says_what_comes_next(shop, capfd):
    def stop(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    shop.start.subprocess.run = stop
    with pytest.raises(SystemExit) as stopped:
        shop.start.main(["mix"])
    assert stopped.value.code == 130
    assert "afresh" in capfd.readouterr().err


# --- what a bare machine lacks ----------------------------------------------------------------------------


def test_an_old_python_is_told_which_one_it_is(shop):
    shop.start.sys = SimpleNamespace(version_info=(3, 9, 2), version="3.9.2 (default)", exit=sys.exit)
    assert shop.fails("mix").startswith("start.py: Python 3.11 or newer is needed and this is 3.9.2.")
    assert shop.ran == []


def test_an_old_python_can_read_as_far_as_its_sentence():
    # 3.7 is the first with `from __future__ import annotations`; names used while loading exist there too.
    ast.parse((ROOT / "start.py").read_text(), feature_version=(3, 7))


def test_windows_is_sent_to_wsl(shop):
    shop.start.os.name = "nt"
    assert "WSL" in shop.fails("mix")


@pytest.mark.parametrize("missing", ["venv", "ensurepip"])
def test_a_python_without_venv_is_told_the_package(shop, monkeypatch, missing):
    found = importlib.util.find_spec
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None if name == missing else found(name))
    assert "apt-get install python3-venv" in shop.fails("mix")
    assert shop.ran == []


def test_a_folder_that_cannot_be_written_is_named(shop):
    shop.start.os.access = lambda path, mode: False
    assert f"{shop.folder} can't be written to" in shop.fails("mix")


def test_an_unforeseen_trouble_of_the_disk_is_passed_on_without_a_traceback(shop):
    (shop.folder / ".venv").write_text("a file, where a folder should be")
    said = shop.fails("mix")
    assert "Not a directory" in said
    assert ".venv" in said


# The words are pip's and venv's own, as they said them on a machine in that state.
@pytest.mark.parametrize(
    ("says", "cure"),
    [
        (
            "WARNING: Retrying (Retry(total=0)) after connection broken by 'NewConnectionError('<>: "
            "Failed to establish a new connection: [Errno -3] Temporary failure in name resolution')'\n"
            "ERROR: Could not find a version that satisfies the requirement click==8 (from versions: none)\n"
            "ERROR: No matching distribution found for click==8",
            "no network",
        ),
        (
            "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device",
            "disk is full",
        ),
        ("Error: [Errno 30] Read-only file system: '.venv'", "can't be written to"),
        (
            "ERROR: Could not install packages due to an OSError: [Errno 13] Permission denied: 'x'",
            "can't be written",
        ),
        (
            "The virtual environment was not created successfully because ensurepip is not available.",
            "python3-venv",
        ),
        (
            "ssl.SSLCertVerificationError: [SSL: CERTIFICATE_VERIFY_FAILED] certificate verify failed",
            "PIP_CERT",
        ),
        ("ERROR: something new\nERROR: and its last word", "set-up failed: ERROR: and its last word"),
        ("", "said nothing"),
    ],
)
def test_what_pip_says_becomes_a_sentence_with_its_cure_and_is_kept_whole(shop, says, cure):
    shop.pip_says = (says, 1)
    said = shop.fails("mix")
    assert cure in said
    assert said.count("\n") == 0
    assert str(shop.start.LOG) in said
    assert says in shop.start.LOG.read_text()
    assert not (shop.start.VENV / "run.stamp").exists()


# Outside check: the real pip of this Python, kept off every network by its own switches.
@pytest.mark.parametrize(
    ("switches", "wanted", "cure"),
    [
        # Port 9 (discard, RFC 863) of this very machine: nobody answers, so pip says what it says offline.
        (["--retries=1", "--index-url=http://127.0.0.1:9/simple"], "trial==1", "no network"),
        (["--no-index", "--find-links=."], "absent==1", "no ready-made build"),
        (["--no-index", "--find-links=."], "trial==1", "not the one the lock names"),
    ],
)
def test_the_real_pip_is_understood(shop, tmp_path, switches, wanted, cure):
    with zipfile.ZipFile(tmp_path / "trial-1-py3-none-any.whl", "w") as wheel:
        wheel.writestr("trial-1.dist-info/METADATA", "Metadata-Version: 2.1\nName: trial\nVersion: 1\n")
        wheel.writestr("trial-1.dist-info/WHEEL", "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n")
        wheel.writestr("trial-1.dist-info/RECORD", "")
    (tmp_path / "lock.txt").write_text(f"{wanted} --hash=sha256:{64 * '0'}")
    command = [sys.executable, "-I", "-m", "pip", "--isolated", "install", "--target=never", *switches]
    pip = subprocess.run(
        [*command, *LOCKED, "lock.txt"],
        cwd=tmp_path,
        env={"PATH": os.environ["PATH"], "HOME": str(tmp_path), "PIP_CONFIG_FILE": os.devnull},
        capture_output=True,
        text=True,
    )
    assert pip.returncode != 0
    assert cure in shop.start.cure_for(pip.stdout + pip.stderr)


# --- handing over, with a real venv and a real process ------------------------------------------------------


@pytest.fixture
def set_up_shop(tmp_path):
    """A shop set up with a real venv, without packages; its command says how it was called."""
    folder = tmp_path / "a shop's folder"
    (folder / "requirements").mkdir(parents=True)
    shutil.copy(ROOT / "start.py", folder)
    (folder / "requirements" / "run.txt").write_text("")
    cli = folder / "src" / "witnessmark" / "cli"
    cli.mkdir(parents=True)
    (cli.parent / "__init__.py").touch()
    (cli / "__init__.py").write_text(
        "import os, sys\n\n\ndef main():\n    print(*sys.argv[1:], os.getcwd(), sep='|')\n    return 7\n"
    )
    start = load(folder / "start.py")
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", folder / ".venv"], check=True)
    start.make_importable()
    start.stamp("run").write_text(start.due("run"))
    return folder


def says(*command: str | Path, cwd: Path) -> str:
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True)
    assert done.returncode == 7, done.stderr
    assert done.stderr == ""
    return done.stdout


def test_the_command_gets_the_callers_folder_words_and_exit_code(set_up_shop, tmp_path):
    said = says(sys.executable, set_up_shop / "start.py", "mix", "--cut", "2 lb", cwd=tmp_path)
    assert said == f"mix|--cut|2 lb|{tmp_path}\n"


def test_a_module_in_the_callers_folder_does_not_shadow_ours(set_up_shop, tmp_path):
    (tmp_path / "witnessmark.py").write_text("raise SystemExit('the wrong one')")
    assert says(sys.executable, set_up_shop / "start.py", "mix", cwd=tmp_path) == f"mix|{tmp_path}\n"


def test_the_command_itself_runs_from_a_moved_folder_and_through_a_link(set_up_shop, tmp_path):
    moved = set_up_shop.rename(tmp_path / "moved here")
    command = moved / ".venv" / "bin" / "witnessmark"
    assert says(command, "mix", cwd=tmp_path) == f"mix|{tmp_path}\n"
    (tmp_path / "link").symlink_to(command)
    assert says(tmp_path / "link", "mix", cwd=tmp_path) == f"mix|{tmp_path}\n"


def test_a_second_start_is_quick(set_up_shop, tmp_path):
    # Against Python's own start, since a busy machine slows both: start.py, the launcher and two Pythons.
    def seconds(*command: str | Path) -> float:
        began = time.perf_counter()
        subprocess.run(command, cwd=tmp_path, capture_output=True)
        return time.perf_counter() - began

    bare = min(seconds(sys.executable, "-c", "") for _ in range(3))
    ours = min(seconds(sys.executable, set_up_shop / "start.py", "mix") for _ in range(3))
    assert ours < 2 * bare + 0.2
