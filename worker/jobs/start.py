"""Puts the pool together: the store's promises checked, libraries loaded once, then processes."""

from __future__ import annotations

import importlib
import logging
import time

from worker.errors import StoreUnavailable
from worker.jobs.caretaker import Caretaker
from worker.jobs.pool import Pool
from worker.jobs.steward import Steward
from worker.records.check_bucket import check_apart
from worker.records.connect import check_durable, for_steward, for_worker
from worker.records.logs import library_level, log_to_stderr
from worker.records.places import open_artifacts
from worker.settings import Settings

STORE_PATIENCE_S = 10.0
# Beyond the time that a bait may take: by then a worker has put a fit, which may take longer, back in line.
STOP_PATIENCE_S = 5.0
_log = logging.getLogger(__name__)


def run_pool(settings: Settings) -> None:
    """Run until stopped. Raises SettingsInvalid, or StoreUnavailable if the store is not up in 10 s."""
    log_to_stderr(settings.log_level, settings.log_format)
    check_store(settings)
    if caution := check_apart(settings):
        _log.warning(caution)  # what is asked for waits until the bucket is there
    artifacts = open_artifacts(settings)

    def steward() -> None:
        Steward(settings, for_steward(settings), artifacts).run()

    def caretaker() -> None:
        Caretaker(settings, for_steward(settings), artifacts).run()

    def load() -> None:
        # By the process from which all workers are forked; while they load, the steward watches over leases already.
        from worker.jobs.preload import keep_memory, load_libraries

        keep_memory()
        load_libraries()
        importlib.import_module("worker.jobs.worker")

    def worker() -> None:
        from worker.jobs.worker import BaitWorker

        BaitWorker(settings, for_worker(settings), artifacts).work(logging_level=library_level())

    _log.info("the pool begins", extra={"workers": settings.workers})
    keepers = {"steward": steward, "caretaker": caretaker}
    Pool(keepers, load, worker, settings.workers, patience_s=settings.job_limit_s + STOP_PATIENCE_S).run()
    _log.info("the pool has ended")


def check_store(settings: Settings) -> None:
    """Wait for the store, and check that it keeps what it takes."""
    until = time.monotonic() + STORE_PATIENCE_S
    while True:
        connection = for_steward(settings)
        try:
            for caution in check_durable(connection):
                _log.warning(caution)
            return
        except StoreUnavailable:
            if time.monotonic() >= until:
                raise
            time.sleep(0.1)
        finally:
            connection.close()
