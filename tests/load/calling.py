"""One client on one kept connection: the least that asks, waits and counts the time."""

from __future__ import annotations

import http.client
import json
import time
from dataclasses import dataclass
from typing import Any

ENDED = ("successful", "failed", "dismissed")


@dataclass(frozen=True, slots=True)
class Told:
    """An answer, and the seconds from the first byte sent to the last one read."""

    status: int
    headers: http.client.HTTPMessage
    content: bytes
    seconds: float

    @property
    def json(self) -> Any:
        """The body."""
        return json.loads(self.content)


class Caller:
    """Calls the service on this machine; no proxy that the environment may name is asked."""

    def __init__(self, port: int) -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)

    def call(self, method: str, path: str, body: object = None, **headers: str) -> Told:
        """One request."""
        content = None if body is None else json.dumps(body).encode()
        begun = time.perf_counter()
        fields = ({} if content is None else {"Content-Type": "application/json"}) | headers
        self._connection.request(method, path, content, fields)
        answer = self._connection.getresponse()
        read = answer.read()
        return Told(answer.status, answer.headers, read, time.perf_counter() - begun)

    def submit(self, body: object) -> Told:
        """A bait that is taken. Raises RuntimeError where it is not."""
        answer = self.call("POST", "/v1/baits", body)
        if answer.status not in (200, 202):
            raise RuntimeError(f"answered {answer.status}: {answer.content[:300]!r}")
        return answer

    def ended(self, path: str, within_s: float) -> dict[str, Any]:
        """The bait at this address once it is successful. Raises RuntimeError where it is not, or not in time."""
        until = time.monotonic() + within_s
        while True:
            bait: dict[str, Any] = self.call("GET", path, Prefer="wait=10").json
            if bait["status"] == "successful":
                return bait
            if bait["status"] in ENDED or time.monotonic() > until:
                raise RuntimeError(f"{path} is {bait['status']}: {bait.get('problem')}")
