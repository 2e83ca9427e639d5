"""Who a bait is: the SHA-256 of the RFC 8785 text of `{engine, request}`."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from functools import cache
from importlib.metadata import version
from typing import Any

import rfc8785

from worker.styles.house import DEFINITION

REVISION = 9
"""Raised by hand whenever our own code or tables change a byte or a figure; tests/determinism notices."""

LIBRARIES = ("coloraide", "deflate", "highspy", "manifold3d", "numpy", "ortools", "pillow", "reportlab", "scipy")
"""Pinned libraries that can change a byte or a figure."""


@cache
def engine() -> str:
    """The text that covers all that changes any byte or figure."""
    return ";".join([f"pourwright={REVISION}", *(f"{name}={version(name)}" for name in LIBRARIES)])


def canonical(value: Mapping[str, Any]) -> bytes:
    """RFC 8785: one byte sequence for equal JSON values."""
    return rfc8785.dumps(dict(value))


def digest(value: Mapping[str, Any]) -> str:
    """64 lowercase hex digits of SHA-256 over the canonical text."""
    return hashlib.sha256(canonical(value)).hexdigest()


def bait_id(normal: Mapping[str, Any]) -> str:
    """The id of the bait that this normal form asks for."""
    return digest({"engine": engine(), "request": identified(normal)})


def identified(normal: Mapping[str, Any]) -> dict[str, Any]:
    """What of a normal form makes its id: all of it, a house style as its name and the digest of its definition."""
    definition = normal.get(DEFINITION)
    return dict(normal) if definition is None else {**normal, DEFINITION: digest(definition)}
