"""Callers in turn, lanes in order, and a hand-over that is one step, against a real store."""

from __future__ import annotations

import pytest
from redis.client import Pipeline
from rq import Queue
from rq.job import Job
from rq.serializers import JSONSerializer

from tests.stack import Stack, please
from worker.records.attempts import Attempts
from worker.records.feeder import Feeder
from worker.records.liveness import alive_workers, say_alive, say_worker_alive, say_worker_gone, stewards_workers
from worker.records.names import BUILD_JOB, QUEUE, AttemptName, BaitName, steward, worker


def handed_ids(records: Stack) -> list[str]:
    return Queue(QUEUE, connection=records.connection, serializer=JSONSerializer).get_job_ids()


def test_callers_take_turns_however_much_one_has_waiting(records: Stack) -> None:
    for number in range(5):
        records.baits.submit("a", please("nothing", n=number), lane="batch")
    records.baits.submit("b", please("nothing"), lane="batch")
    records.baits.submit("c", please("nothing"), lane="batch")
    Feeder(records.connection, workers=9, limit_s=20).feed()
    callers = [AttemptName.parse(job_id).bait.caller for job_id in handed_ids(records)]
    assert callers == ["a", "b", "c", "a", "a", "a", "a"]


def test_of_two_feeders_that_see_the_same_bait_one_hands_it_over(
    records: Stack, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(2):
        records.baits.submit("local", please("nothing", n=number))
    first, second = (Feeder(records.connection, workers=2, limit_s=20) for _ in range(2))
    late = second.survey().next["single"]
    assert first._hand(late) is True
    assert second._hand(late) is False
    next_one, really = second.survey().next["single"], Attempts.may_be_handed

    def looked_and_then(attempt: AttemptName, watching: Pipeline) -> bool:
        seen = really(attempt, watching)
        monkeypatch.setattr(Attempts, "may_be_handed", really)
        first._hand(attempt)
        return seen

    monkeypatch.setattr(Attempts, "may_be_handed", looked_and_then)
    assert second._hand(next_one) is False, "it was handed over between look and transaction"
    assert handed_ids(records) == [late.job_id, next_one.job_id]


def test_an_attempt_is_the_workers_that_began_it(records: Stack) -> None:
    request = please("nothing")
    records.baits.submit("local", request)
    Feeder(records.connection, workers=2, limit_s=20).feed()
    attempt, attempts = BaitName("local", request.id).attempt(1), Attempts(records.connection)
    assert attempts.start(attempt, "one worker") and attempts.start(attempt, "another") is None
    assert attempts.is_anothers(attempt, "another")
    assert not attempts.is_anothers(attempt, "one worker")
    assert not attempts.is_anothers(attempt, ""), "where nobody can tell"


def test_a_caller_keeps_his_own_order(records: Stack) -> None:
    requests = [please("nothing", n=number) for number in range(4)]
    for request in requests:
        records.baits.submit("local", request)
    Feeder(records.connection, workers=2, limit_s=20).feed()
    assert [AttemptName.parse(one).bait.id for one in handed_ids(records)] == [one.id for one in requests]


def test_a_batch_leaves_room_and_a_single_bait_goes_next(records: Stack) -> None:
    for number in range(20):
        records.baits.submit("a", please("nothing", n=number), lane="batch")
    feeder = Feeder(records.connection, workers=2, limit_s=20)
    assert feeder.feed() == 1
    records.baits.submit("b", please("nothing"))
    assert feeder.feed() == 1
    assert AttemptName.parse(handed_ids(records)[-1]).bait.caller == "b"


def test_a_job_carries_names_only_and_does_not_stay(records: Stack) -> None:
    request = please("nothing", secret="in the record, not in the queue")
    records.baits.submit("local", request)
    Feeder(records.connection, workers=1, limit_s=20).feed()
    job = Job.fetch(handed_ids(records)[0], connection=records.connection, serializer=JSONSerializer)
    assert (job.func_name, list(job.args), job.kwargs) == (BUILD_JOB, ["local", request.id, 1], {})
    assert (job.timeout, job.result_ttl, job.failure_ttl) == (20, 0, 60)
    assert b"secret" not in job.data


def test_what_was_dismissed_while_it_waited_is_not_handed_over(records: Stack) -> None:
    first, second = please("nothing", n=1), please("nothing", n=2)
    records.baits.submit("local", first)
    records.baits.submit("local", second)
    records.baits.dismiss("local", first.id)
    assert Feeder(records.connection, workers=2, limit_s=20).feed() == 1
    assert AttemptName.parse(handed_ids(records)[0]).bait.id == second.id


def test_a_line_entry_without_a_record_is_passed_over(records: Stack) -> None:
    lost, kept = please("nothing", n=1), please("nothing", n=2)
    records.baits.submit("local", lost)
    records.baits.submit("local", kept)
    records.connection.delete(BaitName("local", lost.id).record)
    assert Feeder(records.connection, workers=2, limit_s=20).feed() == 1


def test_two_feeders_hand_nothing_over_twice(records: Stack) -> None:
    for number in range(4):
        records.baits.submit("local", please("nothing", n=number))
    one, other = (Feeder(records.connection, workers=2, limit_s=20) for _ in range(2))
    survey = one.survey()
    assert other.feed() == 4
    one._hand(survey.next["single"])  # belated: the other feeder has handed this bait over meanwhile
    attempts = Attempts(records.connection)
    begun = [attempts.start(AttemptName.parse(job_id)) for job_id in handed_ids(records)]
    assert sum(record is not None for record in begun) == 4


def test_workers_are_counted_by_what_each_says_of_itself_and_only_while_a_steward_feeds_them(records: Stack) -> None:
    assert alive_workers(records.connection) == 0
    for name in ("one-1", "one-2", "other-1"):
        say_worker_alive(records.connection, name)
    assert alive_workers(records.connection) == 0, "nobody feeds them"
    say_alive(records.connection, "one", 2)
    say_alive(records.connection, "other", 6)
    assert stewards_workers(records.connection) == 8 and alive_workers(records.connection) == 3
    assert 0 < records.connection.ttl(steward("one")) <= 15 and 0 < records.connection.ttl(worker("one-1")) <= 15
    records.connection.delete(steward("one"), worker("one-1"))  # as their time runs out
    assert stewards_workers(records.connection) == 6 and alive_workers(records.connection) == 2
    say_worker_gone(records.connection, "one-2")
    assert alive_workers(records.connection) == 1
