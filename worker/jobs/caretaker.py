"""The caretaker does what waits for disks, so that the steward does not: batches written down, what is old removed."""

from __future__ import annotations

import logging
import os
import time

from redis import Redis
from redis.exceptions import RedisError

from worker.errors import PourwrightError
from worker.records.artifact_store import ArtifactStore
from worker.records.attempts import Attempts
from worker.records.batch_upkeep import BatchSweep, Sealer
from worker.records.batches import Batches
from worker.records.clock import TrustedClock
from worker.records.names import AttemptName
from worker.records.places import open_documents
from worker.records.reaper import LEASE_S
from worker.records.retention import Retention
from worker.records.turn import Turn, TurnLost
from worker.settings import Settings

LOWER_PRIORITY = 10  # nice(2): builds come first
SEAL_EVERY_S = 2.0
SWEEP_BATCHES_EVERY_S = 3600.0
_log = logging.getLogger(__name__)


class Caretaker:
    """One process in the pool. Any number of them may share store and folders; they take turns at sweeping."""

    def __init__(self, settings: Settings, connection: Redis, artifacts: ArtifactStore) -> None:
        self._artifacts = artifacts
        self._attempts = Attempts(connection)
        batches = Batches.open(settings)
        self._sealer = Sealer(connection, batches)
        self._turn = Turn(connection)
        self._clock = TrustedClock()
        self._retention = Retention.open(settings, artifacts, self._clock, batches.held, self._between)
        documents = open_documents(settings)
        self._batch_sweep = BatchSweep(documents, batches, settings.batch_days * 24 * 3600.0, self._between)
        self._every_s = settings.sweep_every_s
        self._sealed = self._swept_batches = float("-inf")

    def run(self) -> None:
        """Until the process ends, which it may anywhere: every removal begins with one rename."""
        os.nice(LOWER_PRIORITY)
        swept = float("-inf")
        while True:
            self.seal()
            if time.monotonic() - swept >= self._every_s:
                self.round()
                swept = time.monotonic()
            time.sleep(min(SEAL_EVERY_S, self._every_s))

    def seal(self) -> None:
        """Write down the batches that have ended. Until it is done the store has what is known of them."""
        self._sealed = time.monotonic()
        try:
            self._sealer.look()
        except (RedisError, PourwrightError) as error:
            _log.warning("batches could not be written down", extra={"error": str(error)})

    def round(self) -> None:
        """One look at everything. A disk that refuses is told to the log, and looked at again in time."""
        try:
            if left := self._artifacts.sweep(LEASE_S, self._is_alive):
                _log.warning("what dead builds left half written was removed", extra={"removed": left})
            with self._turn.taken() as ours:
                if ours:
                    self._sweep()
        except OSError as error:
            _log.error("baits could not be removed", extra={"error": str(error)})
        except TurnLost:
            _log.warning("another caretaker has taken the turn to sweep")
        except (RedisError, PourwrightError) as error:  # nobody can tell what batches hold
            _log.warning("nothing was swept", extra={"error": str(error)})

    def _sweep(self) -> None:
        self._retention.sweep()
        now = self._clock.now()
        if now is not None and time.monotonic() - self._swept_batches >= SWEEP_BATCHES_EVERY_S:
            self._batch_sweep.look(now)
            self._swept_batches = time.monotonic()

    def _between(self) -> None:
        """In the midst of a long sweep: say that it goes on, and let no batch wait for its end."""
        self._turn.keep()
        if time.monotonic() - self._sealed >= SEAL_EVERY_S:
            self.seal()

    def _is_alive(self, job_id: str) -> bool:
        """Whether a half-written folder is some attempt's present work; its lease, not its age, tells that."""
        try:
            return self._attempts.standing(AttemptName.parse(job_id)) == "running"
        except ValueError:  # what is on its way out
            return False
        except RedisError:  # nobody can tell now
            return True
