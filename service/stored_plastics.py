"""Where callers' own plastics are kept: in the store, which writes them to disk before it answers."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, cast

from redis import Redis

from worker.records.connect import reporting_absence
from worker.records.names import PREFIX

Definition = dict[str, Any]


class StoredPlastics:
    """A hash a caller, from name to definition; the store writes it to disk before it answers."""

    def __init__(self, connection: Redis) -> None:
        self._connection = connection

    def get(self, caller: str, name: str) -> Definition | None:
        """See `interfaces.Plastics`."""
        with reporting_absence():
            found = cast("bytes | None", self._connection.hget(_key(caller), name))
        return None if found is None else cast("Definition", json.loads(found))

    def all(self, caller: str) -> dict[str, Definition]:
        """See `interfaces.Plastics`."""
        with reporting_absence():
            found = cast("Mapping[bytes, bytes]", self._connection.hgetall(_key(caller)))
        return {name.decode(): json.loads(text) for name, text in sorted(found.items())}

    def put(self, caller: str, name: str, definition: Definition) -> None:
        """See `interfaces.Plastics`."""
        text = json.dumps(definition, sort_keys=True, ensure_ascii=False)
        with reporting_absence():
            self._connection.hset(_key(caller), name, text)

    def delete(self, caller: str, name: str) -> bool:
        """See `interfaces.Plastics`."""
        with reporting_absence():
            return bool(self._connection.hdel(_key(caller), name))


def _key(caller: str) -> str:
    return f"{PREFIX}plastics:{caller}"
