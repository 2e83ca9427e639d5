"""The caretaker removes what is no longer to be kept: a process of its own, so that the steward waits for no disk."""

from __future__ import annotations

import logging
import os
import time

from redis import Redis
from redis.exceptions import RedisError

from worker.records.artifact_store import ArtifactStore
from worker.records.attempts import Attempts
from worker.records.names import AttemptName
from worker.records.reaper import LEASE_S
from worker.records.retention import Retention
from worker.settings import Settings

LOWER_PRIORITY = 10  # nice(2): builds come first
_log = logging.getLogger(__name__)


class Caretaker:
    """One process in the pool. Any number of them, on any number of hosts, may share the folders."""

    def __init__(self, settings: Settings, connection: Redis, artifacts: ArtifactStore) -> None:
        self._artifacts = artifacts
        self._attempts = Attempts(connection)
        self._retention = Retention.open(settings, artifacts)
        self._every_s = settings.sweep_every_s

    def run(self) -> None:
        """Until the process ends, which it may anywhere: every removal begins with one rename."""
        os.nice(LOWER_PRIORITY)
        while True:
            self.round()
            time.sleep(self._every_s)

    def round(self) -> None:
        """One look at everything. A disk that refuses is told to the log, and looked at again in time."""
        try:
            if left := self._artifacts.sweep(LEASE_S, self._is_alive):
                _log.warning("what dead builds left half written was removed", extra={"removed": left})
            self._retention.sweep()
        except OSError as error:
            _log.error("baits could not be removed", extra={"error": str(error)})

    def _is_alive(self, job_id: str) -> bool:
        """Whether a half-written folder is some attempt's present work; its lease, not its age, tells that."""
        try:
            return self._attempts.standing(AttemptName.parse(job_id)) == "running"
        except ValueError:  # what is on its way out
            return False
        except RedisError:  # nobody can tell now
            return True
