"""First answers by `Idempotency-Key`, repeated for a day, where no digest makes a repeated POST harmless."""

from __future__ import annotations

import json
from typing import cast

from redis import Redis

from service.errors import Unanswered
from service.idempotency import KEPT_S, require_same
from worker.records.connect import reporting_absence
from worker.records.names import replay

UNANSWERED_S = 120
"""For how long a key waits for its first answer: a service that was killed meanwhile gives none."""


class StoredReplays:
    """Keys in the store, so that all hosts know them. A first answer is a short text of the route's own making."""

    def __init__(self, connection: Redis) -> None:
        self._connection = connection

    def begin(self, caller: str, route: str, key: str, fingerprint: str) -> str | None:
        """See `interfaces.Replays`. One command, so that of two requests at once one is first."""
        told = _text(fingerprint, None)
        with reporting_absence():
            kept = self._connection.set(replay(caller, route, key), told, nx=True, get=True, ex=UNANSWERED_S)
        if kept is None:
            return None
        first = json.loads(cast("bytes", kept))
        require_same(first["of"], fingerprint)
        if first["answer"] is None:
            raise Unanswered("The first request with this Idempotency-Key has not been answered yet.")
        return cast("str", first["answer"])

    def keep(self, caller: str, route: str, key: str, fingerprint: str, answer: str) -> None:
        """See `interfaces.Replays`."""
        with reporting_absence():
            self._connection.set(replay(caller, route, key), _text(fingerprint, answer), ex=KEPT_S)

    def abandon(self, caller: str, route: str, key: str) -> None:
        """See `interfaces.Replays`."""
        with reporting_absence():
            self._connection.delete(replay(caller, route, key))


def _text(fingerprint: str, answer: str | None) -> str:
    return json.dumps({"of": fingerprint, "answer": answer})
