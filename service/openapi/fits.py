"""What a fit looks like."""

from __future__ import annotations

from service.openapi import fit_answer
from service.openapi.shapes import Schema, list_of, object_of, ref, text, whole
from worker.fit import fit_request_schema

_MOMENT: Schema = {"type": ["string", "null"], "format": "date-time"}


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
    return object_of(
        {
            "id": text("The digest of the request in normal form and of the engine.", pattern="^[0-9a-f]{64}$"),
            "status": text("The states of OGC API - Processes.", enum=list(statuses)),
            "label": text("As it was sent with this very request; stored nowhere."),
            "request": {
                "type": "object",
                "description": "The normal form: defaults written, lengths in millimetres.",
            },
            "answer": {
                "anyOf": [ref("FitAnswer"), {"type": "null"}],
                "description": "What was found; null until `successful`.",
            },
            "files": list_of("FitFile", "Empty until `successful`, then complete."),
            "created": {**_MOMENT, "description": "When the fit was asked for."},
            "finished": {**_MOMENT, "description": "When it ended; null before."},
            "timings": {
                "type": "object",
                "additionalProperties": {"type": "number"},
                "description": "Milliseconds: `search`, and `waited` before it.",
            },
            "links": {
                "type": "object",
                "additionalProperties": {"type": "string", "format": "uri-reference"},
                "description": "Addresses by relation: `self`, and `order`, to which a bait of the answer is posted.",
            },
            "problem": {**ref("Problem"), "description": "Why it failed; only where `status` is `failed`."},
        },
        optional=("label", "problem"),
    )


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
