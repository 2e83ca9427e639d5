"""The Python client against a service that is busy, slow or wrong: it comes back when told, and believes nothing."""

from __future__ import annotations

import base64
import hashlib
import time
from email.utils import formatdate
from pathlib import Path

import pytest
from pourwright_client import (
    Busy,
    Client,
    EndedBadly,
    NotAllowed,
    Refused,
    ServiceFailed,
    StillUnderWay,
    Unreachable,
    WrongBytes,
)

from tests.clients.programs import GOOD
from tests.clients.stand_in import BAIT, FILE, PLACE, Scripted, bait, problem, stand_in

AT = {"Location": PLACE}
WHERE = f"{PLACE}/files/bait.stl"
DIGEST = f"sha-256=:{base64.b64encode(hashlib.sha256(FILE).digest()).decode()}:"


def told(status: str, code: int = 200, sha256: str | None = None, **headers: str) -> Scripted:
    """A whole bait, with the headers that a POST of it has."""
    body = bait(status, sha256) if sha256 else bait(status)
    return Scripted(code, body, AT | {name.replace("_", "-"): value for name, value in headers.items()})


def test_a_busy_service_is_asked_again_when_it_says() -> None:
    date = int(time.time()) + 3
    script = {
        "/v1/baits": [
            problem(503, "Busy.", Retry_After="1"),
            problem(429, "Too fast.", Retry_After=formatdate(date, usegmt=True)),
            told("accepted", 202, Retry_After="1"),
        ],
        # No free waiter: answered at once, to come back. Then a wait that ended before the bait did: asked at once.
        PLACE: [told("running", Retry_After="1"), told("running", Preference_Applied="wait=2"), told("successful")],
    }
    with stand_in(script) as there:
        assert Client(there.address, key="k").build(GOOD, within_s=60).status == "successful"
    assert there.calls() == [("POST", "/v1/baits")] * 3 + [("GET", PLACE)] * 3
    assert there.keys == ["Bearer k"] * 6 and all(sent["Prefer"] == "wait=25" for sent in there.sent)
    at = [when for _, _, when in there.asked]
    assert all(at[after] - at[after - 1] >= seconds for after, seconds in [(1, 1.0), (3, 1.0), (4, 1.0)])
    assert at[2] >= date - (time.time() - time.monotonic())
    assert at[5] - at[4] < 1.0


def test_patience_ends_and_nothing_is_lost() -> None:
    with stand_in({"/v1/baits": [told("accepted", 202)], PLACE: [told("running", Retry_After="1")]}) as there:
        began = time.monotonic()
        with pytest.raises(StillUnderWay) as caught:
            Client(there.address).build(GOOD, within_s=2.5)
    assert caught.value.id == BAIT and time.monotonic() - began < 4
    full = problem(503, "Full.", Retry_After="30")
    with stand_in({"/v1/estimates": [full]}) as there, pytest.raises(Busy) as busy:
        Client(there.address, patience_s=5).estimate(GOOD)
    assert busy.value.retry_after_s == 30 and len(there.asked) == 1


def test_a_lost_answer_is_asked_for_again_where_nothing_is_done_twice() -> None:
    lost = Scripted(200, bait("successful"), cut=10)
    with stand_in({"/v1/fits": [lost, problem(422, "No.")], PLACE: [lost]}) as there:
        client = Client(there.address, key="")
        with pytest.raises(Refused):
            client.fit({})
        keys = [sent["Idempotency-Key"] for sent in there.sent]
        assert len(keys) == 2 and keys[0] == keys[1] and keys[0].startswith('"')
        # A key whose first call is still being answered: come back, it is the same search.
    unanswered = Scripted(409, {"type": "urn:pourwright:problem:unanswered", "detail": "Soon."}, {"Retry-After": "1"})
    with stand_in({"/v1/batches": [unanswered, problem(422, "No.")]}) as there:
        with pytest.raises(Refused):
            Client(there.address).batches.submit([])
        assert len({sent["Idempotency-Key"] for sent in there.sent}) == 1 and len(there.sent) == 2


def test_a_change_whose_answer_was_lost_is_not_made_again() -> None:
    lost = Scripted(200, {"name": "till"}, cut=3)
    with stand_in({"/v1/webhooks/till": [lost]}) as there, pytest.raises(Unreachable):
        Client(there.address).webhooks.keep("till", "https://hooks.alderbank.example/", new_secret=True)
    assert there.calls() == [("PUT", "/v1/webhooks/till")]


def test_nobody_at_home() -> None:
    with stand_in({}) as gone:
        pass
    with pytest.raises(Unreachable):
        Client(gone.address, patience_s=0.5).styles()


def test_an_ending_that_is_bad_carries_the_bait_and_its_problem() -> None:
    failed = {"/v1/baits": [told("failed", 201)]}
    with stand_in(failed) as there, pytest.raises(EndedBadly, match="The solid took too long") as caught:
        Client(there.address).build(GOOD)
    assert caught.value.record.id == BAIT and caught.value.problem is not None


@pytest.mark.parametrize(
    ("answer", "raised"),
    [
        (Scripted(502, b"<h1>Bad gateway</h1>"), ServiceFailed),
        (Scripted(200, b"<h1>Welcome</h1>"), ServiceFailed),
        (Scripted(200, {"hello": 1}), ServiceFailed),
        (problem(401, "A key, please."), NotAllowed),
        (problem(403, "Not with this key."), NotAllowed),
        (Scripted(302, b"", {"Location": "http://127.0.0.1:1/elsewhere"}), Refused),
    ],
)
def test_what_is_no_answer_of_ours_is_told_as_such(answer: Scripted, raised: type[Exception]) -> None:
    with stand_in({"/v1/estimates": [answer]}) as there, pytest.raises(raised):
        Client(there.address, key="k").estimate(GOOD)
    assert len(there.asked) == 1


def test_a_file_goes_on_where_the_line_broke(tmp_path: Path) -> None:
    rest = Scripted(206, FILE[7:], {"ETag": '"a"', "Content-Range": f"bytes 7-{len(FILE) - 1}/{len(FILE)}"})
    script = {
        PLACE: [told("successful")],
        WHERE: [Scripted(200, FILE, {"ETag": '"a"', "Repr-Digest": DIGEST}, 7), rest],
    }
    with stand_in(script) as there:
        client = Client(there.address)
        (path,) = client.save(client.bait("there"), tmp_path)
    assert path.read_bytes() == FILE
    assert (there.sent[-1]["Range"], there.sent[-1]["If-Range"]) == ("bytes=7-", '"a"')


@pytest.mark.parametrize(
    ("answers", "sha256"),
    [
        pytest.param([Scripted(200, FILE)], "0" * 64, id="another digest in the manifest"),
        pytest.param([Scripted(200, FILE[:-1] + b"!")], None, id="other bytes"),
        pytest.param([Scripted(200, FILE[:-1])], None, id="fewer bytes"),
        pytest.param([Scripted(200, FILE, {"Repr-Digest": "sha-256=:AAAA:"})], None, id="another Repr-Digest"),
        pytest.param([Scripted(200, FILE, {"Repr-Digest": "sha-256=:A:"})], None, id="no Repr-Digest"),
        pytest.param(
            [Scripted(200, FILE, {"ETag": '"a"'}, 7), Scripted(200, FILE, {"ETag": '"b"'})], None, id="another version"
        ),
    ],
)
def test_wrong_bytes_are_no_file(answers: list[Scripted], sha256: str | None, tmp_path: Path) -> None:
    with stand_in({PLACE: [told("successful", sha256=sha256)], WHERE: answers}) as there:
        client = Client(there.address)
        with pytest.raises(WrongBytes):
            client.save(client.bait("there"), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_the_key_goes_nowhere_else_and_no_name_leads_out_of_the_folder(tmp_path: Path) -> None:
    body = bait("successful")
    away = [{**body["files"][0], "href": "http://127.0.0.1:1/bait.stl"}]
    out = [{**body["files"][0], "name": "../bait.stl"}]
    with stand_in({PLACE: [Scripted(200, body | {"files": away}), Scripted(200, body | {"files": out})]}) as there:
        client = Client(there.address, key="k")
        with pytest.raises(ValueError, match="leads away"):
            client.fetch(client.bait("there").files[0])
        with pytest.raises(ValueError, match="no file name"):
            client.save(client.bait("there"), tmp_path / "out")
    assert len(there.asked) == 2 and list(tmp_path.iterdir()) == []
    assert "'k'" not in repr(client.transport)
