"""Serving a preview to browsers on this machine, and to nobody else.

A page of somebody else's site that is open in the same browser could ask as well: under a name of its own that leads
here (such requests name another host), or as an image or a script (browsers then obey Cross-Origin-Resource-Policy).
"""

import json
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Thread
from time import sleep
from typing import Final
from urllib.parse import parse_qs, unquote, urlsplit

from builder.preview.preview import OWN, Answer, Preview
from builder.publish.hosting.headers import HEADERS
from builder.publish.hosting.uploads import TYPES
from builder.publish.pages import address

LOOPBACK: Final = "127.0.0.1"
HOSTS: Final = frozenset({LOOPBACK, "localhost"})

STATE: Final = f"{OWN}state"
PATIENCE: Final = 20.0
"""Seconds after which a page that asks for news is answered without any."""

PAUSE: Final = 0.15
"""Seconds between two looks at the library."""

SETTLING: Final = 0.03
"""Seconds in which no file changes before a save counts as finished."""

FIXED_HEADERS: Final = {**HEADERS, "Cache-Control": "no-store", "Cross-Origin-Resource-Policy": "same-origin"}


class Server(ThreadingHTTPServer):
    """Serves one preview; port 0 is any that is free.

    Raises:
        OSError: the port is taken.
    """

    daemon_threads = True

    def __init__(self, preview: Preview, port: int) -> None:
        self.preview = preview
        super().__init__((LOOPBACK, port), Handler)

    @property
    def address(self) -> str:
        """Where a browser on this machine finds the site."""
        return f"http://{LOOPBACK}:{self.server_port}/"

    def handle_error(self, request: object, client_address: object) -> None:
        """A browser that leaves before it has its answer is no error."""


class Handler(BaseHTTPRequestHandler):
    """Answers one browser; requests for any other host than this machine are refused."""

    server: Server
    protocol_version = "HTTP/1.1"
    server_version = "droplight"
    sys_version = ""

    def do_GET(self) -> None:
        """Answer with a file of the site, or, where a page asks for news, as soon as there are some."""
        host = self.headers.get("Host", "").rpartition(":")[0] or self.headers.get("Host", "")
        if host.lower() not in HOSTS:
            self._send(Answer(421, "421.txt", f"This preview is for {' and '.join(sorted(HOSTS))}.\n".encode()))
            return
        name, seen = _asked(self.path)
        if name == STATE:
            state = self.server.preview.state_after(seen, PATIENCE)
            self._send(Answer(200, "state.json", json.dumps(state._asdict()).encode()))
        else:
            self._send(self.server.preview.answer(name))

    def do_HEAD(self) -> None:
        """Answer as for GET, without the body."""
        self.do_GET()

    def __getattr__(self, name: str) -> Callable[[], None]:
        """Every other method is refused."""
        if name.startswith("do_"):
            return self._refuse
        raise AttributeError(name)

    def _refuse(self) -> None:
        self.close_connection = True  # what it may have sent along is not read
        self._send(Answer(405, "405.txt", b"Only GET and HEAD.\n"))

    def _send(self, answer: Answer) -> None:
        self.send_response(answer.status)
        self.send_header("Content-Type", TYPES.get(answer.name.rpartition(".")[2], "application/octet-stream"))
        self.send_header("Content-Length", str(len(answer.body)))
        for name, value in FIXED_HEADERS.items():
            self.send_header(name, value)
        if answer.status == 405:
            self.send_header("Allow", "GET, HEAD")
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(answer.body)

    def log_message(self, *_: object) -> None:
        """Requests are no news to whoever edits."""


def _asked(target: str) -> tuple[str, str]:
    """The file that a request asks for, from the top of the site, and the state that the page has seen."""
    path, query = urlsplit(target).path, urlsplit(target).query
    name = unquote(path).removeprefix("/")
    name += address.HOME if not name or name.endswith("/") else ""
    return name, parse_qs(query).get("seen", [""])[0]


def serve(preview: Preview, server: Server, tell: Callable[[Preview], None]) -> None:
    """Serve and follow the library until somebody interrupts; ``tell`` hears of every update."""
    thread = Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        while True:
            sleep(PAUSE)
            if preview.is_stale():
                _settle(preview)
                preview.update()
                tell(preview)
    finally:
        server.shutdown()
        server.server_close()


def _settle(preview: Preview) -> None:
    """Wait until nothing is being written any more: many editors save in several strokes."""
    before = None
    while before != (now := preview.look()):
        before = now
        sleep(SETTLING)
