"""House styles: kept by caller, named in requests, part of a bait's identity, changed and forgotten."""

from __future__ import annotations

import hashlib
import re
from datetime import UTC, datetime
from typing import Any

import pytest
import rfc8785
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

from service.keys.book import KeyBook, keys_file
from service.keys.key import new_key
from service.scopes import Scope
from tests.http.fakes import FakeBaits, FakeFits
from tests.http.test_problems import problem
from worker.request.identity import engine
from worker.settings import Settings
from worker.styles import STYLES

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


def test_a_bait_in_it_is_the_bait_of_its_base_with_the_same_values(client: FlaskClient) -> None:
    kept(client)
    ours = estimated(client, params={"bead_count": 10})
    params = {"core_diameter": "5.5 mm", "length": "4-1/2 in", "bead_count": 10}
    body = {"style": "jointed_worm", "params": params, "require": {"joint_pull_n": 12}}
    theirs = client.post("/v1/estimates", json=body).json
    assert ours["metrics"] == theirs["metrics"] and ours["checks"] == theirs["checks"]
    assert ours["id"] != theirs["id"] and ours["links"]["style"] == HERE


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


@pytest.mark.parametrize(
    ("ours", "asked", "counts"), [(12, None, 12.0), (12, 3, 12.0), (12, 30, 30.0), (None, 3, 3.0), (None, None, None)]
)
def test_of_two_pulls_the_stricter_counts(client: FlaskClient, ours: Any, asked: Any, counts: Any) -> None:
    kept(client, require={} if ours is None else {"joint_pull_n": ours})
    members = {} if asked is None else {"require": {"joint_pull_n": asked}}
    assert estimated(client, **members)["request"]["require"].get("joint_pull_n") == counts


def test_of_two_limits_the_stricter_counts_and_no_request_silences_its_checks(client: FlaskClient) -> None:
    kept(client, checks={"thin_feature": {"limit": 2}, "joint_pull": {}})
    lax = {"thin_feature": {"limit": 0.5, "silence": True}, "joint_pull": {"silence": True}}
    told = estimated(client, checks=lax)
    checks = {each["check"]: each for each in told["checks"]}
    assert checks["thin_feature"]["limit"] == 2 and not checks["thin_feature"]["silenced"]
    assert not checks["joint_pull"]["silenced"]
    stricter = estimated(client, checks={"thin_feature": {"limit": 3}})
    assert next(each for each in stricter["checks"] if each["check"] == "thin_feature")["limit"] == 3
    kept(client)
    free = estimated(client, checks=lax)
    assert next(each for each in free["checks"] if each["check"] == "thin_feature")["silenced"]


def test_plastic_and_finish_stand_where_a_request_says_nothing(client: FlaskClient) -> None:
    glitter = {"colour": "gold", "per_cm3": 40}
    kept(client, plastic={"grade": "medium", "salt_wt_pct": 10}, finish={"colour": "olive", "glitter": glitter})
    plain = estimated(client)["request"]
    assert (plain["plastic"]["grade"], plain["plastic"]["salt_wt_pct"]) == ("medium", 10)
    # CSS Color 4: olive is #808000, black #000000
    assert plain["finish"]["colour"] == "#808000" and plain["finish"]["glitter"]["per_cm3"] == 40
    other = estimated(client, plastic={"grade": "firm"}, finish={"colour": "black"})["request"]
    assert (other["plastic"]["grade"], other["plastic"]["salt_wt_pct"]) == ("firm", 10)
    assert other["finish"]["colour"] == "#000000" and other["finish"]["glitter"]["per_cm3"] == 40


def test_its_plastic_may_be_the_callers_own(client: FlaskClient) -> None:
    unknown = client.put(HERE, json={**OURS, "plastic": {"name": "ours"}, "x": 1})
    assert {fault["pointer"] for fault in problem(unknown, 422, "invalid-request")["errors"]} == {"/plastic/name", "/x"}
    figures = {"strength": {"low": 3.0, "typical": 3.2, "high": 3.4, "source": "measured, n = 6"}}
    client.put("/v1/plastics/ours", json={"grade": "medium", "properties": figures})
    kept(client, plastic={"name": "ours", "salt_wt_pct": 5})
    told = estimated(client)["request"]["plastic"]
    assert told["properties"] == figures and (told["name"], told["grade"], told["salt_wt_pct"]) == ("ours", "medium", 5)
    assert "properties" not in estimated(client, plastic={"grade": "soft"})["request"]["plastic"]
    client.delete("/v1/plastics/ours")
    assert {at: fault["code"] for at, fault in faults(client, detail="x").items()} == {
        "/plastic/name": "unknown-plastic",
        "/detail": "not-a-choice",
    }


def test_name_and_digest_of_its_definition_are_in_a_baits_identity(client: FlaskClient) -> None:
    told = kept(client)
    first = estimated(client)
    definition = {name: part for name, part in told["definition"].items() if name not in ("label", "summary")}
    digest = hashlib.sha256(rfc8785.dumps(definition)).hexdigest()
    assert digest == told["digest"] and first["request"]["house_style"] == definition
    identity = {"engine": engine(), "request": {**first["request"], "house_style": digest}}
    assert first["id"] == hashlib.sha256(rfc8785.dumps(identity)).hexdigest()
    kept(client, label="Weir", summary="Another word for it.")
    assert estimated(client)["id"] == first["id"], "words change no bait"
    kept(client, require={"joint_pull_n": 13})
    assert estimated(client)["id"] != first["id"]
    # Bounds written in another unit, and those of the base written out, are the same definition
    inches = {"length": {"minimum": 88.9, "maximum": "127 mm"}, "bead_count": {"minimum": 8.0, "maximum": 14}}
    kept(client, bounds=inches, plastic={}, finish={})
    assert estimated(client)["id"] == first["id"]
    client.put("/v1/styles/weir", json=OURS)
    assert client.post("/v1/estimates", json={"style": "weir"}).json["id"] != first["id"]


def test_old_baits_stay_as_they_are(client: FlaskClient, baits: FakeBaits) -> None:
    kept(client)
    made = client.post("/v1/baits", json={"style": "alderbank"}).json
    baits.succeed(made["id"])
    before = client.get(f"/v1/baits/{made['id']}").json
    kept(client, fixed={"core_diameter": 6})
    other = client.post("/v1/baits", json={"style": "alderbank"}).json
    assert other["id"] != made["id"]
    assert client.delete(HERE).status_code == 204
    assert client.get(f"/v1/baits/{made['id']}").json == before
    with client.get(f"/v1/baits/{made['id']}/files/bait.stl") as file:
        assert file.status_code == 200
    document = problem(client.post("/v1/baits", json={"style": "alderbank"}), 422, "invalid-request")
    assert [(fault["pointer"], fault["code"]) for fault in document["errors"]] == [("/style", "unknown-style")]
    again = client.post("/v1/baits", json=before["request"])
    assert again.status_code == 200 and again.json["id"] == made["id"], "its request is whole by itself"


def test_an_unknown_style_hides_no_other_fault(client: FlaskClient) -> None:
    kept(client)
    asked = {"style": "weir", "detail": "x", "plastic": {"name": "theirs", "salt_wt_pct": 99}}
    document = problem(client.post("/v1/estimates", json=asked), 422, "invalid-request")
    found = {fault["pointer"]: fault for fault in document["errors"]}
    assert set(found) == {"/style", "/detail", "/plastic/name", "/plastic/salt_wt_pct"}
    assert found["/style"]["allowed"] == {"choices": [*STYLES, "alderbank"]}


def test_a_definition_in_a_request_is_read_as_strictly(client: FlaskClient) -> None:
    found = faults(client, house_style={"base": "jointed_worm", "fixed": {"bead_count": 500}, "label": "x"}, detail="x")
    assert set(found) == {"/house_style/fixed/bead_count", "/house_style/label", "/detail"}
    body = {"style": "craw", "house_style": {"base": "craw"}}
    document = problem(client.post("/v1/estimates", json=body), 422, "invalid-request")
    assert [(fault["pointer"], fault["code"]) for fault in document["errors"]] == [("/style", "built-in")]


def test_strands_beside_it_are_told_as_beside_any_style(client: FlaskClient) -> None:
    kept(client)
    strand = client.get(HERE).json["strands"]
    assert {at: fault["code"] for at, fault in faults(client, strands=strand).items()} == {"/style": "one-or-the-other"}


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


def test_a_batch_has_baits_in_it_and_asks_for_what_is_kept_once(
    store_client: FlaskClient, real: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept(store_client)
    asked: list[str] = []
    every = real.styles.all
    monkeypatch.setattr(real.styles, "all", lambda caller: (asked.append(caller), every(caller))[1])
    items = [{"style": "alderbank", "params": {"bead_count": count}} for count in (8, 9, 20)] + [{"style": "weir"}]
    answer = store_client.post("/v1/batches", json=items)
    assert answer.status_code == 202 and asked == ["local"]
    one, two, three, four = answer.json["items"]
    assert len({one["id"], two["id"]}) == 2
    assert [fault["pointer"] for fault in three["problem"]["errors"]] == ["/2/params/bead_count"]
    assert [fault["pointer"] for fault in four["problem"]["errors"]] == ["/3/style"]
    shown = store_client.get(f"/v1/baits/{one['id']}").json
    assert shown["request"]["style"] == "alderbank" and shown["request"]["house_style"]["base"] == "jointed_worm"


def test_a_fit_looks_within_it(client: FlaskClient, fits: FakeFits) -> None:
    kept(client)
    asked = {"style": "alderbank", "free": {"bead_count": {}}, "evaluations": 20}
    answer = client.post("/v1/fits", json=asked).json
    assert answer["request"]["free"] == {"bead_count": {"minimum": 8, "maximum": 14, "step": 1}}
    assert answer["request"]["require"]["joint_pull_n"] == 12
    best = answer["answer"]["best"]
    ordered = client.post("/v1/baits", json=best["request"])
    assert ordered.status_code == 202 and ordered.json["id"] == best["bait"]
    wrong = {"core_diameter": {}, "bead_diameter": {"maximum": 99}, "bead_count": {"maximum": 20}}
    document = problem(client.post("/v1/fits", json={**asked, "free": wrong}), 422, "invalid-request")
    assert {fault["pointer"]: fault["code"] for fault in document["errors"]} == {
        "/free/core_diameter": "fixed",
        "/free/bead_diameter/maximum": "out-of-range",
        "/free/bead_count/maximum": "out-of-range",
    }


def test_a_fit_by_makers_terms_keeps_to_it(client: FlaskClient, fits: FakeFits) -> None:
    bounds = {"bead_diameter": {"minimum": 7, "maximum": 9}}
    kept(client, bounds=bounds, defaults={}, fixed={"core_diameter": 5.5, "length": "4-1/2 in"})
    answer = client.post("/v1/fits", json={"style": "alderbank", "maker": {"fish": "bass"}})
    assert answer.status_code in (201, 202), answer.json
    normal = answer.json["request"]
    assert "core_diameter" not in normal["free"] and "length" not in normal["params"]
    assert normal["free"]["bead_diameter"] == {"minimum": 7.0, "maximum": 9.0}


def test_what_a_caller_keeps_is_bounded(client: FlaskClient, backing: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("service.own_styles.MOST", 1)
    kept(client)
    problem(client.put("/v1/styles/weir", json=OURS), 409, "full")
    assert client.put(HERE, json=OURS).status_code == 200
