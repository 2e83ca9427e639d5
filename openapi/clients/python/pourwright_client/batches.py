"""Batches: many baits at once, told as they end, fetched as one archive."""

from __future__ import annotations

import json
import os
import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from urllib.parse import quote

from pourwright_client import reading
from pourwright_client.encoding import JSON_BODY, encoded, idempotent
from pourwright_client.errors import StillUnderWay, WrongBytes
from pourwright_client.files import archived, whole_or_not
from pourwright_client.records import UNDER_WAY, Batch, BatchItem, Json
from pourwright_client.transport import Answer, Deadline, Transport

PAUSE_S = 2.0
"""Between two looks at a batch where the service does not say when to come back."""


class Batches:
    """Up to 1,000 requests in 8 MiB at once; see `Client`, whose `batches` this is."""

    def __init__(self, transport: Transport, patience_s: float) -> None:
        self._transport = transport
        self._patience_s = patience_s

    def submit(self, requests: Iterable[Json], *, idempotency_key: str | None = None) -> Batch:
        """Hands in a batch. Raises Refused where none of the items can be built.

        It goes out with an idempotency key, one of its own unless you bring yours: repeated, it is the same batch.
        """
        return reading.batch(self._submitted(requests, idempotency_key).json())

    def get(self, batch_id: str) -> Batch:
        """A batch as it stands. Raises NotThere."""
        return reading.batch(self._looked(batch_id, self._until(None)).json())

    def results(self, batch: Batch | str, *, within_s: float | None = None) -> Iterator[BatchItem]:
        """Each item as soon as it is seen to have ended, those that cannot be built first. Raises StillUnderWay.

        An item that was built has the `id` for `Client.bait`; the others have their `problem`.
        """
        deadline = self._until(within_s)
        batch_id = batch if isinstance(batch, str) else batch.id
        told: set[int] = set()
        while True:
            answer = self._looked(batch_id, deadline)
            seen = reading.batch(answer.json())
            for item in seen.items:
                if item.status not in UNDER_WAY and item.index not in told:
                    told.add(item.index)
                    yield item
            if seen.status not in UNDER_WAY:
                return
            if not deadline.pause(answer.retry_after_s or PAUSE_S):
                raise StillUnderWay(batch_id, seen.status, deadline.patience_s)

    def finish(self, batch: Batch | str, *, within_s: float | None = None) -> Batch:
        """The batch once it has ended. Raises StillUnderWay."""
        for _ in self.results(batch, within_s=within_s):
            pass
        return self.get(batch if isinstance(batch, str) else batch.id)

    def archive(self, batch: Batch, path: str | os.PathLike[str], *, within_s: float | None = None) -> Path:
        """All files of an ended batch as one ZIP, which is at `path` whole or not at all. Returns the path.

        Raises Clash before the batch has ended; WrongBytes where the archive does not hold what it says.
        """
        to = Path(path)
        with whole_or_not(to) as into:
            archived(self._transport, batch.links["archive"], into, self._until(within_s))
            into.flush()
            _require_whole(Path(into.name), batch)
        return to

    def remove(self, batch: Batch) -> None:
        """Dismisses a batch under way with its baits that nobody else wants; removes one that has ended."""
        self._transport.call("DELETE", batch.links["self"], self._until(None), repeatable=False)

    def _submitted(self, requests: Iterable[Json], key: str | None) -> Answer:
        headers = {**JSON_BODY, **idempotent(key)}
        body = encoded(list(requests))
        return self._transport.call("POST", "/v1/batches", self._until(None), body=body, headers=headers)

    def _looked(self, batch_id: str, deadline: Deadline) -> Answer:
        return self._transport.call("GET", f"/v1/batches/{quote(batch_id, safe='')}", deadline)

    def _until(self, within_s: float | None) -> Deadline:
        return Deadline.within(self._patience_s if within_s is None else within_s)


def _require_whole(path: Path, batch: Batch) -> None:
    """The archive's own check sums hold, and every bait that was built has its folder in it."""
    try:
        with zipfile.ZipFile(path) as archive:
            bad = archive.testzip()
            told = json.loads(archive.read("batch.json"))
            folders = {name.partition("/")[0] for name in archive.namelist()}
            missing = [one["folder"] for one in told["items"] if one["folder"] and one["folder"] not in folders]
    except (zipfile.BadZipFile, KeyError, ValueError) as reason:
        raise WrongBytes(f"the archive of {batch.id} cannot be read: {reason}") from reason
    if bad or missing or told["id"] != batch.id:
        raise WrongBytes(f"the archive of {batch.id} is not whole: {bad or missing or told['id']}")
