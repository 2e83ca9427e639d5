"""GET of a bait that is there, against a hello under the same gunicorn: by rate and by the server's CPU time.

Held to a bare one, and stated beside one that goes through Flask and does nothing else.
"""

from __future__ import annotations

import http.client
import json
import statistics
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

import psutil

from service.keys.book import KeyBook
from service.keys.key import new_key
from service.scopes import SCOPES
from service.stack.demo_stack import running_stack
from service.stack.serve import CHECKOUT
from tests.bench.serving import HOST, hello
from tests.bench.worms import SIXTEEN
from tests.load.figures import Figure

CONNECTIONS, REQUESTS, ROUNDS = 8, 600, 15
WITHOUT_KEYS, WITH_KEYS = 0.5, 0.35
Target = dict[str, Any]


def figures() -> Iterator[Figure]:
    """The service is started for this, on a port and a state folder of its own; so is the hello."""
    with running_stack() as (client, log), hello() as hello_port, hello("flask_app") as flask_port:
        path = client.build(SIXTEEN, 60)["links"]["self"]
        floor = {"port": hello_port, "path": "/", "headers": {}, "status": 200}
        plain = {"port": client.port, "path": path, "headers": {}, "status": 200}
        through_flask = floor | {"port": flask_port}
        known = plain | {"headers": {"If-None-Match": _etag(client.port, path)}, "status": 304}
        yield _beside("GET of an existing bait", plain, floor, WITHOUT_KEYS)
        yield _beside("the same, against a hello of Flask", plain, through_flask)
        yield _beside("the same, answered 304", known, floor, WITHOUT_KEYS)
        # From here on every call needs a key; what was built before is the caller `local`'s.
        key, token = new_key("local", SCOPES, "", datetime.now(UTC), None)
        KeyBook(log.parent / "keys.json").add(key)
        keyed = plain | {"headers": {"Authorization": f"Bearer {token}"}}
        yield _beside("GET of an existing bait, with a key", keyed, floor, WITH_KEYS)


def _beside(what: str, target: Target, floor: Target, bar: float | None = None) -> Figure:
    """In turns: rates by the clock, and the CPU time that each server took a request, which others disturb less."""
    servers = [_listener(int(one["port"])) for one in (floor, target)]
    seconds: list[list[float]] = [[], []]
    cpu = [0.0, 0.0]
    for _ in range(ROUNDS):
        for place, one in enumerate((floor, target)):
            before = _cpu(servers[place])
            seconds[place] += _round(one)
            cpu[place] += _cpu(servers[place]) - before
    share = statistics.median(plain / ours for plain, ours in zip(*seconds, strict=True))
    rates = [REQUESTS / statistics.median(times) for times in seconds]
    # A round goes twice over: once to warm up, and once on each connection to see how long an answer is.
    each = [1e6 * whole / (ROUNDS * (2 * REQUESTS + CONNECTIONS)) for whole in cpu]
    return Figure(
        what,
        f"{rates[1]:,.0f} a second, {each[1]:.0f} us of CPU",
        f"the hello under the same gunicorn: {rates[0]:,.0f} a second, {each[0]:.0f} us "
        f"({CONNECTIONS} kept connections, loopback)",
        f"{share:.2f} of its rate; {each[0] / each[1]:.2f} by CPU time",
        "stated" if bar is None else f"at least {bar:g}",
        None if bar is None else share >= bar,
    )


def _round(target: Target) -> list[float]:
    plan = {"connections": CONNECTIONS, "requests": REQUESTS, "rounds": 1, "targets": [target]}
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
    (times,) = json.loads(told.stdout)
    return list(times)


def _listener(port: int) -> psutil.Process:
    """Of our children the one that answers on this port: of a server and its forked process, the latter."""
    found = [process for process in psutil.Process().children(recursive=True) if _listens(process, port)]
    return max(found, key=lambda process: process.create_time())


def _listens(process: psutil.Process, port: int) -> bool:
    try:
        told = process.net_connections("tcp")
    except psutil.NoSuchProcess:  # a build's process, ended meanwhile
        return False
    return any(one.status == psutil.CONN_LISTEN and one.laddr.port == port for one in told)


def _cpu(process: psutil.Process) -> float:
    times = process.cpu_times()
    return float(times.user + times.system)


def _etag(port: int, path: str) -> str:
    connection = http.client.HTTPConnection(HOST, port, timeout=60)
    connection.request("GET", path)
    answer = connection.getresponse()
    answer.read()
    connection.close()
    return str(answer.headers["ETag"])
