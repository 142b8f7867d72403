"""The desk answering, from its first to its last moment: on loopback, or encrypted on the shop's own network."""

import errno
import hashlib
import http.client
import signal
import socket
import ssl
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from witnessmark.documents import Refused

if TYPE_CHECKING:
    from witnessmark.desk import Vouched

HERE = "127.0.0.1"
AS_SERVED = {"WITNESSMARK_COLLECTED": "1", "WITNESSMARK_SERVED": "1"}
_PATIENCE = 60.0  # seconds until it must have answered
_LAST_REQUESTS = 1  # seconds that requests under way are given when it is stopped


class CannotAnswer(Refused):
    """The desk can't answer where it was told to."""


@dataclass(frozen=True)
class ForPhones:
    """What the desk needs to answer phones: who vouches for it, and under which names."""

    vouched: "Vouched"

    @property
    def settings(self) -> dict[str, str]:
        return {"WITNESSMARK_TLS": "1", "WITNESSMARK_HOSTS": ",".join(self.vouched.hosts)}


def for_phones(folder: Path) -> ForPhones:
    """The certificate for this machine's own networks. Raises CannotAnswer where it is on none."""
    from witnessmark.desk import host_names, lan_addresses, vouched

    addresses = lan_addresses()
    found = vouched(folder, datetime.now(UTC), host_names(), addresses)
    if not found.addresses:
        elsewhere = f" It has {', '.join(map(str, addresses))}, which is not a shop's own." if addresses else ""
        raise CannotAnswer(
            f"--lan: this computer has no address on a network of its own.{elsewhere} Join the shop's network, then "
            "start again; without --lan the desk answers on this computer."
        )
    return ForPhones(found)


def stop_quietly() -> None:
    """From here on, to be told to stop is no fault: at any moment, with exit code 0."""

    def stop(*_: object) -> None:
        sys.exit(0)

    for told in (signal.SIGINT, signal.SIGTERM):
        signal.signal(told, stop)


def served(port: int, says: Sequence[str], phones: ForPhones | None = None) -> None:
    """The desk, until it is stopped; prints where it is once it answers. Raises CannotAnswer."""
    from django.db import connections
    from granian import Granian
    from granian.constants import Interfaces, SSLProtocols

    from witnessmark.record import album

    address = "0.0.0.0" if phones else HERE
    port = free_port(address, port)
    album().swept()
    collect_static()
    connections.close_all()  # the worker is a copy of this process: an open database must not be in two
    secure: dict[str, Any] = {}
    if phones:
        file = phones.vouched.file
        secure = {
            "ssl_cert": file,
            "ssl_key": file,
            "ssl_protocol_min": SSLProtocols.tls12,
        }  # 1.2: phones of before 2018
    desk = Granian(
        "witnessmark.desk.asgi:application",
        address=address,
        port=port,
        interface=Interfaces.ASGINL,
        workers=1,
        respawn_failed_workers=True,
        workers_kill_timeout=_LAST_REQUESTS,
        websockets=False,
        log_enabled=False,
        **secure,
    )
    with trust_page(phones, port) if phones else nullcontext(()) as more:
        where = [f"Open {'https' if phones else 'http'}://{HERE}:{port}/ · stop with Ctrl-C"]
        lines = [*says, *more, *where]
        authority = phones.vouched.authority_der if phones else None
        desk.on_startup(
            lambda: threading.Thread(target=say_once_up, args=(port, lines, authority), daemon=True).start()
        )
        try:
            desk.serve()
        except SystemExit:  # Ctrl-C reaches the worker too, which may end first
            if not desk.interrupt_signal:
                raise
    if not desk.interrupt_signal:
        print("The desk ended by itself, more than once in a few seconds: what it said stands above.", file=sys.stderr)
        sys.exit(1)


def free_port(address: str, port: int) -> int:
    """The port, if it is free; any free one for 0. Raises CannotAnswer. Asked first, since granian would share it."""
    with socket.socket() as asking:
        asking.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)  # one that a desk just left is free
        try:
            asking.bind((address, port))
            return int(asking.getsockname()[1])
        except OSError as error:
            why = "is taken: another desk or another program answers there"
            if error.errno == errno.EACCES:
                why = "is kept for the system"
            raise CannotAnswer(f"--port: {port} {why}. Stop that, or name another; 0 takes any that is free.") from None


@contextmanager
def trust_page(phones: ForPhones, port: int) -> Iterator[list[str]]:
    """The page that helps a phone trust the desk, beside it; gives what to print."""
    from witnessmark.desk import answering, pairing_page_data, trust_app

    vouched = phones.vouched
    beside = _next_free(port + 1)
    page = pairing_page_data(vouched, port, beside)
    with answering(trust_app(page, vouched.authority_der), "0.0.0.0", beside):
        yield [
            *(f"Not answered at {address}: not an address of a shop's own network." for address in vouched.left_out),
            *(["The certificate is new: a phone that trusted another must be told again."] * vouched.new_authority),
            f"On a phone, the first time: {page.trust_url}",
            page.trust_terminal,
            f"It shows “{page.authority_name}”; compare its SHA-256 with this before you trust it:",
            vouched.fingerprint,
            f"Then, on every phone: {page.desk_url}",
            "Enter there once; under Shop, Phones a phone is paired for three months.",
        ]


def _next_free(port: int) -> int:
    try:
        return free_port("0.0.0.0", min(port, 65535))
    except CannotAnswer:
        return free_port("0.0.0.0", 0)


def say_once_up(port: int, lines: Sequence[str], authority: bytes | None) -> None:
    """Prints the lines as soon as the desk truly answers, by the certificate that phones will see."""
    context = ssl.create_default_context(cadata=authority) if authority else None
    until = time.monotonic() + _PATIENCE
    while time.monotonic() < until:
        time.sleep(0.05)
        asking = (
            http.client.HTTPSConnection(HERE, port, timeout=5, context=context)
            if context
            else http.client.HTTPConnection(HERE, port, timeout=5)
        )
        try:
            asking.request("GET", "/up/")
            if asking.getresponse().status == 200:
                print("\n".join(lines), flush=True)
                return
        except (OSError, http.client.HTTPException):
            continue
        finally:
            asking.close()
    print(f"The desk has not answered for {_PATIENCE:.0f} s. Stop it with Ctrl-C and start it again.", file=sys.stderr)


def collect_static() -> None:
    """Puts the static files, compressed and named by their content, beside the shop, if they are others than last."""
    from django.conf import settings
    from django.contrib.staticfiles.finders import get_finders
    from django.core.management import call_command

    seen = hashlib.sha256()
    for finder in get_finders():
        for name, storage in finder.list([]):
            stat = Path(storage.path(name)).stat()
            seen.update(f"{name} {stat.st_size} {stat.st_mtime_ns}\\n".encode())
    mark = Path(settings.STATIC_ROOT or "") / ".made-from"
    if mark.is_file() and mark.read_text("ascii") == seen.hexdigest():
        return
    call_command("collectstatic", verbosity=0, interactive=False)
    mark.write_text(seen.hexdigest(), "ascii")
