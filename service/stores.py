"""Opening the real things behind the routes: records, files and the store's small memories."""

from __future__ import annotations

from typing import cast

from redis import Redis

from service.backing import Backing
from service.drawings import Drawings
from service.estimator import Estimator
from service.idempotency import KEPT_S
from service.keys.book import keys_file
from service.keys.watched import WatchedKeys
from service.links import LinkSigner
from service.rates import StoredRates
from service.replays import StoredReplays
from service.stored_definitions import StoredDefinitions
from service.waiting import Waiters
from worker.drawing import drawing
from worker.errors import StoreUnavailable
from worker.estimate import estimate
from worker.records.artifact_store import ArtifactStore
from worker.records.baits import Baits
from worker.records.batches import Batches
from worker.records.connect import for_service, reporting_absence
from worker.records.fits import Fits
from worker.records.liveness import alive_workers
from worker.records.names import house_styles, idempotency, plastics
from worker.records.places import open_artifacts
from worker.records.webhooks import WebhookBook
from worker.settings import Settings


class StoredIdempotencyKeys:
    """Keys in the store, each for a day from its first use."""

    def __init__(self, connection: Redis) -> None:
        self._connection = connection

    def bait_of(self, caller: str, route: str, key: str, bait_id: str) -> str:
        """See `interfaces.IdempotencyKeys`. One command, so that of two requests at once one is first."""
        name = idempotency(caller, route, key)
        with reporting_absence():
            first = cast("bytes | None", self._connection.set(name, bait_id, nx=True, get=True, ex=KEPT_S))
        return bait_id if first is None else first.decode()


class StoredReadiness:
    """The store answers and can write, the place of baits answers, and workers have lately said that they are alive."""

    def __init__(self, connection: Redis, artifacts: ArtifactStore) -> None:
        self._connection = connection
        self._artifacts = artifacts
        self._workers = 0

    def missing(self) -> list[str]:
        """See `interfaces.Readiness`."""
        try:
            with reporting_absence():
                persistence = self._connection.info("persistence")
                self._workers = alive_workers(self._connection)
        except StoreUnavailable:
            return ["The store does not answer."]
        sentences = []
        if persistence.get("aof_last_write_status", "ok") != "ok":
            sentences.append("The store cannot write to its disk.")
        if not self._artifacts.answers():
            sentences.append("The bucket of finished baits does not answer.")
        if not self._workers:
            sentences.append("No worker is alive.")
        return sentences

    def workers(self) -> int:
        """See `interfaces.Readiness`."""
        return self._workers


def open_backing(settings: Settings) -> Backing:
    """Everything for one process; connects on first use."""
    connection = for_service(settings)
    return Backing(
        Baits.open(settings),
        Fits.open(settings),
        StoredIdempotencyKeys(connection),
        StoredReadiness(connection, open_artifacts(settings)),
        Estimator(estimate, settings.estimate_waiting),
        Drawings(drawing, settings.drawing_waiting),
        Waiters(settings.waiters),
        WatchedKeys(keys_file(settings)),
        StoredRates(connection, settings),
        StoredDefinitions(connection, plastics),
        StoredDefinitions(connection, house_styles),
        LinkSigner.open(settings),
        Batches.open(settings),
        StoredReplays(connection),
        WebhookBook(connection),
        settings.webhook_origins,
    )
