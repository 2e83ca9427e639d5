"""Logs as one JSON object a line on standard error."""

from __future__ import annotations

import json
import logging
import sys
from datetime import UTC, datetime
from typing import Any

from worker.records.names import AttemptName

_OWN = frozenset(vars(logging.makeLogRecord({}))) | {"message", "asctime", "color_message", "taskName"}


class JsonLines(logging.Formatter):
    """Time, level, logger and message, and whatever `extra=` named: bait, caller, attempt, seconds."""

    def format(self, record: logging.LogRecord) -> str:
        """One line."""
        line: dict[str, Any] = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "logger": record.name,
            "message": record.getMessage(),
        }
        line.update((name, value) for name, value in vars(record).items() if name not in _OWN)
        if record.exc_info:
            line["traceback"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False, default=str)


def log_to_stderr(level: str) -> None:
    """Send this process's logs from `level` up to standard error."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines())
    logging.basicConfig(level=level.upper(), handlers=[handler], force=True)
    logging.getLogger("rq").setLevel(library_level())


def library_level() -> str:
    """The queue library tells of every job what our own logs tell already; we want to hear its errors."""
    return logging.getLevelName(max(logging.ERROR, logging.getLogger().level))


def about(attempt: AttemptName) -> dict[str, object]:
    """What a log line says about an attempt."""
    return {"caller": attempt.bait.caller, "bait": attempt.bait.id, "attempt": attempt.number}
