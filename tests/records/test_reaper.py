"""What was left behind is found again, by a clock of the test's own."""

from __future__ import annotations

import os
import subprocess

import pytest

from tests.stack import Stack, eventually, please
from worker.records.artifacts import FolderArtifacts
from worker.records.attempts import Attempts
from worker.records.feeder import Feeder
from worker.records.names import QUEUE, AttemptName, BaitName, in_flight
from worker.records.presence import is_gone, mark_of
from worker.records.reaper import LEASE_S, Reaper

REQUEST = please("nothing")
BAIT = BaitName("local", REQUEST.id)


class Watch:
    """A reaper and the seconds that it has been looking."""

    def __init__(self, records: Stack) -> None:
        self.records = records
        self.connection = records.connection
        self.attempts = Attempts(self.connection)
        self.reaper = Reaper(self.connection, FolderArtifacts(records.settings.state_dir))
        self.now = 1000.0

    def look_for(self, seconds: float, beating: AttemptName | None = None) -> None:
        for _ in range(int(seconds * 2)):
            self.now += 0.5
            if beating:
                assert self.attempts.renew(beating)
            self.reaper.look(self.now)

    def hand(self) -> AttemptName:
        Feeder(self.connection, workers=2, limit_s=20).feed()
        return BAIT.attempt(int(self.connection.hget(BAIT.record, "attempt") or 0))

    def state(self) -> str:
        return (self.connection.hget(BAIT.record, "state") or b"").decode()

    def take_from_queue(self) -> None:
        """As a worker does that dies before it begins."""
        self.connection.lmove(f"rq:queue:{QUEUE}", f"rq:queue:{QUEUE}:intermediate")


@pytest.fixture
def watch(records: Stack) -> Watch:
    records.baits.submit("local", REQUEST)
    return Watch(records)


def test_a_lease_that_is_renewed_is_left_alone(watch: Watch) -> None:
    attempt = watch.hand()
    watch.attempts.start(attempt)
    watch.look_for(60, beating=attempt)
    assert watch.state() == "running"


def ended_process() -> str:
    """The mark of a process of this machine that has ended."""
    with subprocess.Popen(["sleep", "60"]) as process:
        mark = mark_of(process.pid)
        process.kill()
    return mark


def test_a_worker_that_is_seen_to_be_gone_loses_its_lease_sooner(watch: Watch) -> None:
    watch.attempts.start(watch.hand(), ended_process())
    watch.look_for(2.5)
    assert watch.state() == "running", "two renewals may be late"
    watch.look_for(1)
    assert watch.state() == "waiting"


@pytest.mark.parametrize("where", ["here", "another machine", "nobody can tell"])
def test_one_that_is_not_seen_to_be_gone_keeps_it_as_long_as_ever(watch: Watch, where: str) -> None:
    marks = {"here": mark_of(os.getpid()), "another machine": "elsewhere-" + ended_process(), "nobody can tell": ""}
    watch.attempts.start(watch.hand(), marks[where])
    watch.look_for(LEASE_S - 0.5)
    assert watch.state() == "running"
    watch.look_for(1.5)
    assert watch.state() == "waiting"


def test_one_that_renews_is_alive_whatever_we_believe_to_see(watch: Watch) -> None:
    attempt = watch.hand()
    watch.attempts.start(attempt, ended_process())
    watch.look_for(60, beating=attempt)
    assert watch.state() == "running"


def test_a_process_whose_number_is_used_again_is_another() -> None:
    mark = mark_of(os.getpid())
    head, _, began = mark.rpartition(" ")
    assert not is_gone(mark) and is_gone(f"{head} {int(began) + 1}")
    assert is_gone(ended_process()) and not is_gone("") and not is_gone("a b c 1 1")
    # proc(5): a dead one that nobody has waited for is still listed, and does nothing more
    with subprocess.Popen(["sleep", "60"]) as process:
        mark = mark_of(process.pid)
        process.kill()
        eventually(lambda: is_gone(mark))


def test_a_lease_that_stands_still_is_tried_again_after_a_second(watch: Watch) -> None:
    attempt = watch.hand()
    watch.attempts.start(attempt)
    watch.look_for(7.5)
    assert watch.state() == "running"
    watch.look_for(1)
    assert watch.state() == "waiting"
    assert not watch.attempts.succeed(attempt), "the lost attempt has nothing more to say"
    assert Feeder(watch.connection, workers=2, limit_s=20).feed() == 0
    watch.look_for(2)
    assert watch.hand() == BAIT.attempt(2)


def test_the_third_time_it_is_failed_by_us(watch: Watch) -> None:
    for number in (1, 2, 3):
        assert watch.attempts.start(watch.hand()), f"attempt {number}"
        watch.look_for(17)  # the lease, and up to five seconds of delay
    view = watch.records.baits.view("local", REQUEST.id)
    assert view is not None
    assert (view.status, view.problem and view.problem["type"]) == (
        "failed",
        "urn:pourwright:problem:worker-lost",
    )
    assert watch.records.baits.submit("local", REQUEST).created, "as it was no fault of the bait's"


def test_a_fit_is_spoken_of_as_a_fit(records: Stack, caplog: pytest.LogCaptureFixture) -> None:
    records.fits.submit("local", REQUEST)
    watch = Watch(records)
    watch.hand()
    watch.take_from_queue()
    watch.look_for(4)  # never begun
    for number in (2, 3, 4):
        assert watch.attempts.start(watch.hand()), f"attempt {number}"
        watch.look_for(17)
    told = [vars(record) for record in caplog.records if record.name == "worker.records.reaper"]
    assert [one["message"] for one in told] == ["a hand-over was never begun", *["a lease lapsed"] * 3]
    assert all(one["fit"] == REQUEST.id and "bait" not in one for one in told)
    view = records.fits.view("local", REQUEST.id)
    assert view is not None and view.problem is not None and "bait" not in str(view.problem["detail"])


def test_the_second_delay_is_longer(watch: Watch) -> None:
    watch.attempts.start(watch.hand())
    watch.attempts.again(BAIT.attempt(1))
    watch.look_for(2)
    watch.attempts.start(watch.hand())
    watch.attempts.again(BAIT.attempt(2))
    watch.look_for(4)
    assert Feeder(watch.connection, workers=2, limit_s=20).feed() == 0
    watch.look_for(2)
    assert watch.hand() == BAIT.attempt(3)


def test_a_bait_in_the_queue_waits_as_long_as_it_must(watch: Watch) -> None:
    watch.hand()
    watch.look_for(120)
    assert watch.state() == "handed"


def test_a_hand_over_that_nobody_began_goes_back_in_line(watch: Watch) -> None:
    attempt = watch.hand()
    watch.take_from_queue()
    watch.look_for(2)
    assert watch.state() == "handed"
    watch.look_for(3)
    assert watch.state() == "waiting"
    assert not watch.attempts.start(attempt), "a worker that was only slow finds it gone"
    assert watch.hand() == BAIT.attempt(2)


def test_time_while_the_store_was_away_does_not_count(watch: Watch) -> None:
    watch.attempts.start(watch.hand())
    watch.look_for(6)
    watch.reaper.forget()
    watch.look_for(6)
    assert watch.state() == "running"
    watch.now += 3600
    watch.look_for(6)
    assert watch.state() == "running"


def test_a_delayed_bait_that_is_dismissed_stays_dismissed(watch: Watch) -> None:
    watch.attempts.start(watch.hand())
    watch.attempts.again(BAIT.attempt(1))
    watch.records.baits.dismiss("local", REQUEST.id)
    watch.look_for(10)
    assert watch.state() == "dismissed"


def test_a_place_in_flight_without_a_record_is_freed(watch: Watch) -> None:
    watch.hand()
    watch.connection.delete(BAIT.record)
    watch.look_for(1)
    assert watch.connection.scard(in_flight("single")) == 0


def test_what_a_lost_attempt_left_half_written_goes_with_it(watch: Watch) -> None:
    attempt = watch.hand()
    watch.attempts.start(attempt)
    half = watch.records.settings.state_dir / "artifacts" / ".aside" / attempt.job_id
    half.mkdir(parents=True)
    watch.look_for(12)
    assert watch.records.unfinished_folders() == []
