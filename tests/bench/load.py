"""`python -m tests.bench.load`: requests over kept connections, from a process of its own.

Reads a plan from standard input, `{"connections", "requests", "rounds", "targets": [{"port", "path", "headers",
"status"}]}`, and writes one list of seconds per target: how long each round's requests took. Targets go in turns. The
client is made to cost little beside the server: requests are ready bytes, answers are counted and not parsed. For that
every answer of a target has to be as long as its first one, which is read with care.
"""

from __future__ import annotations

import json
import selectors
import socket
import sys
import time
from dataclasses import dataclass
from typing import Any

PATIENCE_S = 30.0


@dataclass
class Target:
    """One address: the request as bytes, the connections, the answer's first line and length."""

    request: bytes
    connections: list[socket.socket]
    first_line: bytes
    length: int


def opened(plan: dict[str, Any], connections: int) -> Target:
    """Connect, ask once on each connection, and hold the answer's status to the plan. Raises RuntimeError."""
    headers = {"Host": f"127.0.0.1:{plan['port']}"} | plan["headers"]
    lines = [f"GET {plan['path']} HTTP/1.1", *(f"{name}: {value}" for name, value in headers.items())]
    request = ("\r\n".join(lines) + "\r\n\r\n").encode()
    sockets = [socket.create_connection(("127.0.0.1", plan["port"]), PATIENCE_S) for _ in range(connections)]
    answers = [_asked(connection, request) for connection in sockets]
    first_line = f"HTTP/1.1 {plan['status']} ".encode()
    for answer in answers:
        if not answer.startswith(first_line) or len(answer) != len(answers[0]):
            raise RuntimeError(f"GET {plan['path']} was answered {answer[:60]!r}")
    for connection in sockets:
        connection.setblocking(False)
    return Target(request, sockets, first_line, len(answers[0]))


def _asked(connection: socket.socket, request: bytes) -> bytes:
    """One whole answer, its length by its header."""
    connection.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    connection.sendall(request)
    answer = b""
    while b"\r\n\r\n" not in answer:
        answer += _more(connection)
    head, _, body = answer.partition(b"\r\n\r\n")
    length = 0
    for line in head.split(b"\r\n")[1:]:
        name, _, value = line.partition(b":")
        if name.lower() == b"content-length" and not head.startswith(b"HTTP/1.1 304"):
            length = int(value)
    while len(body) < length:
        body += _more(connection)
    return head + b"\r\n\r\n" + body


def _more(connection: socket.socket) -> bytes:
    part = connection.recv(1 << 18)
    if not part:
        raise RuntimeError("the server closed a kept connection")
    return part


def round_of(target: Target, requests: int) -> float:
    """Seconds for so many requests, one at a time on each connection."""
    waiting, got = selectors.DefaultSelector(), dict.fromkeys(target.connections, 0)
    left = requests - len(target.connections)
    with waiting:
        for connection in target.connections:
            waiting.register(connection, selectors.EVENT_READ, connection)
        begin = time.perf_counter()
        for connection in target.connections:
            connection.send(target.request)
        done = 0
        while done < requests:
            ready = waiting.select(PATIENCE_S)
            if not ready:
                raise RuntimeError(f"no answer within {PATIENCE_S:g} s")
            for key, _ in ready:
                at: socket.socket = key.data
                part = _more(at)
                if got[at] == 0 and not part.startswith(target.first_line):
                    raise RuntimeError(f"answered {part[:60]!r}")
                got[at] += len(part)
                if got[at] >= target.length:
                    got[at], done = 0, done + 1
                    if left > 0:
                        left -= 1
                        at.send(target.request)
        return time.perf_counter() - begin


def main() -> None:
    """See the module."""
    plan = json.load(sys.stdin)
    targets = [opened(target, plan["connections"]) for target in plan["targets"]]
    seconds: list[list[float]] = [[] for _ in targets]
    for target in targets:
        round_of(target, plan["requests"])
    for _ in range(plan["rounds"]):
        for target, times in zip(targets, seconds, strict=True):
            times.append(round_of(target, plan["requests"]))
    json.dump(seconds, sys.stdout)


if __name__ == "__main__":
    main()
