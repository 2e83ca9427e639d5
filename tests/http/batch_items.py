"""What tests of batches post, and how what they posted ends."""

from __future__ import annotations

import hashlib
import zlib
from typing import Any

from tests.stack import Stack
from worker.errors import GeometryFailed
from worker.records.attempts import Attempts
from worker.records.names import BaitName

GRUB = {"style": "grub", "label": "one"}


def worm(beads: int, **more: Any) -> dict[str, Any]:
    return {"style": "beaded_worm", "params": {"length": "5 in", "bead_count": beads}, **more}


def ended(below: Stack, bait_id: str, files: dict[str, bytes] | None = None, caller: str = "local") -> None:
    """What a worker does: well, or badly without files; nothing where it has ended."""
    attempt = BaitName(caller, bait_id).attempt(1)
    attempts = Attempts(below.connection)
    with below.connection.pipeline(transaction=True) as transaction:
        attempts.hand(attempt, transaction)
        transaction.execute()
    if attempts.start(attempt) is None:
        return
    if files is None:
        attempts.fail(attempt, GeometryFailed("The solid is not closed."))
        return
    told = [
        {"name": name, "output": None, "media_type": "model/stl", "bytes": len(content)}
        | {"sha256": hashlib.sha256(content).hexdigest(), "crc32": zlib.crc32(content)}
        for name, content in files.items()
    ]
    manifest = {name: {} for name in ("request", "metrics", "timings")} | {"checks": [], "cautions": []}
    manifest |= {"id": bait_id, "attempt": 1, "created": "2026-03-01T08:00:00Z", "finished": "2026-03-01T08:00:01Z"}
    below.baits._artifacts.put_all(attempt, files, manifest | {"files": told})
    attempts.succeed(attempt)
