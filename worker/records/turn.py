"""Whose turn it is to sweep: of all the hosts that share a store and folders one at a time."""

from __future__ import annotations

import time
import uuid
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from redis import Redis
from redis.exceptions import RedisError

from worker.records.names import SWEEPING
from worker.records.script_parts import EVEN_IF_FULL

LASTS_S = 60  # without a sign of life; then it is another's turn
SAY_EVERY_S = 10.0

# KEYS: the turn. ARGV: who asks, milliseconds. Take it, or keep it; answers whether it is now this one's.
_TAKE = (
    EVEN_IF_FULL
    + """
local whose = redis.call('GET', KEYS[1])
if whose and whose ~= ARGV[1] then return 0 end
redis.call('SET', KEYS[1], ARGV[1], 'PX', ARGV[2])
return 1
"""
)
_GIVE_BACK = (
    EVEN_IF_FULL
    + """
if redis.call('GET', KEYS[1]) == ARGV[1] then redis.call('DEL', KEYS[1]) end
"""
)


class TurnLost(Exception):
    """It is another's turn by now."""


class Turn:
    """One process's part in it. Errors of the store's client pass through."""

    def __init__(self, connection: Redis) -> None:
        self._name = uuid.uuid4().hex
        self._take = connection.register_script(_TAKE)
        self._give_back = connection.register_script(_GIVE_BACK)
        self._said = 0.0

    @contextmanager
    def taken(self) -> Iterator[bool]:
        """Whether it is ours. Within, `keep` is to be called often."""
        ours = self._say()
        try:
            yield ours
        finally:
            if ours:
                with suppress(RedisError):  # it ends by itself
                    self._give_back(keys=[SWEEPING], args=[self._name])

    def keep(self) -> None:
        """Say, now and then, that we go on. Raises TurnLost."""
        if time.monotonic() - self._said >= SAY_EVERY_S and not self._say():
            raise TurnLost

    def _say(self) -> bool:
        self._said = time.monotonic()
        return bool(self._take(keys=[SWEEPING], args=[self._name, LASTS_S * 1000]))
