"""What tests of the places of baits put there."""

from __future__ import annotations

from typing import Any

from worker.records.names import BaitName

BAIT = BaitName("local", "ab" * 32)
FILES = {"bait.stl": b"\0" * 84, "metrics.json": b"{}"}
DAY = 86_400.0


def manifest(number: int = 1) -> dict[str, Any]:
    told = {"id": BAIT.id, "attempt": number, "request": {}, "metrics": {"n": number}, "checks": []}
    return told | {"cautions": [], "files": [], "created": "", "finished": "", "timings": {}}


def bait(number: int, caller: str = "local") -> BaitName:
    return BaitName(caller, f"{number:02x}" * 32)
