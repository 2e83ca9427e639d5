"""Merge patches put together."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

Patch = dict[str, Any]


def both(one: Mapping[str, Any], other: Mapping[str, Any]) -> dict[str, Any]:
    """The RFC 7396 patch that does what one does and then the other; nulls stay, for they take members out."""
    result = dict(one)
    for name, value in other.items():
        present = result.get(name)
        joint = isinstance(value, Mapping) and isinstance(present, Mapping)
        result[name] = both(present, value) if joint else value  # type: ignore[arg-type]
    return result


def together(changes: Iterable[tuple[str, Patch]]) -> Patch:
    """The patch that does what those of all changes, each with its words, do in turn."""
    patch: Patch = {}
    for _, change in changes:
        patch = both(patch, change)
    return patch
