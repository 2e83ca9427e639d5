"""A batch as a caller sees it."""

from __future__ import annotations

from typing import Any

from flask import url_for

from service.answers import encode, etag_of
from service.bait_body import bait_path
from service.interfaces import Batches
from service.kept_bodies import KeptBodies, Tagged
from worker.records.batch_view import BatchView, ItemView


def batch_path(batch_id: str) -> str:
    """The address of a batch on this host."""
    return url_for("batches.show", batch_id=batch_id)


def batch_body(batch: BatchView) -> dict[str, Any]:
    """The body of a batch: how it stands, and each item in the order in which they were sent."""
    nowhere = "0" * 64
    baits = bait_path(nowhere).removesuffix(nowhere)  # one address is put together, not a thousand
    return {
        "id": batch.id,
        "status": batch.status,
        "created": batch.created,
        "finished": batch.finished,
        "counts": batch.counts,
        "items": [_item(item, baits) for item in batch.items],
        "links": {"self": batch_path(batch.id), "archive": url_for("batches.archive", batch_id=batch.id)},
    }


def _item(item: ItemView, baits: str) -> dict[str, Any]:
    body: dict[str, Any] = {"index": item.index}
    if item.label is not None:
        body["label"] = item.label
    if item.id is not None:
        body["id"] = item.id
    body["status"] = item.status
    if item.id is not None:
        body["href"] = baits + item.id
    if item.problem is not None:
        body["problem"] = item.problem
    return body


def ended_body(kept: KeptBodies, batches: Batches, caller: str, batch_id: str) -> Tagged | BatchView | None:
    """The encoded body of a batch that has ended and its strong tag; the batch itself where it has not.

    Of one that is kept no more is looked at than when its document was written: to read that of a thousand items and
    to encode them takes longer than all the rest of the answer.
    """
    key = (caller, batch_id, batches.stamp(caller, batch_id))  # before the look: what changes then is read again
    if (found := kept.get(key)) is not None:
        return found
    batch = batches.view(caller, batch_id)
    if batch is None or batch.finished is None:
        return batch
    content = encode(batch_body(batch))
    return kept.keep(key, content) if batch.sealed else (content, etag_of(content))
