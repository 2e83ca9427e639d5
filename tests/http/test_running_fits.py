"""Fits over the whole of it: gunicorn, a real store, real workers."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from typing import Any
from xml.etree import ElementTree

import pytest

from tests.http.running import Service, service
from tests.http.test_openapi import schema
from tests.stack import eventually

LIMBER: dict[str, Any] = {
    "style": "jointed_worm",
    "params": {"length": "5 in"},
    "free": {
        "core_diameter": {"minimum": 3, "maximum": 8},
        "bead_count": {"minimum": 8, "maximum": 14},
    },
    "require": {"joint_pull_n": 15, "mass_g": {"at_most": 6}},
    "goal": "greatest_flexibility",
    "front": {},
}
SMALL = {"style": "beaded_worm", "free": {"bead_count": {}}, "goal": "greatest_flexibility", "evaluations": 20}
LONG = {**LIMBER, "free": {**LIMBER["free"], "joint_blend": {}, "bead_diameter": {}}, "evaluations": 6000}


@pytest.fixture(scope="module")
def running() -> Iterator[Service]:
    with service(workers=True) as made:
        yield made


def test_a_fit_from_the_request_to_the_bait_that_was_built(running: Service) -> None:
    """Told figures are an estimate's, and an estimate's and a build's of one bait agree within a hundredth."""
    found = running.call("POST", "/v1/fits", LIMBER, Prefer="wait=25")
    assert found.status in (201, 202), found.data
    fit = eventually(
        lambda: (answer := running.call("GET", found.headers["Location"], Prefer="wait=20").json)["finished"] and answer
    )
    schema("Fit").validate(fit)
    answer = fit["answer"]
    assert (fit["status"], answer["outcome"]) == ("successful", "met") and fit["timings"]["search"] > 0
    best = answer["best"]
    bait = running.call("POST", fit["links"]["order"], best["request"], Prefer="wait=25").json
    assert (bait["status"], bait["id"]) == ("successful", best["bait"])
    assert running.call("GET", best["href"]).json["id"] == bait["id"]
    metrics = bait["metrics"]
    assert metrics["mass_g"] <= 6 * 1.01
    assert metrics["weakest_joint"]["pull_n"] >= 15 * 0.99
    for name in ("mass_g", "flexibility_ratio"):
        assert metrics[name] == pytest.approx(best["metrics"][name], rel=0.01)
    (drawn,) = (file for file in fit["files"] if file["name"] == "tradeoff.svg")
    sent = running.call("GET", drawn["href"])
    assert sent.status == 200 and len(sent.data) == drawn["bytes"]
    assert ElementTree.fromstring(sent.data).tag == "{http://www.w3.org/2000/svg}svg"


def test_the_front_never_gains_on_both(running: Service) -> None:
    fit = running.call("POST", "/v1/fits", LIMBER, Prefer="wait=25").json
    points = fit["answer"]["front"]["points"]
    for strong, limp in itertools.pairwise(points):
        assert strong["pull"] >= limp["pull"] and strong["flexibility"] <= limp["flexibility"]


def test_a_small_fit_is_answered_at_once_without_a_worker(running: Service) -> None:
    found = running.call("POST", "/v1/fits", SMALL, Idempotency_Key='"limber"')
    assert found.status == 201 and found.json["status"] == "successful"
    assert running.call("POST", "/v1/fits", SMALL, Idempotency_Key='"limber"').data == found.data
    log = (running.stack.settings.state_dir / "service.log").read_text()
    (line,) = (line for line in log.splitlines() if "a fit was found" in line and found.json["id"] in line)
    assert '"route"' not in line and '"fit"' in line
    assert running.call("POST", "/v1/fits", SMALL).status == 200


def test_one_under_way_is_dismissed_and_the_worker_is_free(running: Service) -> None:
    taken = running.call("POST", "/v1/fits", LONG)
    assert taken.status == 202
    path = taken.headers["Location"]
    eventually(lambda: running.call("GET", path).json["status"] == "running", 30)
    assert running.call("DELETE", path).json["status"] == "dismissed"
    assert running.call("GET", path, Prefer="wait=5").json["status"] == "dismissed"
    eventually(lambda: running.stack.connection.scard("pourwright:flight:fit") == 0, 10)
    other = running.call("POST", "/v1/fits", {**LIMBER, "goal": "least_mass"}, Prefer="wait=25")
    assert other.json["status"] in ("successful", "running")
