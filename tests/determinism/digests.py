"""`python -m tests.determinism.digests [--cores n] [name ...]`: builds, and prints each file's SHA-256 as JSON."""

from __future__ import annotations

import hashlib
import json
import os
import sys
from argparse import ArgumentParser
from collections.abc import Iterable

from tests.determinism.requests import REQUESTS
from worker.build import build
from worker.request import read_request

Digests = dict[str, dict[str, str]]


def digests(names: Iterable[str] = REQUESTS) -> Digests:
    """By request, then by file."""
    return {
        name: {
            file: hashlib.sha256(content).hexdigest()
            for file, content in sorted(build(read_request(REQUESTS[name])).files.items())
        }
        for name in names
    }


def main() -> None:
    """See the module."""
    parser = ArgumentParser()
    parser.add_argument("--cores", type=int)
    parser.add_argument("names", nargs="*", default=list(REQUESTS))
    asked = parser.parse_args()
    if asked.cores is not None:
        os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[: asked.cores])
    json.dump(digests(asked.names), sys.stdout)


if __name__ == "__main__":
    main()
