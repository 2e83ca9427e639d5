"""Signed links to files."""

from __future__ import annotations

from service.names import PATTERN
from service.openapi.calls.call import UNCHANGED, Item, call, json_answer
from service.openapi.headers import CONDITIONS, FILE_HEADERS, RANGE, bait_id, file_name
from service.openapi.responses import content_answers, problem_answers
from worker.files.table import FILES


def paths() -> dict[str, Item]:
    """The addresses of this resource, with their methods."""
    return {
        "/v1/links": {"post": _create()},
        "/v1/links/{expiry}.{signature}/{caller}/{bait_id}/{name}": {
            "parameters": [
                _part("expiry", "When it expires, in seconds since 1970.", "^[1-9][0-9]{0,11}$"),
                _part("signature", "HMAC-SHA256 over the other parts.", "^[A-Za-z0-9_-]{43}$"),
                _part("caller", "Whose bait it is.", PATTERN),
                bait_id(),
                file_name(),
            ],
            "get": _follow(),
        },
    }


def _part(name: str, description: str, pattern: str) -> Item:
    schema = {"type": "string", "pattern": pattern}
    return {"name": name, "in": "path", "required": True, "description": description, "schema": schema}


def _create() -> Item:
    example = {"bait": "0" * 64, "file": "bait.glb", "seconds": 3600}
    content = {"schema": {"$ref": "#/components/schemas/LinkRequest"}, "example": example}
    return call(
        "createLink",
        "Baits",
        "A link to a file",
        "A signed address that opens this one file without a key until it expires, also once the key that made it is "
        "revoked. A link keeps no file: what nobody asks for is cleared away by age and by bytes, and `may_end_sooner` "
        "says when that may be before the link expires. To make and to follow a link is to ask for the bait.",
        {
            "201": json_answer("Link", "The link.", {"Location": {"schema": {"type": "string"}}}),
            **problem_answers(400, 404, 405, 408, 413, 415, 422, 500, 503),
        },
        requestBody={"required": True, "content": {"application/json": content}},
    )


def _follow() -> Item:
    return call(
        "followLink",
        "Baits",
        "The file behind a link",
        "As its owner gets it. Caches may keep it until the link expires, which is then answered with 403; a link that "
        "was altered is 404, and so is one whose file has been cleared away, until the same bait is asked for again.",
        {
            **content_answers("file", FILE_HEADERS, *(kind.media_type for kind in FILES.values())),
            **UNCHANGED,
            **problem_answers(403, 404, 405, 410, 412, 416, 500, 503),
        },
        parameters=[*CONDITIONS, *RANGE],
    )
