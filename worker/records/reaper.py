"""Finds what was left behind: leases that stand still, hand-overs that nobody began, delays that are over."""

from __future__ import annotations

import logging
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar, cast

from redis import Redis

from worker.errors import WorkerLost
from worker.records import scripts
from worker.records.artifact_store import ArtifactStore
from worker.records.attempts import Attempts
from worker.records.logs import about
from worker.records.names import DELAYED, LANES, QUEUE, AttemptName, BaitName, Kind, in_flight, kind_of
from worker.records.presence import is_gone

# A lease is renewed every second, so this is eight renewals that did not come. 10 s would leave a bait that is to run
# again 15 s after its host's death too little on a busy machine: up to a second goes by before the first renewal is
# missed, one until the next try, and half a second for the looks. Where the store was away all leases begin anew.
LEASE_S = 8.0
# The same where we can see that the worker is no longer there: two renewals and a little, so that a worker who does
# renew is alive whatever we believe to see.
GONE_LEASE_S = 2.5
# From leaving the queue to the build's first step takes milliseconds; where the bucket does not answer, a job looks for
# 1.5 s and then gives its bait back itself (`FIRST_LOOK` and `AWAY_S` of `jobs/run.py`).
BEGIN_S = 3.0
RETRY_AFTER_S = (1.0, 5.0)
LONGEST_GAP_S = 3.0
Key = TypeVar("Key")
_log = logging.getLogger(__name__)


class Stillness(Generic[Key]):
    """How long values have stood still, by our own eyes and a clock that nobody can set.

    Time in which nobody looked (the store was away, this process slept) does not count: all starts anew.
    """

    def __init__(self) -> None:
        self._since: dict[Key, tuple[object, float]] = {}
        self._looked = 0.0

    def look(self, values: Mapping[Key, object], now: float) -> dict[Key, float]:
        """Seconds for which each value has been seen unchanged; `now` is monotonic, in seconds."""
        before = self._since if now - self._looked <= LONGEST_GAP_S else {}
        self._looked = now
        self._since = {
            key: before[key] if key in before and before[key][0] == value else (value, now)
            for key, value in values.items()
        }
        return {key: now - since for key, (_, since) in self._since.items()}

    def forget(self) -> None:
        """Start anew."""
        self._since = {}


@dataclass(frozen=True, slots=True)
class Seen:
    """What a record says of an attempt; `by` marks the worker that keeps its lease."""

    state: str
    attempt: int
    beat: str
    tries: int
    by: str
    lane: str


class Reaper:
    """Looks at what is in flight and delayed. Two reapers at once do nothing twice."""

    def __init__(self, connection: Redis, artifacts: ArtifactStore) -> None:
        self._connection = connection
        self._artifacts = artifacts
        self._attempts = Attempts(connection)
        self._due = connection.register_script(scripts.DUE)
        self._tidy = connection.register_script(scripts.TIDY)
        self._leases: Stillness[AttemptName] = Stillness()
        self._handed: Stillness[AttemptName] = Stillness()
        self._delayed: Stillness[BaitName] = Stillness()

    def forget(self) -> None:
        """The store was away: nobody could renew a lease meanwhile."""
        self._leases.forget()
        self._handed.forget()
        self._delayed.forget()

    def look(self, now: float) -> bool:
        """One look, `now` in monotonic seconds. Returns whether there is anything to look at again."""
        queue = self._connection.pipeline(transaction=False)
        for lane in LANES:
            queue.smembers(in_flight(lane))
        queue.smembers(DELAYED)
        queue.lrange(f"rq:queue:{QUEUE}", 0, -1)
        *flights, delayed, queued = queue.execute()
        flying = [
            (lane, BaitName.parse(member.decode()))
            for lane, members in zip(LANES, flights, strict=True)
            for member in members
        ]
        waiting = [BaitName.parse(member.decode()) for member in delayed]
        if not flying and not waiting:
            self.forget()
            return False
        records = self._records([bait for _, bait in flying] + waiting)
        self._look_at_flights(flying, records, {one.decode() for one in queued}, now)
        self._look_at_delays(waiting, records, now)
        return True

    def _records(self, baits: list[BaitName]) -> dict[BaitName, Seen]:
        queue = self._connection.pipeline(transaction=False)
        for bait in baits:
            queue.hmget(bait.record, "state", "attempt", "beat", "tries", "by", "lane")
        answers = cast(list[list[bytes | None]], queue.execute())
        texts = [[(value or b"").decode() for value in answer] for answer in answers]
        return {
            bait: Seen(state, int(attempt or 0), beat, int(tries or 1), by, lane)
            for bait, (state, attempt, beat, tries, by, lane) in zip(baits, texts, strict=True)
        }

    def _look_at_flights(
        self,
        flying: list[tuple[str, BaitName]],
        records: Mapping[BaitName, Seen],
        queued: set[str],
        now: float,
    ) -> None:
        beats: dict[AttemptName, str] = {}
        queued_still: dict[AttemptName, bool] = {}
        for lane, bait in flying:
            seen = records[bait]
            attempt = bait.attempt(seen.attempt)
            if seen.state == "running":
                beats[attempt] = seen.beat
            elif seen.state == "handed":
                queued_still[attempt] = attempt.job_id in queued
            else:
                self._tidy(args=[bait.caller, bait.id, lane])
        for attempt, still in self._leases.look(beats, now).items():
            if still >= LEASE_S or (still >= GONE_LEASE_S and is_gone(records[attempt.bait].by)):
                self._lapsed(attempt, beats[attempt], kind_of(records[attempt.bait].lane))
        for attempt, still in self._handed.look(queued_still, now).items():
            if still >= BEGIN_S and not queued_still[attempt]:
                self._never_begun(attempt, kind_of(records[attempt.bait].lane))

    def _look_at_delays(self, waiting: list[BaitName], records: Mapping[BaitName, Seen], now: float) -> None:
        for bait, still in self._delayed.look({bait: records[bait].attempt for bait in waiting}, now).items():
            if still >= RETRY_AFTER_S[min(max(records[bait].tries - 2, 0), len(RETRY_AFTER_S) - 1)]:
                self._due(args=[bait.caller, bait.id])

    def _lapsed(self, attempt: AttemptName, beat: str, kind: Kind) -> None:
        answer = self._attempts.again(attempt, beat)
        if answer == "spent":
            self._attempts.fail(attempt, WorkerLost("The worker went away each time it did this work."))
        if answer != "moved on":
            _log.warning("a lease lapsed", extra=about(attempt, kind) | {"then": answer})
            self._artifacts.clear(attempt)

    def _never_begun(self, attempt: AttemptName, kind: Kind) -> None:
        if self._attempts.give_back(attempt):
            _log.warning("a hand-over was never begun", extra=about(attempt, kind))
