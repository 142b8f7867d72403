#!/usr/bin/env python3
"""Set up witnessmark where needed, then run it.

    python3 start.py              plan the demo chest into out/, beside this file
    python3 start.py test [...]   run every test; what follows goes to pytest, paths from this folder
    python3 start.py ...          anything else goes to the command `witnessmark`, run where you are

Set-up makes the folder .venv beside this file and needs the network once. This file speaks on stderr only,
so that stdout is the command's own.
"""

from __future__ import annotations  # so that an older Python reads on to the sentence it should get

import hashlib
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import sysconfig
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
COMMAND = VENV / "bin" / "witnessmark"
LOG = VENV / "setup.log"

DEMO = ["plan", "demo/chest.toml", "--shop", "demo/shop.toml", "--daybook", "demo/daybook.jsonl"]
DEMO += ["--out", "out"]

# sh reads lines 1 and 2 and hands over to the Python beside the script, so a folder with spaces in its name,
# or one moved since, works too; Python reads lines 2 and 3 as a string.
SCRIPT = """\
#!/bin/sh
'''exec' "$(dirname "$(readlink -f "$0")")/python" "$0" "$@"
' '''
import sys

from witnessmark.cli import main

sys.exit(main())
"""

# What pip or venv said -> what is wrong and what to do; the first that matches. Order counts: a refused
# connection may say "Permission denied" too, and any failed fetch ends in "No matching distribution".
CURES = {
    r"No space left on device|Disk quota exceeded": (
        f"the disk is full. Free about 1 GB where {ROOT} is, then start again."
    ),
    r"CERTIFICATE_VERIFY_FAILED": (
        "the package server's certificate was not trusted. Check this computer's date and time; behind a "
        "proxy with a certificate of its own, set PIP_CERT to that file; then start again."
    ),
    r"NewConnectionError|NameResolutionError|name resolution|getaddrinfo|ConnectionError|[Tt]imed out"
    r"|ProxyError|Connection (refused|reset)|Network is unreachable|No route to host|Max retries exceeded": (
        "the packages could not be fetched: no network. Set-up needs it once. Connect (behind a proxy, set "
        "HTTPS_PROXY), then start again."
    ),
    r"Read-only file system|Permission denied|Operation not permitted": (
        f"{ROOT} can't be written to. Copy it to a folder of your own, or start as its owner."
    ),
    r"ensurepip is not available|No module named '?(ensurepip|venv|pip)\b": (
        "this Python lacks its venv module. Install it (on Debian or Ubuntu: apt-get install python3-venv), "
        "then start again."
    ),
    r"DO NOT MATCH THE HASHES": (
        "a package that came is not the one the lock names, so nothing was installed. Start again; if that "
        "repeats, something on the way here changes files."
    ),
    r"No matching distribution|Could not find a version": (
        "a package could not be found: the network is away, or there is no ready-made build for Python "
        f"{sys.version.split()[0]} on this machine. Python 3.11 to 3.13 on 64-bit Linux or macOS has all."
    ),
}


class CannotSetUp(Exception):
    """A sentence for the person at the keyboard: what is wrong and what to do."""


def main(arguments: list[str]) -> None:
    """Set up what is needed, then become the command; returns only by an exit."""
    try:
        check_the_machine()
        testing = arguments[:1] == ["test"]
        for name in ("run", "dev") if testing else ("run",):
            if not is_set_up(name):
                set_up(name)
    except CannotSetUp as wrong:
        sys.exit(f"start.py: {wrong}")
    except OSError as wrong:
        cure = cure_for(str(wrong)) or f"set-up stopped: {wrong}. Mend that, then start again."
        sys.exit(f"start.py: {cure}")
    except KeyboardInterrupt:
        say("stopped. The next start begins the set-up afresh.")
        sys.exit(130)
    if testing:
        os.chdir(ROOT)
        find_a_browser()
        become(["-m", "pytest", *(arguments[1:] or all_at_once())])
    elif arguments:
        become([str(COMMAND), *arguments])
    else:
        os.chdir(ROOT)
        say(f"planning the demo chest into {ROOT / 'out'}")
        become([str(COMMAND), *DEMO])


def check_the_machine() -> None:
    """Raise CannotSetUp when this machine can't run witnessmark whatever is installed."""
    if sys.version_info < (3, 11):  # noqa: UP036 - an older Python may be what started this file
        raise CannotSetUp(
            f"Python 3.11 or newer is needed and this is {sys.version.split()[0]}. "
            "Install a newer one and name it: python3.11 start.py"
        )
    if os.name != "posix":
        raise CannotSetUp("this starts on Linux and macOS. On Windows, start it inside WSL.")


def is_set_up(name: str) -> bool:
    """Whether the lock `name`, as it now reads, was installed whole by this very Python."""
    try:
        return stamp(name).read_text() == due(name) and PYTHON.exists()
    except FileNotFoundError:
        return False


def stamp(name: str) -> Path:
    return VENV / f"{name}.stamp"


def due(name: str) -> str:
    """What the stamp of `name` must say: SHA-256 over its lock and this Python's version."""
    lock = (ROOT / "requirements" / f"{name}.txt").read_bytes()
    return hashlib.sha256(lock + sys.version.encode()).hexdigest()


def set_up(name: str) -> None:
    """Install lock `name`: `run` into a fresh .venv, `dev` on top of it. The stamp comes last."""
    with one_at_a_time():
        if is_set_up(name):  # by the start we waited for
            return
        if name == "run":
            say("setting up (once; about half a minute, 300 MB)")
            make_venv()
        else:
            say("setting up what the tests need (once; about half a minute)")
        stamp(name).unlink(missing_ok=True)
        lock = ROOT / "requirements" / f"{name}.txt"
        quiet = ["--no-input", "--disable-pip-version-check", "--progress-bar", "off", "--no-user"]
        exact = ["--no-deps", "--require-hashes", "--only-binary", ":all:"]
        run([PYTHON, "-I", "-m", "pip", "install", *quiet, *exact, "-r", lock])
        if name == "run":
            make_importable()
            # Where Python is told to write no compiled files, every start would compile all of src/ again.
            run([PYTHON, "-I", "-m", "compileall", "-q", ROOT / "src"])
        stamp(name).write_text(due(name))


def all_at_once() -> list[str]:
    """Where no test is named: as many files at once as there are cores, up to four."""
    return ["-n", str(min(os.cpu_count() or 1, 4)), "--dist", "loadfile"]


def find_a_browser() -> None:
    """Name the browser the page tests drive in WITNESSMARK_BROWSER; as root on Debian, install one where none is.

    Where there is none the tests say so: they skip those pages, and fail under CI.
    """
    known = os.environ.get("WITNESSMARK_BROWSER") or shutil.which("chromium")
    if not known and os.geteuid() == 0 and shutil.which("apt-get"):
        say("installing chromium, in which the tests open every page (once)")
        environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        for command in (["update"], ["install", "-y", "--no-install-recommends", "chromium"]):
            try:
                run(["apt-get", "-q", *command], environment)
            except CannotSetUp as wrong:
                say(f"chromium could not be installed, so pages are not opened: {wrong}")
                break
        known = shutil.which("chromium")
    if known:
        os.environ["WITNESSMARK_BROWSER"] = known


@contextmanager
def one_at_a_time() -> Iterator[None]:
    """Hold off other starts from this folder. The lock is the folder's own and ends with the process."""
    import fcntl  # not on Windows, where this file should still say its sentence

    folder = os.open(ROOT, os.O_RDONLY)
    try:
        try:
            fcntl.flock(folder, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            say("another start is setting up; waiting for it")
            fcntl.flock(folder, fcntl.LOCK_EX)
        yield
    finally:
        os.close(folder)


def make_venv() -> None:
    """A fresh .venv; whatever an interrupted or older set-up left is cleared."""
    if not all(importlib.util.find_spec(module) for module in ("venv", "ensurepip")):
        raise CannotSetUp(cure_for("ensurepip is not available"))
    if not os.access(ROOT, os.W_OK):
        raise CannotSetUp(cure_for("Permission denied"))
    run([sys.executable, "-m", "venv", "--clear", VENV])


def make_importable() -> None:
    """Let .venv's Python find src/, and put the command beside it; paths relative, so the folder may move."""
    packages = Path(sysconfig.get_path("purelib", "venv", {"base": str(VENV)}))
    (packages / "witnessmark.pth").write_text(os.path.relpath(ROOT / "src", packages) + "\n")
    COMMAND.write_text(SCRIPT)
    COMMAND.chmod(0o755)


def run(command: list[str | Path], environment: dict[str, str] | None = None) -> None:
    """Run one step of the set-up, its words kept in the log. Raises CannotSetUp with the cure."""
    words = [str(word) for word in command]
    done = subprocess.run(
        words, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace", env=environment
    )
    where = ""
    if VENV.is_dir():
        with LOG.open("a") as log:
            log.write(done.stdout)
        where = f" What was said is in {LOG}"
    if done.returncode != 0:
        last = (done.stdout.strip() or f"{words[0]} said nothing").splitlines()[-1]
        raise CannotSetUp((cure_for(done.stdout) or f"set-up failed: {last}") + where)


def cure_for(words: str) -> str:
    """The sentence for what pip, venv or the system said; empty when we know none."""
    return next((cure for pattern, cure in CURES.items() if re.search(pattern, words)), "")


def become(arguments: list[str]) -> None:
    """Go on as .venv's Python, in place of this process: its exit code and signals are the command's own.

    The command is run by its file, not by `-m`, which would let modules in the caller's folder shadow ours.
    """
    sys.stderr.flush()
    os.execv(PYTHON, [str(PYTHON), *arguments])


def say(words: str) -> None:
    print(f"start.py: {words}", file=sys.stderr, flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
