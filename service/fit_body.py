"""A fit as a caller sees it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import url_for

from service.bait_body import bait_path
from worker.records.view import BaitView


def fit_path(fit_id: str) -> str:
    """The address of a fit on this host."""
    return url_for("fits.show", fit_id=fit_id)


def fit_body(fit: BaitView, label: str | None = None) -> dict[str, Any]:
    """The body of a fit. `label` is echoed to whoever sent it, and stored nowhere."""
    body: dict[str, Any] = {"id": fit.id, "status": fit.status}
    if label is not None:
        body["label"] = label
    body |= {
        "request": fit.request,
        "answer": None if fit.answer is None else _linked(fit.answer),
        "files": [_file_body(fit.id, file) for file in fit.files] if fit.status == "successful" else [],
        "created": fit.created,
        "finished": fit.finished,
        "timings": fit.timings,
        "links": {"self": fit_path(fit.id), "order": url_for("baits.create")},
    }
    if fit.problem is not None:
        body["problem"] = fit.problem
    return body


def _linked(told: Any) -> Any:
    """The answer with the address beside the id of each bait in it: there it is once its request has been ordered."""
    if isinstance(told, list):
        return [_linked(each) for each in told]
    if not isinstance(told, dict):
        return told
    linked = {name: _linked(member) for name, member in told.items()}
    if isinstance(told.get("bait"), str):
        linked["href"] = bait_path(told["bait"])
    return linked


def _file_body(fit_id: str, file: Mapping[str, Any]) -> dict[str, Any]:
    href = url_for("fits.send", fit_id=fit_id, name=file["name"])
    return {key: file[key] for key in ("name", "media_type", "bytes", "sha256")} | {"href": href}
