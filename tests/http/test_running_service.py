"""The whole of it, over real HTTP: gunicorn, a real store, real workers."""

from __future__ import annotations

import base64
import hashlib
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest

from tests.checks.of_a_build import of_both
from tests.http.running import Answer, Service, service
from tests.http.test_problems import problem
from tests.stack import eventually


@pytest.fixture(scope="module")
def running() -> Iterator[Service]:
    with service(workers=True) as made:
        yield made


def worm(beads: int) -> dict[str, Any]:
    """Each test its own bait: equal requests are one."""
    return {"style": "beaded_worm", "params": {"length": "5 in", "bead_count": beads}}


def test_a_bait_from_the_request_to_its_files(running: Service) -> None:
    # When a bait is asked for with a wait
    made = running.call("POST", "/v1/baits", {**worm(16), "label": "Alderbank 5"}, Prefer="wait=25")
    assert made.status == 201 and made.headers["Preference-Applied"] == "wait=25"
    assert made.json["status"] == "successful" and made.json["label"] == "Alderbank 5"
    # Then its files are there, as its body says
    assert {file["name"] for file in made.json["files"]} >= {"bait.stl", "metrics.json"}
    for file in made.json["files"]:
        got = running.call("GET", file["href"])
        digest = hashlib.sha256(got.data)
        assert got.status == 200 and got.mimetype == file["media_type"]
        assert len(got.data) == file["bytes"] and digest.hexdigest() == file["sha256"]
        assert got.headers["ETag"] == f'"{file["sha256"]}"'
        assert got.headers["Repr-Digest"] == f"sha-256=:{base64.b64encode(digest.digest()).decode()}:"
        # in parts
        middle = len(got.data) // 2
        first = running.call("GET", file["href"], Range=f"bytes=0-{middle - 1}")
        rest = running.call("GET", file["href"], Range=f"bytes={middle}-")
        assert (first.status, rest.status) == (206, 206) and first.data + rest.data == got.data
        # and not at all where it is known
        known = running.call("GET", file["href"], If_None_Match=got.headers["ETag"])
        assert known.status == 304 and known.data == b""
        head = running.call("HEAD", file["href"])
        assert head.status == 200 and head.headers["Content-Length"] == str(file["bytes"]) and head.data == b""
    # And asking again, however it is written, builds nothing
    again = running.call("POST", "/v1/baits", {"params": {"bead_count": 16.0, "length": 127}, "style": "beaded_worm"})
    assert again.status == 200 and again.json["id"] == made.json["id"]
    assert again.json["created"] == made.json["created"] and again.json["finished"] == made.json["finished"]
    # And a look at it is 304 from then on
    look = running.call("GET", made.headers["Location"])
    assert running.call("GET", made.headers["Location"], If_None_Match=look.headers["ETag"]).status == 304


def test_an_estimate_gives_the_figures_of_the_built_bait(running: Service) -> None:
    estimated = running.call("POST", "/v1/estimates", worm(17)).json
    built = running.call("POST", "/v1/baits", worm(17), Prefer="wait=25").json
    assert estimated["id"] == built["id"] and estimated["request"] == built["request"]
    assert estimated["metrics"]["volume_mm3"] == pytest.approx(built["metrics"]["volume_mm3"], rel=0.01)
    verdicts = [[check["verdict"] for check in checks] for checks in (estimated["checks"], of_both(built["checks"]))]
    assert verdicts[0] == verdicts[1]


def test_get_waits_for_the_end(running: Service) -> None:
    path = running.call("POST", "/v1/baits", worm(18)).headers["Location"]
    assert running.call("GET", f"{path}?wait=25").json["status"] == "successful"


def test_a_removed_bait_is_gone_and_can_be_had_again(running: Service) -> None:
    made = running.call("POST", "/v1/baits", worm(19), Prefer="wait=25")
    path = made.headers["Location"]
    tag = running.call("GET", path).headers["ETag"]
    assert running.call("DELETE", path).status == 204
    problem(running.call("DELETE", path), 404, "not-found")
    problem(running.call("GET", made.json["files"][0]["href"]), 404, "not-found")
    again = running.call("POST", "/v1/baits", worm(19), Prefer="wait=25")
    assert again.status == 201 and again.headers["Location"] == path
    assert running.call("GET", path, If_None_Match=tag).status == 200  # built anew, at another time


def test_an_idempotency_key_stays_with_its_request(running: Service) -> None:
    key = '"order-1207"'
    assert running.call("POST", "/v1/baits", worm(20), Idempotency_Key=key).status in (201, 202)
    assert running.call("POST", "/v1/baits", worm(20), Idempotency_Key=key).status in (200, 202)
    problem(running.call("POST", "/v1/baits", worm(21), Idempotency_Key=key), 422, "idempotency-key-reused")
    other = running.call("POST", "/v1/estimates", worm(21)).json["links"]["self"]
    problem(running.call("GET", other), 404, "not-found")


def test_fifty_posts_of_one_bait_at_once_are_one_attempt(running: Service) -> None:
    answers: list[Answer] = []

    def ask() -> None:
        answers.append(running.call("POST", "/v1/baits", worm(22), Idempotency_Key='"fifty"', Prefer="wait=25"))

    threads = [threading.Thread(target=ask) for _ in range(50)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(answers) == 50
    path = running.call("POST", "/v1/baits", worm(22)).headers["Location"]
    ended = running.call("GET", f"{path}?wait=25").json
    assert ended["status"] == "successful"
    assert {answer.json["id"] for answer in answers} == {ended["id"]}
    assert sum(answer.status == 201 for answer in answers) <= 1
    assert {answer.json["created"] for answer in answers} == {ended["created"]}  # all were told of one attempt


# What is not HTTP, or tries to be two requests at once

POST = b"POST /v1/baits HTTP/1.1\r\nHost: a.example\r\nContent-Type: application/json\r\n"

HOSTILE: dict[str, bytes] = {
    "no request": b"GARBAGE\r\n\r\n",
    "another protocol's greeting": b"SSH-2.0-OpenSSH_9.2\r\n\r\n",
    "an unknown version": b"GET / HTTP/9.9\r\nHost: a.example\r\n\r\n",
    "a blank in a header's name": b"GET / HTTP/1.1\r\nHost: a.example\r\nBad Name: x\r\n\r\n",
    "a folded header": b"GET / HTTP/1.1\r\nHost: a.example\r\nA: b\r\n c\r\n\r\n",
    "an address of 9,000 bytes": b"GET /" + b"a" * 9000 + b" HTTP/1.1\r\n\r\n",
    "a header of 10,000 bytes": b"GET / HTTP/1.1\r\nHost: a.example\r\nA: " + b"b" * 10_000 + b"\r\n\r\n",
    "500 headers": b"GET / HTTP/1.1\r\n" + b"".join(b"A%d: b\r\n" % n for n in range(500)) + b"\r\n",
    "two lengths": POST + b"Content-Length: 5\r\nContent-Length: 6\r\n\r\nabcdef",
    "a signed length": POST + b"Content-Length: +5\r\n\r\nabcde",
    "length and chunks": POST
    + b"Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nGET /x HTTP/1.1\r\n\r\n",
    "an unknown transfer coding": POST + b"Transfer-Encoding: cow\r\n\r\n",
    "chunks twice": POST + b"Transfer-Encoding: chunked, chunked\r\n\r\n0\r\n\r\n",
    "a chunk without a size": POST + b"Transfer-Encoding: chunked\r\n\r\nzz\r\nabc\r\n0\r\n\r\n",
    "a chunk that is too short": POST + b"Transfer-Encoding: chunked\r\n\r\n2\r\nabc\r\n0\r\n\r\n",
    "an unknown expectation": POST + b"Expect: cows\r\nContent-Length: 2\r\n\r\n{}",
    "10 GB announced": POST + b"Content-Length: 10000000000\r\n\r\n{",
    "chunks without an end": POST + b"Transfer-Encoding: chunked\r\n\r\n" + (b"10000\r\n" + b" " * 65536 + b"\r\n") * 5,
    "a NUL in the address": b"GET /v1/baits/%00 HTTP/1.1\r\nHost: a.example\r\n\r\n",
    "bytes that are no text": b"GET /%ff%fe HTTP/1.1\r\nHost: a.example\r\n\r\n",
}


@pytest.mark.parametrize("name", list(HOSTILE))
def test_what_is_not_a_request_is_a_problem_and_never_a_5xx(running: Service, name: str) -> None:
    answer = running.send(HOSTILE[name])
    assert 400 <= answer.status < 500
    assert answer.mimetype == "application/problem+json"
    assert answer.json["status"] == answer.status and isinstance(answer.json["errors"], list)
    assert running.call("GET", "/healthz").status == 200


# What is missing


def test_without_workers_it_lives_but_is_not_ready() -> None:
    with service(workers=False) as lonely:
        assert lonely.call("GET", "/healthz").status == 200
        document = problem(lonely.call("GET", "/readyz"), 503, "not-ready")
        assert "worker" in document["detail"]
        # A bait is taken all the same, and waits
        assert lonely.call("POST", "/v1/baits", worm(16)).status == 202


def test_without_a_store_nothing_is_taken_and_what_is_finished_is_still_served() -> None:
    with service(workers=True) as alone:
        made = alone.call("POST", "/v1/baits", worm(16), Prefer="wait=25")
        alone.stack.store.kill()
        # Given a store that is gone, a new bait and an unfinished one cannot be had
        refused = alone.call("POST", "/v1/baits", worm(17))
        problem(refused, 503, "store-unavailable")
        assert int(refused.headers["Retry-After"]) >= 1
        assert "store" in problem(alone.call("GET", "/readyz"), 503, "not-ready")["detail"]
        # But the process lives, estimates, and serves what it has
        assert alone.call("GET", "/healthz").status == 200
        assert alone.call("POST", "/v1/estimates", worm(17)).status == 200
        assert alone.call("GET", made.headers["Location"]).status == 200
        assert alone.call("POST", "/v1/baits", worm(16)).status == 200
        assert alone.call("GET", made.json["files"][0]["href"]).status == 200
        # And when the store is back, so is the rest
        alone.stack.store.start()
        again = eventually(lambda: (made := alone.call("POST", "/v1/baits", worm(17))).status != 503 and made)
        assert alone.call("GET", f"{again.headers['Location']}?wait=25").json["status"] == "successful"


def test_a_service_that_is_told_to_stop_answers_those_who_wait() -> None:
    with service(workers=False) as stopping:
        answers: list[Answer] = []
        ask = threading.Thread(
            target=lambda: answers.append(stopping.call("POST", "/v1/baits", worm(16), Prefer="wait=25"))
        )
        ask.start()
        # Once the bait is there, its sender waits
        bait = stopping.call("POST", "/v1/estimates", worm(16)).json["links"]["self"]
        eventually(lambda: stopping.call("GET", bait).status == 200)
        stopping.process.terminate()
        ask.join(60)
        assert stopping.process.wait(60) == 0
        assert [answer.status for answer in answers] == [202]


def test_a_plastic_of_ones_own_is_kept_and_two_writers_at_once_are_told_apart(running: Service) -> None:
    """In the real store: of eight writers who change one version at once, one is first and the others hear 412."""
    strength = {"low": 1.0, "typical": 1.2, "high": 1.4}
    definition = {"properties": {"strength": strength}}
    made = running.call("PUT", "/v1/plastics/ours", definition)
    assert made.status == 201
    with ThreadPoolExecutor(8) as writers:
        changed = [
            writers.submit(
                running.call,
                "PUT",
                "/v1/plastics/ours",
                {"properties": {"strength": {**strength, "high": 2 + number}}},
                If_Match=made.headers["ETag"],
            )
            for number in range(8)
        ]
    assert sorted(each.result().status for each in changed) == [200] + 7 * [412]
    answer = running.call("POST", "/v1/estimates", {"style": "stick_worm", "plastic": {"name": "ours"}})
    assert answer.json["request"]["plastic"]["properties"]["strength"]["typical"] == 1.2
    assert running.call("DELETE", "/v1/plastics/ours").status == 204
    assert running.call("GET", "/v1/plastics/ours").status == 404


def test_measurements_tell_of_built_baits_which_outlive_their_plastic(running: Service) -> None:
    """In the real store and with real builds: baits by their plastic, and bytes that a plastic's end leaves be."""
    strength = {"low": 2.8, "typical": 3.2, "high": 3.6}
    assert running.call("PUT", "/v1/plastics/gauged", {"properties": {"strength": strength}}).status == 201
    asked = {**worm(16), "plastic": {"name": "gauged"}, "require": {"joint_pull_n": 12}}
    built = running.call("POST", "/v1/baits", asked, Prefer="wait=25")
    assert built.json["status"] == "successful"
    check = next(check for check in built.json["checks"] if check["check"] == "joint_pull")
    assert check["verdict"] == "pass"
    before = running.call("GET", built.headers["Location"])
    pull = {"kind": "pull", "gauge_width": "6 mm", "gauge_thickness": "4 mm", "break_force_n": 12}
    measured = running.call("POST", "/v1/plastics/gauged/measurements", {"measurements": [pull] * 3})
    assert measured.status == 200 and measured.json["plastic"]["strength"]["typical"] == 0.5
    told = measured.json["baits"]
    assert (told["kept"], told["looked_at"]) == (1, 1)
    assert told["changed"] == [{"id": built.json["id"], "check": "joint_pull", "was": "pass", "is": "fail"}]
    assert running.call("DELETE", "/v1/plastics/gauged").status == 204
    after = running.call("GET", built.headers["Location"])
    assert (after.data, after.headers["ETag"]) == (before.data, before.headers["ETag"])
    assert running.call("DELETE", built.headers["Location"]).status == 204
    assert running.call("PUT", "/v1/plastics/gauged", {"properties": {"strength": strength}}).status == 201
    measured = running.call("POST", "/v1/plastics/gauged/measurements", {"measurements": [pull]})
    assert measured.json["baits"]["kept"] == 0
    assert running.call("DELETE", "/v1/plastics/gauged").status == 204


def test_a_house_style_is_built_and_its_bait_outlives_it(running: Service) -> None:
    """In the real store, by a real worker: what it is built from stands in its request, with the style or without."""
    definition = {"base": "jointed_worm", "fixed": {"core_diameter": "5.5 mm"}, "require": {"joint_pull_n": 12}}
    made = running.call("PUT", "/v1/styles/alderbank", definition)
    assert made.status == 201
    asked = {"style": "alderbank", "params": {"length": "4 in", "bead_count": 9}, "outputs": ["stl"]}
    built = running.call("POST", "/v1/baits", asked, Prefer="wait=25")
    assert (built.status, built.json["status"]) == (201, "successful")
    params = {"core_diameter": 5.5, "length": 101.6, "bead_count": 9}
    base = {"style": "jointed_worm", "params": params, "require": {"joint_pull_n": 12}, "outputs": ["stl"]}
    plain = running.call("POST", "/v1/baits", base, Prefer="wait=25")
    assert plain.json["metrics"] == built.json["metrics"] and plain.json["id"] != built.json["id"]
    stl = [next(file for file in each.json["files"] if file["name"] == "bait.stl") for each in (built, plain)]
    assert stl[0]["sha256"] == stl[1]["sha256"]
    before = running.call("GET", built.headers["Location"])
    assert running.call("PUT", "/v1/styles/alderbank", {**definition, "fixed": {"core_diameter": 6}}).status == 200
    assert running.call("DELETE", "/v1/styles/alderbank").status == 204
    assert running.call("GET", "/v1/styles/alderbank").status == 404
    assert running.call("POST", "/v1/baits", asked).status == 422
    after = running.call("GET", built.headers["Location"])
    assert (after.data, after.headers["ETag"]) == (before.data, before.headers["ETag"])
    again = running.call("POST", "/v1/baits", before.json["request"])
    assert (again.status, again.json["id"]) == (200, built.json["id"])
    assert running.call("DELETE", built.headers["Location"]).status == 204
    rebuilt = running.call("POST", "/v1/baits", before.json["request"], Prefer="wait=25")
    assert (rebuilt.status, rebuilt.json["id"]) == (201, built.json["id"]), (
        "whether the style is kept any longer or not"
    )
    assert rebuilt.json["files"] == built.json["files"]
