"""How much a caller has asked for in a minute, counted in the store, so that all hosts count together."""

from __future__ import annotations

import logging
import math
import time
from dataclasses import dataclass

from limits import RateLimitItem, RateLimitItemPerMinute
from limits.storage import RedisStorage
from limits.strategies import FixedWindowRateLimiter
from redis import Redis
from redis.exceptions import RedisError

from worker.records.names import RATES
from worker.settings import Settings

WINDOW_S = 60

_log = logging.getLogger("pourwright.service")


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a caller stands with one policy: so many calls a window, so many left of this one, which ends then."""

    policy: str
    quota: int
    left: int
    ends_in_s: int
    exceeded: bool

    @property
    def fields(self) -> dict[str, str]:
        """The fields of the RateLimit draft (draft-ietf-httpapi-ratelimit-headers): structured, lists of one item."""
        return {
            "RateLimit-Policy": f'"{self.policy}";q={self.quota};w={WINDOW_S}',
            "RateLimit": f'"{self.policy}";r={self.left};t={self.ends_in_s}',
        }


class StoredRates:
    """Counts in the store. Where that is away nothing is counted: a limit keeps order, it does not keep anybody out."""

    def __init__(self, connection: Redis, settings: Settings) -> None:
        storage = RedisStorage(
            "redis://", connection_pool=connection.connection_pool, key_prefix=RATES
        )  # the address is not looked at where there is a pool
        self._limiter = FixedWindowRateLimiter(storage)
        quotas = {
            "estimates": settings.estimates_per_minute,
            "baits": settings.baits_per_minute,
            "batches": settings.batches_per_minute,
            "links": settings.links_per_minute,
            "changes": settings.changes_per_minute,
        }
        self._items: dict[str, RateLimitItem] = {
            policy: RateLimitItemPerMinute(quota, namespace=policy) for policy, quota in quotas.items() if quota
        }

    def count(self, policy: str, caller: str) -> Standing | None:
        """Count one call; None where the policy has no limit or the store does not answer."""
        if (item := self._items.get(policy)) is None:
            return None
        try:
            taken = self._limiter.hit(item, caller)
            ends, left = self._limiter.get_window_stats(item, caller)
        except RedisError as error:
            _log.warning("calls are not counted", extra={"error": str(error)})
            return None
        return Standing(policy, item.amount, left, max(1, math.ceil(ends - time.time())), not taken)
