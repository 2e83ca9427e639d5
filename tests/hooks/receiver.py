"""A receiver of webhooks on loopback, which answers as a test says."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from tests.loopback import serving

Answer = Callable[[BaseHTTPRequestHandler], None]


def status(number: int, **headers: str) -> Answer:
    """Answer with this status and nothing else."""

    def answer(handler: BaseHTTPRequestHandler) -> None:
        handler.send_response(number)
        for name, value in headers.items():
            handler.send_header(name.replace("_", "-"), value)
        handler.send_header("Content-Length", "0")
        handler.end_headers()

    return answer


@dataclass
class Receiver:
    """What came in: headers and body of each call."""

    port: int = 0
    calls: list[tuple[dict[str, str], bytes]] = field(default_factory=list)
    answer: Answer = field(default_factory=lambda: status(204))

    @property
    def origin(self) -> str:
        return f"http://127.0.0.1:{self.port}"


@contextlib.contextmanager
def receiver(wrap: Callable[[Any], Any] | None = None) -> Iterator[Receiver]:
    made = Receiver()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            made.calls.append(({name.lower(): value for name, value in self.headers.items()}, body))
            with contextlib.suppress(OSError):
                made.answer(self)

        def log_message(self, *_: object) -> None:
            """Nothing."""

    class Server(ThreadingHTTPServer):
        daemon_threads = True

        def handle_error(self, *_: object) -> None:
            """A client that went away is what some tests are about."""

    server = Server(("127.0.0.1", 0), Handler)
    if wrap is not None:
        server.socket = wrap(server.socket)
    with serving(server) as made.port:
        yield made
