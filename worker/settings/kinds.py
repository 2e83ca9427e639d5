"""What a setting is, and the kinds of values that one may have. A kind reads text strictly or says what it takes."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

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

    def given(self, environ: Mapping[str, str]) -> str:
        """The text in this environment; an empty variable counts as unset."""
        return environ.get(self.name, "").strip()

    def value(self, environ: Mapping[str, str]) -> object:
        """The value in this environment. ValueError has a sentence."""
        text = self.given(environ)
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
        return "unset" if self.default in (None, ()) else str(self.default)


# How a setting is declared: a dataclass field whose metadata is everything but its name


def declare(
    default: object,
    kind: str,
    allowed: str,
    meaning: str,
    read: Callable[[str], object],
    secret: bool = False,
    variable: str | None = None,
) -> Any:
    """A setting of any kind; `default` may be a function whose docstring says in words what it gives.

    `variable` is the whole name of one that others read too, and that is not called after us.
    """
    return field(metadata={"declared": (kind, default, allowed, meaning, read, secret), "variable": variable})


def whole(default: object, minimum: int, maximum: int, meaning: str) -> Any:
    """A whole number in digits."""

    def read(text: str) -> int:
        if not re.fullmatch(r"[0-9]{1,18}", text) or not minimum <= int(text) <= maximum:
            raise ValueError(text)
        return int(text)

    return declare(default, "whole number", f"a whole number from {minimum} to {maximum}", meaning, read)


def choice(default: str, choices: tuple[str, ...], meaning: str) -> Any:
    """One of several words, in any case."""

    def read(text: str) -> str:
        if text.lower() not in choices:
            raise ValueError(text)
        return text.lower()

    return declare(default, "choice", "one of " + ", ".join(choices), meaning, read)


def host(text: str) -> str:
    """A host's name or address. Raises ValueError."""
    if not re.fullmatch(r"[0-9A-Za-z._:-]{1,253}", text):
        raise ValueError(text)
    return text


def store_url(text: str) -> str:
    """An address that the store's client understands. Raises ValueError."""
    parts = urlsplit(text)
    place = parts.path if parts.scheme == "unix" else parts.hostname
    if parts.scheme not in ("redis", "rediss", "unix") or not place:
        raise ValueError(text)
    _ = parts.port  # raises ValueError where it is no number or out of range
    return text


def key_id(text: str) -> str:
    """The id of a key. Raises ValueError."""
    if not re.fullmatch(r"[0-9a-f]{12}", text):
        raise ValueError(text)
    return text


def link_secrets(text: str) -> tuple[str, ...]:
    """Secrets parted by commas. Raises ValueError."""
    found = tuple(one.strip() for one in text.split(","))
    if not all(re.fullmatch(r"[0-9A-Za-z_+/=-]{32,256}", one) for one in found):
        raise ValueError(text)
    return found


def origins(text: str) -> tuple[str, ...]:
    """Origins parted by commas, each as a browser writes it: lower case, no usual port. Raises ValueError."""
    return tuple(_origin(one.strip()) for one in text.split(","))


def _origin(text: str) -> str:
    parts = urlsplit(text)
    if not re.fullmatch(r"https?://([0-9A-Za-z.-]+|\[[0-9A-Fa-f:.]+\])(:[0-9]{1,5})?", text) or not parts.hostname:
        raise ValueError(text)
    name = f"[{parts.hostname}]" if ":" in parts.hostname else parts.hostname
    usual = parts.port in (None, {"http": 80, "https": 443}[parts.scheme])
    return f"{parts.scheme}://{name}" if usual else f"{parts.scheme}://{name}:{parts.port}"


def folder(text: str) -> Path:
    """A folder that is there or can be made. Raises ValueError."""
    path = Path(text).expanduser().resolve()
    if path.exists() and not path.is_dir():
        raise ValueError(text)
    return path


def file(text: str) -> Path:
    """A file that is there or can be made. Raises ValueError.

    Links are kept: a file that is handed out to hosts is often a link that is turned to the next version of it.
    """
    path = Path(os.path.abspath(Path(text).expanduser()))
    if path.is_dir():
        raise ValueError(text)
    return path


def artifacts(text: str) -> Path | str:
    """A folder, or a bucket and what its keys begin with: s3://bucket/prefix. Raises ValueError."""
    if "://" not in text:
        return folder(text)
    # The names that buckets may have everywhere: 3 to 63 of these, no dot beside a dot.
    if not re.fullmatch(r"s3://(?!.*\.\.)[a-z0-9][a-z0-9.-]{1,61}[a-z0-9](/[0-9A-Za-z._-]{1,128}){0,8}/?", text):
        raise ValueError(text)
    if {".", ".."} & set(text.split("/")):
        raise ValueError(text)
    return text.rstrip("/")


def endpoint(text: str) -> str:
    """Where a bucket's server is: http or https, a host, perhaps a port. Raises ValueError."""
    return _origin(text.rstrip("/"))


def region(text: str) -> str:
    """A region's name. Raises ValueError."""
    if not re.fullmatch(r"[0-9a-z-]{1,64}", text):
        raise ValueError(text)
    return text


def credential(text: str) -> str:
    """An identifier or a secret in one printable word. Raises ValueError."""
    if not re.fullmatch(r"[!-~]{1,4096}", text):
        raise ValueError(text)
    return text


def state_folder() -> Path:
    """`state` in the working folder."""
    return Path("state").resolve()


def cores() -> int:
    """The processor cores that this process may use."""
    return min(256, len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1)
