"""Submits bodies over some kept connections at once: a plan on standard input, a list of answers on standard output."""

from __future__ import annotations

import json
import sys
import threading
from collections.abc import Iterator
from typing import Any

from tests.load.calling import Caller


def submitted(plan: dict[str, Any]) -> list[dict[str, Any]]:
    """What became of each body, in the order of the answers."""
    bodies: Iterator[dict[str, Any]] = iter(plan["bodies"])
    told: list[dict[str, Any]] = []
    lock, together = threading.Lock(), threading.Barrier(plan["connections"])

    def one_connection() -> None:
        caller = Caller(plan["port"])
        caller.call("GET", "/healthz")
        together.wait()
        while True:
            with lock:
                body = next(bodies, None)
            if body is None:
                return
            answer = caller.call("POST", "/v1/baits", body)
            path, wait = answer.headers.get("Location"), answer.headers.get("Retry-After")
            one = {"status": answer.status, "seconds": answer.seconds, "path": path, "retry_after": wait}
            with lock:
                told.append(one)

    threads = [threading.Thread(target=one_connection) for _ in range(plan["connections"])]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return told


if __name__ == "__main__":
    json.dump(submitted(json.load(sys.stdin)), sys.stdout)
