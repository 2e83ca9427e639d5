"""A bait as a caller sees it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import url_for

from service.answers import encode
from service.kept_bodies import KeptBodies, Tagged
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


def ended_body(kept: KeptBodies, caller: str, bait: BaitView) -> Tagged:
    """The encoded body and its strong tag. An ended bait changes only with another attempt or status."""
    key = (caller, bait.id, bait.attempt, bait.status, bait.finished)
    return kept.get(key) or kept.keep(key, encode(bait_body(bait)))
