"""Whether anyone is there to build."""

from __future__ import annotations

from typing import cast

from redis import Redis

from worker.records.names import STEWARD

SAID_FOR_S = 15


def say_alive(connection: Redis, workers: int) -> None:
    """Say that a steward with so many workers is at work; it says so every few seconds."""
    connection.set(STEWARD, workers, ex=SAID_FOR_S)


def alive_workers(connection: Redis) -> int:
    """How many workers the steward who last said so has; 0 where none has for a while."""
    return int(cast("bytes | None", connection.get(STEWARD)) or 0)
