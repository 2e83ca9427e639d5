"""Plastics of a caller's own: kept, named in requests, part of a bait's identity, forgotten."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from tests.http.test_problems import problem

STRENGTH = {"low": 3.0, "typical": 3.2, "high": 3.4, "source": "measured, n = 6"}
OURS: dict[str, Any] = {"grade": "medium", "properties": {"strength": STRENGTH}}
HERE = "/v1/plastics/ours"


def estimated(client: FlaskClient, worm: dict[str, Any], **plastic: Any) -> dict[str, Any]:
    answer = client.post("/v1/estimates", json={**worm, "plastic": plastic})
    assert answer.status_code == 200, answer.json
    return dict(answer.json)


def test_it_is_kept_listed_replaced_and_forgotten(client: FlaskClient) -> None:
    made = client.put(HERE, json=OURS)
    assert made.status_code == 201 and made.headers["Location"] == HERE
    assert made.json["strength"]["typical"] == 3.2 and made.json["measured"] == ["strength"]
    medium = client.get("/v1/plastics/medium").json
    assert made.json["modulus"] == medium["modulus"], "what was not measured is its grade's"
    assert [each["name"] for each in client.get("/v1/plastics").json["plastics"]] == ["soft", "medium", "firm", "ours"]
    shown = client.get(HERE)
    assert shown.json == made.json and shown.headers["ETag"] == made.headers["ETag"]
    changed = {**OURS, "properties": {"strength": {**STRENGTH, "typical": 3.3}}}
    assert client.put(HERE, json=changed).status_code == 200
    assert client.delete(HERE).status_code == 204
    problem(client.get(HERE), 404, "not-found")
    problem(client.delete(HERE), 404, "not-found")


def test_conditions_keep_two_writers_apart(client: FlaskClient) -> None:
    first = client.put(HERE, json=OURS, headers={"If-None-Match": "*"})
    assert first.status_code == 201
    problem(client.put(HERE, json=OURS, headers={"If-None-Match": "*"}), 412, "precondition-failed")
    tag = first.headers["ETag"]
    assert client.put(HERE, json={**OURS, "grade": "soft"}, headers={"If-Match": tag}).status_code == 200
    problem(client.put(HERE, json=OURS, headers={"If-Match": tag}), 412, "precondition-failed")
    problem(client.delete(HERE, headers={"If-Match": tag}), 412, "precondition-failed")
    problem(client.put("/v1/plastics/other", json=OURS, headers={"If-Match": tag}), 412, "precondition-failed")


def test_a_request_names_it_and_holds_its_figures(client: FlaskClient, worm: dict[str, Any]) -> None:
    client.put(HERE, json=OURS)
    bare, named = estimated(client, worm, grade="medium"), estimated(client, worm, name="ours")
    # Pull = strength x area / factor: 3.2 MPa in place of the medium grade's 2.2 MPa.
    pulls = [each["metrics"]["weakest_joint"]["pull_n"] for each in (bare, named)]
    assert pulls[1] / pulls[0] == pytest.approx(3.2 / 2.2, rel=1e-5)
    assert named["metrics"]["mass_g"] == bare["metrics"]["mass_g"]
    asked = named["request"]["plastic"]
    assert asked["name"] == "ours" and asked["grade"] == "medium"
    assert asked["properties"]["strength"] == STRENGTH
    assert "measured, n = 6" in named["metrics"]["judgement"][0]
    client.put(HERE, json={**OURS, "properties": {"strength": {**STRENGTH, "typical": 3.3}}})
    assert estimated(client, worm, name="ours")["id"] != named["id"], "a changed plastic is another bait"
    client.delete(HERE)
    assert estimated(client, worm, **asked)["id"] == named["id"], "what was answered can be asked again"
    document = problem(client.post("/v1/estimates", json={**worm, "plastic": {"name": "ours"}}), 422, "invalid-request")
    assert document["errors"][0]["pointer"] == "/plastic/name"


def test_salt_and_remedies_go_with_it(client: FlaskClient, worm: dict[str, Any]) -> None:
    weak = {"low": 0.1, "typical": 0.2, "high": 0.3}
    client.put(HERE, json={"properties": {"strength": weak}})
    answer = estimated(client, worm, name="ours", salt_wt_pct=10)
    check = next(each for each in answer["checks"] if each["check"] == "joint_pull")
    assert check["verdict"] == "fail" and check["remedies"]
    for remedy in check["remedies"]:
        body = {**worm, **{name: part for name, part in remedy["patch"].items() if name != "params"}}
        body["params"] = {**worm["params"], **remedy["patch"].get("params", {})}
        body.setdefault("plastic", {"name": "ours", "salt_wt_pct": 10})
        body["plastic"] = {name: part for name, part in body["plastic"].items() if part is not None}
        mended = client.post("/v1/estimates", json=body).json
        assert next(each for each in mended["checks"] if each["check"] == "joint_pull")["verdict"] == "pass"


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ({}, {"/properties"}),
        ({"properties": {}}, {"/properties"}),
        ({"properties": {"strength": {"low": 2, "typical": 1, "high": 3}}}, {"/properties/strength"}),
        ({"properties": {"strength": {"low": 0, "typical": 1}}, "x": 1},
         {"/properties/strength/low", "/properties/strength/high", "/x"}),
        ({"grade": "ours", "properties": {"density": "heavy"}}, {"/grade", "/properties/density"}),
        ({"properties": {"hardness": {"scale": "B", "value": 99}}},
         {"/properties/hardness/scale", "/properties/hardness/value"}),
        ({"properties": {"hardness": {"value": 9}, "modulus": {"low": 1, "typical": 1, "high": 1}}},
         {"/properties/hardness"}),
    ],
)  # fmt: skip
def test_every_fault_is_named(client: FlaskClient, body: dict[str, Any], pointers: set[str]) -> None:
    document = problem(client.put(HERE, json=body), 422, "invalid-request")
    assert {fault["pointer"] for fault in document["errors"]} == pointers
    problem(client.get(HERE), 404, "not-found")


def test_names(client: FlaskClient) -> None:
    problem(client.put("/v1/plastics/soft", json=OURS), 409, "name-taken")
    problem(client.delete("/v1/plastics/firm"), 409, "name-taken")
    problem(client.put("/v1/plastics/Our%20own", json=OURS), 422, "invalid-request")


def test_hardness_stands_for_a_modulus(client: FlaskClient) -> None:
    told = client.put(HERE, json={"properties": {"hardness": {"scale": "A", "value": 30}}}).json
    # Gent 1958: Shore A 30 is 1.142 MPa.
    assert told["modulus"]["typical"] == pytest.approx(1.142, abs=5e-4)
    assert "Gent" in told["modulus"]["source"] and told["measured"] == ["modulus"]


def test_an_unknown_name_hides_no_other_fault(client: FlaskClient) -> None:
    asked = {"style": "beaded_worm", "detail": "x", "plastic": {"name": "theirs", "salt_wt_pct": 99}}
    answer = client.post("/v1/estimates", json=asked)
    pointers = {fault["pointer"] for fault in answer.json["errors"]}
    assert answer.status_code == 422 and pointers == {"/plastic/name", "/plastic/salt_wt_pct", "/detail"}
