"""The desk as granian serves it. What is too large is refused before it is read: Django would take all of it first."""

import os
import threading
import time
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from typing import Any

from django.core.asgi import get_asgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "witnessmark.desk.settings")

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]


def _ends_with_its_parent() -> None:
    """A killed `serve` leaves no worker behind that holds the port and the folder. All it acknowledged is on disk."""
    parent = os.getppid()
    while os.getppid() == parent:
        time.sleep(0.2)
    os._exit(0)


if os.environ.get("WITNESSMARK_SERVED") == "1":
    threading.Thread(target=_ends_with_its_parent, daemon=True, name="parent watch").start()

_django = get_asgi_application()
if os.environ.get("WITNESSMARK_SERVED") == "1":
    from witnessmark.record import start_worker  # its models are there only now

    start_worker()
_TOO_MUCH = b"That is too much at once. Go back, and send fewer photographs at a time.\n"


async def application(scope: Message, receive: Receive, send: Send) -> None:
    """One request. Its length is believed where it is told, and counted in any case."""
    from django.conf import settings

    limit: int = settings.BODY_LIMIT
    told = dict(scope.get("headers", ())).get(b"content-length", b"0")
    if told.isdigit() and int(told) > limit:
        await _refuse(send)
        return
    taken, refused = 0, False

    async def counted() -> Message:
        nonlocal taken, refused
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > limit and not refused:
            refused = True
            await _refuse(send)
        return {"type": "http.disconnect"} if refused else message

    async def unless_refused(message: Message) -> None:
        if not refused:
            await send(message)

    await _django(dict(scope) | {"headers": _one_cookie(scope.get("headers", ()))}, counted, unless_refused)  # type: ignore[arg-type]


def _one_cookie(headers: Iterable[tuple[bytes, bytes]]) -> list[tuple[bytes, bytes]]:
    """HTTP/2 may send each cookie by itself (RFC 9113 §8.2.3); Django joins them by commas and loses all but one."""
    cookies = [value for name, value in headers if name == b"cookie"]
    others = [(name, value) for name, value in headers if name != b"cookie"]
    return [*others, (b"cookie", b"; ".join(cookies))] if cookies else others


async def _refuse(send: Send) -> None:
    headers = [(b"content-type", b"text/plain; charset=utf-8")]
    await send({"type": "http.response.start", "status": 413, "headers": headers})
    await send({"type": "http.response.body", "body": _TOO_MUCH})
