"""Fits with real workers and real deaths: what was accepted comes out, once."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import time

import pytest

from tests.fault_table import RECOVERED_WITHIN_S, Tell
from tests.faults.test_kills import is_alive
from tests.stack import ROOT, Request, Stack, eventually, please, stack
from worker.errors import StoreUnavailable
from worker.records.names import BaitName
from worker.records.view import BaitView

pytestmark = pytest.mark.faults

SERVICE = """
import json, os, sys, time
from worker.records.fits import Fits
from worker.settings import load
from tests.stack import Request

def held_up(normal):
    print("begun", flush=True)
    time.sleep(60)

Fits.open(load()).do("local", Request(json.loads(sys.argv[1])), held_up)
"""
"""A service's process in the midst of a small fit."""


def ended(made: Stack, request: Request, seconds: float = 40.0) -> BaitView:
    until = time.monotonic() + seconds
    while True:
        with contextlib.suppress(StoreUnavailable):  # on a busy machine it may not answer in time
            view = made.fits.wait("local", request.id, 1.0)
            assert view is not None
            if view.status not in ("accepted", "running"):
                return view
        assert time.monotonic() < until, made.log()


def test_a_fit_goes_a_baits_way(working: Stack) -> None:
    request = please("nothing")
    assert working.fits.submit("local", request).bait.status == "accepted"
    view = ended(working, request)
    assert (view.status, view.attempt, view.kind) == ("successful", 1, "fit") and view.answer == {
        "best": request.normal
    }
    assert {file["name"] for file in view.files} == {"fit.json", "tradeoff.svg"} and "search" in view.timings
    assert working.connection.hget("pourwright:tally", "ended:fit:successful") == b"1"


def test_one_whose_job_is_killed_comes_out_on_the_next_try(working: Stack, fault_row: Tell) -> None:
    request = please("sleep", seconds=60, good_after=1)
    working.fits.submit("local", request)
    job, _ = eventually(lambda: working.builds(request), seconds=40)[0]
    killed = time.monotonic()
    os.kill(job, signal.SIGKILL)
    view = ended(working, request)
    seconds = time.monotonic() - killed
    fault_row("a fit's process killed", "SIGKILL to a search", "found on attempt 2", seconds)
    assert (view.status, view.attempt) == ("successful", 2) and seconds < RECOVERED_WITHIN_S


def test_a_service_killed_in_the_midst_of_a_small_fit_leaves_it_to_a_worker(working: Stack, fault_row: Tell) -> None:
    request = please("nothing")
    told = '{"do": "nothing"}'
    serving = subprocess.Popen(
        [sys.executable, "-c", SERVICE, told], cwd=ROOT, env=os.environ | working.environ, stdout=subprocess.PIPE
    )
    with serving:
        assert serving.stdout is not None and serving.stdout.readline() == b"begun\n"
        assert working.fits.view("local", request.id).status == "running"  # type: ignore[union-attr]
        killed = time.monotonic()
        serving.kill()
    view = ended(working, request)
    seconds = time.monotonic() - killed
    fault_row("service killed", "SIGKILL in the midst of a small fit", "found by a worker, attempt 2", seconds)
    assert (view.status, view.attempt) == ("successful", 2) and len(working.builds(request)) == 1
    assert seconds < RECOVERED_WITHIN_S


def test_one_that_is_dismissed_while_it_runs_is_ended_and_leaves_no_file(working: Stack, fault_row: Tell) -> None:
    request = please("sleep", seconds=60)
    working.fits.submit("local", request)
    job, _ = eventually(lambda: working.builds(request), seconds=40)[0]
    dismissed = time.monotonic()
    assert working.fits.dismiss("local", request.id).status == "dismissed"  # type: ignore[union-attr]
    eventually(lambda: not is_alive(job), seconds=10)
    seconds = time.monotonic() - dismissed
    fault_row("a fit dismissed", "in the midst of a search", "its process is ended, no file stays", seconds)
    assert working.unfinished_folders() == []


@pytest.mark.proof
def test_a_fit_may_take_longer_than_a_bait_and_no_longer_than_it_may() -> None:
    with stack(job_limit_s=2, fit_limit_s=6) as made:
        made.start_pool()
        long, too_long = please("sleep", seconds=3.5), please("python loop")
        for request in (long, too_long):
            made.fits.submit("local", request)
        made.submit(bait := please("sleep", seconds=3.5, n="a bait"))
        assert made.ended(bait).problem["type"] == "urn:pourwright:problem:time-limit"  # type: ignore[index]
        assert ended(made, long).status == "successful"
        assert ended(made, too_long).problem["type"] == "urn:pourwright:problem:time-limit"  # type: ignore[index]


def test_one_that_a_stop_would_cut_off_goes_back_in_line_and_loses_no_try() -> None:
    with stack(job_limit_s=2, fit_limit_s=600) as made:
        soon, long = please("sleep", seconds=3), please("sleep", seconds=300, good_after=1)
        pool = made.start_pool()
        for request in (soon, long):
            made.fits.submit("local", request)
        job, _ = eventually(lambda: made.builds(soon) and made.builds(long), seconds=40)[0]
        pool.send_signal(signal.SIGTERM)
        assert pool.wait(20) == 0, made.log()
        assert not is_alive(job)
        assert ended(made, soon).attempt == 1
        record = BaitName("local", long.id).record
        assert made.connection.hmget(record, "state", "attempt", "tries") == [b"waiting", b"2", b"1"], made.log()
        made.start_pool()
        view = ended(made, long)
        assert (view.status, view.attempt) == ("successful", 2), made.log()


def test_an_own_fault_is_told_and_not_tried_again(working: Stack) -> None:
    request = please("geometry")
    working.fits.submit("local", request)
    view = ended(working, request)
    assert view.status == "failed" and len(working.builds(request)) == 1


def test_single_baits_pass_fits_by(working: Stack) -> None:
    fits = [please("sleep", seconds=1.0, n=number) for number in range(6)]
    for request in fits:
        working.fits.submit("alder", request)
    eventually(lambda: working.builds(fits[0]), seconds=40)
    begun = time.monotonic()
    working.submit(bait := please("nothing", n="single"))
    assert working.ended(bait).status == "successful" and time.monotonic() - begun < 2.0
    assert working.fits.view("alder", fits[-1].id).status == "accepted"  # type: ignore[union-attr]
