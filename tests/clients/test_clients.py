"""The example clients against the running service: what a store's back end and a CI job would start from."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import trimesh

from tests.clients.programs import DEMO, GOOD, IMPOSSIBLE, WEAK, folder_of, gate, python, shell
from tests.requires import requires
from worker.styles import STYLES

ON_PURPOSE = {"05_beads_that_part", "06_core_too_thin"}


@pytest.mark.proof
def test_bulk_builds_the_whole_demo_and_the_gate_stops_what_is_bad_on_purpose(address: str, tmp_path: Path) -> None:
    names = {path.stem for path in DEMO.glob("*.json")}
    built = python("bulk.py", address, DEMO, tmp_path / "out")
    assert built.returncode == 0 and built.stderr == "", built.stdout + built.stderr
    assert built.stdout.endswith(f"{len(names)} of {len(names)} baits built\n")
    for name in names:
        metrics = json.loads((tmp_path / "out" / name / "metrics.json").read_text())["metrics"]
        mesh = trimesh.load_mesh(tmp_path / "out" / name / "bait.stl")
        assert mesh.is_watertight and mesh.body_count == metrics["pieces"], name
        assert (metrics["pieces"] > 1) == (name == "05_beads_that_part")
    judged = gate(address, "--build", *sorted(DEMO.glob("*.json")))
    assert judged.returncode == 1
    ends = [line.rpartition(": ") for line in judged.stdout.splitlines()]
    stopped, held = ({Path(one).stem for one, _, end in ends if end == word} for word in ("falls short", "holds"))
    assert stopped == ON_PURPOSE and held == names - ON_PURPOSE


def test_the_demo_has_all_that_a_maker_may_write() -> None:
    requests = [json.loads(path.read_text()) for path in sorted(DEMO.glob("*.json"))]
    assert len(requests) == len({request["label"] for request in requests})
    styles = {request["style"] for request in requests if "style" in request}
    assert styles - {"alderbank"} == set(STYLES), "every style is shown, and a house style"
    assert any("strands" in request for request in requests) and any("hollows" in request for request in requests)
    lengths = [str(value) for request in requests for value in request.get("params", {}).values()]
    assert any(length.endswith(" mm") for length in lengths) and any("/" in length for length in lengths)
    glittering = ["glitter" in request.get("finish", {}) for request in requests]
    assert any(glittering) and not all(glittering)


def test_bulk_builds_what_it_can_and_says_what_was_refused(address: str, tmp_path: Path) -> None:
    asked = folder_of(tmp_path / "asked", one=GOOD, two=WEAK, three=IMPOSSIBLE)
    ended = python("bulk.py", address, asked, tmp_path / "out")
    assert ended.returncode == 1
    lines = dict(line.split(": ", 1) for line in ended.stdout.splitlines() if ": " in line)
    assert lines["one"].startswith("2 files, bait ") and lines["two"].endswith("; fails joint_pull")
    assert lines["three"].startswith("422 ") and "/params/core_diameter" in lines["three"]
    assert ended.stdout.endswith("2 of 3 baits built\n")
    assert {path.name for path in (tmp_path / "out").iterdir()} == {"one", "two"}


def test_an_empty_folder_is_no_success(address: str, tmp_path: Path) -> None:
    nothing = folder_of(tmp_path / "asked")
    assert python("bulk.py", address, nothing, tmp_path / "out").returncode == 2


@requires("curl")
def test_curl_alone_orders_and_verifies(address: str, tmp_path: Path) -> None:
    asked = folder_of(tmp_path / "asked", good=GOOD, impossible=IMPOSSIBLE)
    ended = shell("order_one.sh", asked / "good.json", tmp_path / "out", address)
    assert ended.returncode == 0 and ended.stderr == ""
    assert set(ended.stdout.splitlines()) == {f"{tmp_path}/out/bait.stl", f"{tmp_path}/out/metrics.json"}
    assert trimesh.load_mesh(tmp_path / "out" / "bait.stl").is_watertight
    refused = shell("order_one.sh", asked / "impossible.json", tmp_path / "none", address)
    assert refused.returncode == 1 and "(422):" in refused.stderr
    assert "pointer: /params/core_diameter" in refused.stderr and not (tmp_path / "none").exists()


@requires("curl")
def test_curl_alone_says_what_it_needs(tmp_path: Path) -> None:
    assert "Orders one bait" in shell("order_one.sh").stderr


def test_the_ci_job_starts_a_service_of_its_own_and_leaves_nothing(
    tmp_path: Path, gate_installed: dict[str, str]
) -> None:
    asked, aside = folder_of(tmp_path / "asked", one=GOOD, two=WEAK), tmp_path / "aside"
    aside.mkdir()
    ended = shell("ci_job.sh", asked, TMPDIR=str(aside), **gate_installed)
    assert ended.returncode == 1, ended.stdout + ended.stderr
    assert ended.stdout.startswith(f"{asked}/one.json: holds\n{asked}/two.json: falls short\n    joint_pull: ")
    assert ended.stderr == "" and list(aside.iterdir()) == [] and processes_with(f"TMPDIR={aside}") == []


@pytest.mark.proof
def test_the_ci_job_passes_what_holds(tmp_path: Path, gate_installed: dict[str, str]) -> None:
    assert shell("ci_job.sh", folder_of(tmp_path / "asked", one=GOOD), **gate_installed).returncode == 0


def processes_with(variable: str) -> list[str]:
    """The command of every process that has this in its environment; empty where there is no /proc."""
    found = []
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            if variable.encode() in (folder / "environ").read_bytes().split(b"\0"):
                found.append((folder / "cmdline").read_text())
        except OSError:
            continue  # it has just ended, or is somebody else's
    return found
