"""Seen from outside, over real HTTP: two processes that count together, workers that are counted, a webhook told."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
from collections.abc import Iterator
from typing import Any

import psutil
import pytest
from prometheus_client.parser import text_string_to_metric_families
from standardwebhooks.webhooks import Webhook

from tests.hooks.receiver import Receiver, receiver
from tests.http.running import Service, service
from tests.http.test_problems import problem
from tests.stack import eventually

TRACE = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"


@pytest.fixture(scope="module")
def here() -> Iterator[Receiver]:
    with receiver() as made:
        yield made


@pytest.fixture(scope="module")
def running(here: Receiver) -> Iterator[Service]:
    with service(workers=True, courier=True, processes=2, webhook_origins=here.origin) as made:
        yield made


def metrics(running: Service, path: str = "/metrics") -> tuple[int, str]:
    connection = http.client.HTTPConnection("127.0.0.1", running.metrics_port, timeout=30)
    try:
        connection.request("GET", path)
        answer = connection.getresponse()
        return answer.status, answer.read().decode()
    finally:
        connection.close()


def sample(running: Service, name: str, **labels: str) -> float:
    families = text_string_to_metric_families(metrics(running)[1])
    found = [one for family in families for one in family.samples if one.name == name]
    return sum(one.value for one in found if labels.items() <= one.labels.items())


def test_a_bait_that_ends_is_told_and_its_trace_goes_all_the_way(running: Service, here: Receiver) -> None:
    put = running.call("PUT", "/v1/webhooks/till", {"address": f"{here.origin}/till"})
    assert put.status == 201
    worm = {"style": "beaded_worm", "params": {"length": "5 in", "bead_count": 31}}
    made = running.call("POST", "/v1/baits", worm, Prefer="wait=25", traceparent=TRACE)
    assert made.json["status"] == "successful"
    headers, body = eventually(lambda: here.calls and here.calls[0])
    told: Any = Webhook(put.json["secret"]).verify(body, headers)
    assert told["type"] == "bait.finished" and told["data"]["id"] == made.json["id"]
    assert told["timestamp"] and headers["traceparent"][:36] == TRACE[:36]
    eventually(lambda: running.call("GET", "/v1/webhooks/till").json["last_success"], 10)
    assert running.call("GET", "/v1/webhooks/till").json["status"] == "active"
    # and the logs of all three tell of it under one trace, and of no secret
    place = running.stack.settings.state_dir / "service.log"

    def said() -> set[str]:
        lines = [json.loads(line) for line in place.read_text().splitlines() if line.startswith("{")]
        return {line["message"] for line in lines if line.get("trace") == TRACE[3:35]}

    eventually(lambda: {"answered", "a bait was built", "a webhook was told"} <= said(), 10)
    log = place.read_text()
    assert put.json["secret"] not in log and not re.search(r"whsec_[A-Za-z0-9]|v1,[A-Za-z0-9]", log)


def test_processes_count_together_on_a_port_of_their_own(running: Service) -> None:
    labels = {"route": "/v1/styles/<style>", "method": "GET", "status": "4xx"}
    before = sample(running, "pourwright_http_requests_total", **labels)
    for number in range(40):
        running.call("GET", f"/v1/styles/no-such-{number}")
    assert sample(running, "pourwright_http_requests_total", **labels) == before + 40
    assert len(psutil.Process(running.process.pid).children()) == 2
    assert sample(running, "pourwright_http_request_seconds_count", route="/v1/styles/<style>") >= 40
    assert running.call("GET", "/metrics").status == 404, "not on the service's own port"
    assert metrics(running, "/v1/styles")[0] == 404, "and nothing else on this one"
    text = metrics(running)[1]
    assert "no-such" not in text, "labels are routes, not addresses"


def test_the_store_tells_of_queues_endings_and_steps(running: Service) -> None:
    worm = {"style": "beaded_worm", "params": {"length": "5 in", "bead_count": 32}}
    before = sample(running, "pourwright_jobs_total", lane="single", ending="successful")
    assert running.call("POST", "/v1/baits", worm, Prefer="wait=25").json["status"] == "successful"
    assert sample(running, "pourwright_jobs_total", lane="single", ending="successful") == before + 1
    assert eventually(lambda: sample(running, "pourwright_build_seconds_count", step="solid") >= before + 1)
    assert sample(running, "pourwright_build_seconds_sum", step="solid") > 0
    assert sample(running, "pourwright_store_up") == 1 and sample(running, "pourwright_courier_up") == 1
    assert sample(running, "pourwright_workers") == 2
    for lane in ("single", "batch", "fit"):
        assert f'pourwright_baits_waiting{{lane="{lane}"}} 0.0' in metrics(running)[1]


def test_readiness_counts_workers_that_live_and_not_those_that_are_meant_to(running: Service) -> None:
    assert running.call("GET", "/readyz").json == {"status": "ready", "workers": 2}
    pool = psutil.Process(running.stack.pools[0].pid)
    with running.stack.connection as connection:
        alive = {name.decode().rpartition("-")[2] for name in connection.smembers("pourwright:workers")}  # type: ignore[union-attr]
    workers = [child for child in pool.children() if str(child.pid) in alive]
    assert len(workers) == 2 and len(pool.children()) == 4  # and the steward and the caretaker
    for one in workers:  # they are there still, and do nothing
        os.kill(one.pid, signal.SIGSTOP)
    try:
        gone = eventually(lambda: (answer := running.call("GET", "/readyz")).status == 503 and answer, 30, 0.5)
        assert problem(gone, 503, "not-ready")["detail"] == "No worker is alive."
        assert sample(running, "pourwright_workers") == 0
    finally:
        for one in workers:
            os.kill(one.pid, signal.SIGCONT)
    eventually(lambda: running.call("GET", "/readyz").status == 200, 20, 0.5)
