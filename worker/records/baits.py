"""The baits of all callers, for whoever takes requests: submit, look, wait, dismiss, remove."""

from __future__ import annotations

import json
import time
from collections.abc import Iterable
from pathlib import Path
from typing import Any, ClassVar, Protocol, Self, cast

from redis import Redis

from worker.errors import Busy, StoreUnavailable, UnknownResource
from worker.files.stored_archive import Pieces
from worker.records import scripts
from worker.records.artifact_store import ArtifactStore
from worker.records.connect import LONGEST_WAIT_S, for_service, for_waiting, reporting_absence
from worker.records.manifests import Manifests
from worker.records.names import ENDED, LANES, BaitName, Kind, poured_in
from worker.records.places import open_artifacts
from worker.records.view import BaitView, Submission, now_text
from worker.settings import Settings

BUSY_RETRY_S = 5


class Submittable(Protocol):
    """What the record needs of a request."""

    @property
    def id(self) -> str: ...
    @property
    def normal(self) -> dict[str, Any]: ...


class Baits:
    """Any call may raise StoreUnavailable, in half a second; finished baits are found without the store."""

    kind: ClassVar[Kind] = "bait"
    own_lane: ClassVar[str] = LANES[0]

    def __init__(self, connection: Redis, waiting: Redis, artifacts: ArtifactStore, queue_limit: int) -> None:
        self._connection = connection
        self._waiting = waiting
        self._artifacts = artifacts
        self._manifests = Manifests(artifacts)
        self._queue_limit = queue_limit
        self._submit = connection.register_script(scripts.SUBMIT)
        self._dismiss = connection.register_script(scripts.DISMISS)
        self._remove = connection.register_script(scripts.REMOVE)
        self._forget_poured = connection.register_script(scripts.FORGET_POURED)

    @classmethod
    def open(cls, settings: Settings) -> Self:
        """With connections and folder of these settings; connects on first use."""
        artifacts = open_artifacts(settings)
        return cls(for_service(settings), for_waiting(settings), artifacts, cls.most_waiting(settings))

    @staticmethod
    def most_waiting(settings: Settings) -> int:
        """How many may wait in their own lane."""
        return settings.queue_limit

    def submit(self, caller: str, request: Submittable, lane: str = "", trace: str = "") -> Submission:
        """Take a request: once this returns, the store has it durably.

        A bait that is finished, unfinished, or failed by its own fault within ten minutes stays as it is; any
        other is built, as the next attempt at the same id. Raises Busy where enough single baits wait. `trace` is
        the `traceparent` that a build which this sets off goes on under.
        """
        return self._take(caller, request, lane or self.own_lane, trace)

    def _take(
        self, caller: str, request: Submittable, lane: str, trace: str, begun: tuple[str, str] = ("", "")
    ) -> Submission:
        """As `submit`; with a moment and a process's mark in `begun`, what this sets off is run by it from then on."""
        if lane not in LANES:
            raise ValueError(f"{lane!r} is not a lane: {', '.join(LANES)}")
        bait = BaitName(caller, request.id)
        normal = json.dumps(request.normal, ensure_ascii=False, separators=(",", ":"))
        most = self._queue_limit if lane == self.own_lane else 0
        plastic = request.normal.get("plastic", {}).get("name", "") if self.kind == "bait" else ""
        for files_gone in ("0", "1"):
            if (finished := self._manifests.read(bait)) is not None:
                return Submission(finished, created=False)
            with reporting_absence():
                values = [caller, bait.id, lane, normal, now_text(), most, files_gone, plastic, trace, *begun]
                answer = self._submit(args=values)
            verdict, fields = cast(tuple[bytes, list[bytes]], answer)
            if verdict == b"full":
                raise Busy(f"{most} {self.kind}s are waiting already; nothing was taken.", BUSY_RETRY_S)
            if (view := BaitView.from_record(bait.id, _fields(fields))) is not None:
                return Submission(view, created=verdict == b"taken")
        raise StoreUnavailable(f"The {self.kind} was finished and removed meanwhile; nothing was taken. Try again.")

    def view(self, caller: str, bait_id: str) -> BaitView | None:
        """The bait now, or None where this caller has none by this id."""
        if (bait := _name(caller, bait_id)) is None:
            return None
        view = self._found(bait)
        return view if view is not None and view.kind == self.kind else None

    def _found(self, bait: BaitName) -> BaitView | None:
        """What there is by this name, whatever its kind."""
        if (finished := self._manifests.read(bait)) is not None:
            return finished
        with reporting_absence():
            record = cast(dict[bytes, bytes], self._connection.hgetall(bait.record))
        view = BaitView.from_record(bait.id, {key.decode(): value.decode() for key, value in record.items()})
        if view is not None and view.status == "successful":  # it was finished between the two looks
            return self._manifests.read(bait)
        return view

    def of_plastic(self, caller: str, plastic: str, most: int) -> tuple[list[BaitView], int]:
        """The `most` newest of a caller's baits that were asked for in a plastic of this name, and how many there are.

        Told by its name alone, whatever its figures then were; of a plastic the last 1000 are found.
        """
        with reporting_absence():
            ranked = self._connection.zrevrange(poured_in(caller, plastic), 0, -1, withscores=True)
            places = {one.decode(): place for one, place in cast("list[tuple[bytes, float]]", ranked)}
            queue = self._connection.pipeline(transaction=False)
            for one in places:
                queue.hget(BaitName(caller, one).record, "state")
            states = dict(zip(places, cast("list[bytes | None]", queue.execute()), strict=True))
            # What was removed, swept or forgotten since is noticed here, and nowhere else.
            ended = [one for one, state in states.items() if state in (None, b"successful")]
            stamps = zip(ended, self._artifacts.stamps([BaitName(caller, one) for one in ended]), strict=True)
            lost = {one for one, stamp in stamps if stamp is None}
            here = [one for one in states if one not in lost]
            if gone := [part for one in places.keys() - set(here) for part in (one, repr(places[one]))]:
                self._forget_poured(args=[caller, plastic, *gone])
        views = [self.view(caller, one) for one in here[:most]]
        return [view for view in views if view is not None], len(here)

    def wait(self, caller: str, bait_id: str, seconds: float) -> BaitView | None:
        """The bait at its end, or as last known when the time is up or the store goes away meanwhile."""
        until = time.monotonic() + min(seconds, LONGEST_WAIT_S)
        end: Any = {BaitName(caller, bait_id).ending: "0-0"} if _name(caller, bait_id) else {}
        view = self.view(caller, bait_id)
        while view is not None and view.status not in ENDED and (left := until - time.monotonic()) > 0.001:
            try:
                with reporting_absence():
                    self._waiting.xread(end, count=1, block=int(left * 1000))
                view = self.view(caller, bait_id)
            except StoreUnavailable:
                break
        return view

    def dismiss(self, caller: str, bait_id: str) -> BaitView | None:
        """End a bait that has not ended, which is then dismissed; an ended one stays as it is."""
        view = self.view(caller, bait_id)
        if view is None or view.status in ENDED:
            return view
        with reporting_absence():
            self._dismiss(args=[caller, bait_id, now_text()])
        return self.view(caller, bait_id)

    def delete(self, caller: str, bait_id: str) -> bool:
        """Remove an ended bait and its files for this caller; False where none has ended."""
        view = self.view(caller, bait_id)
        if view is None or view.status not in ENDED:
            return False
        with reporting_absence():
            if view.status == "successful":  # the files may be there a moment before the record says so
                self._dismiss(args=[caller, bait_id, now_text()])
            removed = bool(self._remove(args=[caller, bait_id]))
        return removed and (self._artifacts.delete(BaitName(caller, bait_id)) or view.status != "successful")

    def note_use(self, caller: str, bait_ids: Iterable[str]) -> bool:
        """Note that these finished baits were asked for just now; False where one of them is gone."""
        return all(self._artifacts.note_uses([BaitName(caller, one) for one in bait_ids]))

    def file(self, caller: str, bait_id: str, name: str) -> Path | Pieces:
        """A finished bait's file. Raises UnknownResource where there is none, or no longer."""
        bait = _name(caller, bait_id)
        file = None if bait is None else self._artifacts.file(bait, name)
        if file is None:
            raise UnknownResource("There is no such file.")
        return file


def _name(caller: str, bait_id: str) -> BaitName | None:
    try:
        return BaitName(caller, bait_id)
    except ValueError:
        return None


def _fields(flat: list[bytes]) -> dict[str, str]:
    texts = [one.decode() for one in flat]
    return dict(zip(texts[::2], texts[1::2], strict=True))
