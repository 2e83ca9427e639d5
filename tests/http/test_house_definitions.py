"""What a house style narrows: every fault of a definition, and of requests beyond it."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

from tests.http.house import HERE, estimated, faults, kept
from tests.http.test_problems import problem


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ([], {""}),
        ({}, {"/base"}),
        ({"base": "alderbank", "fixed": {"x": 1}, "y": 1}, {"/base", "/y"}),
        ({"base": "jointed_worm", "fixed": {"x": 1, "bead_count": 500}, "bounds": {"y": {}, "length": {"maximum": 900}},
          "defaults": {"z": 1}, "require": {"joint_pull_n": -1}, "checks": {"overlap": {"silence": True}},
          "plastic": {"grade": "hard"}, "finish": {"colour": "no such"}, "label": "", "w": 1},
         {"/fixed/x", "/fixed/bead_count", "/bounds/y", "/bounds/length/maximum", "/defaults/z",
          "/require/joint_pull_n", "/checks/overlap/silence", "/plastic/grade", "/finish/colour", "/label", "/w"}),
        ({"base": "jointed_worm", "bounds": {"length": {"minimum": 130}}}, {"/bounds/length"}),
        ({"base": "jointed_worm", "bounds": {"length": {"minimum": 130}}, "defaults": {"length": 120}},
         {"/defaults/length"}),
        ({"base": "jointed_worm", "bounds": {"length": {"minimum": 120, "maximum": 100}, "tail": {"choices": []}}},
         {"/bounds/length/minimum", "/bounds/tail/choices"}),
        ({"base": "jointed_worm", "bounds": {"tail": {"choices": ["curl", "wings"]}}}, {"/bounds/tail/choices/1"}),
        ({"base": "jointed_worm", "fixed": {"bead_count": 9}, "bounds": {"bead_count": {}},
          "defaults": {"bead_count": 9}},
         {"/bounds/bead_count", "/defaults/bead_count"}),
        ({"base": "jointed_worm", "fixed": None, "bounds": [], "defaults": 5}, {"/fixed", "/bounds", "/defaults"}),
        ({"base": "creature", "bounds": {"groups": {"length": {"minimum": 40}, "wings": {}}}},
         {"/bounds/groups/length", "/bounds/groups/wings"}),
    ],
)  # fmt: skip
def test_every_fault_of_a_definition_is_named(client: FlaskClient, body: Any, pointers: set[str]) -> None:
    document = problem(client.put(HERE, json=body), 422, "invalid-request")
    assert {fault["pointer"] for fault in document["errors"]} == pointers
    problem(client.get(HERE), 404, "not-found")


def test_defaults_that_cannot_be_built_are_told_where_they_stand(client: FlaskClient) -> None:
    thick = {"base": "jointed_worm", "fixed": {"core_diameter": 9}, "defaults": {"bead_diameter": 8}}
    (fault,) = problem(client.put(HERE, json=thick), 422, "infeasible")["errors"]
    # A core takes at most 0.95 of its beads' diameter
    assert fault["pointer"] == "/fixed/core_diameter" and fault["allowed"]["maximum"] == pytest.approx(0.95 * 8)


def test_a_bound_in_inches_takes_what_it_is_written_as(client: FlaskClient) -> None:
    # 5/16 in is 7.9375 mm; 11/32 in is 8.73125 mm, which a request's lengths are rounded from to 8.7312, half to even
    kept(client, bounds={"bead_diameter": {"minimum": "5/16 in", "maximum": "11/32 in"}}, defaults={"bead_diameter": 8})
    assert estimated(client, params={"bead_diameter": "11/32 in"})["request"]["params"]["bead_diameter"] == 8.7312
    assert set(faults(client, params={"bead_diameter": "8.7313 mm"})) == {"/params/bead_diameter"}
    assert set(faults(client, params={"bead_diameter": 8.73125})) == {"/params/bead_diameter"}


def test_lists_of_objects_have_bounds_too(client: FlaskClient) -> None:
    bounds = {"groups": {"pairs": {"minimum": 1, "maximum": 2}}}
    default = [{"kind": "leg", "pairs": 2}]
    kept(client, base="creature", fixed={}, require={}, bounds=bounds, defaults={"groups": default})
    assert [row["pairs"] for row in estimated(client)["request"]["params"]["groups"]] == [2]
    found = faults(client, params={"groups": [{"pairs": 3}]})
    assert found["/params/groups/0/pairs"]["allowed"] == {"minimum": 1, "maximum": 2, "whole": True}
    kept(client, base="creature", require={}, bounds={}, defaults={}, fixed={"groups": default})
    assert set(faults(client, params={"groups": []})) == {"/params/groups"}
    assert "groups" not in client.get(HERE).json["params_schema"]["properties"]


def test_a_definition_in_a_request_is_read_as_strictly(client: FlaskClient) -> None:
    found = faults(client, house_style={"base": "jointed_worm", "fixed": {"bead_count": 500}, "label": "x"}, detail="x")
    assert set(found) == {"/house_style/fixed/bead_count", "/house_style/label", "/detail"}
    body = {"style": "craw", "house_style": {"base": "craw"}}
    document = problem(client.post("/v1/estimates", json=body), 422, "invalid-request")
    assert [(fault["pointer"], fault["code"]) for fault in document["errors"]] == [("/style", "built-in")]
    document = problem(
        client.post("/v1/estimates", json={"style": "weir", "house_style": None}), 422, "invalid-request"
    )
    assert [(fault["pointer"], fault["code"]) for fault in document["errors"]] == [("/house_style", "null")]


def test_beyond_its_bounds_is_refused_with_the_narrower_range(client: FlaskClient) -> None:
    kept(client)
    asked = {"length": "6 in", "bead_count": 20, "core_diameter": 5.5, "bead_diameter": 99, "x": 1}
    found = faults(client, params=asked)
    assert {at: fault["code"] for at, fault in found.items()} == {
        "/params/length": "out-of-range",
        "/params/bead_count": "out-of-range",
        "/params/core_diameter": "fixed",
        "/params/bead_diameter": "out-of-range",
        "/params/x": "unknown-member",
    }
    assert found["/params/length"]["allowed"] == {"minimum": 88.9, "maximum": 127.0, "unit": "mm"}
    assert found["/params/bead_count"]["allowed"] == {"minimum": 8, "maximum": 14, "whole": True}
    assert found["/params/core_diameter"]["allowed"] == {"const": 5.5}
    assert "core_diameter" not in found["/params/x"]["allowed"]["members"]


def test_what_cannot_stand_together_is_told_within_its_bounds(client: FlaskClient) -> None:
    # A core takes at most 0.95 of its beads' diameter, which a house style leaves at 6 to 7 mm: 5.7 to 6.65 mm of core
    narrow = {"core_diameter": {"minimum": 5, "maximum": 8}, "bead_diameter": {"minimum": 6, "maximum": 7}}
    kept(client, fixed={}, bounds=narrow, defaults={"bead_diameter": 7, "core_diameter": 5})
    answer = client.post("/v1/estimates", json={"style": "alderbank", "params": {"core_diameter": 8}})
    document = problem(answer, 422, "infeasible")
    (fault,) = document["errors"]
    assert fault["pointer"] == "/params/core_diameter" and fault["allowed"]["minimum"] == 5
    assert fault["allowed"]["maximum"] == pytest.approx(0.95 * 7)
    kept(client, fixed={"core_diameter": 5}, bounds={}, defaults={})
    answer = client.post("/v1/estimates", json={"style": "alderbank", "params": {"bead_diameter": 5}})
    assert [fault["allowed"] for fault in problem(answer, 422, "infeasible")["errors"]] == [None]


def test_a_word_that_would_do_is_told_only_where_it_may_be_said(client: FlaskClient) -> None:
    # Where a tail stands a bore begins at the nose, which this house style leaves to no request
    asked = {"weight_bore": 3, "tail": "curl", "weight_bore_end": "tail"}
    for choices, allowed in ((["tail", "nose"], {"choices": ["nose"]}), (["tail"], None)):
        kept(client, bounds={"weight_bore_end": {"choices": choices}}, defaults={"weight_bore_end": "tail"})
        document = problem(
            client.post("/v1/estimates", json={"style": "alderbank", "params": asked}), 422, "infeasible"
        )
        told = {fault["pointer"]: fault["allowed"] for fault in document["errors"]}
        assert told["/params/weight_bore_end"] == allowed


def test_remedies_keep_to_it(client: FlaskClient) -> None:
    # By the base, a thicker core and more beads would do; one is held fast, of the other there may be 12 at most
    bounds = {"bead_count": {"minimum": 8, "maximum": 12}, "joint_blend": {"minimum": 0, "maximum": 1.5}}
    kept(client, fixed={"core_diameter": 4}, bounds=bounds, defaults={"length": "4-1/2 in"})
    weak = {"params": {"bead_count": 8}, "require": {"joint_pull_n": 25}}
    base = {"style": "jointed_worm", "params": {"core_diameter": 4, "length": "4-1/2 in", "bead_count": 8}}
    unbound = client.post("/v1/estimates", json={**base, "require": {"joint_pull_n": 25}}).json
    of_base = [r["patch"] for c in unbound["checks"] if c["check"] == "joint_pull" for r in c["remedies"]]
    assert any("core_diameter" in patch.get("params", {}) for patch in of_base)
    check = next(each for each in estimated(client, **weak)["checks"] if each["check"] == "joint_pull")
    assert check["verdict"] == "fail"
    schema = Draft202012Validator(client.get(HERE).json["params_schema"])
    for remedy in check["remedies"]:
        patch = remedy["patch"]
        assert schema.is_valid(patch.get("params", {})), patch
        changed = {**weak, **patch, "params": {**weak["params"], **patch.get("params", {})}}
        mended = estimated(client, **changed)
        assert next(each for each in mended["checks"] if each["check"] == "joint_pull")["verdict"] == "pass"
