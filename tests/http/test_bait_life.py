"""A bait's whole life, drawn step by step: asked for, looked at, dismissed, removed, swept, held by batches, while
workers die, stall and are stopped between any two steps. The service, the store and the folder are the real ones.

What each step answers is told beforehand by `life_model`. After each, every bait of two callers is looked at, and a
file is either whole, of one attempt, or not there.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test
from redis import Redis
from redis.retry import Retry

from service.app import create_app
from service.stores import open_backing
from tests.http.keys import key
from tests.http.life_calls import Calls
from tests.http.life_machine import CALLERS
from tests.http.life_promises import Promises
from tests.http.life_work import Work
from tests.stack import Stack, stack
from worker.records import connect
from worker.records.connect import _open
from worker.settings import Settings

UNLIMITED: dict[str, Any] = dict.fromkeys(("baits_per_minute", "batches_per_minute", "links_per_minute"), 0)


class Life(Calls, Work, Promises):
    """All of it; `below`, `app` and `headers` are put here by the test."""


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
