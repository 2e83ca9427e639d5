"""A plain HTTP client of the service, as one would write it with the standard library: submit, wait, fetch."""

from __future__ import annotations

import hashlib
import http.client
import json
import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

WAIT_S = 25  # the longest wait that the service grants to one request
ENDED = ("successful", "failed", "dismissed")


class DemoFailed(Exception):
    """The service did not do as asked; the text says what was asked and what it answered."""


@dataclass(frozen=True, slots=True)
class Client:
    """Talks to one service. A connection per call, and no proxy that the environment may name."""

    host: str
    port: int

    def build(self, request: Mapping[str, Any], within_s: float) -> dict[str, Any]:
        """POST a bait and return its body once it has ended. Raises DemoFailed if refused or not done in time."""
        return self.ask("/v1/baits", request, within_s)

    def ask(self, path: str, request: Mapping[str, Any], within_s: float) -> dict[str, Any]:
        """The same of a bait or a fit, by the address that it is posted to."""
        deadline = time.monotonic() + within_s
        asked = self._json("POST", path, json.dumps(request).encode())
        while asked["status"] not in ENDED:
            if time.monotonic() > deadline:
                raise DemoFailed(f"it was still {asked['status']} after {within_s:g} s")
            asked = self._json("GET", asked["links"]["self"])
        return asked

    def fetch(self, file: Mapping[str, Any]) -> bytes:
        """A file's bytes, held against the length and the SHA-256 that the bait states."""
        content = self._call("GET", file["href"])
        if len(content) != file["bytes"] or hashlib.sha256(content).hexdigest() != file["sha256"]:
            raise DemoFailed(f"{file['href']} is not the file that the bait names: its length or SHA-256 differs")
        return content

    def _json(self, method: str, path: str, body: bytes | None = None) -> dict[str, Any]:
        answer = json.loads(self._call(method, path, body))
        if not isinstance(answer, dict):
            raise DemoFailed(f"{method} {path} answered with no JSON object")
        return answer

    def _call(self, method: str, path: str, body: bytes | None = None) -> bytes:
        headers = {"Prefer": f"wait={WAIT_S}"}
        if body is not None:
            headers["Content-Type"] = "application/json"
        connection = http.client.HTTPConnection(self.host, self.port, timeout=WAIT_S + 15)
        try:
            connection.request(method, path, body, headers)
            answer = connection.getresponse()
            content = answer.read()
        except (OSError, http.client.HTTPException) as reason:
            raise DemoFailed(f"{method} {path} got no answer: {reason or type(reason).__name__}") from reason
        finally:
            connection.close()
        if answer.status >= 400:
            raise DemoFailed(f"{method} {path} was answered {answer.status}: {_in_words(content)}")
        return content


def _in_words(content: bytes) -> str:
    """A problem document (RFC 9457) as one line: its detail, then each fault by its pointer."""
    try:
        problem = json.loads(content)
        faults = [f"{fault['pointer']}: {fault['detail']}" for fault in problem.get("errors", [])]
        return "; ".join([str(problem.get("detail") or problem.get("title")), *faults])
    except (ValueError, TypeError, KeyError, AttributeError):
        return content[:200].decode(errors="replace")
