"""`python -m tests.bench.paced`: one call after another at a steady pace, from a process of its own.

Reads a plan from standard input, `{"port", "method", "path", "bodies", "each_s", "seconds"}`, and writes
`{"status": {status: how often}, "times": [...]}`: the seconds that each call took, counted from when it was due, so
that one which had to wait for the one before is not told as quick. Bodies are sent in turn; null sends none. It ends
with its time, however many calls are still due then.
"""

from __future__ import annotations

import http.client
import json
import sys
import time
from collections import Counter
from itertools import count, cycle
from typing import Any


def calls(plan: dict[str, Any]) -> dict[str, Any]:
    """Make the calls of a plan."""
    connection = http.client.HTTPConnection("127.0.0.1", plan["port"], timeout=60)
    bodies = [None if body is None else json.dumps(body).encode() for body in plan["bodies"]]
    status: Counter[str] = Counter()
    times: list[float] = []
    begun = time.perf_counter()
    for number, body in zip(count(), cycle(bodies), strict=False):
        due = begun + number * plan["each_s"]
        if max(due, time.perf_counter()) - begun >= plan["seconds"]:
            break
        if (left := due - time.perf_counter()) > 0:
            time.sleep(left)
        connection.request(plan["method"], plan["path"], body, {"Content-Type": "application/json"} if body else {})
        answer = connection.getresponse()
        answer.read()
        times.append(time.perf_counter() - due)
        status[str(answer.status)] += 1
    return {"status": dict(status), "times": times}


if __name__ == "__main__":
    json.dump(calls(json.load(sys.stdin)), sys.stdout)
