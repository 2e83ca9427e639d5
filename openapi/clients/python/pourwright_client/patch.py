"""Remedies: a merge patch (RFC 7396) put on a request, and which places of it that changes (RFC 6901)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pourwright_client.records import Json


def patched(request: Json, patch: Json) -> dict[str, Any]:
    """The request with a remedy's patch on it, as RFC 7396 has it; neither of them is changed."""
    return {
        name: _merged(request.get(name), patch[name]) if name in patch else value
        for name, value in {**request, **patch}.items()
        if not (name in patch and patch[name] is None)
    }


def _merged(value: Any, patch: Any) -> Any:
    if not isinstance(patch, Mapping):
        return patch
    return patched(value if isinstance(value, Mapping) else {}, patch)


def pointers(patch: Json, above: str = "") -> Iterator[tuple[str, Any]]:
    """Each place that a patch sets, with its value; null where it takes something out."""
    for name, value in patch.items():
        place = f"{above}/{name.replace('~', '~0').replace('/', '~1')}"
        if isinstance(value, Mapping) and value:
            yield from pointers(value, place)
        else:
            yield place, value
