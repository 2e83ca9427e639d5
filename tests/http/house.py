"""A house style that tests keep, and requests in it."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient

from tests.http.test_problems import problem

HERE = "/v1/styles/alderbank"
OURS: dict[str, Any] = {
    "base": "jointed_worm",
    "label": "Alderbank",
    "fixed": {"core_diameter": "5.5 mm"},
    "bounds": {"length": {"minimum": "3-1/2 in", "maximum": "5 in"}, "bead_count": {"minimum": 8, "maximum": 14}},
    "defaults": {"length": "4-1/2 in"},
    "require": {"joint_pull_n": 12},
}


def kept(client: FlaskClient, **changes: Any) -> dict[str, Any]:
    answer = client.put(HERE, json={**OURS, **changes})
    assert answer.status_code in (200, 201), answer.json
    return dict(answer.json)


def estimated(client: FlaskClient, **members: Any) -> dict[str, Any]:
    answer = client.post("/v1/estimates", json={"style": "alderbank", **members})
    assert answer.status_code == 200, answer.json
    return dict(answer.json)


def faults(client: FlaskClient, **members: Any) -> dict[str, dict[str, Any]]:
    document = problem(client.post("/v1/estimates", json={"style": "alderbank", **members}), 422, "invalid-request")
    return {fault["pointer"]: fault for fault in document["errors"]}
