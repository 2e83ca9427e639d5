"""Reading the body of a batch: a JSON array or a request a line, each item read by itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from service.own_plastics import with_own_plastic
from service.problems import item_problem
from worker.errors import Fault, InvalidRequest, RequestRejected
from worker.records.batches import Item
from worker.request import read_request
from worker.request.json_text import DEEPEST, parse_json

MOST_ITEMS = 1000
MOST_BYTES = 8 * 2**20
LINES = ("application/x-ndjson", "application/jsonl")
MEDIA_TYPES = ("application/json", *LINES)
LONGEST_LABEL = 200


def read_items(raw: bytes, media_type: str) -> list[Item]:
    """Every item, with its request or the problem for which it cannot be built.

    Raises MalformedRequest for an array that is not JSON, InvalidRequest where there is no item, are more than there
    may be, or not one can be built, with the faults of all.
    """
    texts = [line for line in raw.split(b"\n") if line.strip()] if media_type in LINES else None
    values = _array(raw) if texts is None else texts
    if not 0 < len(values) <= MOST_ITEMS:
        detail = f"A batch has 1 to {MOST_ITEMS} items; this one has {len(values)}."
        raise InvalidRequest(detail, [Fault("", "wrong-number", detail, {"minItems": 1, "maxItems": MOST_ITEMS})])
    refused: list[Fault] = []
    items = [_item(index, value, texts is not None, refused) for index, value in enumerate(values)]
    if all(item.request is None for item in items):
        raise InvalidRequest(f"Not one of {len(items)} items can be built; `errors` names their faults.", refused)
    return items


def _array(raw: bytes) -> Sequence[object]:
    value = parse_json(raw, DEEPEST + 1)
    if not isinstance(value, list):
        detail = "A batch is an array of requests, or one request a line."
        raise InvalidRequest(detail, [Fault("", "not-an-array", detail, {"type": "array"})])
    return value


def _item(index: int, value: object, is_text: bool, refused: list[Fault]) -> Item:
    body: object = None
    read: Callable[[bytes], object] = parse_json
    try:
        body = read(value) if is_text and isinstance(value, bytes) else value
        request = read_request(with_own_plastic(body))
    except RequestRejected as error:
        faults = [Fault(f"/{index}{one.pointer}", one.code, one.detail, one.allowed) for one in error.faults]
        refused += faults
        return Item(index, _label(body), None, item_problem(error, faults))
    return Item(index, request.label, request)


def _label(body: object) -> str | None:
    """The label of what cannot be built, so that its owner knows it again."""
    label = body.get("label") if isinstance(body, Mapping) else None
    return label[:LONGEST_LABEL] if isinstance(label, str) else None
