"""A bait as callers see it, told from its manifest or from its record."""

from __future__ import annotations

import json
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from worker.records.names import PUBLIC_STATUS

_IN_MANIFEST = (
    *("id", "attempt", "request", "metrics", "checks", "files", "cautions"),
    *("created", "finished", "timings"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BaitView:
    """One bait now. `files` is complete once `status` is successful, `problem` is there once it is failed."""

    id: str
    status: str  # accepted, running, successful, failed, dismissed
    attempt: int
    request: dict[str, Any]  # the normal form
    metrics: dict[str, Any] | None = None
    checks: list[dict[str, Any]] = field(default_factory=list)
    files: list[dict[str, Any]] = field(default_factory=list)  # {name, output, media_type, bytes, sha256}
    cautions: list[str] = field(default_factory=list)
    created: str | None = None  # RFC 3339, UTC
    finished: str | None = None
    timings: dict[str, float] = field(default_factory=dict)  # milliseconds by step
    problem: dict[str, Any] | None = None

    @classmethod
    def from_manifest(cls, manifest: Mapping[str, Any]) -> BaitView:
        """A finished bait."""
        return cls(status="successful", **{name: manifest[name] for name in _IN_MANIFEST})

    @classmethod
    def from_record(cls, bait_id: str, record: Mapping[str, str]) -> BaitView | None:
        """A bait without a manifest; None where the record only remembers the number of attempts."""
        if (state := record.get("state")) is None:
            return None
        return cls(
            id=bait_id,
            status=PUBLIC_STATUS[state],
            attempt=int(record["attempt"]),
            request=json.loads(record.get("request", "{}")),
            created=record.get("created"),
            finished=record.get("finished"),
            problem=json.loads(record["problem"]) if "problem" in record else None,
        )


@dataclass(frozen=True, slots=True)
class Submission:
    """What became of a submitted request: its bait, and whether this submission set off a build."""

    bait: BaitView
    created: bool


def now_text() -> str:
    """The present time as RFC 3339 text, UTC, to the millisecond."""
    return moment_text(time.time())


def moment_text(seconds: float, timespec: str = "milliseconds") -> str:
    """The same of a moment in seconds since 1970; `timespec` as `datetime.isoformat` takes it."""
    return datetime.fromtimestamp(seconds, UTC).isoformat(timespec=timespec).replace("+00:00", "Z")


def milliseconds_between(earlier: str, later: str) -> float:
    """Milliseconds from one such text to another; not under 0, as hosts' clocks differ."""
    apart = datetime.fromisoformat(later) - datetime.fromisoformat(earlier)
    return max(0.0, round(apart.total_seconds() * 1000, 3))
