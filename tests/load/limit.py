"""Five hundred submissions where a hundred may wait: what becomes of those taken, and how soon the rest is refused."""

from __future__ import annotations

import json
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from typing import Any

from service.stack.demo_stack import running_stack
from service.stack.serve import CHECKOUT
from tests.load.calling import Caller
from tests.load.figures import Figure, in_ms, percentile

SUBMISSIONS, LIMIT, CONNECTIONS = 500, 100, 16
REFUSED_MS = 100.0


def figures() -> Iterator[Figure]:
    """From sixteen connections at once, each the next as soon as the last is answered."""
    with running_stack({"POURWRIGHT_WORKERS": "2", "POURWRIGHT_QUEUE_LIMIT": str(LIMIT)}) as (client, _):
        client.build({"style": "beaded_worm"}, 120)  # all is loaded and warm
        told = submitted(client.port)
        taken = [one for one in told if one["status"] in (200, 201, 202)]
        refused = [one for one in told if one["status"] == 503]
        caller = Caller(client.port)
        lost = sum(caller.call("GET", one["path"]).status == 404 for one in taken)
        ended = [caller.ended(one["path"], 900) for one in taken] if not lost else []
    seconds = [one["seconds"] for one in refused]
    others = Counter(one["status"] for one in told if one not in taken and one not in refused)
    told_when = sum(one["retry_after"] is not None for one in refused)
    yield Figure(
        f"{SUBMISSIONS} submissions of worms where {LIMIT} may wait",
        f"{len(taken)} taken, {len(refused)} refused with 503, {told_when} of them with Retry-After",
        f"{len(taken)} acknowledged",
        f"{len(taken) - len(ended)} lost" + (f"; other answers {dict(others)}" if others else ""),
        "none lost",
        len(ended) == len(taken) > 0 and not others and told_when == len(refused),
    )
    yield Figure(
        "the refusals",
        in_ms(seconds),
        f"those taken: {in_ms([one['seconds'] for one in taken])} ({CONNECTIONS} connections)",
        f"{1000 * percentile(seconds, 99):.0f} ms at p99",
        f"under {REFUSED_MS:g} ms",
        1000 * percentile(seconds, 99) < REFUSED_MS,
    )


def submitted(port: int) -> list[dict[str, Any]]:
    """What each submission was answered, by a client in a process of its own."""
    bodies = [{"style": "beaded_worm", "params": {"length": round(120 + n * 1e-3, 3)}} for n in range(SUBMISSIONS)]
    made = subprocess.run(
        [sys.executable, "-m", "tests.load.submitting"],
        input=json.dumps({"port": port, "connections": CONNECTIONS, "bodies": bodies}),
        capture_output=True,
        text=True,
        cwd=CHECKOUT,
        timeout=600,
    )
    if made.returncode:
        raise RuntimeError(made.stderr)
    told: list[dict[str, Any]] = json.loads(made.stdout)
    return told
