"""RFC 7396 merge patches on a request: what a client does to its own text, done to the normal form."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any


def merged(target: Mapping[str, Any], patch: Mapping[str, Any]) -> dict[str, Any]:
    """`target` after `patch`: objects are merged, null takes a member out, all else (lists too) replaces."""
    result = dict(target)
    for name, value in patch.items():
        if value is None:
            result.pop(name, None)
        elif isinstance(value, Mapping):
            below = result.get(name)
            result[name] = merged(below if isinstance(below, Mapping) else {}, value)
        else:
            result[name] = value
    return result
