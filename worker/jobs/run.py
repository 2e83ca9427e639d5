"""The one job: build a bait or search for a fit, keep the files, and say how it ended. It never raises.

Where the store is away for too long to say it, its process ends by a code that blames nobody: the files may be kept
already, and then the next try finds them.
"""

from __future__ import annotations

import json
import logging
import os
import resource
import signal
import time

from redis.exceptions import RedisError
from rq import get_current_job
from rq.timeouts import JobTimeoutException

from worker.errors import ArtifactsUnavailable, BuildFailed, OutOfMemory
from worker.jobs.endings import STORE_AWAY, overdue
from worker.jobs.limits import waited_for_a_processor
from worker.jobs.work import WORK
from worker.records.artifact_store import ArtifactStore
from worker.records.attempts import Attempts
from worker.records.bucket import FOR_SERVICE, Haste
from worker.records.carrying import carry_out, failure_of_ours
from worker.records.logs import about, tell_besides
from worker.records.names import AttemptName, BaitName, kind_of
from worker.records.places import open_artifacts
from worker.records.presence import mark_of
from worker.records.tally import tally_steps
from worker.records.trace import trace_id
from worker.settings import Settings, load

# Both together end before the reaper takes the hand-over for one that nobody began (`reaper.BEGIN_S`).
FIRST_LOOK = Haste(0.5, 1.0, 0.3)
AWAY_S = 1.5
_log = logging.getLogger(__name__)


def build_bait(caller: str, bait_id: str, number: int) -> None:
    """Do attempt `number` at a bait or fit, where it is still wanted."""
    attempt = BaitName(caller, bait_id).attempt(number)
    try:
        _do(attempt)
    except RedisError as error:
        _log.warning("the store went away under a job", extra={"job": attempt.job_id, "error": str(error)})
        os._exit(STORE_AWAY)


def _do(attempt: AttemptName) -> None:
    job = get_current_job()
    assert job is not None
    attempts, settings, entered = Attempts(job.connection), load(), time.monotonic()
    try:
        # An earlier attempt may have been cut off after its last step but one.
        finished = open_artifacts(settings, FIRST_LOOK).stamp(attempt.bait) is not None
    except ArtifactsUnavailable:
        # Nothing is begun that could not be kept, and so no try is lost. Slowly: the next one comes at once.
        time.sleep(max(0.0, entered + AWAY_S - time.monotonic()))
        attempts.give_back(attempt)
        return
    record = attempts.start(attempt, mark_of(os.getppid()))
    if record is None:
        _log.info("an attempt was no longer wanted", extra=about(attempt, attempts.kind(attempt)))
        return
    if finished:
        attempts.succeed(attempt)
        return
    if trace := record.get("trace"):
        tell_besides(trace=trace_id(trace))  # this process does one job and ends
    asked = {**record, "request": json.loads(record["request"])}
    kind = kind_of(record["lane"])

    def place() -> ArtifactStore:
        signal.alarm(0)  # writing takes milliseconds and is not to be cut in half; the outer limits stay
        return _patient(settings, entered + (settings.fit_limit_s if kind == "fit" else settings.job_limit_s))

    timings = carry_out(kind, attempts, place, attempt, asked, WORK[kind], lambda error: _failure_of(error, entered))
    if timings is not None:
        tally_steps(job.connection, timings)


def _patient(settings: Settings, until: float) -> ArtifactStore:
    """Where the bait is kept: a bucket that stalls is waited for, but not until the worker ends us for our time."""
    each = max(1.0, (until - time.monotonic()) / 2)
    return open_artifacts(settings, Haste(FOR_SERVICE.connect_s, each, each), max(until - each, time.monotonic() + 1))


def _failure_of(error: Exception, begun: float) -> BuildFailed:
    """What an exception of the work, begun at that monotonic moment, means where it has limits of time and memory."""
    if isinstance(error, JobTimeoutException):
        return overdue(time.monotonic() - begun, waited_for_a_processor(os.getpid()))
    if isinstance(error, MemoryError):
        hard = resource.getrlimit(resource.RLIMIT_AS)[1]
        resource.setrlimit(resource.RLIMIT_AS, (hard, hard))  # enough to say what happened
        return OutOfMemory("The work asked for more memory than it may have.")
    return failure_of_ours(error)
