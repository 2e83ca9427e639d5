"""Batches: many baits asked for at once, looked at together, dismissed together."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from redis import Redis

from worker.errors import Busy
from worker.records import batch_scripts
from worker.records.artifact_store import ArtifactStore
from worker.records.artifacts import FolderArtifacts
from worker.records.baits import Submittable
from worker.records.batch_documents import BatchDocuments, Document
from worker.records.batch_view import BatchView, Outcome, baits_of, items_of
from worker.records.connect import for_batches, reporting_absence
from worker.records.names import CLOSING, BaitName, open_batch
from worker.records.view import now_text
from worker.settings import Settings

BUSY_RETRY_S = 30
AT_ONCE = 100


@dataclass(frozen=True, slots=True)
class Item:
    """One item as it was sent: a request, or the problem for which it cannot be one."""

    index: int
    label: str | None
    request: Submittable | None
    problem: dict[str, Any] | None = None


class Batches:
    """Any call may raise StoreUnavailable."""

    def __init__(
        self, connection: Redis, artifacts: ArtifactStore, documents: BatchDocuments, most: int, most_of_caller: int
    ) -> None:
        self._connection = connection
        self._artifacts = artifacts
        self._documents = documents
        self._most = most
        self._most_of_caller = most_of_caller
        self._submit = connection.register_script(batch_scripts.SUBMIT_BATCH)
        self._waiting = connection.register_script(batch_scripts.WAITING)
        self._states = connection.register_script(batch_scripts.STATES)
        self._dismiss = connection.register_script(batch_scripts.DISMISS_BATCH)
        self._release = connection.register_script(batch_scripts.RELEASE)

    @classmethod
    def open(cls, settings: Settings) -> Batches:
        """With connection and folders of these settings; connects on first use."""
        return cls(
            for_batches(settings),
            FolderArtifacts(settings.state_dir),
            BatchDocuments(settings.state_dir),
            settings.batch_queue_limit,
            settings.batch_queue_limit_per_caller,
        )

    def require_room(self, caller: str) -> None:
        """Raise Busy where no bait could be taken at present, before anybody reads a thousand."""
        with reporting_absence():
            waiting, of_caller = cast("list[int]", self._waiting(args=[caller]))
        if waiting >= self._most or of_caller >= self._most_of_caller:
            raise self._full(waiting, of_caller)

    def submit(self, caller: str, items: Sequence[Item]) -> BatchView:
        """Take all that can be built, or nothing: once this returns, the store has it durably. Raises Busy."""
        created = now_text()
        kept = [_kept(item) for item in items]
        document: Document = {"id": self._documents.new_id(), "created": created, "items": kept, "ended": None}
        requests = {item.request.id: item.request for item in items if item.request is not None}
        self._documents.write(caller, document)  # first: it may end before this call does
        asked = self._asked(caller, list(requests.values()), again=False)
        while asked:
            head = [caller, document["id"], len(requests), created, self._most, self._most_of_caller]
            with reporting_absence():
                verdict, *told = cast("list[Any]", self._submit(args=[*head, *asked]))
            if verdict == b"full":
                self._documents.delete(caller, document["id"])
                raise self._full(*told)
            finished = [one for one, state in zip(asked[::3], told, strict=True) if state == b"finished"]
            asked = self._asked(caller, [requests[one] for one in finished], again=True)
        view = self.view(caller, document["id"])
        assert view is not None
        return view

    def view(self, caller: str, batch_id: str, *, removed: bool = False) -> BatchView | None:
        """The batch now, or None where this caller has none by this id; with `removed`, also one removed lately."""
        document = self._documents.read(caller, batch_id)
        if document is None or (document.get("removed") and not removed):
            return None
        if document["ended"] is None:
            ids = baits_of(document["items"])
            with reporting_absence():
                told = cast("list[bytes]", self._states(args=[caller, batch_id, *ids]))
            if told:
                _, finished, dismissed, *states = (one.decode() for one in told)
                outcomes = {one: Outcome.read(state) for one, state in zip(ids, states, strict=True)}
                return _view(document, finished or None, bool(dismissed), outcomes)
            # It ended between the two looks, or the store has lost it; then what is built is there all the same.
            document = self._documents.read(caller, batch_id) or document
            if document["ended"] is None:
                states = ["dismissed" if self._stamp(caller, one) is None else "successful" for one in ids]
                found = {one: Outcome.read(state) for one, state in zip(ids, states, strict=True)}
                return _view(document, document["created"], False, found)
        ended = document["ended"]
        outcomes = {one: Outcome(*told) for one, told in ended["outcomes"].items()}
        return _view(document, ended["finished"], ended["dismissed"], outcomes)

    def dismiss(self, caller: str, batch_id: str) -> BatchView | None:
        """End those of its unfinished baits that nobody else wants. One that has ended stays as it is."""
        document = self._documents.read(caller, batch_id)
        if document is not None and document["ended"] is None:
            now = now_text()
            with reporting_absence():
                if self._dismiss(args=[caller, batch_id, now]):
                    ids = baits_of(document["items"])
                    for at in range(0, len(ids), AT_ONCE):
                        queue = self._connection.pipeline(transaction=False)
                        for one in ids[at : at + AT_ONCE]:
                            self._release(args=[caller, one, batch_id, now], client=queue)
                        queue.execute()
            self.seal(caller, batch_id)
        return self.view(caller, batch_id)

    def remove(self, caller: str, batch_id: str) -> None:
        """Forget a batch that has ended; its baits stay. Its first answer can be repeated for a day."""
        self.seal(caller, batch_id)
        if (document := self._documents.read(caller, batch_id)) is not None:
            self._documents.write(caller, document | {"removed": now_text()})

    def seal(self, caller: str, batch_id: str) -> None:
        """Write down how a batch that has ended did, and take it out of the store. Two at once do nothing twice."""
        document = self._documents.read(caller, batch_id)
        if document is not None and document["ended"] is None:
            view = self.view(caller, batch_id)
            if view is None or view.finished is None:
                return
            outcomes = {item.id: [item.status, item.problem] for item in view.items if item.id is not None}
            ended = {"finished": view.finished, "dismissed": view.dismissed, "outcomes": outcomes}
            self._documents.write(caller, document | {"ended": ended})
        with reporting_absence():
            queue = self._connection.pipeline(transaction=True)
            queue.delete(open_batch(caller, batch_id))
            queue.srem(CLOSING, f"{caller}:{batch_id}")
            queue.execute()

    def _asked(self, caller: str, requests: Sequence[Submittable], *, again: bool) -> list[str]:
        """For each its id, its request and what is known of its manifest, as the script takes them."""
        asked = []
        for one in requests:
            there = self._stamp(caller, one.id) is not None
            normal = "" if there else json.dumps(one.normal, ensure_ascii=False, separators=(",", ":"))
            asked += [one.id, normal, "here" if there else "gone" if again else ""]
        return asked

    def _stamp(self, caller: str, bait_id: str) -> object | None:
        return self._artifacts.stamp(BaitName(caller, bait_id))

    def _full(self, waiting: int, of_caller: int) -> Busy:
        return Busy(
            f"{waiting} baits of batches are waiting, {of_caller} of them yours, where {self._most} and "
            f"{self._most_of_caller} may; nothing was taken.",
            BUSY_RETRY_S,
        )


class Sealer:
    """Seals what has ended, for the steward."""

    def __init__(self, connection: Redis, batches: Batches) -> None:
        self._connection = connection
        self._batches = batches

    def look(self) -> None:
        """Seal every batch whose last bait has ended. Raises OSError, and what the store's client raises."""
        for member in cast("set[bytes]", self._connection.smembers(CLOSING)):
            self._batches.seal(*member.decode().split(":"))


def _kept(item: Item) -> dict[str, Any]:
    head: dict[str, Any] = {"index": item.index}
    if item.label is not None:
        head["label"] = item.label
    return head | ({"problem": item.problem} if item.request is None else {"id": item.request.id})


def _view(
    document: Document, finished: str | None, dismissed: bool, outcomes: Mapping[str, Outcome]
) -> BatchView:
    return BatchView(
        id=document["id"],
        created=document["created"],
        finished=finished,
        dismissed=dismissed,
        items=items_of(document["items"], outcomes),
    )

