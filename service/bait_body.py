"""A bait as a caller sees it."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping
from typing import Any

from flask import url_for

from service.answers import encode, etag_of
from worker.records.view import BaitView


def bait_path(bait_id: str) -> str:
    """The address of a bait on this host."""
    return url_for("baits.show", bait_id=bait_id)


def bait_body(bait: BaitView, label: str | None = None) -> dict[str, Any]:
    """The body of a bait. `label` is echoed to whoever sent it, and stored nowhere."""
    body: dict[str, Any] = {"id": bait.id, "status": bait.status}
    if label is not None:
        body["label"] = label
    body |= {
        "request": bait.request,
        "metrics": bait.metrics or {},
        "checks": list(bait.checks),
        "files": [_file_body(bait.id, file) for file in bait.files] if bait.status == "successful" else [],
        "cautions": list(bait.cautions),
        "created": bait.created,
        "finished": bait.finished,
        "timings": bait.timings,
        "links": links_of(bait.id, bait.request),
    }
    if bait.problem is not None:
        body["problem"] = bait.problem
    return body


def links_of(bait_id: str, request: Mapping[str, Any]) -> dict[str, str]:
    """Where to go from a bait: itself, and the style that it was asked for in."""
    links = {"self": bait_path(bait_id)}
    if "style" in request:
        links["style"] = url_for("styles.show", style=request["style"])
    return links


def _file_body(bait_id: str, file: Mapping[str, Any]) -> dict[str, Any]:
    href = url_for("files.send", bait_id=bait_id, name=file["name"])
    return {key: file[key] for key in ("name", "output", "media_type", "bytes", "sha256")} | {"href": href}


class EndedBodies:
    """Encoded bodies of ended baits and fits with their tags: a bait is asked for far more often than it changes."""

    def __init__(self, limit: int = 512) -> None:
        self._limit = limit
        self._kept: OrderedDict[tuple[object, ...], tuple[bytes, str]] = OrderedDict()
        self._lock = threading.Lock()

    def body_and_etag(
        self, caller: str, bait: BaitView, body: Callable[[BaitView], dict[str, Any]] = bait_body
    ) -> tuple[bytes, str]:
        """The encoded body and its strong ETag. An ended bait or fit changes only with another attempt or status."""
        key = (caller, bait.id, bait.attempt, bait.status, bait.finished)
        with self._lock:
            kept = self._kept.get(key)
            if kept is not None:
                self._kept.move_to_end(key)
                return kept
        content = encode(body(bait))
        made = content, etag_of(content)
        with self._lock:
            self._kept[key] = made
            while len(self._kept) > self._limit:
                self._kept.popitem(last=False)
        return made
