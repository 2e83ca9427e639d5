"""Batches: many baits asked for at once, looked at together, dismissed together."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, cast

from redis import Redis

from worker.errors import Busy, TryLater
from worker.records import batch_scripts
from worker.records.artifact_store import ArtifactStore
from worker.records.baits import Submittable
from worker.records.batch_documents import Document, Documents, new_batch_id
from worker.records.batch_view import BatchView, Outcome, baits_of, items_of
from worker.records.connect import for_batches, reporting_absence
from worker.records.names import CLOSING, BaitName, open_batch, open_batches
from worker.records.places import open_artifacts, open_documents
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
        self, connection: Redis, artifacts: ArtifactStore, documents: Documents, most: int, most_of_caller: int
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
        self._held = connection.register_script(batch_scripts.HELD)

    @classmethod
    def open(cls, settings: Settings) -> Batches:
        """With connection and folders of these settings; connects on first use."""
        return cls(
            for_batches(settings),
            open_artifacts(settings),
            open_documents(settings),
            settings.batch_queue_limit,
            settings.batch_queue_limit_per_caller,
        )

    def require_room(self, caller: str) -> None:
        """Raise Busy where no bait could be taken at present, before anybody reads a thousand."""
        with reporting_absence():
            waiting, of_caller = cast("list[int]", self._waiting(args=[caller]))
        if waiting >= self._most or of_caller >= self._most_of_caller:
            raise self._full(waiting, of_caller)

    def submit(self, caller: str, items: Sequence[Item], trace: str = "") -> BatchView:
        """Take all that can be built, or nothing: once this returns, the store has it durably.

        Raises Busy, and ArtifactsUnavailable where a bucket of finished baits does not answer.
        `trace` is the `traceparent` that the builds which this sets off go on under.
        """
        created = now_text()
        batch_id = new_batch_id()
        requests = {item.request.id: item.request for item in items if item.request is not None}
        # First: it may end before this call does.
        self._documents.create(caller, {"id": batch_id, "created": created, "items": [_kept(item) for item in items]})
        try:
            looked_at: Collection[str] = ()
            for believed in ("", "1") if requests else ():
                head: list[str | int] = [caller, batch_id, len(requests), created, self._most, self._most_of_caller]
                asked = self._asked(caller, requests.values(), looked_at)
                with reporting_absence():
                    verdict, *told = cast("list[Any]", self._submit(args=[*head, trace, believed, *asked]))
                if verdict == b"full":
                    raise self._full(*told)
                if verdict == b"taken":
                    break
                looked_at = {one.decode() for one in told}
        except TryLater:  # nobody is told of it
            with suppress(TryLater, OSError):  # why it was not taken is what the caller is to hear
                self._documents.delete(caller, batch_id)
            raise
        view = self.view(caller, batch_id)
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
                told = cast("list[bytes]", self._states(args=[caller, batch_id, " ".join(ids)]))
            if told:
                finished, dismissed, lines = (one.decode() for one in told)
                states = lines.split("\n")  # a problem is JSON, in which no line ends
                outcomes = {one: Outcome.read(state) for one, state in zip(ids, states, strict=True)}
                return _view(document, finished or None, bool(dismissed), outcomes)
            # It ended between the two looks, or the store has lost it; then what is built is there all the same.
            document = self._documents.read(caller, batch_id) or document
            if document["ended"] is None:
                stamps = self._artifacts.stamps([BaitName(caller, one) for one in ids])
                states = ["dismissed" if stamp is None else "successful" for stamp in stamps]
                found = {one: Outcome.read(state) for one, state in zip(ids, states, strict=True)}
                return _view(document, document["created"], False, found)
        ended = document["ended"]
        outcomes = {one: Outcome(*told) for one, told in ended["outcomes"].items()}
        return _view(document, ended["finished"], ended["dismissed"], outcomes)

    def stamp(self, caller: str, batch_id: str) -> object | None:
        """Something that changes whenever a sealed batch does, cheaply had; None where this caller has none."""
        return self._documents.stamp(caller, batch_id)

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
        self._documents.mark_removed(caller, batch_id, now_text())

    def seal(self, caller: str, batch_id: str) -> None:
        """Write down how a batch that has ended did, and take it out of the store. Two at once do nothing twice.

        Its baits are no longer held by it, and go by their age since this moment. Raises BatchUnreadable.
        """
        document = self._documents.read(caller, batch_id)
        if document is not None and document["ended"] is None:
            view = self.view(caller, batch_id)
            if view is None or view.finished is None:
                return
            outcomes = {item.id: [item.status, item.problem] for item in view.items if item.id is not None}
            ended = {"finished": view.finished, "dismissed": view.dismissed, "outcomes": outcomes}
            self._documents.end(caller, batch_id, ended)
            good = [BaitName(caller, one) for one, (status, _) in outcomes.items() if status == "successful"]
            self._artifacts.note_uses(good)
        with reporting_absence():
            queue = self._connection.pipeline(transaction=True)
            queue.delete(open_batch(caller, batch_id))
            queue.srem(open_batches(caller), batch_id)
            queue.srem(CLOSING, f"{caller}:{batch_id}")
            queue.execute()

    def held(self, caller: str, bait_ids: Collection[str]) -> set[str]:
        """Those of a caller's baits that a batch has which has not ended: they are not to be swept."""
        asked, held = list(bait_ids), set[str]()
        for at in range(0, len(asked), AT_ONCE):
            some = asked[at : at + AT_ONCE]
            with reporting_absence():
                answers = cast("list[int]", self._held(args=[caller, *some]))
            held.update(one for one, answer in zip(some, answers, strict=True) if answer)
        return held

    def _asked(self, caller: str, requests: Collection[Submittable], looked_at: Collection[str]) -> list[str]:
        """For each its id, its request, what is known of its manifest and its plastic, as the script takes them.

        What is finished is marked as used before the batch holds it, so that it is not swept in between.
        """
        asked = []
        here = self._artifacts.note_uses([BaitName(caller, one.id) for one in requests])
        for one, there in zip(requests, here, strict=True):
            normal = "" if there else json.dumps(one.normal, ensure_ascii=False, separators=(",", ":"))
            known = "here" if there else "gone" if one.id in looked_at else ""
            asked += [one.id, normal, known, one.normal.get("plastic", {}).get("name", "")]
        return asked

    def _full(self, waiting: int, of_caller: int) -> Busy:
        return Busy(
            f"{waiting} baits of batches are waiting, {of_caller} of them yours, where {self._most} and "
            f"{self._most_of_caller} may; nothing was taken.",
            BUSY_RETRY_S,
        )


def _kept(item: Item) -> dict[str, Any]:
    head: dict[str, Any] = {"index": item.index}
    if item.label is not None:
        head["label"] = item.label
    return head | ({"problem": item.problem} if item.request is None else {"id": item.request.id})


def _view(document: Document, finished: str | None, dismissed: bool, outcomes: Mapping[str, Outcome]) -> BatchView:
    return BatchView(
        id=document["id"],
        created=document["created"],
        finished=finished,
        dismissed=dismissed,
        items=items_of(document["items"], outcomes),
        sealed=document["ended"] is not None,
    )
