"""The one job: build a bait, keep its files, and say how it ended. It never raises."""

from __future__ import annotations

import hashlib
import json
import logging
import os
import resource
import signal
import time
import zlib
from collections.abc import Mapping
from contextlib import suppress
from typing import Any

from rq import get_current_job
from rq.timeouts import JobTimeoutException

from worker.build import Built, build
from worker.errors import (
    ArtifactsUnavailable,
    BuildFailed,
    InternalFault,
    OutOfMemory,
    StorageFailed,
    TimeLimitExceeded,
)
from worker.files.table import FILES
from worker.records.artifact_store import ArtifactStore
from worker.records.attempts import Attempts
from worker.records.bucket import FOR_SERVICE, Haste
from worker.records.logs import about, tell_besides
from worker.records.names import AttemptName, BaitName
from worker.records.places import open_artifacts
from worker.records.presence import mark_of
from worker.records.tally import tally_steps
from worker.records.trace import trace_id
from worker.records.view import milliseconds_between, now_text
from worker.request import Request
from worker.settings import Settings, load

AWAY_S = 1.5
_log = logging.getLogger(__name__)


def build_bait(caller: str, bait_id: str, number: int) -> None:
    """Build attempt `number` at a bait, where it is still wanted."""
    job = get_current_job()
    assert job is not None
    attempts, settings, entered = Attempts(job.connection), load(), time.monotonic()
    attempt = BaitName(caller, bait_id).attempt(number)
    try:
        # An earlier attempt may have been cut off after its last step but one.
        finished = open_artifacts(settings).stamp(attempt.bait) is not None
    except ArtifactsUnavailable:
        # Nothing is begun that could not be kept, and so no try is lost. Slowly: the next one comes at once.
        time.sleep(AWAY_S)
        attempts.give_back(attempt)
        return
    record = attempts.start(attempt, mark_of(os.getppid()))
    if record is None:
        _log.info("an attempt was no longer wanted", extra=about(attempt))
        return
    if finished:
        attempts.succeed(attempt)
        return
    if trace := record.get("trace"):
        tell_besides(trace=trace_id(trace))  # this process builds one bait and ends
    begun = time.monotonic()
    try:
        built = build(Request.from_normal(json.loads(record["request"])))
        signal.alarm(0)  # writing takes milliseconds and is not to be cut in half; the outer limits stay
        artifacts = _patient(settings, entered + settings.job_limit_s)
        _keep(attempts, artifacts, attempt, record, built, (time.monotonic() - begun) * 1000)
    except ArtifactsUnavailable as away:
        _put_back(attempts, attempt, away)
        return
    except Exception as error:
        failure = _failure_of(error)
        attempts.fail(attempt, failure)
        _log.warning("a bait failed", extra=about(attempt) | {"problem": failure.kind, "detail": failure.detail})
        return
    if attempts.succeed(attempt):
        tally_steps(job.connection, built.timings)
        _log.info("a bait was built", extra=about(attempt) | {"seconds": round(time.monotonic() - begun, 3)})
    elif attempts.was_dismissed(attempt):  # in the very moment in which its files were moved in
        with suppress(ArtifactsUnavailable):  # then it stays, and goes by its age
            artifacts.delete(attempt.bait)


def _patient(settings: Settings, until: float) -> ArtifactStore:
    """Where the bait is kept: a bucket that stalls is waited for, but not until the worker ends us for our time."""
    each = max(1.0, (until - time.monotonic()) / 2)
    return open_artifacts(settings, Haste(FOR_SERVICE.connect_s, each, each), max(until - each, time.monotonic() + 1))


def _put_back(attempts: Attempts, attempt: AttemptName, away: ArtifactsUnavailable) -> None:
    """The bait is built and cannot be kept: another attempt is made, where it has not had as many as it gets."""
    if attempts.again(attempt) == "spent":
        attempts.fail(attempt, StorageFailed("The files could not be stored: the bucket for them does not answer."))
    _log.warning("a bait could not be kept", extra=about(attempt) | {"detail": away.detail})


def _failure_of(error: Exception) -> BuildFailed:
    """What a build's exception means for its bait. The log has what we did not foresee; callers do not."""
    if isinstance(error, BuildFailed):
        return error
    if isinstance(error, JobTimeoutException):
        return TimeLimitExceeded("The build ran past its time limit and was ended.")
    if isinstance(error, MemoryError):
        hard = resource.getrlimit(resource.RLIMIT_AS)[1]
        resource.setrlimit(resource.RLIMIT_AS, (hard, hard))  # enough to say what happened
        return OutOfMemory("The build asked for more memory than it may have.")
    _log.error("a build raised what was not foreseen", exc_info=error)
    return InternalFault("The build ended by a fault of ours.")


def _keep(
    attempts: Attempts,
    artifacts: ArtifactStore,
    attempt: AttemptName,
    record: Mapping[str, str],
    built: Built,
    build_ms: float,
) -> None:
    waited_ms = milliseconds_between(record["created"], record["started"])
    manifest = {
        "id": attempt.bait.id,
        "attempt": attempt.number,
        "request": json.loads(record["request"]),
        "metrics": built.metrics,
        "checks": built.checks,
        "cautions": built.cautions,
        "files": [describe(name, content) for name, content in built.files.items()],
        "created": record["created"],
        "finished": now_text(),
        "timings": built.timings | {"waited": waited_ms, "build": round(build_ms, 3)},
    }
    try:
        artifacts.put_all(attempt, built.files, manifest, wanted=lambda: attempts.standing(attempt) == "running")
    except OSError as error:
        _log.error("the files could not be stored", exc_info=error)
        raise StorageFailed(f"The files could not be stored: {error.strerror}.") from error


def describe(name: str, content: bytes) -> dict[str, Any]:
    """What an answer says about a file, its digest included."""
    kind = FILES[name]
    digest = hashlib.sha256(content).hexdigest()
    return {
        "name": name,
        "output": kind.output,
        "media_type": kind.media_type,
        "bytes": len(content),
        "sha256": digest,
        "crc32": zlib.crc32(content),  # for archives, which tell it before the first byte
    }
