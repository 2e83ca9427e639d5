"""Builds of requests, one after another, and nothing else: a line of JSON with them, `ready` back, then `go`."""

from __future__ import annotations

import os
import sys

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the pool of workers has it

import json

from worker.build import build
from worker.request import read_request


def main() -> None:
    """One build first, so that all is loaded and warm."""
    requests = [read_request(body) for body in json.loads(sys.stdin.readline())]
    build(read_request({"style": "craw", "params": {"length": 94.0}, "outputs": ["stl"]}))
    print("ready", flush=True)
    sys.stdin.readline()
    for request in requests:
        build(request)


if __name__ == "__main__":
    main()
