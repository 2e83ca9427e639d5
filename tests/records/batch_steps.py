"""What tests of batches do on a real store: take them, and have their baits end."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from tests.stack import Request, Stack, please
from worker.records.attempts import Attempts
from worker.records.batch_view import BatchView
from worker.records.batches import Batches, Item
from worker.records.names import BaitName

DAY = 86_400.0


def batches(records: Stack, **settings: int) -> Batches:
    return Batches.open(replace(records.settings, **settings))  # type: ignore[arg-type]


def items(*requests: Request | None) -> list[Item]:
    problem = {"type": "urn:pourwright:problem:invalid-request", "title": "No", "detail": "No."}
    return [
        Item(index, f"item {index}", request, None if request else problem) for index, request in enumerate(requests)
    ]


def numbered(count: int, **more: Any) -> list[Request]:
    return [please("nothing", n=number, **more) for number in range(count)]


def begun(records: Stack, request: Request, caller: str = "local") -> Any:
    """The attempt at a bait, handed over and begun as by a worker."""
    attempt = BaitName(caller, request.id).attempt(1)
    attempts = Attempts(records.connection)
    with records.connection.pipeline(transaction=True) as transaction:
        attempts.hand(attempt, transaction)
        transaction.execute()
    assert attempts.start(attempt) is not None
    return attempt


def finish(records: Stack, request: Request, caller: str = "local") -> None:
    attempt = begun(records, request, caller)
    manifest = {name: {} for name in ("request", "metrics", "timings")} | {
        name: [] for name in ("checks", "files", "cautions")
    }
    manifest |= {"id": request.id, "attempt": 1, "created": "2026-03-01T08:00:00Z", "finished": "2026-03-01T08:00:01Z"}
    records.baits._artifacts.put_all(attempt, {"metrics.json": b"{}"}, manifest)
    assert Attempts(records.connection).succeed(attempt)


def statuses(view: BatchView | None) -> list[str]:
    assert view is not None
    return [item.status for item in view.items]


def documents_of(records: Stack) -> list[Path]:
    return list(records.settings.state_dir.glob("batches/*/*/*"))
