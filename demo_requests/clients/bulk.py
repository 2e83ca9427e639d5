"""Builds a folder of requests and keeps every file: python bulk.py FOLDER OUT [--service URL] [--at-once N]

Exit code 0 when every bait was built and its files arrived whole, 1 when one was refused or failed, 2 when the
service could not be reached or the folder has no request. The same request is the same bait, so running it again builds
nothing twice. Standard library alone, so that it can be copied into a store's back end as it is.
"""

from __future__ import annotations

import argparse
import hashlib
import http.client
import json
import math
import os
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from email.message import Message
from pathlib import Path
from typing import Any, Literal

WAIT_S = 20
"""Seconds that one call asks the service to wait for the bait."""
LEAST_PAUSE_S = 0.2
"""Shortest pause before a call is made again, in seconds, whatever the service says."""
BUSY = (429, 503)
UNDER_WAY = ("accepted", "running")
ALL_BUILT, NOT_BUILT, NOT_TRIED = 0, 1, 2
"""Exit codes, as above."""


class Refused(Exception):
    """The service said no; the text is its problem document (RFC 9457) in one line."""


@dataclass(frozen=True)
class Outcome:
    """One request's end. `trouble` says in a line why there is no bait, or not all of its files."""

    name: str
    end: Literal["built", "refused", "unreachable"]
    bait: dict[str, Any]
    saved: tuple[Path, ...] = ()
    trouble: str = ""


@dataclass(frozen=True)
class Service:
    """A running Pourwright at `url`, such as http://127.0.0.1:8080. `patience_s`: how long one bait may take."""

    url: str
    patience_s: float = 300.0
    key: str = field(default_factory=lambda: os.environ.get("POURWRIGHT_KEY", ""), repr=False)
    """Sent where the service has keys; from the environment, for a command line can be read by others."""

    def build(self, request: bytes) -> dict[str, Any]:
        """The bait of a request, built. Raises Refused, also where the bait failed; TimeoutError; OSError."""
        until = time.monotonic() + self.patience_s
        content, headers = self._call("/v1/baits", request, until)
        place = headers.get("Location", "")
        while (bait := json.loads(content))["status"] in UNDER_WAY:
            # Without this a service whose waiters are all taken, so that it answers at once, would be asked in a spin.
            if headers.get("Preference-Applied") is None:
                _pause(headers, until, f"the bait was still {bait['status']} after {self.patience_s:g} s")
            elif time.monotonic() > until:
                raise TimeoutError(f"the bait was still {bait['status']} after {self.patience_s:g} s")
            content, headers = self._call(place, None, until)
        if bait["status"] != "successful":
            raise Refused(f"{bait['status']}: {(bait['problem'] or {}).get('detail', 'somebody dismissed it')}")
        built: dict[str, Any] = bait
        return built

    def save(self, bait: dict[str, Any], folder: Path) -> tuple[Path, ...]:
        """Every file of the bait into `folder`, each held against its SHA-256. Raises Refused where one differs."""
        folder.mkdir(parents=True, exist_ok=True)
        saved = []
        for file in bait["files"]:
            content, _ = self._call(file["href"], None, time.monotonic() + self.patience_s)
            if hashlib.sha256(content).hexdigest() != file["sha256"]:
                raise Refused(f"{file['name']} is not what the service says it is (SHA-256)")
            saved.append(folder / file["name"])
            saved[-1].write_bytes(content)
        return tuple(saved)

    def _call(self, path: str, body: bytes | None, until: float) -> tuple[bytes, Message]:
        """One call, made again as long as the service is only busy: 429 and 503 say when to come back."""
        headers = {"Prefer": f"wait={WAIT_S}", **({"Content-Type": "application/json"} if body is not None else {})}
        while True:
            request = urllib.request.Request(self.url.rstrip("/") + path, body, headers)
            if self.key:
                request.add_unredirected_header("Authorization", f"Bearer {self.key}")
            try:
                with urllib.request.urlopen(request, timeout=WAIT_S + 15) as answer:
                    return answer.read(), answer.headers
            except urllib.error.HTTPError as error:
                with error:
                    in_words = _in_words(error.code, error.read())
                if error.code not in BUSY:
                    raise Refused(in_words) from None
                _pause(error.headers, until, in_words)


def build_all(service: Service, folder: Path, out: Path, at_once: int) -> Iterator[Outcome]:
    """Builds every `*.json` of a folder, a few at once, and yields how each ended, in the order of their names.

    Each bait's files go to a folder of its own in `out`.
    """

    def one(path: Path) -> Outcome:
        bait: dict[str, Any] = {}
        try:
            bait = service.build(path.read_bytes())
            return Outcome(path.stem, "built", bait, service.save(bait, out / path.stem))
        except Refused as refused:
            return Outcome(path.stem, "refused", bait, trouble=str(refused))
        except (OSError, http.client.HTTPException, ValueError) as error:
            return Outcome(path.stem, "unreachable", bait, trouble=str(error) or type(error).__name__)

    with ThreadPoolExecutor(max(1, at_once)) as pool:
        yield from pool.map(one, sorted(folder.glob("*.json")))


def _pause(headers: Message, until: float, why: str) -> None:
    """Waits as long as Retry-After asks. Raises TimeoutError with `why` where that is longer than patience lasts."""
    try:
        asked_s = float(headers.get("Retry-After", "1"))
    except ValueError:
        asked_s = 1.0  # a date, which our service does not send
    pause_s = max(LEAST_PAUSE_S, asked_s if math.isfinite(asked_s) else 1.0)
    if time.monotonic() + pause_s > until:
        raise TimeoutError(why)
    time.sleep(pause_s)


def _in_words(status: int, content: bytes) -> str:
    try:
        problem = json.loads(content)
        faults = [f"{fault['pointer']}: {fault['detail']}" for fault in problem["errors"]]
        return f"{status} " + "; ".join([problem["detail"], *faults])
    except (ValueError, KeyError, TypeError):
        return f"{status} {content[:200].decode(errors='replace')}"


def main(arguments: list[str]) -> int:
    """See above."""
    parser = argparse.ArgumentParser(description="Build a folder of requests and keep every file.")
    parser.add_argument("folder", type=Path, help="folder with one request a .json file")
    parser.add_argument("out", type=Path, help="where each bait's files go, a folder each")
    parser.add_argument("--service", default="http://127.0.0.1:8080", help="address of the service")
    parser.add_argument("--at-once", type=int, default=4, help="requests under way at once; 4 unless told")
    chosen = parser.parse_args(arguments)
    outcomes = []
    for outcome in build_all(Service(chosen.service), chosen.folder, chosen.out, chosen.at_once):
        print(_line(outcome), flush=True)
        outcomes.append(outcome)
    ends = [outcome.end for outcome in outcomes]
    print(f"{ends.count('built')} of {len(ends)} baits built")
    if not ends or "unreachable" in ends:
        return NOT_TRIED
    return NOT_BUILT if "refused" in ends else ALL_BUILT


def _line(outcome: Outcome) -> str:
    if outcome.end != "built":
        return f"{outcome.name}: {outcome.trouble}"
    failed = [check["check"] for check in outcome.bait["checks"] if check["verdict"] == "fail"]
    said = f"; fails {', '.join(failed)}" if failed else ""
    return f"{outcome.name}: {len(outcome.saved)} files, bait {outcome.bait['id'][:12]}{said}"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
