"""A stand-in for the service that is busy, slow or wrong on purpose, which the real one cannot be made to be."""

from __future__ import annotations

import contextlib
import hashlib
import json
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from tests.loopback import serving

FILE = b"what a mesh would be"
PLACE = "/v1/baits/there"
BAIT = "ab" * 32


@dataclass(frozen=True)
class Scripted:
    """One answer: status, JSON body or bytes, headers. With `cut` the line breaks after so many bytes of the body."""

    status: int
    body: Any
    headers: dict[str, str] = field(default_factory=dict)
    cut: int | None = None


@dataclass
class StandIn:
    """Answers a path from its script, the last answer again and again; keeps what was asked and when."""

    script: dict[str, list[Scripted]]
    together: threading.Barrier | None = None
    """Where given, each POST is answered only when so many of them are under way."""
    asked: list[tuple[str, str, float]] = field(default_factory=list)
    keys: list[str | None] = field(default_factory=list)
    """What `Authorization` each call came with."""
    sent: list[dict[str, str]] = field(default_factory=list)
    """The headers of each call."""
    under_way: int = 0
    most_under_way: int = 0
    address: str = ""
    lock: threading.Lock = field(default_factory=threading.Lock)

    def answer(self, method: str, path: str) -> Scripted:
        with self.lock:
            self.asked.append((method, path, time.monotonic()))
            self.under_way += 1
            self.most_under_way = max(self.most_under_way, self.under_way)
        try:
            if self.together is not None and method == "POST":
                self.together.wait(30)
            with self.lock:
                answers = self.script[path]
                return answers.pop(0) if len(answers) > 1 else answers[0]
        finally:
            with self.lock:
                self.under_way -= 1

    def calls(self) -> list[tuple[str, str]]:
        return [(method, path) for method, path, _ in self.asked]


def bait(status: str, sha256: str = hashlib.sha256(FILE).hexdigest()) -> dict[str, Any]:
    """A bait with every member that the service tells of one; it has one file where it is successful."""
    file = {"name": "bait.stl", "output": "stl", "media_type": "model/stl", "bytes": len(FILE)}
    files = [file | {"sha256": sha256, "href": f"{PLACE}/files/bait.stl"}] if status == "successful" else []
    problem = {"detail": "The solid took too long."} if status == "failed" else None
    ended = {
        "created": None,
        "finished": None,
        "timings": {},
        "links": {"self": PLACE},
        "files": files,
        "problem": problem,
    }
    return {"id": BAIT, "status": status, "request": {}, "metrics": {}, "checks": [], "cautions": []} | ended


def problem(status: int, detail: str, **headers: str) -> Scripted:
    """A problem document without faults."""
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return Scripted(status, {"status": status, "detail": detail, "errors": []}, named)


@contextlib.contextmanager
def stand_in(script: dict[str, list[Scripted]], together: threading.Barrier | None = None) -> Iterator[StandIn]:
    """It listens on loopback until the block ends."""
    made = StandIn(script, together)

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.respond("GET")

        def do_POST(self) -> None:
            self.rfile.read(int(self.headers["Content-Length"]))
            self.respond("POST")

        def do_PUT(self) -> None:
            self.rfile.read(int(self.headers["Content-Length"]))
            self.respond("PUT")

        def respond(self, method: str) -> None:
            made.keys.append(self.headers["Authorization"])
            made.sent.append(dict(self.headers.items()))
            scripted = made.answer(method, self.path)
            content = scripted.body
            if not isinstance(content, bytes):
                content = json.dumps(content, separators=(",", ":")).encode()
            self.send_response(scripted.status)
            for name, value in {**scripted.headers, "Content-Length": str(len(content))}.items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(content[: scripted.cut])

        def log_message(self, format: str, *args: object) -> None:
            """Says nothing: what was asked is kept."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    with serving(server) as port:
        made.address = f"http://127.0.0.1:{port}"
        yield made
