"""A bait's whole life, drawn step by step: asked for, looked at, dismissed, removed, swept, held by batches, while
workers die, stall and are stopped between any two steps. The service, the store and the folder are the real ones.

What each step answers is told beforehand by `life_model`. After each, every bait of two callers is looked at, and a
file is either whole, of one attempt, or not there.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import threading
import time
from collections.abc import Iterator
from typing import Any, ClassVar

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)
from redis import Redis
from redis.retry import Retry

from service.app import create_app
from service.stores import open_backing
from tests.http.keys import key
from tests.http.life_model import UNFINISHED, Bait, Batch, tell
from tests.http.life_workers import Run, Workers, solid
from tests.stack import Stack, stack
from worker.errors import GeometryFailed, InternalFault
from worker.records import connect
from worker.records.batch_upkeep import Sealer
from worker.records.batches import Batches
from worker.records.clock import TrustedClock
from worker.records.connect import _open
from worker.records.names import QUEUE, BaitName
from worker.records.retention import Retention
from worker.request import read_request
from worker.settings import Settings

CALLERS = ("alder", "weir")
BODIES = [{"style": "bend_rod", "params": {"length": length}, "outputs": ["stl"]} for length in (80, 90)]
IDS = [read_request(body).id for body in BODIES]
UNLIMITED: dict[str, Any] = dict.fromkeys(("baits_per_minute", "batches_per_minute", "links_per_minute"), 0)
callers, numbers, picks = st.sampled_from(CALLERS), st.integers(0, len(IDS) - 1), st.integers(0, 50)


class Life(RuleBasedStateMachine):
    """`below` and `app` are put here by the test."""

    below: ClassVar[Stack]
    app: ClassVar[Flask]
    headers: ClassVar[dict[str, dict[str, str]]]

    @initialize()
    def begin(self) -> None:
        self.client: FlaskClient = self.app.test_client()
        self.connection = self.below.connection
        self.connection.flushall()
        for name in ("artifacts", "batches"):
            shutil.rmtree(self.below.settings.state_dir / name, ignore_errors=True)
        self.workers = Workers(self.below.settings, self.connection)
        self.store_batches = Batches.open(self.below.settings)
        self.baits = {(caller, one): Bait(caller, one) for caller in CALLERS for one in IDS}
        self.batches: dict[str, Batch] = {}
        self.by_key: dict[str, str] = {}

    def teardown(self) -> None:
        if hasattr(self, "connection"):
            self.connection.close()

    def call(self, method: str, address: str, caller: str, **more: Any) -> Any:
        headers = {**self.headers[caller], **more.pop("headers", {})}
        with self.client.open(address, method=method, headers=headers, **more) as answer:
            answer.get_data()
            assert answer.status_code < 500, answer.text
            return answer

    # What callers do

    @rule(caller=callers, number=numbers, headers=st.sampled_from([{}, {"Prefer": "wait=0"}]))
    def post(self, caller: str, number: int, headers: dict[str, str]) -> None:
        bait = self.baits[caller, IDS[number]]
        answer = self.call("POST", "/v1/baits", caller, json={**BODIES[number], "label": "one"}, headers=headers)
        if bait.stays:
            status = 202 if bait.status in UNFINISHED else 200
            if bait.status in UNFINISHED:
                bait.wants.add("alone")
        else:
            bait.taken()
            bait.wants, status = {"alone"}, 202
        body = answer.json
        assert (answer.status_code, body["status"], body["id"]) == (status, bait.status, bait.id), body
        assert body["label"] == "one" and answer.headers["Location"] == f"/v1/baits/{bait.id}"
        assert ("Retry-After" in answer.headers) == (status == 202) and "Prefer" in answer.headers["Vary"]
        assert answer.headers.get("Preference-Applied") == headers.get("Prefer")

    @rule(caller=callers, number=numbers)
    def post_with_a_key(self, caller: str, number: int) -> None:
        """One key a caller: it goes with the first bait that it came with, whatever becomes of that."""
        named = {"Idempotency-Key": '"k"'}
        if self.by_key.setdefault(caller, IDS[number]) == IDS[number]:
            self.post(caller, number, named)
            return
        answer = self.call("POST", "/v1/baits", caller, json=BODIES[number], headers=named)
        assert answer.status_code == 422 and answer.json["type"].endswith("idempotency-key-reused")

    @rule(caller=callers, number=numbers)
    def delete(self, caller: str, number: int) -> None:
        bait = self.baits[caller, IDS[number]]
        answer = self.call("DELETE", f"/v1/baits/{bait.id}", caller)
        if bait.status is None:
            assert answer.status_code == 404
        elif bait.status in (*UNFINISHED, "dismissed"):
            if bait.status != "dismissed":
                bait.ended("dismissed", self.batches)
            assert (answer.status_code, answer.json["status"]) == (200, "dismissed")
        else:
            if bait.untold:
                bait.tell("dismissed", self.batches)
            bait.status, bait.untold = None, False
            assert answer.status_code == 204 and answer.data == b""

    @rule(caller=callers, chosen=st.lists(numbers, min_size=1, max_size=4))
    def post_a_batch(self, caller: str, chosen: list[int]) -> None:
        answer = self.call("POST", "/v1/batches", caller, json=[BODIES[number] for number in chosen])
        assert answer.status_code == 202, answer.text
        batch = Batch(caller, {IDS[number]: None for number in chosen})
        self.batches[answer.json["id"]] = batch
        for one in batch.outcomes:
            bait = self.baits[caller, one]
            if not bait.stays:
                bait.taken()
            if bait.status in UNFINISHED:
                bait.wants.add(answer.json["id"])
            else:
                tell(batch, one, str(bait.status))
        assert [item["id"] for item in answer.json["items"]] == [IDS[number] for number in chosen]

    @precondition(lambda self: self.batches)
    @rule(pick=picks)
    def delete_a_batch(self, pick: int) -> None:
        name = list(self.batches)[pick % len(self.batches)]  # their names are random
        batch = self.batches[name]
        answer = self.call("DELETE", f"/v1/batches/{name}", batch.caller)
        if batch.ended and not batch.dismissed:
            assert answer.status_code == 204
            assert self.call("GET", f"/v1/batches/{name}", batch.caller).status_code == 404
            del self.batches[name]
            return
        assert (answer.status_code, answer.json["status"]) == (200, "dismissed")
        batch.dismissed = True
        for one in batch.outcomes:
            bait = self.baits[batch.caller, one]
            wanted = name in bait.wants
            bait.wants.discard(name)
            tell(batch, one, "dismissed")
            if wanted and not bait.wants:
                bait.ended("dismissed", self.batches)
        batch.sealed = True

    # What workers, reaper and caretaker do

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

    def seen(self, bait: Bait) -> tuple[str | None, int]:
        state, attempt = self.connection.hmget(BaitName(bait.caller, bait.id).record, "state", "attempt")
        return None if state is None else state.decode(), int(attempt or 0)

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

    @invariant()
    def every_bait_is_as_it_should_be(self) -> None:
        for (caller, one), bait in getattr(self, "baits", {}).items():
            answer = self.call("GET", f"/v1/baits/{one}", caller)
            file = self.call("GET", f"/v1/baits/{one}/files/bait.stl", caller)
            if bait.status is None:
                assert (answer.status_code, file.status_code) == (404, 404)
                continue
            body = answer.json
            assert (answer.status_code, body["status"], body["id"]) == (200, bait.status, one)
            assert read_request(body["request"]).id == one
            assert ("ETag" in answer.headers) == (bait.status not in UNFINISHED)
            assert ("problem" in body) == (bait.status == "failed")
            if bait.status != "successful":
                assert body["files"] == [] and file.status_code == 404
                continue
            listed = {each["name"]: each for each in body["files"]}
            assert set(listed) == {"bait.stl", "metrics.json"}
            by = BaitName(caller, one).attempt(body["metrics"]["attempt"])
            assert file.status_code == 200 and file.data == solid(by), "whole, and of the attempt that is told"
            digest = hashlib.sha256(file.data).hexdigest()
            assert digest == listed["bait.stl"]["sha256"] and file.headers["ETag"] == f'"{digest}"'

    @invariant()
    def every_batch_is_as_it_should_be(self) -> None:
        for name, batch in getattr(self, "batches", {}).items():
            body = self.call("GET", f"/v1/batches/{name}", batch.caller).json
            other = next(caller for caller in CALLERS if caller != batch.caller)
            assert self.call("GET", f"/v1/batches/{name}", other).status_code == 404
            assert (body["finished"] is not None) == batch.ended
            for item in body["items"]:
                bait, outcome = self.baits[batch.caller, item["id"]], batch.outcomes[item["id"]]
                if bait.untold and outcome is None:
                    assert item["status"] in (*UNFINISHED, "successful")
                else:
                    assert item["status"] == (outcome or bait.status)
            if not batch.ended:
                assert self.call("GET", f"/v1/batches/{name}/archive", batch.caller).status_code == 409


@pytest.fixture(scope="module")
def below() -> Iterator[Stack]:
    with stack(**UNLIMITED) as made:
        with made.connection as connection:
            connection.config_set("appendfsync", "no")  # nothing here loses its power, and a step is many writes
        yield made


def _patient(settings: Settings, connect_s: float, answer_s: float, retry: Retry, **more: Any) -> Redis:
    """What a busy machine does to a hasty service is asked elsewhere."""
    return _open(settings, 30.0, 60.0, retry, **more)


@pytest.mark.parametrize(
    ("examples", "steps"),
    [pytest.param(10, 30, id="quick"), pytest.param(150, 50, id="proof", marks=pytest.mark.proof)],
)
def test_a_baits_life(below: Stack, examples: int, steps: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(connect, "_open", _patient)
    Life.below = below
    Life.headers = {caller: key(below.settings, caller=caller) for caller in CALLERS}
    Life.app = create_app(below.settings, open_backing(below.settings))
    quick = examples == 10
    run_state_machine_as_test(
        Life,
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            derandomize=quick,
            database=None,
            phases=(Phase.generate,) if quick else (Phase.generate, Phase.shrink),
            suppress_health_check=list(HealthCheck),
        ),
    )
