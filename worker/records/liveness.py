"""Whether anyone is there to build, on this host or another."""

from __future__ import annotations

import sys
from typing import cast

from redis import Redis

from worker.errors import PourwrightError
from worker.records.connect import for_service, reporting_absence
from worker.records.names import STEWARDS, steward
from worker.settings import load

SAID_FOR_S = 15


def say_alive(connection: Redis, name: str, workers: int) -> None:
    """Say that a steward with so many workers is at work; each says so every few seconds."""
    queue = connection.pipeline(transaction=True)
    queue.sadd(STEWARDS, name)
    queue.set(steward(name), workers, ex=SAID_FOR_S)
    queue.execute()


def alive_workers(connection: Redis) -> int:
    """How many workers the stewards have that said so lately; 0 where there is none."""
    names = [name.decode() for name in cast("set[bytes]", connection.smembers(STEWARDS))]
    if not names:
        return 0
    told = cast("list[bytes | None]", connection.mget([steward(name) for name in names]))
    if silent := [name for name, workers in zip(names, told, strict=True) if workers is None]:
        connection.srem(STEWARDS, *silent)
    return sum(int(workers) for workers in told if workers is not None)


def main() -> int:
    """`python -m worker.records.liveness`: 0 where workers are alive, 1 where none are or the store is away."""
    try:
        with reporting_absence():
            return 0 if alive_workers(for_service(load())) else 1
    except PourwrightError as error:
        print(error.detail, file=sys.stderr)
        return 1


if __name__ == "__main__":
    sys.exit(main())
