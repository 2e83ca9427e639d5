"""What workers, reaper and caretaker do in a life of baits."""

from __future__ import annotations

import os
import threading
import time
from typing import Any

from hypothesis import strategies as st
from hypothesis.stateful import precondition, rule

from tests.http.life_machine import IDS, LifeMachine, callers, numbers, picks
from tests.http.life_model import UNFINISHED, Bait
from tests.http.life_workers import Run
from worker.errors import GeometryFailed, InternalFault
from worker.records.batch_upkeep import Sealer
from worker.records.clock import TrustedClock
from worker.records.names import QUEUE, BaitName
from worker.records.retention import Retention


class Work(LifeMachine):
    """Jobs begin, end, die, stall and are stopped; leases lapse, what has ended is sealed, what is old goes."""

    @rule(dies=st.sampled_from([False, False, False, True]))
    def begin_a_job(self, dies: bool) -> None:
        self.workers.feeder.feed()
        attempt = self.workers.dequeue()
        if attempt is None or dies:  # nobody begins what it took: the reaper finds it
            return
        bait = self.baits[attempt.bait.caller, attempt.bait.id]
        # A job may be of an attempt that has been dismissed since, and its bait be asked for anew.
        unended = self.seen(bait) == ("handed", attempt.number)
        assert not unended or (bait.attempt == attempt.number and (bait.status == "accepted" or bait.untold))
        begun = self.workers.begin(attempt)
        assert begun == ("unwanted" if not unended else "finished" if bait.untold else "running")
        if begun == "finished":
            bait.ended("successful", self.batches)
        elif begun == "running":
            bait.status = "running"

    @property
    def runs(self) -> list[Run]:
        return self.workers.runs

    def picked(self, pick: int) -> tuple[Run, Bait, bool]:
        """A run that goes on, its bait, and whether the bait still waits for this attempt of all."""
        run = self.runs[pick % len(self.runs)]
        bait = self.baits[run.attempt.bait.caller, run.attempt.bait.id]
        return run, bait, bait.status == "running" and bait.attempt == run.attempt.number

    @precondition(lambda self: self.runs)
    @rule(pick=picks)
    def succeed(self, pick: int) -> None:
        run, bait, awaited = self.picked(pick)
        self.workers.finish(run)
        if awaited:
            bait.ended("successful", self.batches)

    @precondition(lambda self: self.runs)
    @rule(pick=picks, by_bait=st.booleans())
    def fail(self, pick: int, by_bait: bool) -> None:
        run, bait, awaited = self.picked(pick)
        self.workers.finish(run, GeometryFailed("Not closed.") if by_bait else InternalFault("Ours."))
        if awaited:
            bait.ended("failed", self.batches, by_bait=by_bait)

    @precondition(lambda self: self.runs)
    @rule(pick=picks)
    def die_at_work(self, pick: int) -> None:
        self.runs.pop(pick % len(self.runs))

    @precondition(lambda self: self.runs)
    @rule(pick=picks, moved_in=st.booleans())
    def die_with_files(self, pick: int, moved_in: bool) -> None:
        run, bait, awaited = self.picked(pick)
        before = bait.status
        moved = self.workers.die_with_files(run, moved_in=moved_in)
        if before != "successful":
            assert moved == (awaited and moved_in)
        if awaited and moved_in:
            bait.status, bait.untold = "successful", True

    @precondition(lambda self: self.runs)
    @rule(pick=picks)
    def stall(self, pick: int) -> None:
        """Its worker is not heard of until its lease has lapsed, and goes on some time after that."""
        self.runs[pick % len(self.runs)].stalls = True
        self.time_passes()

    @precondition(lambda self: self.runs)
    @rule(pick=picks)
    def another_takes_over(self, pick: int) -> None:
        """A worker stalls, and before it goes on another has done its work."""
        run, bait, awaited = self.picked(pick)
        if not awaited or bait.tries >= 3:
            return
        run.stalls = True
        self.time_passes()
        self.time_passes()  # what was put off is due by then
        while bait.status == "accepted" and self.connection.llen(f"rq:queue:{QUEUE}") + self.workers.feeder.feed():
            self.begin_a_job(dies=False)
        attempt = BaitName(bait.caller, bait.id).attempt(bait.attempt)
        second = next((one for one in self.runs if one.attempt == attempt and not one.stalls), None)
        if second is not None and bait.status == "running":
            self.workers.finish(second)
            bait.ended("successful", self.batches)

    @precondition(lambda self: self.runs)
    @rule(pick=picks)
    def stop(self, pick: int) -> None:
        run, bait, awaited = self.picked(pick)
        self.runs.remove(run)
        assert self.workers.attempts.give_back(run.attempt, "running") == awaited
        if awaited:
            bait.given_back()

    @precondition(lambda self: self.runs)
    @rule(pick=picks)
    def end_while_a_caller_waits(self, pick: int) -> None:
        run, bait, awaited = self.picked(pick)
        if not awaited:
            return
        answers: list[Any] = []
        address, client = f"/v1/baits/{bait.id}?wait=20", self.app.test_client()
        headers = self.headers[bait.caller]
        waiting = threading.Thread(target=lambda: answers.append(client.get(address, headers=headers)))
        waiting.start()
        time.sleep(0.005)
        self.workers.finish(run)
        bait.ended("successful", self.batches)
        waiting.join(10)
        assert [answer.json["status"] for answer in answers] == ["successful"]

    @rule()
    def time_passes(self) -> None:
        """Every lease that nobody keeps lapses, and what was taken out of the queue and not begun goes back."""
        kept = {(run.attempt.bait, run.attempt.number) for run in self.runs if not run.stalls}
        before = {place: self.seen(bait) for place, bait in self.baits.items()}
        self.workers.time_passes()
        for place, bait in self.baits.items():
            state, attempt = before[place]
            if state == "running" and (BaitName(*place), attempt) not in kept:
                if bait.tries >= 3:
                    bait.ended("failed", self.batches)
                else:
                    bait.again()
            elif state == "handed" and self.seen(bait)[0] == "waiting":
                bait.given_back()

    @rule()
    def seal(self) -> None:
        Sealer(self.connection, self.store_batches).look()
        for batch in self.batches.values():
            batch.sealed = batch.sealed or batch.ended

    @rule(chosen=st.lists(st.tuples(callers, numbers), max_size=4))
    def grow_old_and_sweep(self, chosen: list[tuple[str, int]]) -> None:
        aged = [self.baits[caller, IDS[number]] for caller, number in chosen]
        aged = [bait for bait in aged if bait.status == "successful" and not bait.untold]
        long_ago = time.time() - 7200
        for bait in aged:
            os.utime(self.workers.artifacts._place(BaitName(bait.caller, bait.id)), (long_ago, long_ago))
        held = {(batch.caller, one) for batch in self.batches.values() if not batch.sealed for one in batch.outcomes}
        retention = Retention(self.workers.artifacts, 3600.0, float("inf"), TrustedClock(), self.store_batches.held)
        removed = {(bait.caller, bait.id) for bait in retention.sweep()}
        assert removed == {(bait.caller, bait.id) for bait in aged} - held
        for place in removed:
            self.baits[place].status = None

    @rule()
    def ten_minutes_pass(self) -> None:
        """The store forgets how baits ended; what is finished is finished all the same."""
        for bait in self.baits.values():
            if bait.status not in UNFINISHED and not bait.untold:
                self.connection.delete(BaitName(bait.caller, bait.id).record)
                bait.recorded = False
                if bait.status != "successful":
                    bait.status = None

    # What holds after every step
