"""The one job: build a bait or search for a fit, keep the files, and say how it ended. It never raises."""

from __future__ import annotations

import json
import logging
import os
import resource
import signal

from rq import get_current_job
from rq.timeouts import JobTimeoutException

from worker.errors import BuildFailed, OutOfMemory, TimeLimitExceeded
from worker.jobs.work import WORK
from worker.records.artifacts import FolderArtifacts
from worker.records.attempts import Attempts
from worker.records.carrying import carry_out, failure_of_ours
from worker.records.logs import about, tell_besides
from worker.records.names import BaitName, kind_of
from worker.records.presence import mark_of
from worker.records.tally import tally_steps
from worker.records.trace import trace_id
from worker.settings import load

_log = logging.getLogger(__name__)


def build_bait(caller: str, bait_id: str, number: int) -> None:
    """Do attempt `number` at a bait or fit, where it is still wanted."""
    job = get_current_job()
    assert job is not None
    attempts, artifacts = Attempts(job.connection), FolderArtifacts(load().state_dir)
    attempt = BaitName(caller, bait_id).attempt(number)
    record = attempts.start(attempt, mark_of(os.getppid()))
    if record is None:
        _log.info("an attempt was no longer wanted", extra=about(attempt))
        return
    if artifacts.stamp(attempt.bait) is not None:  # an earlier attempt was cut off after its last step but one
        attempts.succeed(attempt)
        return
    if trace := record.get("trace"):
        tell_besides(trace=trace_id(trace))  # this process does one job and ends
    asked = {**record, "request": json.loads(record["request"])}
    kind = kind_of(record["lane"])
    # Writing takes milliseconds and is not to be cut in half; the outer limits stay.
    timings = carry_out(
        kind, attempts, artifacts, attempt, asked, WORK[kind], _failure_of, before_keeping=lambda: signal.alarm(0)
    )
    if timings is not None:
        tally_steps(job.connection, timings)


def _failure_of(error: Exception) -> BuildFailed:
    """What an exception of the work means where it has limits of time and memory."""
    if isinstance(error, JobTimeoutException):
        return TimeLimitExceeded("The work ran past its time limit and was ended.")
    if isinstance(error, MemoryError):
        hard = resource.getrlimit(resource.RLIMIT_AS)[1]
        resource.setrlimit(resource.RLIMIT_AS, (hard, hard))  # enough to say what happened
        return OutOfMemory("The work asked for more memory than it may have.")
    return failure_of_ours(error)
