"""The example step of a pipeline, in an environment that has the client already: nothing is fetched by a test."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import yaml

from tests.clients.programs import GOOD, WEAK, folder_of
from tests.stack import ROOT

EXAMPLE = ROOT / "openapi" / "examples" / "ci"


def test_the_step_fails_where_a_bait_falls_short(address: str, gate_installed: dict[str, str], tmp_path: Path) -> None:
    (step,) = yaml.safe_load((EXAMPLE / "pipeline.yaml").read_text())["steps"]
    assert set(step["environment"]) == {"POURWRIGHT_URL", "POURWRIGHT_KEY"}
    (tmp_path / "openapi").symlink_to(ROOT / "openapi")
    bodies = folder_of(tmp_path / "bodies", a=GOOD, b=WEAK)
    for expected in (1, 0):
        (command,) = step["commands"]
        ended = subprocess.run(
            ["sh", "-c", command],
            cwd=tmp_path,
            env=os.environ | gate_installed | {"POURWRIGHT_URL": address},
            capture_output=True,
            text=True,
            timeout=120,
        )
        assert ended.returncode == expected and ended.stderr == "", ended.stdout + ended.stderr
        assert ("/params/core_diameter = " in ended.stdout) == bool(expected)
        (bodies / "b.json").unlink(missing_ok=True)


def test_no_requests_and_no_environment_are_no_success(gate_installed: dict[str, str], tmp_path: Path) -> None:
    def gate(**more: str) -> int:
        ended = subprocess.run(
            ["sh", EXAMPLE / "gate.sh"], cwd=tmp_path, env=os.environ | gate_installed | more, capture_output=True
        )
        return ended.returncode

    assert gate() == 2
    assert gate(POURWRIGHT_GATE_ENVIRONMENT=str(tmp_path / "none"), PYTHON="false") == 2
