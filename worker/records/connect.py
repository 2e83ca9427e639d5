"""Connections to the store, hasty for the service, patient for workers, and what the store must promise."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, cast

from redis import Redis
from redis.backoff import ExponentialWithJitterBackoff, NoBackoff
from redis.exceptions import ConnectionError as StoreConnectionError
from redis.exceptions import OutOfMemoryError, ReadOnlyError, ResponseError
from redis.exceptions import TimeoutError as StoreTimeout
from redis.retry import Retry

from worker.errors import SettingsInvalid, StoreUnavailable
from worker.settings import Settings

LONGEST_WAIT_S = 25
_log = logging.getLogger(__name__)


def for_service(settings: Settings) -> Redis:
    """Answers or fails within half a second; a second try, for pooled connections that a restart closed."""
    return _open(settings, connect_s=0.2, answer_s=0.25, retry=Retry(NoBackoff(), 1, (StoreConnectionError,)))


def for_waiting(settings: Settings) -> Redis:
    """For blocking reads of up to LONGEST_WAIT_S; the library's own time-out of 5 s would end them early."""
    return _open(settings, connect_s=0.2, answer_s=LONGEST_WAIT_S + 2, retry=Retry(NoBackoff(), 0))


def for_batches(settings: Settings) -> Redis:
    """A batch is megabytes that the store puts on its disk before it answers; repeated, it is the same batch."""
    return _open(settings, connect_s=0.2, answer_s=5, retry=Retry(NoBackoff(), 1, (StoreConnectionError,)))


def for_worker(settings: Settings) -> Redis:
    """Sits out a store that is away for up to a minute: a build that is nearly done is not thrown away."""
    backoff = ExponentialWithJitterBackoff(cap=1, base=0.05)
    return _open(settings, connect_s=2, answer_s=15, retry=Retry(backoff, 60), health_check_interval=15)


def for_steward(settings: Settings) -> Redis:
    """Notices at once when the store is away: the steward must then forget how long leases stood still."""
    return _open(settings, connect_s=1, answer_s=15, retry=Retry(NoBackoff(), 0))


def _open(settings: Settings, connect_s: float, answer_s: float, retry: Retry, **more: Any) -> Redis:
    url = settings.store_url
    if url is None:
        raise SettingsInvalid("POURWRIGHT_STORE_URL: unset, and no store of our own was started")
    if not url.startswith("unix:"):
        more["socket_keepalive"] = True
    return Redis.from_url(
        url,
        socket_connect_timeout=connect_s,
        socket_timeout=answer_s,
        retry=retry,
        max_connections=settings.web_threads + 16,  # the library's default of 100 would refuse, not wait
        **more,
    )


@contextmanager
def reporting_absence() -> Iterator[None]:
    """Raises StoreUnavailable for a store that is away, loading, full or read-only; other faults are ours."""
    try:
        yield
    except (StoreConnectionError, StoreTimeout, OutOfMemoryError, ReadOnlyError) as error:
        raise _unavailable(error) from error
    except ResponseError as error:
        if not str(error).startswith("MISCONF"):  # it cannot write to its disk
            raise
        raise _unavailable(error) from error


def _unavailable(error: Exception) -> StoreUnavailable:
    _log.warning("the store does not answer", extra={"error": str(error)})
    return StoreUnavailable("The store does not answer; nothing was taken. Try again shortly.")


def check_durable(connection: Redis) -> list[str]:
    """Whether what the store takes is safe: an append-only file and no eviction, else SettingsInvalid.

    Returns a sentence for each promise that is weaker than ours; StoreUnavailable where it does not answer.
    """
    with reporting_absence():
        persistence = connection.info("persistence")
        memory = connection.info("memory")
        try:
            fsync = cast(dict[str, str], connection.config_get("appendfsync")).get("appendfsync")
        except ResponseError:  # a hosted store may not let us ask
            fsync = None
    if not int(persistence.get("aof_enabled", 0)):
        raise SettingsInvalid("POURWRIGHT_STORE_URL: the store keeps no append-only file; set appendonly yes")
    if (policy := str(memory.get("maxmemory_policy", "noeviction"))) != "noeviction":
        raise SettingsInvalid(f"POURWRIGHT_STORE_URL: the store may drop keys ({policy}); set noeviction")
    if fsync == "always":
        return []
    known = f"is {fsync}" if fsync else "cannot be read"
    return [f"The store's appendfsync {known}; only with always does an accepted bait outlive a power cut."]
