"""House styles as they are kept by caller: told, changed and forgotten."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

from service.keys.book import KeyBook, keys_file
from service.keys.key import new_key
from service.scopes import Scope
from tests.http.house import HERE, OURS, estimated, kept
from tests.http.test_problems import problem
from worker.settings import Settings
from worker.styles import STYLES


def test_it_is_kept_listed_replaced_and_forgotten(client: FlaskClient) -> None:
    made = client.put(HERE, json=OURS)
    assert made.status_code == 201 and made.headers["Location"] == HERE
    shown = client.get(HERE)
    assert shown.json == made.json and shown.headers["ETag"] == made.headers["ETag"]
    assert client.get(HERE, headers={"If-None-Match": shown.headers["ETag"]}).status_code == 304
    listed = client.get("/v1/styles").json["styles"]
    assert [each["name"] for each in listed] == [*STYLES, "alderbank"] and listed[-1] == made.json
    replaced = client.put(HERE, json={**OURS, "label": "Weir"})
    assert replaced.status_code == 200 and replaced.headers["ETag"] != made.headers["ETag"]
    assert client.delete(HERE).status_code == 204
    problem(client.get(HERE), 404, "not-found")
    problem(client.delete(HERE), 404, "not-found")
    assert [each["name"] for each in client.get("/v1/styles").json["styles"]] == list(STYLES)


def test_conditions_keep_two_writers_apart(client: FlaskClient) -> None:
    tag = client.put(HERE, json=OURS, headers={"If-None-Match": "*"}).headers["ETag"]
    problem(client.put(HERE, json=OURS, headers={"If-None-Match": "*"}), 412, "precondition-failed")
    assert client.put(HERE, json={**OURS, "label": "Weir"}, headers={"If-Match": tag}).status_code == 200
    problem(client.put(HERE, json=OURS, headers={"If-Match": tag}), 412, "precondition-failed")
    problem(client.delete(HERE, headers={"If-Match": tag}), 412, "precondition-failed")


def test_names(client: FlaskClient) -> None:
    problem(client.put("/v1/styles/craw", json=OURS), 409, "name-taken")
    problem(client.delete("/v1/styles/craw"), 409, "name-taken")
    problem(client.put("/v1/styles/Our%20own", json=OURS), 422, "invalid-request")


def test_another_caller_has_none_of_it_and_only_admin_changes_it(client: FlaskClient, settings: Settings) -> None:
    def bearer(caller: str, *scopes: Scope) -> dict[str, str]:
        made, token = new_key(caller, scopes, "", datetime.now(UTC), None)
        KeyBook(keys_file(settings)).add(made)
        return {"Authorization": f"Bearer {token}"}

    every = (Scope.READ, Scope.BUILD, Scope.ADMIN)
    ours, theirs, builds = bearer("a", *every), bearer("b", *every), bearer("a", Scope.READ, Scope.BUILD)
    problem(client.put(HERE, json=OURS, headers=builds), 403, "scope-missing")
    assert client.put(HERE, json=OURS, headers=ours).status_code == 201
    problem(client.delete(HERE, headers=builds), 403, "scope-missing")
    assert client.get(HERE, headers=builds).status_code == 200
    problem(client.get(HERE, headers=theirs), 404, "not-found")
    assert len(client.get("/v1/styles", headers=theirs).json["styles"]) == len(STYLES)
    answer = client.post("/v1/estimates", json={"style": "alderbank"}, headers=theirs)
    assert [fault["code"] for fault in answer.json["errors"]] == ["unknown-style"]
    problem(client.delete(HERE, headers=theirs), 404, "not-found")
    assert client.post("/v1/estimates", json={"style": "alderbank"}, headers=builds).status_code == 200


def test_it_is_told_as_any_style_is(client: FlaskClient) -> None:
    told, base = kept(client), client.get("/v1/styles/jointed_worm").json
    assert (told["title"], told["base"], told["definition"]["label"]) == ("Alderbank", "jointed_worm", "Alderbank")
    properties = told["params_schema"]["properties"]
    assert set(base["params_schema"]["properties"]) - set(properties) == {"core_diameter"}
    # 1 in = 25.4 mm exactly (NIST SP 811)
    number = properties["length"]["anyOf"][0]
    assert (number["minimum"], number["maximum"], properties["length"]["default"]) == (88.9, 127.0, 114.3)
    assert (properties["bead_count"]["minimum"], properties["bead_count"]["maximum"]) == (8, 14)
    assert properties["joint_blend"] == base["params_schema"]["properties"]["joint_blend"]
    drawing = properties["length"]["x-drawing"]
    assert client.get(drawing).status_code == 200
    shape = estimated(client, **{name: part for name, part in told["example"].items() if name != "style"})
    assert Draft202012Validator(told["params_schema"]).is_valid(shape["request"]["params"])
    again = client.post("/v1/estimates", json={"strands": told["strands"], "hollows": told["hollows"]}).json
    assert again["metrics"]["volume_mm3"] == shape["metrics"]["volume_mm3"]
    back = client.put(HERE, json=told["definition"])
    assert back.status_code == 200 and back.json == told, "what is told can be sent again"


def test_its_sentence_says_what_is_held_fast_and_leaves_open_what_is_free(client: FlaskClient) -> None:
    assert kept(client)["sentence"] == "A {length} {style} of {bead_count} beads of {bead_diameter} on a 5.5 mm core"
    # 4 in = 101.6 mm (NIST SP 811); what the sentence has no place for follows it, and nothing is said of no tail
    told = kept(
        client, fixed={"length": "4 in", "segment": "barrel", "tail": "none", "tail_length": 30}, bounds={}, defaults={}
    )
    assert told["sentence"].startswith("A 101.6 mm {style} of {bead_count} beads of {bead_diameter} on a {core_diam")
    assert told["sentence"].endswith(" core, segment barrel")
    craw = {"base": "craw", "fixed": {"leg_pairs": 1, "claws": "curl", "claw_length": 40}}
    told = client.put("/v1/styles/weir", json=craw).json
    assert told["sentence"] == (
        "A {length} {style}, its body {body_width} wide on a {core_width} core, with curl claws of 40 % of its length "
        "and 1 pair of legs"
    )
    stick = client.put("/v1/styles/pool", json={"base": "stick_worm", "fixed": {"length": "8 cm"}}).json
    assert stick["sentence"].startswith("An 80 mm {style}, {girth} where")
    pairs = client.put("/v1/styles/weir", json={"base": "craw", "fixed": {"leg_pairs": 3}}).json
    assert pairs["sentence"].endswith(" and 3 pairs of legs")
    free = set(pairs["params_schema"]["properties"]) | {"style"}
    assert set(re.findall(r"\{([a-z0-9_]+)\}", pairs["sentence"])) <= free


def test_what_a_caller_keeps_is_bounded(client: FlaskClient, backing: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("service.own_styles.MOST", 1)
    kept(client)
    problem(client.put("/v1/styles/weir", json=OURS), 409, "full")
    assert client.put(HERE, json=OURS).status_code == 200
