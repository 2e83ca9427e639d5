"""Carrying an attempt from begun to ended: the work, its files kept, and how it ended said. The same for every kind."""

from __future__ import annotations

import hashlib
import logging
import time
import zlib
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from redis.exceptions import RedisError

from worker.errors import ArtifactsUnavailable, BuildFailed, InternalFault, StorageFailed
from worker.files.table import kind_of_file
from worker.records.artifact_store import ArtifactStore
from worker.records.attempts import Attempts
from worker.records.logs import about
from worker.records.names import AttemptName, Kind
from worker.records.view import milliseconds_between, now_text

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Done:
    """Finished work: files, milliseconds by step, and the members of the manifest that only this kind has."""

    files: Mapping[str, bytes]
    timings: Mapping[str, float]
    members: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Words:
    """What logs say of a kind, and what the time of the whole is called among its timings."""

    done: str
    failed: str
    unkept: str
    step: str


WORDS: Mapping[Kind, Words] = {
    "bait": Words("a bait was built", "a bait failed", "a bait could not be kept", "build"),
    "fit": Words("a fit was found", "a fit failed", "a fit could not be kept", "search"),
}


def carry_out(
    kind: Kind,
    attempts: Attempts,
    place: Callable[[], ArtifactStore],
    attempt: AttemptName,
    record: Mapping[str, Any],
    work: Callable[[dict[str, Any]], Done],
    failure_of: Callable[[Exception], BuildFailed],
) -> Mapping[str, float] | None:
    """Do an attempt's work, keep what comes of it, and end it, well or badly; its timings if it ended well.

    `record` has the attempt's `request` in normal form and the moments `created` and `started`; `place` gives, once the
    work is done, where its files are kept. Where that is away the work is put back for another attempt. Errors of the
    store's client pass through, and nothing else.
    """
    words, begun = WORDS[kind], time.monotonic()
    try:
        done = work(record["request"])
        artifacts = place()
        timings = {**done.timings, words.step: round((time.monotonic() - begun) * 1000, 3)}
        moved_in = _keep(attempts, artifacts, kind, attempt, record, done, timings)
    except ArtifactsUnavailable as away:
        _put_back(attempts, attempt, kind, away)
        return None
    except RedisError:
        raise
    except Exception as error:
        failure = failure_of(error)
        attempts.fail(attempt, failure)
        _log.warning(words.failed, extra=about(attempt, kind) | {"problem": failure.kind, "detail": failure.detail})
        return None
    if attempts.succeed(attempt):
        _log.info(words.done, extra=about(attempt, kind) | {"seconds": round(time.monotonic() - begun, 3)})
        return timings
    # Dismissed in the very moment in which its files were moved in. What another attempt moved in is not ours to take.
    if moved_in and attempts.was_dismissed(attempt):
        with suppress(ArtifactsUnavailable):  # then it stays, and goes by its age
            artifacts.delete(attempt.bait)
    return None


def _put_back(attempts: Attempts, attempt: AttemptName, kind: Kind, away: ArtifactsUnavailable) -> None:
    """The work is done and cannot be kept: another attempt is made, where it has not had as many as it gets."""
    if attempts.again(attempt) == "spent":
        attempts.fail(attempt, StorageFailed("The files could not be stored: the bucket for them does not answer."))
    _log.warning(WORDS[kind].unkept, extra=about(attempt, kind) | {"detail": away.detail})


def failure_of_ours(error: Exception) -> BuildFailed:
    """What an exception of the work means for it. The log has what we did not foresee; callers do not."""
    if isinstance(error, BuildFailed):
        return error
    _log.error("work raised what was not foreseen", exc_info=error)
    return InternalFault("The work ended by a fault of ours.")


def _keep(
    attempts: Attempts,
    artifacts: ArtifactStore,
    kind: Kind,
    attempt: AttemptName,
    record: Mapping[str, Any],
    done: Done,
    timings: Mapping[str, float],
) -> bool:
    """Whether what is kept now is this attempt's."""
    waited_ms = milliseconds_between(record["created"], record["started"])
    manifest = {
        "id": attempt.bait.id,
        "attempt": attempt.number,
        "kind": kind,
        "request": record["request"],
        **done.members,
        "files": [describe(name, content) for name, content in done.files.items()],
        "created": record["created"],
        "finished": now_text(),
        "timings": {**timings, "waited": waited_ms},
    }
    try:
        return artifacts.put_all(attempt, done.files, manifest, wanted=lambda: attempts.standing(attempt) == "running")
    except OSError as error:
        _log.error("the files could not be stored", exc_info=error)
        raise StorageFailed(f"The files could not be stored: {error.strerror}.") from error


def describe(name: str, content: bytes) -> dict[str, Any]:
    """What an answer says about a file, its digest included."""
    kind = kind_of_file(name)
    digest = hashlib.sha256(content).hexdigest()
    return {
        "name": name,
        "output": kind.output,
        "media_type": kind.media_type,
        "bytes": len(content),
        "sha256": digest,
        "crc32": zlib.crc32(content),  # for archives, which tell it before the first byte
    }
