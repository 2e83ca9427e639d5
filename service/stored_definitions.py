"""Where callers' own plastics and house styles are kept: in the store, which writes to disk before it answers."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any, cast

from redis import Redis

from worker.records.connect import reporting_absence

Definition = dict[str, Any]

# Compared and put in one step: of two who change the same version at once, one is told that he came too late.
_SWAP = """
local there = redis.call('HGET', KEYS[1], ARGV[1]) or ''
if there ~= ARGV[2] then return 0 end
if ARGV[3] ~= '' then redis.call('HSET', KEYS[1], ARGV[1], ARGV[3]) else redis.call('HDEL', KEYS[1], ARGV[1]) end
return 1
"""


class StoredDefinitions:
    """A hash a caller, from name to definition; the store writes it to disk before it answers."""

    def __init__(self, connection: Redis, hash_of: Callable[[str], str]) -> None:
        """`hash_of` gives the key of a caller's hash, of `worker.records.names`."""
        self._connection = connection
        self._hash_of = hash_of
        self._swap = connection.register_script(_SWAP)

    def get(self, caller: str, name: str) -> Definition | None:
        """See `interfaces.Definitions`."""
        with reporting_absence():
            found = cast("bytes | None", self._connection.hget(self._hash_of(caller), name))
        return None if found is None else cast("Definition", json.loads(found))

    def all(self, caller: str) -> dict[str, Definition]:
        """See `interfaces.Definitions`."""
        with reporting_absence():
            found = cast("Mapping[bytes, bytes]", self._connection.hgetall(self._hash_of(caller)))
        return {name.decode(): json.loads(text) for name, text in sorted(found.items())}

    def swap(self, caller: str, name: str, present: Definition | None, wanted: Definition | None) -> bool:
        """See `interfaces.Definitions`."""
        before, after = (b"" if each is None else _text(each) for each in (present, wanted))
        with reporting_absence():
            return bool(self._swap(keys=[self._hash_of(caller)], args=[name, before, after]))


def _text(definition: Definition) -> bytes:
    return json.dumps(definition, sort_keys=True, ensure_ascii=False).encode()
