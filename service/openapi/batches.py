"""What a batch looks like."""

from __future__ import annotations

from service.openapi.shapes import Schema, list_of, object_of, ref, text, whole
from worker.records.batch_view import COUNTED, INVALID


def batch() -> Schema:
    """One batch."""
    return object_of(
        {
            "id": text("Its id.", pattern="^[0-9a-f]{32}$"),
            "status": text(
                "`running` from the first bait that is begun; ended `successful` where any bait is, or else `failed`.",
                enum=[status for status in COUNTED if status != INVALID],
            ),
            "created": text("When it was taken.", format="date-time"),
            "finished": {
                "type": ["string", "null"],
                "format": "date-time",
                "description": "When its last bait ended; null before.",
            },
            "counts": object_of(
                {status: whole("Items of this status.") for status in COUNTED},
                description="How many items have each status; equal ones are counted each.",
            ),
            "items": list_of("BatchItem", "Every item, in the order in which they were sent."),
            "links": {
                "type": "object",
                "additionalProperties": {"type": "string", "format": "uri-reference"},
                "description": "Addresses by relation: `self`, `archive`.",
            },
        }
    )


def item() -> Schema:
    """One item of a batch."""
    return object_of(
        {
            "index": whole("Its place in the batch, from 0."),
            "label": text("As it was sent with it."),
            "id": text("Its bait's id; equal items have one.", pattern="^[0-9a-f]{64}$"),
            "status": text("Its bait's; `invalid` where it cannot be built.", enum=list(COUNTED)),
            "href": text("Its bait's address.", format="uri-reference"),
            "problem": {**ref("Problem"), "description": "Why it cannot be built, or why the build failed."},
        },
        optional=("label", "id", "href", "problem"),
        description="One item: with `id` and `href` where it was taken, or with its problem.",
    )
