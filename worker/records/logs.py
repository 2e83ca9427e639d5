"""Logs on standard error: one JSON object a line, or plain text; and never a secret in them."""

from __future__ import annotations

import json
import logging
import re
import sys
from contextvars import ContextVar
from datetime import UTC, datetime
from typing import Any

from worker.records.names import AttemptName

_OWN = frozenset(vars(logging.makeLogRecord({}))) | {"message", "asctime", "color_message", "taskName"}
# What every line of this request or job says besides.
_told: ContextVar[dict[str, object] | None] = ContextVar("told", default=None)

# The last line of defence: nothing of ours puts these into a message, but a library may repeat what it was given.
_SECRETS = (
    (re.compile(r"\b(pourwright_[0-9a-f]{12})_[A-Za-z0-9_-]{8,}"), r"\1_..."),
    (re.compile(r"\bwhsec_[A-Za-z0-9+/=_-]+"), "whsec_..."),
    (re.compile(r"(/v1/links/)[^/\s\"']+"), r"\1..."),
    (re.compile(r"\bv1,[A-Za-z0-9+/]{16,}={0,2}"), "v1,..."),
    (re.compile(r"(?i)\b(bearer|basic) [A-Za-z0-9._~+/=-]+"), r"\1 ..."),
    (re.compile(r"(://[^\s:/@]*):[^\s/@]+@"), r"\1:...@"),
    (re.compile(r"(?i)\b(password|secret|token|key)=[^\s&\"']+"), r"\1=..."),
)


def without_secrets(text: str) -> str:
    """The text with keys, webhooks' secrets, signatures, links' too, and passwords taken out."""
    for pattern, instead in _SECRETS:
        text = pattern.sub(instead, text)
    return text


class JsonLines(logging.Formatter):
    """Time, level, logger and message, and whatever `extra=` named: bait, caller, attempt, seconds."""

    def format(self, record: logging.LogRecord) -> str:
        """One line."""
        line = _line(record)
        if record.exc_info:
            line["traceback"] = self.formatException(record.exc_info)
        return without_secrets(json.dumps(line, ensure_ascii=False, default=str))


class TextLines(logging.Formatter):
    """The same for people: time, level and message, then name=value; only a traceback takes more lines."""

    def format(self, record: logging.LogRecord) -> str:
        """The line."""
        line = _line(record)
        head = [line.pop(name) for name in ("time", "level", "logger", "message")]
        text = f"{head[0]} {head[1]:7} {head[3]}"
        text += "".join(f" {name}={json.dumps(value, ensure_ascii=False, default=str)}" for name, value in line.items())
        text = text.replace("\r", "\\r").replace("\n", "\\n")
        if record.exc_info:
            text += "\n" + self.formatException(record.exc_info)
        return without_secrets(text)


def _line(record: logging.LogRecord) -> dict[str, Any]:
    line: dict[str, Any] = {
        "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
        "level": record.levelname.lower(),
        "logger": record.name,
        "message": record.getMessage(),
    }
    line.update(_told.get() or {})
    line.update((name, value) for name, value in vars(record).items() if name not in _OWN)
    return line


def formatter(form: str) -> logging.Formatter:
    """Of the form that the setting names."""
    return TextLines() if form == "text" else JsonLines()


def log_to_stderr(level: str, form: str = "json") -> None:
    """Send this process's logs from `level` up to standard error."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(formatter(form))
    logging.basicConfig(level=level.upper(), handlers=[handler], force=True)
    logging.getLogger("rq").setLevel(library_level())


def tell_besides(**told: object) -> None:
    """From here on have each line of this request or job say these, too."""
    _told.set({**(_told.get() or {}), **told})


def tell_only(**told: object) -> None:
    """The same, and nothing that was told before; a value is made text when a line is written."""
    _told.set(told)


def tell_nothing_besides() -> None:
    """The request is over: its thread serves another's next."""
    _told.set(None)


def library_level() -> str:
    """The queue library tells of every job what our own logs tell already; we want to hear its errors."""
    return logging.getLevelName(max(logging.ERROR, logging.getLogger().level))


def about(attempt: AttemptName) -> dict[str, object]:
    """What a log line says about an attempt."""
    return {"caller": attempt.bait.caller, "bait": attempt.bait.id, "attempt": attempt.number}
