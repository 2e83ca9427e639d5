"""From a bait's end to its receiver: nothing is lost, and what fails is tried again for three days."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from standardwebhooks.webhooks import Webhook as Reference

from tests.hooks.courier_bench import TRACE, Bench
from tests.hooks.receiver import status
from tests.stack import ROOT, eventually
from worker.hooks.courier import Courier
from worker.hooks.schedule import DELAYS_S, TRIES, next_delay
from worker.hooks.sending import Sender
from worker.hooks.signing import new_secret
from worker.records.webhooks import EVENTS


def verified(bench: Bench, headers: dict[str, str], body: bytes) -> Any:
    """By the specification's own library; its clock is the machine's, so the time is held against ours alone."""
    reference = Reference(bench.secret)
    timestamp = int(headers["webhook-timestamp"])
    signed = reference.sign(headers["webhook-id"], datetime.fromtimestamp(timestamp, UTC), body.decode())
    assert signed in headers["webhook-signature"].split(" ")
    return json.loads(body)


def test_each_way_to_end_is_told_once_and_signed(bench: Bench) -> None:
    bench.put()
    ids = [bench.end(number, how) for number, how in enumerate(EVENTS)]
    assert bench.courier.round() == 3 and bench.courier.round() == 0
    told = [verified(bench, *call) for call in bench.here.calls]
    assert {one["type"] for one in told} == set(EVENTS.values())
    assert {one["data"]["id"] for one in told} == set(ids)
    failed = next(one for one in told if one["type"] == "bait.failed")
    assert failed["data"]["problem"]["type"] == "urn:pourwright:problem:geometry-failed"
    assert failed["data"]["links"]["self"] == f"/v1/baits/{failed['data']['id']}"
    assert len({headers["webhook-id"] for headers, _ in bench.here.calls}) == 3
    for headers, _ in bench.here.calls:
        assert headers["traceparent"][:36] == TRACE[:36] and headers["traceparent"] != TRACE
        assert headers["content-type"] == "application/json"
    assert bench.waiting() == 0 and bench.standing().last_success is not None


def test_the_reference_library_takes_a_delivery_of_now(bench: Bench) -> None:
    bench.now = time.time()
    bench.put()
    bench.end(1)
    bench.courier.round()
    headers, body = bench.here.calls[0]
    assert Reference(bench.secret).verify(body, headers)["type"] == "bait.finished"
    with pytest.raises(Exception, match="No matching signature"):
        Reference(new_secret()).verify(body, headers)
    with pytest.raises(Exception, match="No matching signature"):
        Reference(bench.secret).verify(body.replace(b"bait.finished", b"bait.failed"), headers)


def test_a_webhook_hears_of_its_events_alone_and_one_without_hears_nothing(bench: Bench) -> None:
    bench.end(1)  # before there is any: nothing is kept for later
    assert bench.waiting() == 0
    bench.put("bad", ("bait.failed",), "/bad")
    bench.put("all", tuple(EVENTS.values()), "/all")
    bench.end(2)
    bench.end(3, "failed")
    assert bench.courier.round() == 3
    types = sorted(json.loads(body)["type"] for _, body in bench.here.calls)
    assert types == ["bait.failed", "bait.failed", "bait.finished"]


def test_the_schedule_is_the_one_that_the_specification_advises(bench: Bench) -> None:
    bench.put()
    bench.here.answer = status(500)
    bench.end(1)
    begun, tried = bench.now, []
    for _ in range(TRIES):
        assert bench.courier.round() == 1
        tried.append(bench.now - begun)
        bench.now += 0.5
        assert bench.courier.round() == 0, "not before its time"
        due = bench.connection.zrange("pourwright:hooks-due", 0, 0, withscores=True)
        if due:
            bench.now = due[0][1] + 0.001
    # Standard Webhooks 1.0.0, "Example retry schedule": the third column, in hours, minutes and seconds
    column = [
        "0:00:00",
        "0:00:05",
        "0:05:05",
        "0:35:05",
        "2:35:05",
        "7:35:05",
        "17:35:05",
        "31:35:05",
        "51:35:05",
        "75:35:05",
    ]
    expected = [
        sum(int(part) * unit for part, unit in zip(one.split(":"), (3600, 60, 1), strict=True)) for one in column
    ]
    assert tried == pytest.approx(expected, abs=0.1)
    ids = {headers["webhook-id"] for headers, _ in bench.here.calls}
    stamps = {headers["webhook-timestamp"] for headers, _ in bench.here.calls}
    bodies = {body for _, body in bench.here.calls}
    assert (len(ids), len(stamps), len(bodies)) == (1, TRIES, 1)
    # and then it is disabled, with all that waits for it, and hears no more
    assert bench.standing().disabled_since is not None and bench.standing().last_reason == "Answered 500."
    bench.end(2)
    assert bench.courier.round() == 0 and bench.waiting() == 0
    # until it is put again
    present = bench.book.get("local", "till")
    assert present is not None and bench.book.swap("local", "till", present[0], present[0])
    bench.here.answer = status(200)
    bench.end(3)
    assert bench.courier.round() == 1 and bench.standing().disabled_since is None


def test_one_message_that_is_refused_disables_nothing_while_others_arrive(bench: Bench) -> None:
    bench.put()
    refused = bench.end(1)
    bench.here.answer = status(500)
    bench.courier.round()
    bench.now += 1
    bench.here.answer = status(200)
    bench.end(2)
    bench.courier.round()
    bench.here.answer = status(500)
    for delay in DELAYS_S:
        bench.now += delay + 1
        assert bench.courier.round() == 1
    assert bench.standing().disabled_since is None and bench.waiting() == 0
    assert sum(refused in body.decode() for _, body in bench.here.calls) == TRIES


def test_gone_disables_at_once_and_retry_after_is_heeded(bench: Bench) -> None:
    bench.put()
    bench.here.answer = status(429, Retry_After="120")
    bench.end(1)
    bench.courier.round()
    bench.now += 100
    assert bench.courier.round() == 0
    bench.now += 21
    bench.here.answer = status(410)
    assert bench.courier.round() == 1
    assert bench.standing().disabled_since is not None and bench.waiting() == 0


def test_jitter_is_a_tenth_at_most_and_an_asked_delay_a_day() -> None:
    assert next_delay(1, 0.0) == 5 and next_delay(1, 1.0) == pytest.approx(5.5)
    assert next_delay(TRIES, 0.5) is None
    assert next_delay(1, 0.0, 1e9) == 86400 and next_delay(9, 0.0, 1.0) == 86400


def test_a_courier_that_dies_loses_nothing(bench: Bench) -> None:
    bench.put()
    bench.end(1)
    bench.courier._outbox.fan_out(bench.now)
    assert bench.courier._claim() is not None  # and here it dies
    assert bench.courier.round() == 0, "nobody else sends while the lease holds"
    bench.now += 63
    assert bench.courier.round() == 1 and bench.waiting() == 0


def test_two_couriers_make_no_message_twice(bench: Bench) -> None:
    bench.put()
    for number in range(20):
        bench.end(number)
    other = Courier(bench.courier._settings, bench.records.connection, Sender(2), lambda: bench.now, lambda: 0.0)
    with ThreadPoolExecutor(2) as threads:
        tried = sum(threads.map(lambda one: one.round(), (bench.courier, other)))
    tried += bench.courier.round()
    assert tried == 20 and len({headers["webhook-id"] for headers, _ in bench.here.calls}) == 20


def test_a_secret_that_is_changed_again_and_again_signs_twice_at_most(bench: Bench) -> None:
    webhook = bench.put()
    for _ in range(9):
        before, webhook = webhook, webhook.with_secret(new_secret(), bench.now)
    assert webhook.signing(bench.now) == [webhook.secrets[0][0], before.secrets[0][0]]
    assert webhook.signing(bench.now + 86_401) == [webhook.secrets[0][0]]


def test_a_changed_secret_signs_beside_the_old_one_for_a_day(bench: Bench) -> None:
    made = bench.put()
    newer = made.with_secret(new_secret(), bench.now)
    assert bench.book.swap("local", "till", made, newer)
    bench.end(1)
    bench.courier.round()
    assert len(bench.here.calls[0][0]["webhook-signature"].split(" ")) == 2
    verified(bench, *bench.here.calls[0])
    bench.now += 86_401
    bench.end(2)
    bench.courier.round()
    signatures = bench.here.calls[1][0]["webhook-signature"].split(" ")
    assert len(signatures) == 1
    assert made.secrets[0][0] not in repr(newer), "a secret is not in what a traceback may show"


def test_a_courier_delivers_without_a_state_folder_and_makes_none(bench: Bench, tmp_path: Path) -> None:
    bench.put()
    bench.end(1)
    nowhere = tmp_path / "state"
    more = {"POURWRIGHT_STATE_DIR": str(nowhere), "POURWRIGHT_WEBHOOK_ORIGINS": bench.here.origin}
    command = [sys.executable, "-m", "worker.hooks"]
    with subprocess.Popen(command, cwd=ROOT, env=os.environ | bench.records.environ | more) as courier:
        try:
            eventually(lambda: bench.here.calls, seconds=40)
            eventually(lambda: bench.waiting() == 0)
        finally:
            courier.terminate()
        assert courier.wait(20) == 0
    assert not nowhere.exists()
