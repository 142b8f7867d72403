"""How a phone comes to trust the desk: what is printed in the terminal, and the one page that is not encrypted.

That page holds the authority's certificate, which is no secret, and how to take it in; nothing of the shop. It is plain
HTTP since a phone that does not trust us yet can't see anything else of ours without a warning.
"""

import html
import io
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import NamedTuple

import segno

from .lan import Vouched


class Answer(NamedTuple):
    """What is sent back."""

    status: int
    media: str
    body: bytes


App = Callable[[str, str], Answer]  # of a method and a path

CERTIFICATE = "/shop.crt"
_STYLE = "/trust.css"


@dataclass(frozen=True)
class Steps:
    """How to do it on one kind of phone, in order."""

    title: str
    steps: tuple[str, ...]


# Phones differ from make to make and year to year: the words are those most of them use. Common practice.
FIRST = "Tap “Fetch the certificate” above, and let the phone keep it."
ON_A_PHONE = (
    Steps(
        "A phone that speaks of a profile",
        (
            "It says that a profile was downloaded. If it asks for what device, choose this phone.",
            "Open the phone's settings. Near the top stands “Profile downloaded”: open it, tap “Install”, give the "
            "phone's code, and tap “Install” again.",
            "In the settings, under “General”, then “About”, at the very bottom: “Certificate trust settings”. Switch "
            "on the line that bears the name above.",
        ),
    ),
    Steps(
        "Any other phone",
        (
            "In the phone's settings, look by their own search for “certificate”. Choose “Install a certificate”, then "
            "“CA certificate”. It mostly lies under “Security”, then “Encryption and credentials”.",
            "The phone warns that somebody could watch what is sent. Read “What this means” below, then go on.",
            "Choose the file “shop.crt” among the downloads.",
        ),
    ),
)
LAST = (
    "Before you trust it, compare: the first and last pairs that the phone shows of it must be those in the terminal "
    "of the computer. This page alone proves nothing: somebody else on the network could have sent it."
)
MEANS = (
    "The phone then believes this computer when it says who it is: by an address of a shop's own network, its own "
    "name, or a name that ends in .local, and by no other. Whoever can read the file authority.pem in the shop's data "
    "folder could pretend to be this computer to that phone. To end it, remove the certificate in the same place of "
    "the settings."
)


@dataclass(frozen=True)
class PairingPage:
    """What a phone is told: where the desk is, where to fetch what makes it trusted, and what to compare.

    The codes are QR codes (ISO/IEC 18004): `…_svg` for a page, `…_terminal` for a terminal, of `trust_url` first and
    `desk_url` after it.
    """

    desk_url: str
    trust_url: str
    authority_name: str
    fingerprint: str
    trust_svg: str
    trust_terminal: str
    desk_svg: str
    desk_terminal: str
    steps: tuple[Steps, ...]


def pairing_page_data(vouched: Vouched, port: int, trust_port: int) -> PairingPage:
    """What to print and show; the address used is the first the desk answers to."""
    host = (*vouched.hosts, "localhost")[0]
    desk, trust = f"https://{host}:{port}/", f"http://{host}:{trust_port}/"
    name = vouched.authority.subject.rfc4514_string().removeprefix("CN=").replace("\\,", ",")
    return PairingPage(
        desk_url=desk,
        trust_url=trust,
        authority_name=name,
        fingerprint=vouched.fingerprint,
        trust_svg=qr_svg(trust),
        trust_terminal=qr_terminal(trust),
        desk_svg=qr_svg(desk),
        desk_terminal=qr_terminal(desk),
        steps=ON_A_PHONE,
    )


def qr_svg(words: str) -> str:
    """A QR code as an SVG element of 1 user unit a module, with its quiet zone; black on white on any paper."""
    drawn = io.BytesIO()
    segno.make(words, error="m", micro=False).save(
        drawn, kind="svg", xmldecl=False, svgns=True, dark="#000", light="#fff", omitsize=True, title=words
    )
    return drawn.getvalue().decode()


def qr_terminal(words: str) -> str:
    """A QR code in characters, two rows of modules to a line."""
    drawn = io.StringIO()
    segno.make(words, error="m", micro=False).terminal(drawn, compact=True)
    return drawn.getvalue()


def trust_app(page: PairingPage, certificate: bytes) -> App:
    """What the page answers to a method and a path: GET on three paths, the same for everybody; all else is refused."""
    answers = {
        "/": Answer(200, "text/html; charset=utf-8", _page(page).encode()),
        _STYLE: Answer(200, "text/css; charset=utf-8", _CSS.encode()),
        CERTIFICATE: Answer(200, "application/x-x509-ca-cert", certificate),
    }

    def answer(method: str, path: str) -> Answer:
        return answers.get(path, _NOTHING) if method == "GET" else _ONLY_GET

    return answer


@contextmanager
def answering(app: App, address: str, port: int) -> Iterator[int]:
    """Serves it beside the desk, in threads of this process, while the block lasts; gives the port (0: any free one).

    The standard library's server: granian, embedded, takes the whole process down when that ends (2.8.7).
    """

    class Caller(BaseHTTPRequestHandler):
        timeout = 10  # seconds; a caller that says nothing is not waited for
        server_version, sys_version = "desk", ""

        def answer(self) -> None:
            said = app(self.command, self.path.partition("?")[0])
            self.send_response(said.status)
            for name, value in (*_HEADERS, ("Content-Type", said.media), ("Content-Length", str(len(said.body)))):
                self.send_header(name, value)
            if said.status == _ONLY_GET.status:
                self.send_header("Allow", "GET")
            self.end_headers()
            if self.command != "HEAD":
                self.wfile.write(said.body)

        do_GET = do_HEAD = do_POST = do_PUT = do_PATCH = do_DELETE = do_OPTIONS = answer

        def log_message(self, format: str, *args: object) -> None:
            """Says nothing: the terminal is for what somebody has to do."""

    with ThreadingHTTPServer((address, port), Caller) as server:
        thread = threading.Thread(target=server.serve_forever, args=[0.1], daemon=True, name="trust page")
        thread.start()
        try:
            yield server.server_port
        finally:
            server.shutdown()
            thread.join()


_ONLY_GET = Answer(405, "text/plain", b"Only GET is answered here.\n")
_NOTHING = Answer(404, "text/plain", b"There is nothing here.\n")
_HEADERS = (
    ("Content-Security-Policy", "default-src 'none'; style-src 'self'; base-uri 'none'; frame-ancestors 'none'"),
    ("X-Content-Type-Options", "nosniff"),
    ("X-Frame-Options", "DENY"),
    ("Referrer-Policy", "no-referrer"),
    ("Cache-Control", "no-store"),
)

_CSS = """
:root { color-scheme: light dark; --paper: #f9f8f4; --ink: #1a2330; --pencil: #50565c; --blue: #1d4f91; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #1c2327; --ink: #eeece4; --pencil: #b0b6b9; --blue: #93bdf3; }
}
body { margin: 0 auto; padding: 1.25rem; max-width: 36rem; background: var(--paper); color: var(--ink);
  font: 1.125rem/1.5 'Source Sans 3', system-ui, sans-serif; }
h1, h2 { font-family: 'Source Serif 4', Georgia, serif; line-height: 1.2; }
h1 { font-size: 1.75rem; } h2 { font-size: 1.25rem; margin-top: 2rem; }
a { color: var(--blue); }
.do { display: block; padding: 1rem; border: 2px solid var(--blue); border-radius: 3px; text-align: center;
  font-weight: 600; }
.code { display: block; font-family: ui-monospace, monospace; font-size: .95rem; overflow-wrap: break-word; }
li { margin: .5rem 0; } .pencil { color: var(--pencil); }
"""


def _page(page: PairingPage) -> str:
    def steps(kind: Steps) -> str:
        lines = "".join(f"<li>{html.escape(line)}</li>" for line in (FIRST, *kind.steps))
        return f"<h2>{html.escape(kind.title)}</h2>\n<ol>{lines}</ol>"

    desk, name, fingerprint = (html.escape(text) for text in (page.desk_url, page.authority_name, page.fingerprint))
    return f"""<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Let this phone trust the desk</title>
<link rel="stylesheet" href="{_STYLE}">
</head>
<body>
<main>
<h1>Let this phone trust the desk</h1>
<p>Once for each phone. Then the desk opens without a warning, may use the camera and works without a network.</p>
<p><a class="do" href="{CERTIFICATE}">Fetch the certificate</a></p>
<p>Its name: <strong>{name}</strong></p>
<p>Its SHA-256: <span class="code">{fingerprint}</span></p>
<p>{html.escape(LAST)}</p>
{"".join(steps(kind) for kind in page.steps)}
<h2>Then</h2>
<p><a class="do" href="{desk}">Open the desk</a></p>
<p class="pencil">If it still warns, a step was missed, or this phone is not on the computer's network.</p>
<h2>What this means</h2>
<p>{html.escape(MEANS)}</p>
</main>
</body>
</html>
"""
