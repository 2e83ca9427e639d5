"""Plastics of a caller's own: kept, named in requests, part of a bait's identity, forgotten."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from flask.testing import FlaskClient

from service.app import create_app
from service.backing import Backing
from service.kept_bodies import KeptBodies
from tests.http.fakes import FakeBaits
from tests.http.test_problems import problem
from worker.settings import Settings

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


def test_a_list_of_tags_keeps_a_known_version_from_being_replaced(client: FlaskClient) -> None:
    """RFC 9110, 13.1.2: false where any tag of the list matches, by the weak comparison of 8.8.3.2."""
    tag = client.put(HERE, json=OURS, headers={"If-None-Match": '"one", "other*"'}).headers["ETag"]
    for listed in (tag, f'"one", {tag}', f'W/{tag}, "one"', "*"):
        problem(client.put(HERE, json=OURS, headers={"If-None-Match": listed}), 412, "precondition-failed")
        problem(client.delete(HERE, headers={"If-None-Match": listed}), 412, "precondition-failed")
    assert client.get(HERE).headers["ETag"] == tag
    # An asterisk within a tag is a letter like any other
    for listed in ('"one"', '"one", "other*"'):
        assert client.put(HERE, json=OURS, headers={"If-None-Match": listed}).status_code == 200
    both = {"If-Match": tag, "If-None-Match": '"one"'}
    assert client.put(HERE, json={**OURS, "grade": "firm"}, headers=both).status_code == 200


def figure(typical: float) -> dict[str, float]:
    return {"low": 0.9 * typical, "typical": typical, "high": 1.1 * typical}


@pytest.mark.parametrize(("typical", "grade"), [
    # Built-in moduli 0.10, 0.22, 0.45: the middles by ratio lie at 0.148 and 0.315
    ({"modulus": 0.145}, "soft"), ({"modulus": 0.152}, "medium"), ({"modulus": 0.31}, "medium"),
    ({"modulus": 0.32}, "firm"), ({"modulus": 30}, "firm"), ({"strength": 0.3}, "soft"),
    ({"tear_energy": 1500}, "firm"),
    # How heavy a plastic is says nothing of how soft it is: salt and fillers make any of them heavy
    ({"modulus": 0.45, "density": 0.95}, "firm"), ({"density": 1.05}, "soft"),
    # 0.22 over 0.10 is 0.79 by logarithms, 3.0 over 2.2 is 0.31
    ({"modulus": 0.1, "strength": 3.0}, "soft"), ({"modulus": 0.22, "strength": 3.0}, "medium"),
    ({"shrinkage": 0.0}, "soft"),
])  # fmt: skip
def test_without_a_grade_it_is_the_nearest(
    client: FlaskClient, worm: dict[str, Any], typical: dict[str, float], grade: str
) -> None:
    properties = {name: figure(value) for name, value in typical.items()}
    made = client.put(HERE, json={"properties": properties}).json
    assert (made["grade"], made["grade_is"]) == (grade, "nearest")
    figures = {"density", "modulus", "strength", "tear_energy", "shrinkage"}
    assert made["filled"] == dict.fromkeys(figures - set(typical), grade)
    built_in = client.get(f"/v1/plastics/{grade}").json
    assert all(made[name] == built_in[name] for name in made["filled"])
    # A request that brings its figures along is read the same
    named, inline = (estimated(client, worm, **each) for each in ({"name": "ours"}, {"properties": properties}))
    assert named["request"]["plastic"]["grade"] == inline["request"]["plastic"]["grade"] == grade


def test_a_grade_that_is_given_stays_and_one_that_was_chosen_is_chosen_anew(client: FlaskClient) -> None:
    pull = {"measurements": [{"kind": "pull", "gauge_diameter": 5, "break_force_n": 90}]}  # 4.6 MPa
    soft = {"properties": {"modulus": figure(0.35)}}
    assert client.put(HERE, json=soft).json["grade"] == "firm"
    assert client.put(HERE, json={**soft, "grade": "soft"}).json["grade_is"] == "given"
    assert client.post(f"{HERE}/measurements", json=pull).json["plastic"]["grade"] == "soft"
    assert client.put(HERE, json={"properties": {"modulus": figure(0.14)}}).json["grade"] == "soft"
    measured = client.post(f"{HERE}/measurements", json=pull).json["plastic"]
    # ln(4.584)'s distances: soft 1.117^2 + 0.336^2, medium 0.734^2 + 0.452^2, firm 0.424^2 + 1.168^2
    assert (measured["grade"], measured["grade_is"]) == ("medium", "nearest")


@pytest.mark.parametrize("plastic", [{"properties": {}}, {"properties": {}, "name": "ours"}])
def test_no_figure_at_all_is_told_with_those_that_there_are(
    client: FlaskClient, worm: dict[str, Any], plastic: dict[str, Any]
) -> None:
    if "name" in plastic:
        answer, pointer = client.post("/v1/estimates", json={**worm, "plastic": plastic}), "/plastic/properties"
    else:
        answer, pointer = client.put(HERE, json=plastic), "/properties"
    (fault,) = problem(answer, 422, "invalid-request")["errors"]
    assert (fault["pointer"], fault["code"]) == (pointer, "nothing-measured")
    members = ["density", "hardness", "modulus", "shrinkage", "strength", "tear_energy"]
    assert fault["allowed"] == {"members": members}
    assert "at least one" in fault["detail"] and all(name in fault["detail"] for name in members)


@pytest.mark.parametrize(
    "more", [{}, {"grade": "firm"}, {"salt_wt_pct": 99}, {"properties": OURS["properties"], "salt_wt_pct": 99}]
)
def test_a_built_in_name_is_a_grade(client: FlaskClient, worm: dict[str, Any], more: dict[str, Any]) -> None:
    for address in ("/v1/estimates", "/v1/baits"):
        answer = client.post(address, json={**worm, "plastic": {"name": "soft", **more}})
        faults = problem(answer, 422, "invalid-request")["errors"]
        told = {fault["pointer"]: fault for fault in faults}
        assert told["/plastic/name"]["code"] == "built-in" and "`grade`" in told["/plastic/name"]["detail"]
        assert ("/plastic/salt_wt_pct" in told) == ("salt_wt_pct" in more), "and no other fault is hidden"


def test_a_built_bait_outlives_its_plastic(
    client: FlaskClient, settings: Settings, backing: Backing, baits: FakeBaits, worm: dict[str, Any]
) -> None:
    client.put(HERE, json=OURS)
    made = client.post("/v1/baits", json={**worm, "plastic": {"name": "ours"}}).json
    baits.succeed(made["id"])
    before = client.get(made["links"]["self"])
    assert before.json["status"] == "successful"
    assert client.delete(HERE).status_code == 204
    # As a process tells it that has never told it before
    other = create_app(settings, replace(backing, ended_baits=KeptBodies(1))).test_client()
    for teller in (client, other):
        after = teller.get(made["links"]["self"])
        assert (after.data, after.headers["ETag"]) == (before.data, before.headers["ETag"])
    asked = client.post("/v1/baits", json=before.json["request"])
    assert (asked.status_code, asked.json["id"]) == (200, made["id"]), "its own request still asks for it"


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
