"""What a fit looks like."""

from __future__ import annotations

from service.openapi import fit_answer
from service.openapi.record import record
from service.openapi.shapes import Schema, list_of, object_of, ref, text, whole
from worker.fit import fit_request_schema


def schemas(statuses: tuple[str, ...], shared: dict[str, Schema]) -> dict[str, Schema]:
    """A fit, its request and its file. `shared` are components that a bait's request is made of."""
    return {"Fit": _fit(statuses), **fit_answer.schemas(), "FitRequest": _request(shared), "FitFile": _file()}


def _request(shared: dict[str, Schema]) -> Schema:
    """The request; its members that are a bait's too refer to the same components."""
    names = {repr(schema): name for name, schema in shared.items()}
    request = fit_request_schema()
    members = {
        name: ref(names[repr(member)]) if repr(member) in names else member
        for name, member in request["properties"].items()
    }
    return {**request, "properties": members}


def _fit(statuses: tuple[str, ...]) -> Schema:
    made = {
        "answer": {
            "anyOf": [ref("FitAnswer"), {"type": "null"}],
            "description": "What was found; null until `successful`.",
        },
        "files": list_of("FitFile", "Empty until `successful`, then complete."),
    }
    relations = "`self`, and `order`, to which a bait of the answer is posted"
    return record("fit", statuses, made, timings=": `search`, and `waited` before it", relations=relations)


def _file() -> Schema:
    return object_of(
        {
            "name": text("Its name below the fit's `files`."),
            "media_type": text("The registered media type."),
            "bytes": whole("Its length."),
            "sha256": text("Its SHA-256.", pattern="^[0-9a-f]{64}$"),
            "href": text("Its address.", format="uri-reference"),
        }
    )
