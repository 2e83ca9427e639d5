"""An application over stand-ins, one over a real store for batches, and a client for each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from service.app import create_app
from service.backing import Backing
from service.drawings import Drawings
from service.estimator import Estimator
from service.keys.book import keys_file
from service.keys.watched import WatchedKeys
from service.links import LinkSigner
from service.replays import StoredReplays
from service.stores import open_backing
from service.waiting import Waiters
from tests.http.fakes import (
    FakeBaits,
    FakeDefinitions,
    FakeFits,
    FakeIdempotencyKeys,
    FakeRates,
    FakeReadiness,
    FakeWebhooks,
)
from tests.stack import Stack, stack
from worker.drawing import drawing
from worker.estimate import estimate
from worker.records.batches import Batches
from worker.records.connect import for_service
from worker.settings import Settings, load


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return load({"POURWRIGHT_STATE_DIR": str(tmp_path / "state")})


@pytest.fixture
def baits(tmp_path: Path) -> FakeBaits:
    folder = tmp_path / "files"
    folder.mkdir()
    return FakeBaits(folder)


@pytest.fixture
def fits(tmp_path: Path) -> FakeFits:
    return FakeFits(tmp_path / "files")


@pytest.fixture
def backing(settings: Settings, baits: FakeBaits, fits: FakeFits, tmp_path: Path) -> Backing:
    nowhere = replace(settings, store_url=f"unix://{tmp_path}/no-store")  # batches are tested over a real one
    return Backing(
        baits,
        fits,
        FakeIdempotencyKeys(),
        FakeReadiness(),
        Estimator(estimate, settings.estimate_waiting),
        Drawings(drawing, settings.drawing_waiting),
        Waiters(2, baits.clock),
        WatchedKeys(keys_file(settings)),
        FakeRates(),
        FakeDefinitions(),
        FakeDefinitions(),
        LinkSigner.open(settings),
        Batches.open(nowhere),
        StoredReplays(for_service(nowhere)),
        FakeWebhooks(),
    )


@pytest.fixture
def app(settings: Settings, backing: Backing) -> Flask:
    return create_app(settings, backing)


@pytest.fixture
def client(app: Flask) -> Iterator[FlaskClient]:
    with app.test_client() as client:
        yield client


@pytest.fixture
def worm() -> dict[str, Any]:
    return {"style": "beaded_worm", "params": {"length": "5 in", "bead_count": 16}}


@pytest.fixture(scope="module")
def below() -> Iterator[Stack]:
    with stack(batch_queue_limit=40, batch_queue_limit_per_caller=25) as made:
        yield made


@pytest.fixture
def real(below: Stack) -> Backing:
    with below.connection as connection:
        connection.flushall()
    (below.settings.state_dir / "keys.json").unlink(missing_ok=True)
    return open_backing(below.settings)


@pytest.fixture
def store_client(below: Stack, real: Backing) -> FlaskClient:
    return create_app(below.settings, real).test_client()
