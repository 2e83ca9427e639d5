"""One attempt at a bait, for whoever does the work. Every change names it, and a belated one does nothing."""

from __future__ import annotations

import json
from typing import Literal, cast

from redis import Redis
from redis.client import Pipeline

from worker.errors import PROBLEM_PREFIX, BuildFailed
from worker.records import scripts
from worker.records.names import AttemptName, Kind, kind_of
from worker.records.view import now_text


class Attempts:
    """The changes of state from handed over to ended. Errors of the store's client pass through."""

    def __init__(self, connection: Redis) -> None:
        self._connection = connection
        self._start = connection.register_script(scripts.START)
        self._renew = connection.register_script(scripts.RENEW)
        self._finish = connection.register_script(scripts.FINISH)
        self._again = connection.register_script(scripts.AGAIN)
        self._give_back = connection.register_script(scripts.GIVE_BACK)

    @staticmethod
    def may_be_handed(attempt: AttemptName, watching: Pipeline) -> bool:
        """Whether the attempt waits, as seen by a pipeline that watches the record and has yet to begin."""
        answer = cast(list[bytes | None], watching.hmget(attempt.bait.record, "state", "attempt"))
        return answer == [b"waiting", str(attempt.number).encode()]

    @staticmethod
    def hand(attempt: AttemptName, transaction: Pipeline) -> None:
        """Mark as handed over, as part of the transaction that also puts the job into the queue."""
        # EVAL, not EVALSHA: a transaction cannot load a script that a restarted store has forgotten.
        transaction.eval(scripts.HAND, 0, *_names(attempt))

    def start(self, attempt: AttemptName, by: str = "") -> dict[str, str] | None:
        """Begin to build; `by` is the mark of the worker that keeps the lease (`presence`).

        Returns the record, or None where this attempt is no longer wanted.
        """
        flat = [one.decode() for one in cast(list[bytes], self._start(args=[*_names(attempt), now_text(), by]))]
        return dict(zip(flat[::2], flat[1::2], strict=True)) or None

    def renew(self, attempt: AttemptName) -> bool:
        """Say that the attempt is alive; False where it is no longer wanted and should be ended."""
        return bool(self._renew(args=_names(attempt)))

    def succeed(self, attempt: AttemptName) -> bool:
        """End well; the manifest must be there. False where the attempt was no longer wanted."""
        return bool(self._finish(args=[*_names(attempt), "successful", now_text(), "", ""]))

    def fail(self, attempt: AttemptName, failure: BuildFailed) -> bool:
        """End badly, and why. False where the attempt was no longer wanted."""
        problem = json.dumps(problem_of(failure), ensure_ascii=False)
        by_bait = "1" if failure.caused_by_bait else "0"
        return bool(self._finish(args=[*_names(attempt), "failed", now_text(), problem, by_bait]))

    def again(self, attempt: AttemptName, beat: str = "") -> Literal["again", "spent", "moved on"]:
        """Give this attempt up, by no fault of the bait, for a later one; only if its lease is at `beat`.

        "spent": it has had as many tries as it gets and must be failed. "moved on": nothing was changed.
        """
        answer = cast(bytes, self._again(args=[*_names(attempt), beat])).decode()
        assert answer in ("again", "spent", "moved on")
        return answer  # type: ignore[return-value]

    def standing(self, attempt: AttemptName) -> Literal["handed", "running"] | None:
        """How far this attempt has come; None where it has ended or is no longer wanted."""
        answer = cast(list[bytes | None], self._connection.hmget(attempt.bait.record, "state", "attempt"))
        state, number = ((value or b"").decode() for value in answer)
        if number != str(attempt.number):
            return None
        return "handed" if state == "handed" else "running" if state == "running" else None

    def kind(self, attempt: AttemptName) -> Kind:
        """What it is an attempt at, as long as the store has the record; a bait where it has none."""
        return kind_of((cast("bytes | None", self._connection.hget(attempt.bait.record, "lane")) or b"").decode())

    def is_anothers(self, attempt: AttemptName, mark: str) -> bool:
        """Whether the lease of an attempt that has been begun is kept by another worker than that of this mark."""
        by = (cast("bytes | None", self._connection.hget(attempt.bait.record, "by")) or b"").decode()
        return bool(by and mark) and by != mark

    def was_dismissed(self, attempt: AttemptName) -> bool:
        """Whether the bait now stands dismissed or removed."""
        return self._connection.hget(attempt.bait.record, "state") in (None, b"dismissed")

    def give_back(self, attempt: AttemptName, standing: Literal["handed", "running"] = "handed") -> bool:
        """Put what stands so back to the front of its line, without the loss of a try; False where it does not.

        Handed over and never begun; or running, where its worker is to stop and the work would take too long for that.
        """
        return bool(self._give_back(args=[*_names(attempt), standing]))


def problem_of(failure: BuildFailed) -> dict[str, object]:
    """The problem (RFC 9457) that a failed bait carries."""
    return {"type": PROBLEM_PREFIX + failure.kind, "title": failure.title, "detail": failure.detail}


def _names(attempt: AttemptName) -> list[str | int]:
    return [attempt.bait.caller, attempt.bait.id, attempt.number]
