"""Styles, plastics and estimates."""

from __future__ import annotations

import sys
import threading
import time
from typing import Any

import jsonschema
import pytest
from flask.testing import FlaskClient

from service.estimator import SWITCH_INTERVAL_S, Estimator
from tests.http.fakes import FakeBaits
from tests.http.test_problems import problem
from worker.errors import Busy
from worker.request import Request, read_request
from worker.styles import STYLES


def test_styles_are_listed_and_each_has_its_address(client: FlaskClient) -> None:
    listed = client.get("/v1/styles").json["styles"]
    assert [style["name"] for style in listed] == list(STYLES)
    for style in listed:
        assert client.get(f"/v1/styles/{style['name']}").json == style


@pytest.mark.parametrize("name", list(STYLES))
def test_a_style_tells_enough_to_draw_a_form_and_its_example_can_be_sent(client: FlaskClient, name: str) -> None:
    style = client.get(f"/v1/styles/{name}").json
    assert {"name", "title", "summary", "example", "params_schema", "strands"} <= set(style)
    jsonschema.Draft202012Validator.check_schema(style["params_schema"])
    jsonschema.validate(style["example"].get("params", {}), style["params_schema"])
    for parameter in style["params_schema"]["properties"].values():
        assert parameter["title"] and parameter["description"] and "default" in parameter
    assert style["strands"]
    assert client.post("/v1/estimates", json=style["example"]).status_code == 200


def test_an_unknown_style_is_404_and_names_those_that_there_are(client: FlaskClient) -> None:
    document = problem(client.get("/v1/styles/hair_worm"), 404, "not-found")
    assert all(name in document["detail"] for name in STYLES)


@pytest.mark.parametrize("path", ["/v1/styles", "/v1/styles/beaded_worm", "/v1/plastics", "/v1/openapi.json", "/docs"])
def test_what_seldom_changes_is_tagged(client: FlaskClient, path: str) -> None:
    whole = client.get(path)
    assert whole.status_code == 200
    assert client.get(path, headers={"If-None-Match": whole.headers["ETag"]}).status_code == 304
    assert client.head(path).status_code == 200


def test_plastics_come_as_ranges_with_their_sources(client: FlaskClient) -> None:
    plastics = client.get("/v1/plastics").json["plastics"]
    assert {"soft", "medium", "firm"} <= {plastic["name"] for plastic in plastics}
    for plastic in plastics:
        for figure in ("density", "modulus", "strength", "tear_energy", "shrinkage"):
            assert plastic[figure]["low"] <= plastic[figure]["typical"] <= plastic[figure]["high"]
            assert plastic[figure]["unit"] and plastic[figure]["source"]


def test_an_estimate_is_the_body_of_a_bait_and_makes_no_job(
    client: FlaskClient, baits: FakeBaits, worm: dict[str, Any]
) -> None:
    estimated = client.post("/v1/estimates", json={**worm, "label": "a"})
    assert estimated.status_code == 200 and estimated.json["label"] == "a"
    assert estimated.json["files"] == [] and baits.jobs == []
    built = client.post("/v1/baits", json=worm).json
    assert set(built) <= set(estimated.json)
    assert (estimated.json["id"], estimated.json["request"]) == (built["id"], built["request"])
    assert estimated.json["metrics"]["volume_mm3"] > 0
    assert {check["verdict"] for check in estimated.json["checks"]} <= {"pass", "caution", "fail"}
    assert estimated.headers["Cache-Control"] == "no-store"


def test_estimates_run_one_at_a_time_and_the_line_is_short() -> None:
    running, done = threading.Event(), threading.Event()
    at_once: list[int] = []

    def slow(request: Request) -> dict[str, object]:
        at_once.append(1)
        running.set()
        assert sum(at_once) == 1, "two estimates at once"
        done.wait(30)
        at_once.pop()
        return {}

    estimator = Estimator(slow, waiting=2)
    request = read_request({"style": "beaded_worm"})
    threads = [threading.Thread(target=estimator, args=(request,)) for _ in range(3)]
    threads[0].start()
    assert running.wait(30)
    for thread in threads[1:]:
        thread.start()
    deadline = time.monotonic() + 30
    while not estimator.full and time.monotonic() < deadline:  # until the two others stand in line
        time.sleep(0.001)
    with pytest.raises(Busy):
        estimator(request)
    done.set()
    for thread in threads:
        thread.join(30)
    assert not estimator.full
    assert estimator(request) == {}


def test_the_interpreter_switches_often_enough_for_status_calls_beside_an_estimate() -> None:
    Estimator(lambda request: {}, waiting=0)
    assert sys.getswitchinterval() == pytest.approx(SWITCH_INTERVAL_S)


def test_a_full_line_is_503_with_retry_after(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: Estimator, request: Request) -> dict[str, object]:
        raise Busy("Too many estimates are waiting.", retry_after_s=1)

    monkeypatch.setattr(Estimator, "__call__", full)
    response = client.post("/v1/estimates", json={"style": "beaded_worm"})
    problem(response, 503, "busy")
    assert response.headers["Retry-After"] == "1"
