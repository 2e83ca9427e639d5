"""Counts that only go up, kept in the store: workers end jobs in processes that live for seconds, on any host."""

from __future__ import annotations

import logging
from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import cast

from redis import Redis
from redis.exceptions import RedisError

from worker.records.names import HOOKS_DUE, LANES, OUTBOX, TALLY, in_flight, lane_callers, line

STEPS = ("solid", "measures", "cuts", "checks", "files")
SECONDS = (0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0, 60.0)
_log = logging.getLogger(__name__)


def tally_steps(connection: Redis, timings: Mapping[str, float]) -> None:
    """Count a build's steps by their milliseconds. What is not counted is no harm to the bait."""
    queue = connection.pipeline(transaction=False)
    for step in STEPS:
        if (took := timings.get(step)) is not None:
            place = bisect_left(SECONDS, took / 1000)
            queue.hincrby(TALLY, f"step:{step}:{place}", 1)
            queue.hincrbyfloat(TALLY, f"step:{step}:sum", took / 1000)
    try:
        queue.execute()
    except RedisError as error:
        _log.warning("a build's steps were not counted", extra={"error": str(error)})


@dataclass(frozen=True, slots=True)
class Standing:
    """How the store stands: what waits and what is in flight by lane, what is to be told, and the counts."""

    waiting: dict[str, int]
    in_flight: dict[str, int]
    outbox: int
    webhooks_due: int
    counts: dict[str, float] = field(default_factory=dict)


def read_standing(connection: Redis) -> Standing:
    """All of it, in two or three short looks. Errors of the store's client pass through."""
    queue = connection.pipeline(transaction=False)
    for lane in LANES:
        queue.lrange(lane_callers(lane), 0, -1)
        queue.scard(in_flight(lane))
    queue.xlen(OUTBOX)
    queue.zcard(HOOKS_DUE)
    queue.hgetall(TALLY)
    *lanes, outbox, due, tally = queue.execute()
    waiting = {}
    for lane, callers in zip(LANES, lanes[::2], strict=True):
        lengths = connection.pipeline(transaction=False)
        for caller in callers:
            lengths.llen(line(lane, caller.decode()))
        waiting[lane] = sum(cast("list[int]", lengths.execute())) if callers else 0
    return Standing(
        waiting=waiting,
        in_flight=dict(zip(LANES, lanes[1::2], strict=True)),
        outbox=outbox,
        webhooks_due=due,
        counts={name.decode(): float(count) for name, count in tally.items()},
    )
