"""Every setting of service and workers, declared once: name, kind, default, range, meaning.

`load()` reads them from the environment and refuses at once with a sentence for each one that cannot be used.
`python -m worker.settings --check` does only that; `--table` prints the table for the manual.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from worker.errors import SettingsInvalid

PREFIX = "POURWRIGHT_"


@dataclass(frozen=True, slots=True)
class Setting:
    """One declaration; `read` turns the variable's text into a value, or raises ValueError."""

    name: str
    kind: str
    default: object
    allowed: str
    meaning: str
    read: Callable[[str], object]
    secret: bool = False  # the value may hold a password: never repeated in a message

    def value(self, environ: Mapping[str, str]) -> object:
        """The value in this environment; an empty variable counts as unset. ValueError has a sentence."""
        text = environ.get(self.name, "").strip()
        if not text:
            return self.default() if callable(self.default) else self.default
        try:
            return self.read(text)
        except ValueError:
            shown = "the value given" if self.secret else repr(text)
            raise ValueError(f"{self.name}: {shown} is not {self.allowed}") from None

    @property
    def default_text(self) -> str:
        """The default as the manual shows it; a computed one in words, not by this machine's value."""
        if callable(self.default):
            return (self.default.__doc__ or "").strip().rstrip(".")
        return "unset" if self.default is None else str(self.default)


# How a setting is declared: a dataclass field whose metadata is everything but its name


def _declare(
    default: object,
    kind: str,
    allowed: str,
    meaning: str,
    read: Callable[[str], object],
    secret: bool = False,
) -> Any:
    return field(metadata={"declared": (kind, default, allowed, meaning, read, secret)})


def _whole(default: object, minimum: int, maximum: int, meaning: str) -> Any:
    def read(text: str) -> int:
        if not re.fullmatch(r"[0-9]{1,18}", text) or not minimum <= int(text) <= maximum:
            raise ValueError(text)
        return int(text)

    return _declare(default, "whole number", f"a whole number from {minimum} to {maximum}", meaning, read)


def _choice(default: str, choices: tuple[str, ...], meaning: str) -> Any:
    def read(text: str) -> str:
        if text.lower() not in choices:
            raise ValueError(text)
        return text.lower()

    return _declare(default, "choice", "one of " + ", ".join(choices), meaning, read)


def _host(text: str) -> str:
    if not re.fullmatch(r"[0-9A-Za-z._:-]{1,253}", text):
        raise ValueError(text)
    return text


def _store_url(text: str) -> str:
    parts = urlsplit(text)
    place = parts.path if parts.scheme == "unix" else parts.hostname
    if parts.scheme not in ("redis", "rediss", "unix") or not place:
        raise ValueError(text)
    _ = parts.port  # raises ValueError where it is no number or out of range
    return text


def _folder(text: str) -> Path:
    path = Path(text).expanduser().resolve()
    if path.exists() and not path.is_dir():
        raise ValueError(text)
    return path


def _file(text: str) -> Path:
    path = Path(text).expanduser().resolve()
    if path.is_dir():
        raise ValueError(text)
    return path


def _state_folder() -> Path:
    """`state` in the working folder."""
    return Path("state").resolve()


def _cores() -> int:
    """The processor cores that this process may use."""
    return min(256, len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """All settings, checked. Each field is read from POURWRIGHT_ and its name in capitals."""

    host: str = _declare(
        "127.0.0.1", "host", "a host name or an IP address", "Address on which the service listens.", _host
    )
    port: int = _whole(8080, 0, 65535, "Port on which the service listens; 0 takes a free one.")
    store_url: str | None = _declare(
        None,
        "URL",
        "a redis://, rediss:// or unix:// URL",
        "The Redis or Valkey server; unset, we run our own.",
        _store_url,
        secret=True,
    )
    state_dir: Path = _declare(  # noqa: RUF009 - a dataclass field by another name
        _state_folder, "folder", "a folder", "Finished baits and, with our own store, its data.", _folder
    )
    keys_file: Path | None = _declare(  # noqa: RUF009
        None, "file", "a file in a folder", "The keys of callers; unset, keys.json in the state folder.", _file
    )
    workers: int = _whole(_cores, 1, 256, "Worker processes; each builds one bait at a time.")
    job_limit_s: int = _whole(30, 1, 3600, "Seconds that one build may take; it is ended two seconds later at most.")
    job_memory_mib: int = _whole(2048, 1024, 1_048_576, "Address space in MiB that one build may take.")
    queue_limit: int = _whole(100, 1, 1_000_000, "Single baits that may wait; more are refused with 503.")
    web_threads: int = _whole(64, 2, 1024, "Threads of the service.")
    waiters: int = _whole(48, 0, 1023, "Requests that may wait for a bait at once; fewer than the threads.")
    estimate_waiting: int = _whole(8, 0, 1000, "Estimates that may wait their turn; more are refused with 503.")
    drawing_waiting: int = _whole(16, 0, 1000, "Drawings that may wait their turn; more are refused with 503.")
    body_limit_bytes: int = _whole(262_144, 1024, 67_108_864, "Largest body of a request, in bytes; above it 413.")
    log_level: str = _choice("info", ("debug", "info", "warning", "error"), "Least level of what is logged.")


SETTINGS: tuple[Setting, ...] = tuple(
    Setting(PREFIX + one.name.upper(), *one.metadata["declared"]) for one in fields(Settings)
)


def load(environ: Mapping[str, str] = os.environ) -> Settings:
    """Read all settings. Raises SettingsInvalid that names each one that cannot be used and what it takes."""
    values: dict[str, Any] = {}
    wrong: list[str] = []
    for setting in SETTINGS:
        try:
            values[setting.name.removeprefix(PREFIX).lower()] = setting.value(environ)
        except ValueError as reason:
            wrong.append(str(reason))
    if "waiters" in values and "web_threads" in values and values["waiters"] >= values["web_threads"]:
        wrong.append(
            f"POURWRIGHT_WAITERS: {values['waiters']} is not fewer than POURWRIGHT_WEB_THREADS "
            f"({values['web_threads']}), and someone must answer while they wait"
        )
    if wrong:
        raise SettingsInvalid("; ".join(wrong))
    return Settings(**values)


def table() -> str:
    """All settings as a Markdown table."""
    rows = ["| setting | kind | default | allowed | meaning |", "|---|---|---|---|---|"]
    rows += [f"| `{s.name}` | {s.kind} | {s.default_text} | {s.allowed} | {s.meaning} |" for s in SETTINGS]
    return "\n".join(rows)


def main(arguments: list[str] | None = None) -> int:
    """Command line: check the environment's settings, or print the table."""
    parser = argparse.ArgumentParser(prog="python -m worker.settings", description="Pourwright's settings.")
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument("--check", action="store_true", help="say which settings in the environment cannot be used")
    what.add_argument("--table", action="store_true", help="print all settings as a Markdown table")
    if parser.parse_args(arguments).table:
        print(table())
        return 0
    try:
        load()
    except SettingsInvalid as invalid:
        print(invalid.detail.replace("; ", "\n"), file=sys.stderr)
        return 1
    print("The settings can be used.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
