"""Liveness asks nobody; readiness tells the truth."""

from __future__ import annotations

from flask.testing import FlaskClient

from service.backing import Backing
from tests.http.fakes import FakeBaits, FakeReadiness
from tests.http.test_problems import problem


def test_liveness_does_not_depend_on_the_store(client: FlaskClient, backing: Backing, baits: FakeBaits) -> None:
    baits.away = True
    assert isinstance(backing.readiness, FakeReadiness)
    backing.readiness.sentences = ["The store does not answer."]
    response = client.get("/healthz")
    assert response.status_code == 200 and response.json == {"status": "alive"}


def test_readiness_says_what_is_missing(client: FlaskClient, backing: Backing) -> None:
    assert client.get("/readyz").json == {"status": "ready", "workers": 2}
    assert isinstance(backing.readiness, FakeReadiness)
    backing.readiness.sentences = ["No worker is alive."]
    response = client.get("/readyz")
    assert problem(response, 503, "not-ready")["detail"] == "No worker is alive."
    assert "Retry-After" in response.headers
