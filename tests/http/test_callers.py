"""Callers over the whole of it: real keys by the real command, a real service, real workers, and all their logs."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.http.running import Service, service
from tests.http.test_problems import problem
from tests.stack import ROOT
from worker.records.names import BaitName

WORM: dict[str, Any] = {"style": "beaded_worm", "params": {"length": "5 in", "bead_count": 16}, "outputs": ["stl"]}
PASSWORD = "a-password-for-the-store"


def keys(of: Service, *words: str) -> str:
    """What the command says on its standard output."""
    ran = subprocess.run(
        [sys.executable, "-m", "service.keys", *words],
        cwd=ROOT,
        env=os.environ | of.stack.environ,
        capture_output=True,
        text=True,
        check=True,
    )
    return ran.stdout.strip()


@pytest.fixture(scope="module")
def running() -> Iterator[Service]:
    with service(workers=True, log_level="debug", store_password=PASSWORD) as made:
        yield made


def test_two_callers_from_their_keys_to_their_files_and_no_secret_in_any_log(running: Service) -> None:
    # Given a bait from before there were keys
    before = running.call("POST", "/v1/baits", WORM, Prefer="wait=25")
    assert before.status == 201
    # When two callers get keys, while the service runs
    tokens = {caller: keys(running, "make", "--caller", caller) for caller in ("alder", "birch", "local")}
    alder, birch, local = ({"Authorization": f"Bearer {token}"} for token in tokens.values())
    path = before.headers["Location"]
    problem(running.call("GET", path), 401, "key-missing")
    # Then that bait is the caller `local`'s, and each of the others builds his own, which nobody else sees
    assert running.call("GET", path, **local).status == 200
    problem(running.call("GET", path, **alder), 404, "not-found")
    made = running.call("POST", "/v1/baits", WORM, Prefer="wait=25", **alder)
    assert made.status == 201 and made.json["id"] == before.json["id"]
    file = made.json["files"][0]["href"]
    assert running.call("GET", file, **alder).headers["Cache-Control"].startswith("private")
    for call in (("GET", path), ("DELETE", path), ("GET", file), ("HEAD", file)):
        assert running.call(*call, **birch).status == 404
    assert running.call("POST", "/v1/baits", WORM, Prefer="wait=25", **birch).status == 201
    folder = running.stack.settings.state_dir / "artifacts"
    for caller in tokens:
        bait = BaitName(caller, made.json["id"])
        assert (folder / caller / bait.id[:2] / bait.id[2:4] / bait.id / "manifest.json").is_file()
    # And removing one leaves the others'
    assert running.call("DELETE", path, **birch).status == 204
    assert running.call("GET", path, **birch).status == 404 and running.call("GET", path, **alder).status == 200
    # When a key is revoked, it opens nothing from the next call on
    keys(running, "revoke", tokens["birch"].split("_")[1])
    problem(running.call("GET", path, **birch), 401, "key-missing")
    # And with the store away, keys still open what is finished
    wrong = {"Authorization": f"Bearer {tokens['alder'][:-1]}"}
    running.stack.store.kill()
    assert running.call("GET", path, **alder).status == 200
    problem(running.call("GET", path, **wrong), 401, "key-missing")
    problem(running.call("POST", "/v1/baits", {"style": "leech"}, **alder), 503, "store-unavailable")
    running.stack.store.start()  # workers end sooner with it than without
    # Then no log has a token, nor its digest, nor the store's password
    logs = [*running.stack.settings.state_dir.rglob("*log*"), running.stack.store.folder / "log"]
    said = "\n".join(log.read_text(errors="replace") for log in logs if log.is_file())
    assert "the store does not answer" in said and len(said) > 1000
    kept = (running.stack.settings.state_dir / "keys.json").read_text()
    secrets = [part for token in tokens.values() for part in (token, token.split("_", 2)[2])]
    for secret in (*secrets, PASSWORD, *(line.split('"')[3] for line in kept.splitlines() if '"digest"' in line)):
        assert secret not in said


GUNICORN = ["gunicorn", "-c", "service/gunicorn_conf.py", "service.wsgi:app"]


@pytest.mark.parametrize(
    ("command", "host"),
    [(["service.stack.serve"], "0.0.0.0"), (GUNICORN, "0.0.0.0"), ([*GUNICORN, "--bind", "0.0.0.0:0"], "127.0.0.1")],
    ids=["stack", "server", "server told otherwise"],
)
def test_a_start_that_other_machines_could_reach_is_refused_without_keys(
    command: list[str], host: str, tmp_path: Path
) -> None:
    settings = {"HOST": host, "PORT": "0", "STATE_DIR": str(tmp_path / "state"), "LOG_LEVEL": "warning"}
    refused = subprocess.run(
        [sys.executable, "-m", *command],
        cwd=ROOT,
        env=os.environ | {f"POURWRIGHT_{name}": value for name, value in settings.items()},
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert refused.returncode != 0 and "Traceback" not in refused.stderr
    assert "POURWRIGHT_HOST: 0.0.0.0 can be reached from other machines, and there are no keys" in refused.stderr
    assert "python -m service.keys make" in refused.stderr and len(refused.stderr.strip().splitlines()) == 1
    assert not (tmp_path / "state").exists()
