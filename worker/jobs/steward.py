"""The steward feeds the queue and looks after what was left behind. It sleeps on a list until needed."""

from __future__ import annotations

import logging
import os
import socket
import time

from redis import Redis
from redis.exceptions import RedisError

from worker.records.artifact_store import ArtifactStore
from worker.records.feeder import Feeder
from worker.records.liveness import Pulse, say_alive, stewards_workers
from worker.records.names import WAKE
from worker.records.reaper import Reaper
from worker.settings import Settings

BUSY_LOOK_S = 0.25  # a lapsed lease and then a delay wait for a look each: both count until a bait runs again
IDLE_LOOK_S = 5.0
AWAY_S = 0.2
_log = logging.getLogger(__name__)


class Steward:
    """One process. Any number of stewards, on any number of hosts, may share a store; each feeds for all workers."""

    def __init__(self, settings: Settings, connection: Redis, artifacts: ArtifactStore) -> None:
        self._connection = connection
        self._name = f"{socket.gethostname()}-{os.getpid()}"
        self._workers = settings.workers
        self._feeder = Feeder(connection, settings.workers, settings.job_limit_s)
        self._reaper = Reaper(connection, artifacts)
        self._pulse = Pulse(lambda: say_alive(connection, self._name, settings.workers))
        self._looked = float("-inf")
        self._busy = True

    def run(self) -> None:
        """Until the process ends; every change is made whole in the store, so it may end anywhere."""
        away = False
        while True:
            try:
                self.round()
                woken = self._connection.blpop([WAKE], BUSY_LOOK_S if self._busy else IDLE_LOOK_S)
                self._busy |= woken is not None
                away = False
            except RedisError as error:
                if not away:
                    _log.warning("the store is away", extra={"error": str(error)})
                away = True
                self._reaper.forget()
                time.sleep(AWAY_S)

    def round(self) -> None:
        """Feed; and four times a second, if anything is in flight or delayed, look after it."""
        self._busy |= self._feeder.feed() > 0
        now = time.monotonic()
        if now - self._looked >= BUSY_LOOK_S * 0.9:
            self._looked = now
            self._busy = self._reaper.look(now)
            self._pulse.beat()
            self._feeder.workers = max(self._workers, stewards_workers(self._connection))
