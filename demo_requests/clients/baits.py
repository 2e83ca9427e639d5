"""What `bulk.py` and `gate.py` share: submit requests, wait for their baits, fetch and verify the files.

Standard library alone, so that it can be copied into a store's back end or a CI job as it is.
"""

from __future__ import annotations

import hashlib
import json
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

WAIT_S = 20
"""Seconds that one request asks the service to wait for the bait."""
AT_ONCE = 4
"""Requests under way at once; the service queues what it is sent, so more is not faster."""
LEAST_PAUSE_S = 1.0
ENDED = ("successful", "failed", "dismissed")


class Refused(Exception):
    """The service said no; the text is its problem document (RFC 9457) in one line."""


@dataclass(frozen=True)
class Outcome:
    """One request's end: its bait, or why there is none."""

    name: str
    bait: dict[str, Any] | None
    refusal: str = ""


@dataclass(frozen=True)
class Service:
    """A running Pourwright at `url`, such as http://127.0.0.1:8080. `patience_s`: how long one bait may take."""

    url: str
    patience_s: float = 300.0

    def build(self, request: bytes) -> dict[str, Any]:
        """The ended bait of a request. Raises Refused, and TimeoutError when patience is at its end."""
        until = time.monotonic() + self.patience_s
        bait = self._json("/v1/baits", request, until)
        while bait["status"] not in ENDED:
            if time.monotonic() > until:
                raise TimeoutError(f"the bait was still {bait['status']} after {self.patience_s:g} s")
            bait = self._json(bait["links"]["self"], None, until)
        return bait

    def save(self, bait: dict[str, Any], folder: Path) -> list[Path]:
        """Every file of the bait into `folder`, each held against its SHA-256. Raises Refused where one differs."""
        folder.mkdir(parents=True, exist_ok=True)
        saved = []
        for file in bait["files"]:
            content = self._call(file["href"], None, time.monotonic() + self.patience_s)
            if hashlib.sha256(content).hexdigest() != file["sha256"]:
                raise Refused(f"{file['name']} did not arrive whole")
            saved.append(folder / file["name"])
            saved[-1].write_bytes(content)
        return saved

    def _json(self, path: str, body: bytes | None, until: float) -> dict[str, Any]:
        answer = json.loads(self._call(path, body, until))
        if not isinstance(answer, dict):
            raise Refused(f"{path} did not answer with a JSON object")
        return answer

    def _call(self, path: str, body: bytes | None, until: float) -> bytes:
        """One call, made again as long as the service is only busy: 429 and 503 say when to come back."""
        headers = {"Prefer": f"wait={WAIT_S}", **({"Content-Type": "application/json"} if body is not None else {})}
        while True:
            request = urllib.request.Request(self.url.rstrip("/") + path, body, headers)
            try:
                with urllib.request.urlopen(request, timeout=WAIT_S + 15) as answer:
                    content: bytes = answer.read()
                    return content
            except urllib.error.HTTPError as error:
                with error:
                    busy = error.code in (429, 503)
                    pause = max(LEAST_PAUSE_S, _seconds(error.headers.get("Retry-After")))
                    if not busy or time.monotonic() + pause > until:
                        raise Refused(_in_words(error.code, error.read())) from None
            time.sleep(pause)


def build_all(service: Service, folder: Path, done: Callable[[Outcome], None]) -> list[Outcome]:
    """Builds every `*.json` of a folder, a few at once, in the order of names; `done` hears of each as it ends."""

    def one(path: Path) -> Outcome:
        try:
            outcome = Outcome(path.stem, service.build(path.read_bytes()))
        except (Refused, TimeoutError, OSError) as error:
            outcome = Outcome(path.stem, None, str(error))
        done(outcome)
        return outcome

    with ThreadPoolExecutor(AT_ONCE) as pool:
        return list(pool.map(one, sorted(folder.glob("*.json"))))


def shortfalls(bait: dict[str, Any]) -> Iterator[str]:
    """A line for each check that failed and was not silenced: value, limit, remedy."""
    for check in bait["checks"] or ():
        if check["verdict"] == "fail" and not check["silenced"]:
            remedy = f" Remedy: {check['remedies'][0]['text']}." if check["remedies"] else ""
            unit = f" {check['unit']}" if check["unit"] else ""
            yield f"{check['check']}: {check['value']:g}{unit}, limit {check['limit']:g}{unit}. {check['text']}{remedy}"


def _seconds(retry_after: str | None) -> float:
    try:
        return float(retry_after or 0)
    except ValueError:
        return 0.0  # a date; the least pause does


def _in_words(status: int, content: bytes) -> str:
    try:
        problem = json.loads(content)
        faults = [f"{fault['pointer']}: {fault['detail']}" for fault in problem["errors"]]
        return f"{status} " + "; ".join([problem["detail"], *faults])
    except (ValueError, KeyError, TypeError):
        return f"{status} {content[:200].decode(errors='replace')}"
