"""The desk as a process: it comes up by itself, says plainly what keeps it from it, and stops whenever it is told."""

import contextlib
import gzip
import http.client
import os
import re
import signal
import socket
import sqlite3
import ssl
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

STARTS = 30  # seconds, on a busy machine
ENDS = 2.0


class Served:
    """A running `serve` and all it said, in two files."""

    def __init__(self, logs: Path, program: Sequence[str], *arguments: str) -> None:
        self.out, self.err = logs / "out", logs / "err"
        with self.out.open("w") as out, self.err.open("w") as err:
            line = [sys.executable, *program, *arguments]
            self.process = subprocess.Popen(line, stdout=out, stderr=err, start_new_session=True)

    @property
    def said(self) -> list[str]:
        return self.out.read_text().splitlines()

    def up(self) -> "Served":
        until = time.monotonic() + STARTS
        while not any(line.startswith("Open http") for line in self.said):
            assert time.monotonic() < until, "it did not come up"
            assert self.process.poll() is None, self.err.read_text()
            time.sleep(0.02)
        return self

    @property
    def address(self) -> str:
        return next(found[1] for line in self.said if (found := re.match(r"Open (\S+) ", line)))

    @property
    def port(self) -> int:
        return int(self.address.rsplit(":", 1)[1].strip("/"))

    def ends(self, told: int = signal.SIGTERM, group: bool = False) -> tuple[int, float, str]:
        """Told to stop: its exit code, how long it took, what stands on stderr."""
        began = time.monotonic()
        (os.killpg if group else os.kill)(self.process.pid, told)
        code = self.process.wait(10)
        return code, time.monotonic() - began, self.err.read_text()


@contextlib.contextmanager
def serving(
    folder: Path, *options: str, command: str = "serve", program: Sequence[str] = ("-m", "witnessmark.cli")
) -> Iterator[Served]:
    with TemporaryDirectory() as logs:
        served = Served(Path(logs), program, command, "--data", str(folder), "--port", "0", *options)
        try:
            yield served
        finally:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(served.process.pid, signal.SIGKILL)
            served.process.wait(10)


@pytest.fixture(scope="module")
def desk(tmp_path_factory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("shop")
    (folder / "letters").mkdir()
    (folder / "letters" / "to a customer.txt").write_text("Dear Mr Hale")
    with serving(folder) as served:
        served.folder = folder  # type: ignore[attr-defined]
        yield served.up()


def fetched(address: str, **headers: str) -> tuple[http.client.HTTPResponse, bytes]:
    request = urllib.request.Request(address, headers=headers)
    with urllib.request.build_opener(urllib.request.ProxyHandler({})).open(request, timeout=10) as response:
        return response, response.read()


def said_by(port: int, words: bytes) -> bytes:
    """What comes back to these bytes, until the desk has said a status and its body or 5 s are over."""
    with socket.create_connection(("127.0.0.1", port), timeout=5) as line:
        line.sendall(words)
        got = b""
        with contextlib.suppress(TimeoutError):
            while b"\r\n\r\n" not in got and (more := line.recv(65536)):
                got += more
        return got


def test_it_answers_when_it_says_so_and_gives_the_first_owners_code(desk):
    response, page = fetched(desk.address)
    assert response.status == 200
    assert b"The first owner" in page
    assert re.fullmatch(r"The first owner enters with this code, once: [A-Z2-9]{4}-[A-Z2-9]{4}", desk.said[0])
    assert (desk.folder / "witnessmark.sqlite3").is_file()
    assert (desk.folder / "photographs").is_dir()


def test_files_that_are_not_ours_are_left_alone(desk):
    assert (desk.folder / "letters" / "to a customer.txt").read_text() == "Dear Mr Hale"


def test_the_key_of_the_sessions_is_for_the_owners_eyes(desk):
    assert (desk.folder / "secret").stat().st_mode & 0o777 == 0o600


def test_the_first_visit_is_small_and_what_does_not_change_is_kept_by_the_browser(desk):
    small = {"Accept-Encoding": "gzip"}
    response, page = fetched(desk.address, **small)
    assert response.headers["Content-Encoding"] == "gzip"
    sent, text = len(page), gzip.decompress(page).decode()
    static = {address for address in re.findall(r'(?:href|src)="([^"]+)"', text) if "/static/" in address}
    # Within the shop every page runs htmx too, and the bench its own scripts.
    static |= {f"/static/{name}" for name in ("django_htmx/htmx-2.min.js", "desk/bench.js", "desk/unsent.js")}
    fetched_already: set[str] = set()
    while static - fetched_already:
        address = (static - fetched_already).pop()
        fetched_already.add(address)
        response, body = fetched(desk.address.rstrip("/") + address, **small)
        sent += len(body)
        if re.search(r"\.[0-9a-f]{12}\.", address):
            assert "immutable" in response.headers["Cache-Control"]
        if address.endswith(".css"):
            look = gzip.decompress(body).decode()
            static |= {f"/static/desk/{name}" for name in re.findall(r'url\("?([^")]+)"?\)', look)}
    assert sum(address.endswith(".woff2") for address in fetched_already) >= 4
    assert sent <= 150_000, f"{sent} bytes"


def test_a_stranger_is_told_no_name_of_ours(desk):
    said = said_by(desk.port, b"GET / HTTP/1.1\r\nHost: elsewhere.example\r\n\r\n")
    assert said.startswith(b"HTTP/1.1 400")
    assert b"text/plain" in said


def test_what_is_far_too_large_is_refused_before_it_is_sent(desk):
    began = time.monotonic()
    said = said_by(desk.port, b"POST /enter/ HTTP/1.1\r\nHost: localhost\r\nContent-Length: 9000000000\r\n\r\n")
    assert said.startswith(b"HTTP/1.1 413")
    assert time.monotonic() - began < 4


@pytest.mark.parametrize(
    "sent",
    [
        b"POST /enter/ HTTP/1.1\r\nHost: localhost\r\nContent-Type: multipart/form-data; boundary=x\r\n"
        b"Content-Length: 5\r\n\r\nabcde",
        b"POST /enter/ HTTP/1.1\r\nHost: localhost\r\nContent-Type: multipart/form-data\r\nContent-Length: 0\r\n\r\n",
        b"GET /p/%00%ff/ HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"GET /%2e%2e/%2e%2e/etc/passwd HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"GET /static/../secret HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"GET /enter/?next=%ff%fe HTTP/1.1\r\nHost: localhost\r\nCookie: sessionid=%00\r\n\r\n",
    ],
)
def test_what_is_malformed_is_no_fault_of_ours(desk, sent):
    said = said_by(desk.port, sent)
    assert re.match(rb"HTTP/1.1 [234]", said), said[:200]
    assert b"Traceback" not in said


# ---- what keeps it from opening ----


def refused(*arguments: str) -> str:
    """What a `serve` that can't says, on stderr, with exit code 2 and no traceback."""
    done = subprocess.run(
        [sys.executable, "-m", "witnessmark.cli", "serve", *arguments], capture_output=True, text=True, timeout=STARTS
    )
    assert (done.returncode, done.stdout) == (2, ""), done
    assert "Traceback" not in done.stderr
    return done.stderr


def test_a_port_that_is_taken_is_said(desk, tmp_path):
    assert f"--port: {desk.port} is taken" in refused("--data", str(tmp_path), "--port", str(desk.port))


def test_a_second_desk_on_the_same_folder_is_refused(desk):
    assert "another desk is open on this folder" in refused("--data", str(desk.folder), "--port", "0")


def test_a_file_is_no_folder(tmp_path):
    (tmp_path / "a").write_text("")
    assert str(tmp_path / "a") in refused("--data", str(tmp_path / "a"))
    assert "not a directory" in refused("--data", str(tmp_path / "a" / "b"))


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="needs a folder that not even root writes to")
def test_a_folder_that_can_not_be_made_is_said():
    assert "name another with --data" in refused("--data", "/proc/self/shop")


def test_what_is_no_database_is_left_as_it_is(tmp_path):
    file = tmp_path / "witnessmark.sqlite3"
    file.write_text("a shopping list")
    assert "is no SQLite database" in refused("--data", str(tmp_path))
    assert file.read_text() == "a shopping list"


def test_a_damaged_database_is_said(tmp_path):
    (tmp_path / "witnessmark.sqlite3").write_bytes(b"SQLite format 3\0" + b"\7" * 4096)
    assert "Expected the shop's database" in refused("--data", str(tmp_path))


def test_a_database_of_a_newer_program_is_not_touched(tmp_path):
    with serving(tmp_path) as served:
        assert served.up().ends()[0] == 0
    with contextlib.closing(sqlite3.connect(tmp_path / "witnessmark.sqlite3")) as database:
        database.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('record', '9999_of_tomorrow', '2030-01-01')"
        )
        database.commit()
    assert "9999_of_tomorrow" in refused("--data", str(tmp_path))


# ---- stopping ----


@pytest.mark.parametrize(("told", "group"), [(signal.SIGTERM, False), (signal.SIGINT, False), (signal.SIGINT, True)])
def test_it_stops_within_two_seconds_though_a_browser_holds_the_line(tmp_path, told, group):
    with serving(tmp_path) as served, socket.create_connection(("127.0.0.1", served.up().port)) as line:
        line.sendall(b"GET /up/ HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert line.recv(100).startswith(b"HTTP/1.1 200")
        code, took, stderr = served.ends(told, group)
    assert (code, stderr) == (0, "")
    assert took < ENDS


@pytest.mark.parametrize("after", [0, 0.3, 0.8, 1.5])
def test_it_may_be_stopped_while_it_is_coming_up(tmp_path, after):
    with serving(tmp_path) as served:
        until = time.monotonic() + STARTS
        while not (tmp_path / "serving.lock").exists() and time.monotonic() < until:
            time.sleep(0.005)
        time.sleep(after)
        code, took, stderr = served.ends()
    assert (code, stderr) == (0, "")
    assert took < ENDS
    with serving(tmp_path) as again:
        assert fetched(again.up().address)[0].status == 200


def test_killed_outright_it_leaves_nothing_that_holds_the_folder_or_the_port(tmp_path):
    with serving(tmp_path) as served:
        port = served.up().port
        served.process.kill()
        served.process.wait(10)
        with serving(tmp_path, "--port", str(port)) as again:
            assert again.up().port == port
            assert fetched(again.address)[0].status == 200
            assert again.ends()[0] == 0


def test_the_demo_opens_in_a_folder_of_its_own(tmp_path):
    with serving(tmp_path / "demo", command="demo") as served:
        assert fetched(served.up().address)[0].status == 200
        assert any(line.startswith("Enter as ") for line in served.said)
        assert served.ends()[0] == 0


# ---- on the shop's network ----


# A machine that stands on a network of its own, whatever this one does: 127.0.0.2 is its address there.
ON_A_NETWORK = """
from ipaddress import IPv4Address
from witnessmark.desk import lan
lan.lan_addresses = lambda: ADDRESSES
lan.host_names = lambda: ("bench.local", "bench")
from witnessmark.cli import main
main()
"""


def test_on_no_network_of_its_own_it_says_so(tmp_path):
    code = ON_A_NETWORK.replace("ADDRESSES", '(IPv4Address("192.0.2.9"),)')
    line = [sys.executable, "-c", code, "serve", "--lan", "--data", str(tmp_path)]
    done = subprocess.run(line, capture_output=True, text=True, timeout=STARTS)
    assert done.returncode == 2
    assert "192.0.2.9, which is not a shop's own" in done.stderr


def test_phones_on_the_shops_network_are_answered_encrypted_and_told_how_to_trust(tmp_path):
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes

    code = ON_A_NETWORK.replace("ADDRESSES", '(IPv4Address("127.0.0.2"),)')
    with serving(tmp_path, "--lan", program=("-c", code)) as served:
        said = "\n".join(served.up().said)
        assert served.address.startswith("https://")
        desk, trust = (re.search(rf"{words}: (\S+)", said)[1] for words in ("every phone", "first time"))
        _, certificate = fetched(f"{trust}shop.crt")
        authority = x509.load_der_x509_certificate(certificate)
        assert " ".join(f"{byte:02X}" for byte in authority.fingerprint(hashes.SHA256())) in said
        trusting = ssl.create_default_context(cadata=certificate)
        for address in (desk, served.address):
            with urllib.request.build_opener(
                urllib.request.ProxyHandler({}), urllib.request.HTTPSHandler(context=trusting)
            ).open(address, timeout=10) as response:
                assert response.status == 200
                assert "max-age" in response.headers["Strict-Transport-Security"]
                cookie = response.headers["Set-Cookie"]
                assert "Secure" in cookie
        older = ssl.create_default_context(cadata=certificate)
        older.maximum_version = ssl.TLSVersion.TLSv1_2  # what a phone of before 2018 speaks
        with (
            socket.create_connection(("127.0.0.1", served.port), timeout=5) as line,
            older.wrap_socket(line, server_hostname="bench.local") as spoken,
        ):
            assert spoken.version() == "TLSv1.2"
        elsewhere = http.client.HTTPSConnection("127.0.0.1", served.port, timeout=5, context=trusting)
        elsewhere.request("GET", "/", headers={"Host": "elsewhere.example"})
        assert elsewhere.getresponse().status == 400
        elsewhere.close()
        code, took, stderr = served.ends()
    assert (code, stderr) == (0, "")
    assert took < ENDS


def test_nothing_was_said_on_stderr_by_the_desk_all_the_while(desk):
    code, took, stderr = desk.ends()
    assert (code, stderr) == (0, "")
    assert took < ENDS
