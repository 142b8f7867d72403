"""The desk as people use it: a process of its own on a folder of its own, opened in Debian's Chromium.

The demo shop is made once a run and copied for each desk. Without a browser these tests are skipped and say so;
under CI that is a failure.
"""

import contextlib
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

import pieces

BROWSER = os.environ.get("WITNESSMARK_BROWSER") or shutil.which("chromium")
PASSWORD = "a plane and a rasp"
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1440, "height": 900}
ROOT = Path(__file__).resolve().parents[2]
MADE = """
import sys, django; django.setup()
from datetime import UTC, datetime
from pathlib import Path
from django.core.management import call_command
call_command("migrate", verbosity=0)
from witnessmark.desk import keep_demo
from witnessmark.record import Person
now = datetime.fromisoformat(sys.argv[2])
keep_demo(Path(sys.argv[1]), now)
for name, role in (("Ines", "owner"), ("Tobias", "helper"), ("Dale", "reader")):
    Person.objects.create_user(name, role, sys.argv[3])
"""


@pytest.fixture(scope="session", autouse=True)
def _a_browser() -> None:
    if BROWSER is None:
        says = "no chromium: “python3 start.py test” installs it on Debian as root; or name one: WITNESSMARK_BROWSER"
        if "CI" in os.environ:
            pytest.fail(says)
        pytest.skip(says)


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, object]:
    quiet = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
    quiet += ["--disable-component-update", "--disable-sync"]
    return {"executable_path": BROWSER, "headless": True, "args": quiet}


@dataclass(frozen=True)
class Desk:
    """A running desk: where it answers and where it keeps its shop."""

    address: str
    folder: Path


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


@contextlib.contextmanager
def running(folder: Path, *options: str, port: int = 0, **environment: str) -> Iterator[Desk]:
    """The desk on a folder, until the block ends; at a free port, or at one where it was before."""
    port = port or free_port()
    command = [sys.executable, "-m", "witnessmark.cli", "serve", "--data", str(folder), "--port", str(port), *options]
    settings = {**os.environ, "WITNESSMARK_NOW": pieces.NOW.isoformat(), **environment}
    settings.pop("DJANGO_ALLOW_ASYNC_UNSAFE", None)  # that is for the tests alone
    log = folder.parent / f"{folder.name}.log"
    with log.open("w") as out:
        process = subprocess.Popen(command, stdout=out, stderr=subprocess.STDOUT, env=settings)
        try:
            address = f"http://127.0.0.1:{port}"
            wait_for(f"{address}/up/", process, log)
            yield Desk(address, folder)
        finally:
            process.terminate()
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(10)
            process.kill()


def wait_for(address: str, process: subprocess.Popen[bytes], log: Path) -> None:
    for _ in range(300):
        with contextlib.suppress(OSError):
            urllib.request.urlopen(address, timeout=1)
            return
        if process.poll() is not None:
            break
        time.sleep(0.1)
    pytest.fail(f"the desk did not come up:\n{log.read_text()}")


def made(folder: Path, now: datetime = pieces.NOW) -> Path:
    """The demo shop kept in a folder: an owner, a helper and a reader, all with PASSWORD."""
    folder.mkdir()
    environment = {"WITNESSMARK_DATA": str(folder), "DJANGO_SETTINGS_MODULE": "witnessmark.desk.settings"}
    command = [sys.executable, "-c", MADE, str(pieces.DEMO), now.isoformat(), PASSWORD]
    subprocess.run(command, env={**os.environ, **environment}, check=True)
    return folder


@pytest.fixture(scope="session")
def demo_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo shop, made once; whoever changes it takes a copy."""
    return made(tmp_path_factory.mktemp("made") / "shop")


@pytest.fixture(scope="session")
def shop(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """A desk on the demo shop, its clock going from pieces.NOW: shared, so nobody changes what another looks at."""
    folder = tmp_path_factory.mktemp("shared") / "shop"
    shutil.copytree(demo_folder, folder)
    with running(folder, **going_from(pieces.NOW)) as up:
        yield up


def going_from(now: datetime) -> dict[str, str]:
    """The desk's clock at an instant, and going."""
    return {"WITNESSMARK_NOW": "", "WITNESSMARK_AHEAD": str((now - datetime.now(UTC)).total_seconds())}


def opened(browser: Browser, desk: Desk, **options: object) -> Page:
    """A browser of one's own at a desk. `told` gathers what went wrong unseen: errors, and requests to other hosts."""
    settings = {"viewport": PHONE, "locale": "en-GB", "base_url": desk.address, **options}
    page = browser.new_context(**settings).new_page()  # type: ignore[arg-type]
    page.set_default_timeout(15000)
    told: list[str] = []
    page.told = told  # type: ignore[attr-defined]
    page.on("console", lambda line: told.append(line.text) if line.type == "error" else None)
    page.on("pageerror", lambda error: told.append(str(error)))
    page.on(
        "request", lambda asked: None if _ours(asked.url, desk) else told.append(f"asked another host: {asked.url}")
    )
    return page


def _ours(url: str, desk: Desk) -> bool:
    return url.startswith((desk.address + "/", "blob:", "data:"))


def entered(browser: Browser, desk: Desk, name: str, **options: object) -> Page:
    """The same, entered as somebody of the demo shop."""
    page = opened(browser, desk, **options)
    page.goto("/enter/")
    page.get_by_label("Your name").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.locator("main button[type=submit]").click()
    page.wait_for_url(lambda url: "/enter/" not in url)
    return page
