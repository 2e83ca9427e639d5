"""Test pieces put into a plastic of a caller's own: what it is then, and which kept baits' checks change by it."""

from __future__ import annotations

import threading
from dataclasses import replace
from statistics import mean, stdev
from typing import Any

import pytest
from flask.testing import FlaskClient
from scipy.stats import t as student

from service import measured_plastics
from service.app import create_app
from service.backing import Backing
from service.estimator import Estimator
from tests.http.fakes import FakeBaits
from tests.http.test_openapi import schema
from tests.http.test_problems import problem
from tests.outside.elastica import drop_of_rod, overhang_of_rod
from worker.errors import Busy
from worker.request import Request
from worker.settings import load

HERE, THERE = "/v1/plastics/ours", "/v1/plastics/ours/measurements"
STRENGTH = {"low": 3.0, "typical": 3.2, "high": 3.4, "source": "a guess"}
OURS: dict[str, Any] = {"grade": "medium", "properties": {"strength": STRENGTH}}
PULL = {"kind": "pull", "gauge_width": "6 mm", "gauge_thickness": "4 mm", "break_force_n": 36}


def measure(client: FlaskClient, *pieces: dict[str, Any], **headers: str) -> dict[str, Any]:
    body = {"measurements": list(pieces), "source": "one pour, 2026-03-04"}
    answer = client.post(THERE, json=body, headers={name.replace("_", "-"): value for name, value in headers.items()})
    assert answer.status_code == 200, answer.json
    return dict(answer.json)


def test_pieces_become_the_plastics_figures(client: FlaskClient) -> None:
    """There and back: a plastic of 0.16 MPa, 1.04 g/cm3, 1.8 MPa and 1.5 % by formulas and an integrator from outside.

    Peirce 1930 (ISO 9073-7, ASTM D1388) for the overhang; Euler's heavy elastica for the droop.
    """
    client.put(HERE, json=OURS)
    told = measure(
        client,
        {"kind": "overhang", "diameter": 8, "overhang": round(overhang_of_rod(8, 0.16, 1.04), 2)},
        {"kind": "droop", "diameter": "8 mm", "length": "50 mm", "drop": round(drop_of_rod(8, 0.16, 1.04, 50), 3)},
        {"kind": "droop", "diameter": "6 mm", "length": 60, "drop": round(drop_of_rod(6, 0.16, 1.04, 60), 3)},
        {"kind": "density", "mass_g": 20.8, "volume_ml": 20},
        {"kind": "pull", "gauge_width": "1/4 in", "gauge_thickness": "4 mm", "break_force_n": 1.8 * 6.35 * 4},
        {"kind": "shrinkage", "mould_length": "100 mm", "cooled_length": "98.5 mm"},
    )
    schema("MeasuredPlastic").validate(told)
    assert set(told["figures"]) == {"density", "modulus", "strength", "shrinkage"}
    modulus = told["figures"]["modulus"]
    assert modulus["count"] == 3 and modulus["pieces"] == pytest.approx([0.16] * 3, rel=0.01)
    typical = {name: figure["typical"] for name, figure in told["figures"].items()}
    assert typical == pytest.approx({"modulus": 0.16, "density": 1.04, "strength": 1.8, "shrinkage": 1.5}, rel=0.01)
    assert "one pour, 2026-03-04" in modulus["source"] and "2 held level" in modulus["source"]
    kept = client.get(HERE)
    assert kept.json == told["plastic"]
    assert kept.json["measured"] == ["density", "modulus", "shrinkage", "strength"]
    assert kept.json["filled"] == {"tear_energy": "medium"}
    assert {name: kept.json["modulus"][name] for name in ("low", "typical", "high", "source")} == {
        name: modulus[name] for name in ("low", "typical", "high", "source")
    }


def test_what_was_not_measured_stays(client: FlaskClient) -> None:
    client.put(HERE, json=OURS)
    told = measure(client, {"kind": "density", "mass_g": 21, "volume_ml": 20})
    assert {name: told["plastic"]["strength"][name] for name in STRENGTH} == STRENGTH


def test_pieces_of_later_calls_are_pooled(client: FlaskClient) -> None:
    """Mean and prediction interval of all five pulls together (Hahn and Meeker, Statistical Intervals, chapter 4)."""
    client.put(HERE, json=OURS)
    first, second = [{**PULL, "break_force_n": force} for force in (36.0, 38.4)], [PULL | {"break_force_n": 43.2}] * 3
    alone = measure(client, *first)
    assert alone["plastic"]["pieces"] == {"strength": 2} and alone["figures"]["strength"]["calls"] == 1
    both = measure(client, *second)["figures"]["strength"]
    pulls = [1.8, 1.8, 1.8, 1.5, 1.6]  # MPa, over 24 mm2, the newest first
    reach = float(student.ppf(0.95, 4)) * stdev(pulls) * (1 + 1 / 5) ** 0.5
    assert (both["count"], both["calls"], both["pieces"]) == (5, 2, pulls)
    assert both["typical"] == pytest.approx(mean(pulls), rel=1e-5)
    assert (both["low"], both["high"]) == pytest.approx((mean(pulls) - reach, mean(pulls) + reach), rel=1e-5)
    assert "5 pieces pulled apart, in 2 calls; one pour, 2026-03-04" in both["source"]
    # Sent again, since its answer was lost: nothing counts twice
    again = measure(client, *second)
    assert again["figures"]["strength"] == both and again["plastic"]["pieces"] == {"strength": 5}


def test_rods_are_reckoned_anew_by_what_is_weighed_later(client: FlaskClient) -> None:
    """E = w c^3 / I: a tenth heavier, a tenth stiffer; and no longer widened by what is not known of the density."""
    client.put(HERE, json={**OURS, "properties": {"density": {"low": 0.9, "typical": 1.0, "high": 1.1, "source": "x"}}})
    rod = measure(client, *[{"kind": "overhang", "diameter": 8, "overhang": far} for far in (60, 61, 62)])
    weighed = measure(client, *[{"kind": "density", "mass_g": 22, "volume_ml": 20}] * 3)
    before, after = rod["figures"]["modulus"], weighed["figures"]["modulus"]
    assert after["pieces"] == pytest.approx([1.1 * each for each in before["pieces"]], rel=1e-5)
    assert after["high"] / after["typical"] < before["high"] / before["typical"]
    assert "at 1.1 g/cm3" in after["source"] and weighed["plastic"]["pieces"] == {"density": 3, "modulus": 3}


def test_earlier_pieces_are_dropped_where_that_is_asked_or_the_plastic_is_put_anew(client: FlaskClient) -> None:
    client.put(HERE, json=OURS)
    measure(client, {"kind": "density", "mass_g": 21, "volume_ml": 20}, PULL)
    body = {"measurements": [{"kind": "density", "mass_g": 20, "volume_ml": 20}], "earlier": "dropped"}
    told = client.post(THERE, json=body).json
    assert told["plastic"]["density"]["typical"] == 1.0 and told["figures"]["density"]["count"] == 1
    assert told["plastic"]["pieces"] == {"density": 1, "strength": 1}
    assert client.put(HERE, json=OURS).json["pieces"] == {}
    assert measure(client, PULL)["figures"]["strength"]["count"] == 1


def test_the_oldest_pieces_are_let_go(client: FlaskClient) -> None:
    client.put(HERE, json=OURS)
    for call in range(4):
        told = measure(client, *[{**PULL, "break_force_n": 30 + call + one / 100} for one in range(50)])
    strength = told["figures"]["strength"]
    assert (strength["count"], strength["calls"]) == (100, 2)
    assert min(strength["pieces"]) == pytest.approx(32 / 24, rel=1e-5)


def test_a_request_then_goes_by_what_was_measured(client: FlaskClient, worm: dict[str, Any]) -> None:
    client.put(HERE, json=OURS)
    body = {**worm, "plastic": {"name": "ours"}}
    before = client.post("/v1/estimates", json=body).json
    measure(client, PULL)
    after = client.post("/v1/estimates", json=body).json
    pulls = [each["metrics"]["weakest_joint"]["pull_n"] for each in (before, after)]
    assert pulls[1] / pulls[0] == pytest.approx(1.5 / 3.2, rel=1e-5)  # 36 N over 24 mm2
    assert "1 piece pulled apart; one pour, 2026-03-04" in after["metrics"]["judgement"][0]


def test_who_can_be_measured(client: FlaskClient) -> None:
    body = {"measurements": [PULL]}
    problem(client.post(THERE, json=body), 404, "not-found")
    problem(client.post(THERE, json=body, headers={"If-Match": '"x"'}), 404, "not-found")
    document = problem(client.post("/v1/plastics/soft/measurements", json=body), 409, "name-taken")
    assert "built-in" in document["detail"] and "PUT" in document["detail"]


def test_conditions_hold(client: FlaskClient) -> None:
    tag = client.put(HERE, json=OURS).headers["ETag"]
    body = {"measurements": [PULL]}
    measured = client.post(THERE, json=body, headers={"If-Match": tag})
    assert measured.status_code == 200
    assert measured.headers["ETag"] == client.get(HERE).headers["ETag"] != tag
    problem(client.post(THERE, json=body, headers={"If-Match": tag}), 412, "precondition-failed")
    assert client.get(HERE).headers["ETag"] == measured.headers["ETag"]


def test_another_writer_in_between_is_not_written_over(
    client: FlaskClient, backing: Backing, monkeypatch: pytest.MonkeyPatch
) -> None:
    """He sets the density that a rod is reckoned by; the figures are worked out anew by his."""
    client.put(HERE, json=OURS)
    density = {"low": 1.9, "typical": 2.0, "high": 2.1, "source": "another"}
    plastics, swap = backing.plastics, backing.plastics.swap
    others = [{**OURS, "summary": "His.", "properties": {"density": density}}]

    def interrupted(caller: str, name: str, present: Any, wanted: Any) -> bool:
        while others:
            assert swap(caller, name, present, others.pop())
        return swap(caller, name, present, wanted)

    monkeypatch.setattr(plastics, "swap", interrupted)
    told = measure(client, {"kind": "overhang", "diameter": 8, "overhang": 60})
    assert told["plastic"]["summary"] == "His." and told["plastic"]["density"]["typical"] == 2.0
    assert "at 2 g/cm3" in told["figures"]["modulus"]["source"]


ROD = {"kind": "droop", "diameter": 8, "length": 60, "drop": 12}


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ({}, {"/measurements"}),
        ([], {""}),
        ({"measurements": []}, {"/measurements"}),
        ({"measurements": [PULL] * 61}, {"/measurements"}),
        ({"measurements": [{}, {"kind": "stretch"}, 7, PULL], "note": "x", "source": ""},
         {"/measurements/0/kind", "/measurements/1/kind", "/measurements/2", "/note", "/source"}),
        ({"measurements": [{**PULL, "gauge_width": "wide", "break_force_n": -1, "x": 1}]},
         {"/measurements/0/gauge_width", "/measurements/0/break_force_n", "/measurements/0/x"}),
        ({"measurements": [{"kind": "pull", "gauge_width": 6, "break_force_n": 9}]},
         {"/measurements/0/gauge_thickness"}),
        ({"measurements": [{"kind": "pull", "break_force_n": 9}]},
         {"/measurements/0/gauge_width", "/measurements/0/gauge_thickness"}),
        ({"measurements": [{**PULL, "gauge_diameter": 5}]}, {"/measurements/0/gauge_diameter"}),
        ({"measurements": [{**ROD, "drop": 58}, {**ROD, "drop": "0.5 mm"}, {**ROD, "length": "20 mm"}]},
         {"/measurements/0/drop", "/measurements/1/drop", "/measurements/2/length"}),
        ({"measurements": [{"kind": "overhang", "diameter": 8, "overhang": "3/4 in"}]}, {"/measurements/0/overhang"}),
        ({"measurements": [{"kind": "shrinkage", "mould_length": 100, "cooled_length": cold} for cold in (101, 80)]},
         {"/measurements/0/cooled_length", "/measurements/1/cooled_length"}),
        ({"measurements": [{"kind": "density", "mass_g": 90, "volume_ml": 20}]}, {"/measurements/0"}),
        ({"measurements": [{**PULL, "break_force_n": None}]}, {"/measurements/0/break_force_n"}),
    ],
)  # fmt: skip
def test_every_fault_is_named_and_nothing_is_kept(client: FlaskClient, body: Any, pointers: set[str]) -> None:
    tag = client.put(HERE, json=OURS).headers["ETag"]
    document = problem(client.post(THERE, json=body), 422, "invalid-request")
    assert {fault["pointer"] for fault in document["errors"]} == pointers
    assert client.get(HERE).headers["ETag"] == tag


def keep(client: FlaskClient, baits: FakeBaits, worm: dict[str, Any], **members: Any) -> str:
    answer = client.post("/v1/baits", json={**worm, "plastic": {"name": "ours"}, **members})
    assert answer.status_code == 202, answer.json
    baits.succeed(answer.json["id"])
    return str(answer.json["id"])


def test_the_kept_baits_whose_checks_change_are_told(
    client: FlaskClient, baits: FakeBaits, worm: dict[str, Any]
) -> None:
    client.put(HERE, json=OURS)
    strained = keep(client, baits, worm, require={"joint_pull_n": 12})
    easy = keep(client, baits, worm, require={"joint_pull_n": 1})
    elsewhere = client.post("/v1/baits", json={**worm, "plastic": {"grade": "medium"}}).json["id"]
    dismissed = keep(client, baits, worm, require={"joint_pull_n": 13})
    baits._change("local", dismissed, status="dismissed")
    bodies = {bait: client.get(f"/v1/baits/{bait}").data for bait in (strained, easy, elsewhere)}
    told = measure(client, {**PULL, "break_force_n": 12})["baits"]  # 0.5 MPa in place of 3.2
    schema("MeasuredPlastic").validate({"plastic": client.get(HERE).json, "figures": {}, "baits": told})
    assert (told["kept"], told["looked_at"], told["at_most"]) == (3, 2, measured_plastics.MOST_BAITS)
    assert told["changed"] == [{"id": strained, "check": "joint_pull", "was": "pass", "is": "fail"}]
    # The baits themselves stay as they were asked for, byte by byte
    assert bodies == {bait: client.get(f"/v1/baits/{bait}").data for bait in bodies}
    # `was` is what the bait's own request holds, not what stood in the plastic last
    again = measure(client, {**PULL, "break_force_n": 76.8})["baits"]
    assert again["changed"] == [] and again["looked_at"] == 2


def test_one_caller_does_not_hear_of_anothers_baits(
    client: FlaskClient, baits: FakeBaits, worm: dict[str, Any]
) -> None:
    client.put(HERE, json=OURS)
    bait = keep(client, baits, worm, require={"joint_pull_n": 12})
    baits.kept["another", bait] = baits.kept.pop(("local", bait))
    assert measure(client, {**PULL, "break_force_n": 12})["baits"]["kept"] == 0


def test_not_all_are_looked_at_where_it_takes_too_long(
    client: FlaskClient, baits: FakeBaits, worm: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    client.put(HERE, json=OURS)
    for pull in range(5):
        keep(client, baits, worm, require={"joint_pull_n": 10 + pull})
    monkeypatch.setattr(measured_plastics, "MOST_BAITS", 3)
    told = measure(client, PULL)["baits"]
    assert (told["kept"], told["looked_at"], told["at_most"]) == (5, 3, 3)
    monkeypatch.setattr(measured_plastics, "LONGEST_S", -1.0)
    assert measure(client, PULL)["baits"]["looked_at"] == 0

    def full(self: Estimator, request: Request) -> dict[str, object]:
        raise Busy("Too many estimates are waiting.", retry_after_s=1)

    # The plastic is measured all the same
    monkeypatch.setattr(measured_plastics, "LONGEST_S", 5.0)
    monkeypatch.setattr(Estimator, "__call__", full)
    told = measure(client, {**PULL, "break_force_n": 48})
    assert told["baits"]["looked_at"] == 0 and told["plastic"]["strength"]["typical"] == 1.75  # 1.5 and 2


def test_a_bait_of_an_older_version_is_passed_over(client: FlaskClient, baits: FakeBaits, worm: dict[str, Any]) -> None:
    client.put(HERE, json=OURS)
    bait = keep(client, baits, worm)
    old = baits.kept["local", bait].request
    baits._change("local", bait, request={**old, "params": {**old["params"], "gone": 1}})
    told = measure(client, PULL)["baits"]
    assert (told["kept"], told["looked_at"], told["changed"]) == (1, 0, [])


def test_pieces_stand_in_the_line_of_estimates(client: FlaskClient, backing: Backing) -> None:
    """Sixty droops hold the interpreter for a third of a second."""
    before = client.put(HERE, json=OURS).headers["ETag"]
    droops = [{"kind": "droop", "diameter": 8, "length": 80, "drop": 20 + one / 3} for one in range(60)]
    inside, leave = threading.Event(), threading.Event()

    def hold() -> None:
        inside.set()
        leave.wait(20)

    estimator = Estimator(lambda request: {}, waiting=0)
    patched = create_app(load({}), replace(backing, estimator=estimator)).test_client()
    holding = threading.Thread(target=lambda: estimator.in_turn(hold))
    holding.start()
    try:
        assert inside.wait(20)
        refused = patched.post(THERE, json={"measurements": droops})
        problem(refused, 503, "busy")
        assert refused.headers["Retry-After"] and client.get(HERE).headers["ETag"] == before
    finally:
        leave.set()
        holding.join()
    assert patched.post(THERE, json={"measurements": droops}).status_code == 200
