"""Batches: many baits in one call."""

from __future__ import annotations

from service.batch_reading import LINES, MOST_ITEMS
from service.openapi.calls.call import UNCHANGED, Item, call, json_answer
from service.openapi.headers import ARCHIVE_HEADERS, BATCH_HEADERS, CONDITIONS, IDEMPOTENCY_KEY, RANGE, batch_id
from service.openapi.onward import BATCH_LINKS
from service.openapi.responses import content_answers, head_answer, problem_answers

_EXAMPLE = [
    {"style": "craw", "label": "Alderbank craw"},
    {"style": "stick_worm", "plastic": {"salt_wt_pct": 20}, "outputs": ["stl"]},
]


def paths() -> dict[str, Item]:
    """The addresses of this resource, with their methods."""
    return {
        "/v1/batches": {"post": _create()},
        "/v1/batches/{batch_id}": {"parameters": [batch_id()], "get": _show(), "delete": _remove()},
        "/v1/batches/{batch_id}/archive": {"parameters": [batch_id()], "get": _archive(), "head": _head()},
    }


def _create() -> Item:
    request = {"$ref": "#/components/schemas/Request"}
    array = {"type": "array", "items": request, "minItems": 1, "maxItems": MOST_ITEMS}
    lines = {name: {"schema": {"type": "string", "description": "A request a line."}} for name in LINES}
    return call(
        "createBatch",
        "Batches",
        "Build many baits",
        f"Up to {MOST_ITEMS} requests in up to 8 MiB, as an array or one a line. Each item is read by itself: where "
        "any can be built the batch is taken, and those that cannot carry their problem, with pointers into the batch "
        "(`/17/params/length`). Equal items share a bait. Baits of a batch wait behind single ones, and callers take "
        "turns. With an `Idempotency-Key` the first answer is repeated for a day.",
        {
            "202": json_answer("Batch", "Taken; ask again at `Location`.", BATCH_HEADERS, BATCH_LINKS),
            **problem_answers(400, 405, 408, 409, 413, 415, 422, 500, 503),
        },
        parameters=[IDEMPOTENCY_KEY],
        requestBody={
            "required": True,
            "content": {"application/json": {"schema": array, "example": _EXAMPLE}, **lines},
        },
    )


def _show() -> Item:
    return call(
        "getBatch",
        "Batches",
        "A batch",
        "Its status, how many items have which, and every item, in the order in which they were sent.",
        {
            "200": json_answer("Batch", "The batch.", BATCH_HEADERS, BATCH_LINKS),
            **UNCHANGED,
            **problem_answers(404, 405, 412, 500, 503),
        },
        parameters=CONDITIONS,
    )


def _remove() -> Item:
    return call(
        "removeBatch",
        "Batches",
        "Dismiss or remove a batch",
        "Under way: it becomes `dismissed`, and so do its unfinished baits that nobody else asked for. Ended: it is "
        "removed; its baits stay.",
        {
            "200": json_answer("Batch", "Dismissed."),
            "204": {"description": "Removed."},
            **problem_answers(404, 405, 500, 503),
        },
    )


def _archive() -> Item:
    return call(
        "getArchive",
        "Batches",
        "All files of a batch",
        "A ZIP, stored, once the batch has ended: a folder for each bait and `batch.json`, which tells the items' "
        "folders. Its length is known from the start and any range can be had. A few are sent at once.",
        {
            **content_answers("archive", ARCHIVE_HEADERS, "application/zip"),
            **UNCHANGED,
            **problem_answers(404, 405, 409, 412, 416, 500, 503),
        },
        parameters=[*CONDITIONS, *RANGE],
    )


def _head() -> Item:
    return call(
        "headArchive",
        "Batches",
        "What the archive is",
        "The headers of the archive without its bytes.",
        {
            **head_answer(ARCHIVE_HEADERS),
            **UNCHANGED,
            **problem_answers(404, 405, 409, 412, 500, 503),
        },
        parameters=CONDITIONS,
    )
