"""Which waiting bait goes into the one queue next.

The queue itself is first come, first served, so fairness is settled before it: never more than a few baits
are in flight, and each place that comes free goes to a lane, and in the lane to the caller whose turn it is.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import cast

from redis import Redis
from redis.exceptions import WatchError
from rq import Queue
from rq.serializers import JSONSerializer

from worker.records import scripts
from worker.records.attempts import Attempts
from worker.records.names import BUILD_JOB, LANES, QUEUE, AttemptName, BaitName

LOWER_EVERY = 4
KEEP_FAILED_JOB_S = 60
MOST_MISSED = 3  # baits that another feeder was first to hand over; it is at work, and we look again in time


def choose_lane(waiting: Collection[str], in_flight: Mapping[str, int], workers: int, place: int) -> str | None:
    """The lane that gets this place, or None where none may have it.

    Twice the workers' number is in flight at most: one job each, and one each that is ready to follow. Single
    baits go before batches and these before fits, but every fourth place goes to the lower lanes first. Where
    there are two workers or more, the lower lanes never hold them all: a single bait finds one soon. One worker alone
    is given one of theirs at a time, so that a single bait waits for no more than that one.
    """
    if sum(in_flight.values()) >= 2 * workers:
        return None
    lower_most = max(1, workers - 1)
    lower_full = sum(number for lane, number in in_flight.items() if lane != LANES[0]) >= lower_most
    order = lane_order(LANES, place)
    return next((lane for lane in order if lane in waiting and (lane == LANES[0] or not lower_full)), None)


def lane_order(lanes: tuple[str, ...], place: int) -> tuple[str, ...]:
    """The lanes as this place prefers them; among the lower ones the same rule holds for their places."""
    if len(lanes) < 2:
        return lanes
    first, lower = lanes[:1], lanes[1:]
    turn, is_last = divmod(place, LOWER_EVERY)[0], place % LOWER_EVERY == LOWER_EVERY - 1
    return lane_order(lower, turn) + first if is_last else first + lane_order(lower, turn)


@dataclass(frozen=True, slots=True)
class Survey:
    """The next bait of each lane that has one, and how many of each lane's are in flight."""

    next: dict[str, AttemptName]
    in_flight: dict[str, int]


class Feeder:
    """Hands waiting baits over to the queue. Two feeders at once hand no bait over twice."""

    def __init__(self, connection: Redis, workers: int, limit_s: int) -> None:
        self._connection = connection
        self.workers = workers
        self._limit_s = limit_s
        self._place = 0
        self._queue = Queue(QUEUE, connection=connection, serializer=JSONSerializer)
        self._survey = connection.register_script(scripts.SURVEY)

    def feed(self) -> int:
        """Hand over as many as may be in flight; returns how many."""
        handed = missed = 0
        while missed <= MOST_MISSED:
            survey = self.survey()
            lane = choose_lane(survey.next, survey.in_flight, self.workers, self._place)
            if lane is None:
                return handed
            if self._hand(survey.next[lane]):
                self._place += 1
                handed += 1
            else:
                missed += 1
        return handed

    def survey(self) -> Survey:
        """What is waiting and what is in flight."""
        answer = cast(list[tuple[bytes, bytes, bytes, int]], self._survey(args=LANES))
        heads = dict(zip(LANES, answer, strict=True))
        return Survey(
            next={
                lane: BaitName(caller.decode(), bait_id.decode()).attempt(int(attempt))
                for lane, (caller, bait_id, attempt, _) in heads.items()
                if caller
            },
            in_flight={lane: number for lane, (_, _, _, number) in heads.items()},
        )

    def _hand(self, attempt: AttemptName) -> bool:
        """Record and queue change together, or, where another feeder was first or the record has moved on, neither."""
        job = self._queue.create_job(
            BUILD_JOB,
            args=[attempt.bait.caller, attempt.bait.id, attempt.number],
            job_id=attempt.job_id,
            timeout=self._limit_s,
            result_ttl=0,
            failure_ttl=KEEP_FAILED_JOB_S,
            description=attempt.job_id,
        )
        with self._connection.pipeline(transaction=True) as transaction:
            transaction.watch(attempt.bait.record)  # type: ignore[no-untyped-call]
            if not Attempts.may_be_handed(attempt, transaction):
                return False
            self._queue.enqueue_job(job, pipeline=transaction)  # comes first, for it begins the transaction
            Attempts.hand(attempt, transaction)
            try:
                transaction.execute()
            except WatchError:
                return False
        return True
