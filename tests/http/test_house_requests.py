"""Baits, batches and fits in a house style: what it brings to them, and their identity."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest
import rfc8785
from flask.testing import FlaskClient

from tests.http.fakes import FakeBaits, FakeFits
from tests.http.house import HERE, OURS, estimated, faults, kept
from tests.http.test_problems import problem
from worker.request.identity import engine
from worker.styles import STYLES


def test_a_bait_in_it_is_the_bait_of_its_base_with_the_same_values(client: FlaskClient) -> None:
    kept(client)
    ours = estimated(client, params={"bead_count": 10})
    params = {"core_diameter": "5.5 mm", "length": "4-1/2 in", "bead_count": 10}
    body = {"style": "jointed_worm", "params": params, "require": {"joint_pull_n": 12}}
    theirs = client.post("/v1/estimates", json=body).json
    assert ours["metrics"] == theirs["metrics"] and ours["checks"] == theirs["checks"]
    assert ours["id"] != theirs["id"] and ours["links"]["style"] == HERE


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
        "/style": "unknown-plastic",
        "/detail": "not-a-choice",
    }, "a pointer is into what was sent, where the style alone names the plastic"
    assert faults(client, plastic={"name": "ours"})["/plastic/name"]["code"] == "unknown-plastic"
    brought = {"base": "jointed_worm", "plastic": {"name": "ours"}}
    assert set(faults(client, house_style=brought)) == {"/house_style/plastic/name"}
    assert estimated(client, plastic={"grade": "soft"})["status"] == "successful", "as the answer says"


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


def test_strands_beside_it_are_told_as_beside_any_style(client: FlaskClient) -> None:
    kept(client)
    strand = client.get(HERE).json["strands"]
    assert {at: fault["code"] for at, fault in faults(client, strands=strand).items()} == {"/style": "one-or-the-other"}


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
    assert normal["free"]["bead_diameter"] == {"minimum": 7.0, "maximum": 9.0, "step": 0.1}
