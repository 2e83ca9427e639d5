"""What every record looks like, a bait's or a fit's: what was asked, what came of it, when, and where to go on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from service.openapi.shapes import Schema, object_of, ref, text


def record(what: str, statuses: Sequence[str], made: Mapping[str, Schema], *, timings: str, relations: str) -> Schema:
    """A record of `what`, with what its work has `made`; `timings` and `relations` tell which ones there are."""
    return object_of(
        {
            "id": text("The digest of the request in normal form and of the engine.", pattern="^[0-9a-f]{64}$"),
            "status": text("The states of OGC API - Processes.", enum=list(statuses)),
            "label": text("As it was sent with this very request; stored nowhere."),
            "request": {
                "type": "object",
                "description": "The normal form: defaults written, lengths in millimetres.",
            },
            **made,
            "created": _moment(f"When the {what} was asked for."),
            "finished": _moment("When it ended; null before."),
            "timings": {
                "type": "object",
                "additionalProperties": {"type": "number"},
                "description": f"Milliseconds{timings}.",
            },
            "links": {
                "type": "object",
                "additionalProperties": {"type": "string", "format": "uri-reference"},
                "description": f"Addresses by relation: {relations}.",
            },
            "problem": {**ref("Problem"), "description": "Why it failed; only where `status` is `failed`."},
        },
        optional=("label", "problem"),
    )


def _moment(description: str) -> Schema:
    return {"type": ["string", "null"], "format": "date-time", "description": description}
