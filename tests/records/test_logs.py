"""Logs: one JSON object a line, whatever is in it."""

from __future__ import annotations

import json
import logging
import sys

from worker.records.logs import JsonLines, about
from worker.records.names import BaitName


def line_of(message: str, *arguments: object, **extra: object) -> dict[str, object]:
    record = logging.LogRecord("worker.test", logging.INFO, __file__, 1, message, arguments, None)
    vars(record).update(extra)
    text = JsonLines().format(record)
    assert "\n" not in text
    told = json.loads(text)
    assert isinstance(told, dict)
    return told


def test_a_line_tells_time_level_logger_message_and_what_it_is_about() -> None:
    told = line_of("built %s", "it", **about(BaitName("local", "ab" * 32).attempt(3)))
    assert told.pop("time", "").endswith("+00:00")  # type: ignore[union-attr]
    assert told == {
        "level": "info",
        "logger": "worker.test",
        "message": "built it",
        "caller": "local",
        "bait": "ab" * 32,
        "attempt": 3,
    }


def test_line_breaks_and_things_that_are_no_json_stay_in_their_line() -> None:
    told = line_of('two\nlines, "quoted"', thing={1, 2})
    assert told["message"] == 'two\nlines, "quoted"'
    assert told["thing"] == "{1, 2}"


def test_an_exception_is_told_with_its_trace() -> None:
    try:
        raise ValueError("inside")
    except ValueError:
        record = logging.LogRecord("x", logging.ERROR, __file__, 1, "failed", (), sys.exc_info())
    told = json.loads(JsonLines().format(record))
    assert "ValueError: inside" in told["traceback"]
