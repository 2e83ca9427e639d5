"""A batch of a thousand baits: what its status takes meanwhile, whether memory grows, and whether all of it ends."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import psutil

from service.stack.demo_stack import running_stack
from tests.load.calling import ENDED, Caller
from tests.load.figures import Figure, in_ms, percentile

BAITS = 1000
ASK_EVERY_S = 0.1
LOOK_EVERY_S = 1.0
WITHIN_S = 3600.0
SETTLED_S = 3.0
"""By then the process that built the first bait has ended."""
WARM_SHARE = 1 / 3
"""Of the batch's time, after which memory is held to be level: every process has by then done all that it does."""
STATUS_MS, SLOPE_MB = 50.0, 1.0


@dataclass(slots=True)
class Memory:
    """Resident bytes of each long-lived process of the stack, second by second."""

    processes: dict[int, tuple[str, psutil.Process]]
    seconds: list[float] = field(default_factory=list)
    bytes_of: dict[int, list[int]] = field(default_factory=dict)

    @classmethod
    def of_stack(cls) -> Memory:
        """Of all our children that are there while no job is; a job's own process lives for one bait."""
        first = set(psutil.Process().children(recursive=True))
        time.sleep(SETTLED_S)
        found = first & set(psutil.Process().children(recursive=True))
        return cls({process.pid: (_role(process.cmdline()), process) for process in found})

    def look(self, at: float) -> None:
        """One more reading."""
        self.seconds.append(at)
        for pid, (_, process) in self.processes.items():
            self.bytes_of.setdefault(pid, []).append(process.memory_info().rss)

    def slope(self, store: bool) -> tuple[float, float]:
        """MB a minute by least squares after the warm share, and MB at the end; of the store, or of all but it."""
        chosen = [pid for pid, (role, _) in self.processes.items() if (role == "store") == store]
        whole = [sum(self.bytes_of[pid][place] for pid in chosen) / 1e6 for place in range(len(self.seconds))]
        first = next(at for at, second in enumerate(self.seconds) if second >= WARM_SHARE * self.seconds[-1])
        return 60 * statistics.linear_regression(self.seconds[first:], whole[first:]).slope, whole[-1]


def _role(command: list[str]) -> str:
    return "store" if any("valkey" in word or "redis" in word for word in command[:1]) else "ours"


def figures() -> Iterator[Figure]:
    """One caller's batch on two workers, asked about ten times a second."""
    with running_stack({"POURWRIGHT_WORKERS": "2"}) as (client, _):
        caller = Caller(client.port)
        bait = client.build({"style": "beaded_worm"}, 60)["links"]["self"]
        memory = Memory.of_stack()
        items = [_item(number) for number in range(BAITS)]
        begun = time.perf_counter()
        taken = caller.call("POST", "/v1/batches", items)
        if taken.status != 202:
            raise RuntimeError(f"answered {taken.status}: {taken.content[:300]!r}")
        status, single, ended = _followed(caller, taken.json["links"]["self"], bait, memory, begun)
        took = time.perf_counter() - begun
    counts = ended["counts"]
    yield Figure(
        f"status of a batch of {BAITS:,} baits while it is built",
        in_ms(status),
        f"GET of a finished bait beside it: {in_ms(single)}",
        f"{1000 * percentile(status, 99):.0f} ms at p99",
        f"under {STATUS_MS:g} ms",
        1000 * percentile(status, 99) < STATUS_MS,
    )
    (slope, held), (of_store, store) = memory.slope(store=False), memory.slope(store=True)
    yield Figure(
        "memory of service, workers and courier meanwhile",
        f"{held:.0f} MB at the end, {slope:+.2f} MB a minute over the last {(1 - WARM_SHARE) * took / 60:.1f} minutes",
        f"the store, which has the records: {store:.0f} MB, {of_store:+.2f} MB a minute",
        f"{slope:+.2f} MB a minute",
        f"under {SLOPE_MB:g} MB a minute",
        slope < SLOPE_MB,
    )
    yield Figure(
        f"that batch, taken in {1000 * taken.seconds:.0f} ms",
        f"{counts}",
        f"{BAITS} sent",
        f"{counts['successful']} successful in {took:.0f} s, {counts['successful'] / took:.1f} a second",
        "all ended",
        counts["successful"] == BAITS,
    )


def _item(number: int) -> dict[str, Any]:
    return {"style": "beaded_worm", "params": {"length": round(120 + number * 1e-3, 3)}}


def _followed(
    caller: Caller, batch: str, bait: str, memory: Memory, begun: float
) -> tuple[list[float], list[float], dict[str, Any]]:
    """Seconds of each status call and of each GET of the bait, and the batch at its end.

    A call's time counts from when it was due, so that one which had to wait for the one before is not told as quick.
    """
    status: list[float] = []
    single: list[float] = []
    due = look = time.perf_counter()
    while time.perf_counter() - begun < WITHIN_S:
        due += ASK_EVERY_S
        time.sleep(max(0.0, due - time.perf_counter()))
        answer = caller.call("GET", batch)
        status.append(time.perf_counter() - due)
        if answer.json["status"] in ENDED:
            return status, single, answer.json
        if time.perf_counter() - look >= LOOK_EVERY_S:
            look += LOOK_EVERY_S
            single.append(caller.call("GET", bait).seconds)
            memory.look(look - begun)
        due = max(due, time.perf_counter() - ASK_EVERY_S)
    raise RuntimeError(f"the batch had not ended after {WITHIN_S:g} s")
