"""What a drawn life of baits goes on upon: service, store and folder, and two callers with two baits each."""

from __future__ import annotations

import shutil
from typing import Any, ClassVar

from flask import Flask
from flask.testing import FlaskClient
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize

from tests.http.life_model import Bait, Batch
from tests.http.life_workers import Workers
from tests.stack import Stack
from worker.records.batches import Batches
from worker.records.names import BaitName
from worker.request import read_request

CALLERS = ("alder", "weir")
BODIES = [{"style": "bend_rod", "params": {"length": length}, "outputs": ["stl"]} for length in (80, 90)]
IDS = [read_request(body).id for body in BODIES]
callers, numbers, picks = st.sampled_from(CALLERS), st.integers(0, len(IDS) - 1), st.integers(0, 50)


class LifeMachine(RuleBasedStateMachine):
    """`below`, `app` and `headers` are put here by the test."""

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

    def seen(self, bait: Bait) -> tuple[str | None, int]:
        state, attempt = self.connection.hmget(BaitName(bait.caller, bait.id).record, "state", "attempt")
        return None if state is None else state.decode(), int(attempt or 0)
