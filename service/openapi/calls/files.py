"""The files of a finished bait."""

from __future__ import annotations

from service.openapi.calls.call import UNCHANGED, Item, call
from service.openapi.headers import CONDITIONS, FILE_HEADERS, RANGE, bait_id, file_name
from service.openapi.responses import content_answers, head_answer, problem_answers
from worker.files.table import FILES


def paths() -> dict[str, Item]:
    """The addresses of this resource, with their methods."""
    return {
        "/v1/baits/{bait_id}/files/{name}": {
            "parameters": [bait_id(), file_name()],
            "get": _file(),
            "head": _head(),
        },
    }


def _file() -> Item:
    return call(
        "getFile",
        "Baits",
        "A file of a bait",
        "Its bytes never change: keep it. `ETag` is its SHA-256, and so is `Repr-Digest` (RFC 9530).",
        {
            **content_answers("file", FILE_HEADERS, *(kind.media_type for kind in FILES.values())),
            **UNCHANGED,
            **problem_answers(404, 405, 410, 412, 416, 500, 503),
        },
        parameters=[*CONDITIONS, *RANGE],
    )


def _head() -> Item:
    return call(
        "headFile",
        "Baits",
        "What a file is",
        "The headers of the file without its bytes.",
        {
            **head_answer(FILE_HEADERS),
            **UNCHANGED,
            **problem_answers(404, 405, 412, 500, 503),
        },
        parameters=CONDITIONS,
    )
