"""Reading the body of a batch: a JSON array or a request a line, each item read by itself."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from itertools import islice

from service.own import read_own
from service.own_plastics import OwnPlastics, own_plastics
from service.own_styles import OwnStyles, own_styles
from service.problems import item_problem
from worker.errors import Fault, InvalidRequest, RequestRejected
from worker.records.batches import Item
from worker.request import read_request
from worker.request.json_text import parse_items, parse_json

MOST_ITEMS = 1000
MOST_BYTES = 8 * 2**20
LINES = ("application/x-ndjson", "application/jsonl")
MEDIA_TYPES = ("application/json", *LINES)
LONGEST_LABEL = 200

# What stands on a line that is not blank.
_LINE = re.compile(rb"\S[^\n]*+")


def read_items(raw: bytes, media_type: str) -> list[Item]:
    """Every item, with its request or the problem for which it cannot be built.

    Raises MalformedRequest for an array that is not JSON, InvalidRequest where there is no item, are more than there
    may be, or not one can be built, with the faults of all.
    """
    are_lines = media_type in LINES
    found: Iterator[object] = (line[0] for line in _LINE.finditer(raw)) if are_lines else _array(raw)
    values = list(islice(found, MOST_ITEMS + 1))  # of a million items no more than these are read
    if not 0 < len(values) <= MOST_ITEMS:
        detail = f"A batch has 1 to {MOST_ITEMS} items; this one has {'more' if values else 'none'}."
        raise InvalidRequest(detail, [Fault("", "wrong-number", detail, {"minItems": 1, "maxItems": MOST_ITEMS})])
    refused: list[Fault] = []
    kept = (cache(own_styles), cache(own_plastics))  # asked for once, and where no item names one, not at all
    items = [_item(index, value, are_lines, kept, refused) for index, value in enumerate(values)]
    if all(item.request is None for item in items):
        raise InvalidRequest(f"Not one of {len(items)} items can be built; `errors` names their faults.", refused)
    return items


def _array(raw: bytes) -> Iterator[object]:
    items = parse_items(raw)
    if items is None:
        parse_json(raw)
        detail = "A batch is an array of requests, or one request a line."
        raise InvalidRequest(detail, [Fault("", "not-an-array", detail, {"type": "array"})])
    return items


Kept = tuple[Callable[[], OwnStyles], Callable[[], OwnPlastics]]


def _item(index: int, value: object, is_text: bool, kept: Kept, refused: list[Fault]) -> Item:
    body: object = None
    try:
        body = parse_json(value) if is_text and isinstance(value, bytes) else value
        request = read_own(body, read_request, *kept)
    except RequestRejected as error:
        faults = [Fault(f"/{index}{one.pointer}", one.code, one.detail, one.allowed) for one in error.faults]
        refused += faults
        return Item(index, _label(body), None, item_problem(error, faults))
    return Item(index, request.label, request)


def _label(body: object) -> str | None:
    """The label of what cannot be built, so that its owner knows it again."""
    label = body.get("label") if isinstance(body, Mapping) else None
    return label[:LONGEST_LABEL] if isinstance(label, str) else None
