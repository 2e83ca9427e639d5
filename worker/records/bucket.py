"""An S3-compatible bucket, spoken to in the few words that we need of it.

It is opened on the first call, never before a fork: its client runs threads, which a forked process does not inherit,
and a call there would wait for them for ever.
"""

from __future__ import annotations

import logging
import os
import threading
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from worker.errors import ArtifactsUnavailable

if TYPE_CHECKING:
    from obstore.store import S3Store

RETRY_AFTER_S = 5
_log = logging.getLogger(__name__)
_opened_in: set[int] = set()


@dataclass(frozen=True, slots=True)
class Haste:
    """How long one call may take to connect and to be answered, and for how long a failed one is tried again."""

    connect_s: float
    answer_s: float
    again_s: float


FOR_SERVICE = Haste(1, 5, 2)


@dataclass(frozen=True, slots=True)
class Place:
    """A bucket, what all its keys of ours begin with, where it is and who we are there.

    Without `endpoint` it is where buckets of this region are; without `key_id` the client looks for the credentials
    that a machine, a container or a workload is given.
    """

    bucket: str
    prefix: str
    endpoint: str | None
    region: str
    key_id: str | None
    secret: str | None
    token: str | None


@dataclass(frozen=True, slots=True)
class Seen:
    """What a bucket tells of an object: its key, nanoseconds of the epoch at which it was written, bytes, its tag."""

    key: str
    written: int
    bytes: int
    tag: str


class Bucket:
    """Every call raises ArtifactsUnavailable where the bucket does not answer, or not as it should."""

    def __init__(self, place: Place, haste: Haste, until: float | None = None) -> None:
        """`until` in monotonic seconds: no call is begun afterwards."""
        self._place = place
        self._haste = haste
        self._until = until
        self._lock = threading.Lock()
        self._store: S3Store | None = None

    def put(self, key: str, content: bytes) -> None:
        """Write an object, whole or not at all, in place of what there was."""
        import obstore

        with self._calling():
            obstore.put(self._open(), key, content, use_multipart=False)

    def create(self, key: str, content: bytes) -> bool:
        """Write an object where there is none (`If-None-Match: *`, RFC 9110, 13.1.2); False where there is one.

        Also where it is ours: an answer may be lost, and the call made again.
        """
        import obstore
        from obstore.exceptions import AlreadyExistsError, PreconditionError

        with self._calling():
            try:
                obstore.put(self._open(), key, content, mode="create")
            except (AlreadyExistsError, PreconditionError):
                return False
        return True

    def get(self, key: str) -> bytes | None:
        """A small object whole; None where there is none."""
        import obstore

        with self._calling():
            try:
                return bytes(obstore.get(self._open(), key).bytes())
            except FileNotFoundError:
                return None

    def read(self, key: str, low: int, high: int) -> bytes:
        """The bytes from `low` to before `high`. Raises FileNotFoundError."""
        import obstore

        with self._calling(missing=FileNotFoundError(f"{key} is not there")):
            return bytes(obstore.get_range(self._open(), key, start=low, end=high))

    def look(self, key: str) -> Seen | None:
        """What the bucket tells of an object; None where there is none."""
        import obstore

        with self._calling():
            try:
                return _seen(obstore.head(self._open(), key))
            except FileNotFoundError:
                return None

    def below(self, folder: str) -> Iterator[Seen]:
        """All objects whose keys begin with this folder, which ends without a slash; in no order."""
        import obstore

        with self._calling():
            # Listed to the end before any is yielded: what is done with one must not be taken for the listing's fault.
            found = [_seen(one) for some in obstore.list(self._open(), prefix=folder) for one in some]
        yield from found

    def folders(self, folder: str) -> list[str]:
        """The names of the folders in one."""
        import obstore

        with self._calling():
            found = obstore.list_with_delimiter(self._open(), prefix=folder)["common_prefixes"]
        return sorted(str(one).rstrip("/").rpartition("/")[2] for one in found)

    def delete(self, keys: Sequence[str]) -> None:
        """Remove objects; one that is not there is no fault."""
        import obstore

        with self._calling():
            if keys:
                obstore.delete(self._open(), list(keys))

    def _open(self) -> S3Store:
        with self._lock:
            if self._store is None:
                self._store = _open(self._place, self._haste)
            return self._store

    @contextmanager
    def _calling(self, missing: Exception | None = None) -> Iterator[None]:
        from obstore.exceptions import BaseError

        if self._until is not None and time.monotonic() >= self._until:
            raise ArtifactsUnavailable("The bucket of finished baits is too slow.", RETRY_AFTER_S)
        try:
            yield
        except FileNotFoundError as error:  # of a write: there is no such bucket
            raise missing or _unavailable(error) from error
        except (BaseError, OSError, ValueError) as error:
            raise _unavailable(error) from error


def _open(place: Place, haste: Haste) -> S3Store:
    process = os.getpid()
    if _opened_in - {process}:
        raise RuntimeError("a bucket was opened before this process was forked from the one that did")
    _opened_in.add(process)
    # One runtime of two threads is plenty for a process, and the address space of a build's is bounded.
    os.environ.setdefault("TOKIO_WORKER_THREADS", "2")
    from obstore.store import S3Store

    config: dict[str, Any] = {"region": place.region}
    given = {
        "endpoint": place.endpoint,
        "access_key_id": place.key_id,
        "secret_access_key": place.secret,
        "session_token": place.token,
    }
    config |= {name: value for name, value in given.items() if value is not None}
    return S3Store(
        place.bucket,
        prefix=place.prefix or None,
        config=config,  # type: ignore[arg-type]
        client_options={
            "allow_http": place.endpoint is not None and place.endpoint.startswith("http:"),
            "connect_timeout": timedelta(seconds=haste.connect_s),
            "timeout": timedelta(seconds=haste.answer_s),
        },
        retry_config={
            "max_retries": 20,
            "retry_timeout": timedelta(seconds=haste.again_s),
            "backoff": {
                "init_backoff": timedelta(milliseconds=50),
                "max_backoff": timedelta(seconds=1),
                "base": 2,
            },
        },
    )


def _seen(meta: Any) -> Seen:
    written = round(meta["last_modified"].timestamp() * 1000) * 1_000_000
    return Seen(str(meta["path"]), written, int(meta["size"]), str(meta["e_tag"]))


def refused(away: ArtifactsUnavailable) -> str | None:
    """Why the bucket does not let us in, or is not there, which time does not mend; None where it is but away."""
    from obstore.exceptions import PermissionDeniedError, UnauthenticatedError

    cause = away.__cause__
    if isinstance(cause, FileNotFoundError):
        return "there is none of this name"
    if isinstance(cause, (PermissionDeniedError, UnauthenticatedError)):
        return _first_line(cause)
    return None


def _first_line(error: BaseException) -> str:
    # What follows is the client's own inside.
    return str(error).partition("\n")[0][:500]


def _unavailable(error: Exception) -> ArtifactsUnavailable:
    _log.warning("the bucket does not answer as it should", extra={"error": _first_line(error)})
    return ArtifactsUnavailable("The bucket of finished baits does not answer. Try again shortly.", RETRY_AFTER_S)
