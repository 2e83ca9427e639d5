"""The running service against a bare hello under the same gunicorn, and against the same work in process."""

from __future__ import annotations

import http.client
import json
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Any

from service.keys.book import KeyBook
from service.keys.key import new_key
from service.scopes import SCOPES
from service.stack.demo_stack import running_stack
from service.stack.process import kill_session, spawn
from service.stack.serve import CHECKOUT, answers_ok, claimable_port
from tests.bench.measure import Row, paired
from tests.bench.worms import SIXTEEN
from tests.stack import eventually
from worker.build import build
from worker.request import read_request

HOST = "127.0.0.1"
CONNECTIONS, REQUESTS, ROUNDS = 8, 600, 15


def rows() -> Iterator[Row]:
    """The service is started for this, on a port and a state folder of its own."""
    with running_stack() as (client, log), hello() as hello_port:
        service = http.client.HTTPConnection(HOST, client.port, timeout=60)
        bait, etag = _built(service, SIXTEEN)
        path = bait["links"]["self"]
        plain = {"port": client.port, "path": path, "headers": {}, "status": 200}
        known = plain | {"headers": {"If-None-Match": etag}, "status": 304}
        asked = {"GET of an existing bait": plain, "GET of an existing bait, answered 304": known}
        yield from _beside_hello(asked, hello_port, "at least 0.5")
        yield from _submissions(service)
        yield from _craws(service)
        service.close()
        # Last, for from here on every call needs a key; what was built before is the caller `local`'s.
        key, token = new_key("local", SCOPES, "", datetime.now(UTC), None)
        KeyBook(log.parent / "keys.json").add(key)
        with_key = plain | {"headers": {"Authorization": f"Bearer {token}"}}
        yield from _beside_hello({"GET of an existing bait, with a key": with_key}, hello_port, "at least 0.35")


def _beside_hello(targets: dict[str, dict[str, Any]], hello_port: int, bar: str) -> Iterator[Row]:
    """Each target's rate as a share of a bare hello's, measured in turns with it."""
    words = {"a bare hello": {"port": hello_port, "path": "/", "headers": {}, "status": 200}} | targets
    plan = {"connections": CONNECTIONS, "requests": REQUESTS, "rounds": ROUNDS, "targets": list(words.values())}
    told = subprocess.run(
        [sys.executable, "-m", "tests.bench.load"],
        input=json.dumps(plan),
        capture_output=True,
        text=True,
        cwd=CHECKOUT,
        timeout=600,
    )
    if told.returncode:
        raise RuntimeError(told.stderr)
    seconds = dict(zip(words, json.loads(told.stdout), strict=True))
    floor = seconds.pop("a bare hello")
    for name, times in seconds.items():
        share = statistics.median(plain / ours for plain, ours in zip(floor, times, strict=True))
        yield Row(
            name,
            f"{REQUESTS / statistics.median(times):,.0f} a second",
            f"a bare hello under the same gunicorn: {REQUESTS / statistics.median(floor):,.0f} a second "
            f"({CONNECTIONS} kept connections, loopback)",
            f"{share:.2f} of it",
            bar,
        )


def _submissions(service: http.client.HTTPConnection) -> Iterator[Row]:
    numbers = count()

    def another() -> dict[str, Any]:
        """A bait that nobody has asked for: a tenth of a micrometre longer than the one before."""
        return SIXTEEN | {"params": SIXTEEN["params"] | {"length": round(130 + next(numbers) * 1e-4, 4)}}

    def over_http() -> None:
        bait, _ = _built(service, another())
        file = next(file for file in bait["files"] if file["name"] == "bait.stl")
        content, _ = _answer(service, "GET", file["href"])
        if len(content) != file["bytes"]:
            raise RuntimeError("the file is not as long as the bait says")

    pair = paired(over_http, lambda: build(read_request(another())), rounds=21)
    yield Row(
        "16-bead worm, POST to the last byte of its STL",
        f"{pair.ours:.0f} ms",
        f"the same work in process: {pair.rival:.0f} ms",
        f"{pair.ours - pair.rival:.0f} ms more, {pair.times_as_long:.2f} times as long",
        "stated",
    )


def _craws(service: http.client.HTTPConnection) -> Iterator[Row]:
    numbers = count()

    def another() -> dict[str, Any]:
        return {"style": "craw", "params": {"length": round(95 + next(numbers) * 1e-4, 4)}}

    def over_http() -> None:
        bait, _ = _built(service, another())
        for file in bait["files"]:
            content, _ = _answer(service, "GET", file["href"])
            if len(content) != file["bytes"]:
                raise RuntimeError("the file is not as long as the bait says")

    pair = paired(over_http, lambda: build(read_request(another())), rounds=7)
    yield Row(
        "craw with default outputs, POST to the last byte of its six files",
        f"{pair.ours:.0f} ms",
        f"the same work in process: {pair.rival:.0f} ms",
        f"{pair.times_as_long:.2f} times as long",
        "under 1.2",
    )


def _built(service: http.client.HTTPConnection, body: dict[str, Any]) -> tuple[dict[str, Any], str]:
    """The finished bait and its entity tag."""
    raw, etag = _answer(service, "POST", "/v1/baits", json.dumps(body).encode())
    bait = json.loads(raw)
    if bait["status"] != "successful":
        raise RuntimeError(f"the bait is {bait['status']}: {bait.get('problem')}")
    return bait, etag or _answer(service, "GET", bait["links"]["self"])[1]


def _answer(
    service: http.client.HTTPConnection, method: str, path: str, body: bytes | None = None
) -> tuple[bytes, str]:
    headers = {"Prefer": "wait=25"} | ({"Content-Type": "application/json"} if body else {})
    service.request(method, path, body, headers)
    answer = service.getresponse()
    content = answer.read()
    if answer.status not in (200, 201):
        raise RuntimeError(f"{method} {path} was answered {answer.status}: {content[:300]!r}")
    return content, answer.headers.get("ETag", "")


@contextmanager
def hello(application: str = "app") -> Iterator[int]:
    """One of `hello.py` under gunicorn with the service's own configuration; yields its port."""
    port = claimable_port(HOST, 0)
    with tempfile.TemporaryDirectory(prefix="pourwright-bench-") as state, (Path(state) / "log").open("wb") as log:
        process = spawn(
            [
                sys.executable,
                "-m",
                "gunicorn",
                "-c",
                "python:service.gunicorn_conf",
                f"tests.bench.hello:{application}",
            ],
            environment={
                **os.environ,
                "POURWRIGHT_HOST": HOST,
                "POURWRIGHT_PORT": str(port),
                "POURWRIGHT_STATE_DIR": state,
            },
            folder=CHECKOUT,
            output=log,
        )
        try:
            eventually(lambda: answers_ok(HOST, port, "/"), seconds=60)
            yield port
        finally:
            process.terminate()
            try:
                process.wait(20)
            finally:
                kill_session(process)
                process.wait()
