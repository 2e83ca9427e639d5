"""The example clients against the running service: what a store's back end and a CI job would start from."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
import trimesh

from tests.http.running import Service, service
from tests.requires import requires
from tests.stack import ROOT

CLIENTS = ROOT / "demo_requests" / "clients"
GOOD = {"style": "beaded_worm", "params": {"length": "4 in", "bead_count": 15}, "outputs": ["stl"]}
WEAK = {"style": "jointed_worm", "params": {"core_diameter": 2}, "outputs": []}
IMPOSSIBLE = {"style": "jointed_worm", "params": {"core_diameter": 15}}


@pytest.fixture(scope="module")
def running() -> Iterator[Service]:
    with service(workers=True) as made:
        yield made


def run(program: str, running: Service, *arguments: object) -> subprocess.CompletedProcess[str]:
    """A Python client, as a user starts it."""
    command = [sys.executable, str(CLIENTS / program), *map(str, arguments), "--service", address(running)]
    return subprocess.run(command, capture_output=True, text=True, timeout=120)


def address(running: Service) -> str:
    return f"http://127.0.0.1:{running.port}"


def folder_of(folder: Path, **requests: object) -> Path:
    folder.mkdir()
    for name, request in requests.items():
        (folder / f"{name}.json").write_text(json.dumps(request))
    return folder


def test_bulk_builds_a_folder_and_says_what_was_refused(running: Service, tmp_path: Path) -> None:
    asked = folder_of(tmp_path / "asked", one=GOOD, two=WEAK, three=IMPOSSIBLE)
    ended = run("bulk.py", running, asked, tmp_path / "out")
    assert ended.returncode == 1
    assert "three: 422" in ended.stdout and "/params/core_diameter" in ended.stdout
    assert ended.stdout.endswith("2 of 3 baits built\n")
    assert trimesh.load(tmp_path / "out" / "one" / "bait.stl").is_watertight
    assert json.loads((tmp_path / "out" / "two" / "metrics.json").read_text())["metrics"]["pieces"] == 1


def test_bulk_is_content_when_all_are_built(running: Service, tmp_path: Path) -> None:
    ended = run("bulk.py", running, folder_of(tmp_path / "asked", one=GOOD, two=WEAK), tmp_path / "out")
    assert ended.returncode == 0 and ended.stderr == ""


def test_the_gate_fails_on_a_failed_check_and_names_the_remedy(running: Service, tmp_path: Path) -> None:
    ended = run("gate.py", running, folder_of(tmp_path / "asked", one=GOOD, two=WEAK))
    assert ended.returncode == 1
    assert "one: holds" in ended.stdout and "two: falls short" in ended.stdout
    assert "joint_pull: " in ended.stdout and "limit 15 N" in ended.stdout and "Remedy: a " in ended.stdout


def test_the_gate_opens_for_what_holds_or_is_silenced(running: Service, tmp_path: Path) -> None:
    silenced = {**WEAK, "checks": {"joint_pull": {"silence": True}}}
    ended = run("gate.py", running, folder_of(tmp_path / "asked", one=GOOD, two=silenced))
    assert ended.returncode == 0, ended.stdout


def test_an_empty_folder_is_no_success(running: Service, tmp_path: Path) -> None:
    assert run("gate.py", running, folder_of(tmp_path / "asked")).returncode == 1


def test_clients_say_that_nobody_answers(tmp_path: Path) -> None:
    asked = folder_of(tmp_path / "asked", one=GOOD)
    command = [sys.executable, str(CLIENTS / "gate.py"), str(asked), "--service", "http://127.0.0.1:9"]
    ended = subprocess.run(command, capture_output=True, text=True, timeout=60)
    assert ended.returncode == 1 and "refused" in ended.stdout and "Traceback" not in ended.stderr


@requires("curl")
def test_curl_alone_orders_and_verifies(running: Service, tmp_path: Path) -> None:
    request = tmp_path / "request.json"
    request.write_text(json.dumps(GOOD))
    command = ["sh", str(CLIENTS / "order_one.sh"), str(request), str(tmp_path / "out"), address(running)]
    ended = subprocess.run(command, capture_output=True, text=True, timeout=120)
    assert ended.returncode == 0, ended.stderr
    assert {path.name for path in (tmp_path / "out").iterdir()} == {"bait.stl", "metrics.json"}
    request.write_text(json.dumps(IMPOSSIBLE))
    refused = subprocess.run(command, capture_output=True, text=True, timeout=120)
    assert refused.returncode == 1 and "core-too-thick" in refused.stderr


@pytest.mark.proof
def test_the_ci_job_starts_a_service_of_its_own_and_leaves_nothing(tmp_path: Path) -> None:
    asked = folder_of(tmp_path / "asked", two=WEAK)
    command = ["sh", str(CLIENTS / "ci_job.sh"), str(asked)]
    ended = subprocess.run(command, capture_output=True, text=True, timeout=600, cwd=ROOT)
    assert ended.returncode == 1 and "two: falls short" in ended.stdout, ended.stderr
