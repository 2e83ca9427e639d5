"""Whether anyone is there to build, on this host or another."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Sequence
from typing import cast

from redis import Redis

from worker.errors import PourwrightError
from worker.records.connect import for_service, reporting_absence
from worker.records.names import COURIER, STEWARDS, WORKERS, steward, worker
from worker.settings import load

SAID_FOR_S = 15
# Each time the store writes to its disk before it answers, so not with every look and every lease. Under the 5 s for
# which an idle steward and an idle worker sleep: they say so whenever they wake, and three times while it holds.
SAY_EVERY_S = 4.5


class Pulse:
    """Says that somebody is there, as often as it has to be said and no more often."""

    def __init__(self, say: Callable[[], None], clock: Callable[[], float] = time.monotonic) -> None:
        self._say = say
        self._clock = clock
        self._said = float("-inf")

    def beat(self) -> None:
        """Call this as often as you like. Errors of the store's client pass through, and then it was not said."""
        now = self._clock()
        if now - self._said >= SAY_EVERY_S:
            self._say()
            self._said = now


def say_alive(connection: Redis, name: str, workers: int) -> None:
    """Say that a steward with so many workers is at work; each says so every few seconds."""
    queue = connection.pipeline(transaction=True)
    queue.sadd(STEWARDS, name)
    queue.set(steward(name), workers, ex=SAID_FOR_S)
    queue.execute()


def say_worker_alive(connection: Redis, name: str) -> None:
    """Say that a worker is there; each says so itself every few seconds, so that one that hangs is not counted."""
    queue = connection.pipeline(transaction=True)
    queue.sadd(WORKERS, name)
    queue.set(worker(name), 1, ex=SAID_FOR_S)
    queue.execute()


def say_worker_gone(connection: Redis, name: str) -> None:
    """Say that a worker has ended in order."""
    queue = connection.pipeline(transaction=True)
    queue.srem(WORKERS, name)
    queue.delete(worker(name))
    queue.execute()


def say_courier_alive(connection: Redis) -> None:
    """Say that a courier is at work."""
    connection.set(COURIER, 1, ex=SAID_FOR_S)


def stewards_workers(connection: Redis) -> int:
    """How many workers the stewards are to have that said so lately; 0 where there is no steward."""
    return sum(_told(connection, STEWARDS, steward))


def alive_workers(connection: Redis) -> int:
    """How many workers have lately said themselves that they are there; 0 where no steward feeds them."""
    if not stewards_workers(connection):
        return 0
    return sum(_told(connection, WORKERS, worker))


def courier_alive(connection: Redis) -> bool:
    """Whether a courier has lately said that it is at work."""
    return bool(connection.exists(COURIER))


def _told(connection: Redis, members: str, key: Callable[[str], str]) -> list[int]:
    """What those of a set last said of themselves; whoever has been silent is taken out of it."""
    names = [name.decode() for name in cast("set[bytes]", connection.smembers(members))]
    if not names:
        return []
    told = cast("list[bytes | None]", connection.mget([key(name) for name in names]))
    if silent := [name for name, said in zip(names, told, strict=True) if said is None]:
        connection.srem(members, *silent)
    return [int(said) for said in told if said is not None]


def main(arguments: Sequence[str] = ()) -> int:
    """`python -m worker.records.liveness [courier]`: 0 where workers, or a courier, are alive, else 1."""
    alive = courier_alive if "courier" in arguments else alive_workers
    try:
        with reporting_absence():
            return 0 if alive(for_service(load())) else 1
    except PourwrightError as error:
        print(error.detail, file=sys.stderr)
        return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
