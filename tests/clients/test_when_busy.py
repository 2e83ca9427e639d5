"""The example clients against a service that is busy, slow or wrong: they come back when told, and believe nothing."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from tests.clients.programs import GOOD, folder_of, python, shell
from tests.clients.stand_in import FILE, PLACE, Scripted, StandIn, bait, problem, stand_in
from tests.requires import requires

POST, GET, FETCH = ("POST", "/v1/baits"), ("GET", PLACE), ("GET", f"{PLACE}/files/bait.stl")
AT = {"Location": PLACE}
PYTHON_AND_CURL = pytest.mark.parametrize("client", ["bulk", pytest.param("order", marks=requires("curl"))])


def order(client: str, there: StandIn, folder: Path, **environ: str) -> tuple[int, str]:
    """Orders one bait into `folder/out/one`; the exit code and all that was said."""
    asked = folder_of(folder / "asked", one=GOOD)
    if client == "bulk":
        ended = python("bulk.py", there.address, asked, folder / "out", **environ)
    else:
        ended = shell("order_one.sh", asked / "one.json", folder / "out" / "one", there.address, **environ)
    assert "Traceback" not in ended.stderr
    return ended.returncode, ended.stdout + ended.stderr


@PYTHON_AND_CURL
def test_a_busy_service_is_asked_again_when_it_says(client: str, tmp_path: Path) -> None:
    script = {
        "/v1/baits": [
            problem(503, "Busy.", Retry_After="1"),
            problem(429, "Too fast.", Retry_After="2"),
            Scripted(202, bait("accepted"), AT | {"Retry-After": "1"}),
        ],
        PLACE: [
            # No free waiter: answered at once. Then a wait that ended before the bait did.
            Scripted(200, bait("running"), {"Retry-After": "1"}),
            Scripted(200, bait("running"), {"Retry-After": "1", "Preference-Applied": "wait=10"}),
            Scripted(200, bait("successful")),
        ],
        f"{PLACE}/files/bait.stl": [problem(503, "Busy.", Retry_After="1"), Scripted(200, FILE)],
    }
    with stand_in(script) as there:
        code, said = order(client, there, tmp_path)
    assert code == 0, said
    assert (tmp_path / "out" / "one" / "bait.stl").read_bytes() == FILE
    assert there.calls() == [POST, POST, POST, GET, GET, GET, FETCH, FETCH]
    at = [when for _, _, when in there.asked]
    # Each came back no sooner than it was told; how much later is the machine's matter.
    told = [(0, 1.0), (1, 2.0), (2, 1.0), (3, 1.0), (6, 1.0)]
    assert all(at[number + 1] - at[number] >= seconds for number, seconds in told)


@PYTHON_AND_CURL
def test_a_key_goes_with_every_call(client: str, tmp_path: Path) -> None:
    script = {
        "/v1/baits": [Scripted(201, bait("successful"), AT)],
        f"{PLACE}/files/bait.stl": [Scripted(200, FILE)],
    }
    with stand_in(script) as there:
        assert order(client, there, tmp_path, POURWRIGHT_KEY="pourwright_0_a")[0] == 0
    assert there.calls() == [POST, FETCH] and there.keys == ["Bearer pourwright_0_a"] * 2


@PYTHON_AND_CURL
def test_a_file_that_is_not_what_was_promised_is_refused(client: str, tmp_path: Path) -> None:
    script = {
        "/v1/baits": [Scripted(201, bait("successful", sha256="0" * 64), AT)],
        PLACE: [Scripted(200, bait("successful", sha256="0" * 64))],
        f"{PLACE}/files/bait.stl": [Scripted(200, FILE)],
    }
    with stand_in(script) as there:
        code, said = order(client, there, tmp_path)
    assert code == 1 and "bait.stl is not what the service says it is" in said
    assert not (tmp_path / "out" / "one" / "bait.stl").exists()


@PYTHON_AND_CURL
def test_a_failed_bait_is_told_with_its_reason(client: str, tmp_path: Path) -> None:
    with stand_in({"/v1/baits": [Scripted(201, bait("failed"), AT)]}) as there:
        code, said = order(client, there, tmp_path)
    assert code == 1 and "failed" in said and "The solid took too long." in said


@PYTHON_AND_CURL
def test_an_answer_that_is_no_problem_document_is_told_too(client: str, tmp_path: Path) -> None:
    with stand_in({"/v1/baits": [Scripted(502, b"<h1>Bad gateway</h1>")]}) as there:
        code, said = order(client, there, tmp_path)
    assert code == 1 and "502" in said


def test_no_more_are_under_way_than_was_asked_for(tmp_path: Path) -> None:
    """Each of six POSTs waits for another: less than two at once would never end, more would be counted."""
    asked = folder_of(tmp_path / "asked", **{f"number_{number}": GOOD for number in range(6)})
    script = {"/v1/baits": [Scripted(201, bait("failed"), AT)]}
    with stand_in(script, together=threading.Barrier(2)) as there:
        python("bulk.py", there.address, asked, tmp_path / "out", "--at-once", 2)
    assert there.calls() == [POST] * 6 and there.most_under_way == 2


def test_nobody_at_home_is_no_bait_s_fault(tmp_path: Path) -> None:
    with stand_in({}) as gone:
        address = gone.address
    asked = folder_of(tmp_path / "asked", one=GOOD)
    ended = python("bulk.py", address, asked, tmp_path / "out")
    assert ended.returncode == 2 and "refused" in ended.stdout and ended.stderr == ""
