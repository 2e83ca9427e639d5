"""The example step of a pipeline, in an environment that has the client already: nothing is fetched by a test."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from tests.clients.programs import GOOD, WEAK, folder_of
from tests.stack import ROOT

EXAMPLE = ROOT / "openapi" / "examples" / "ci"
PACKAGE = ROOT / "openapi" / "clients" / "python"


@pytest.fixture
def environment(tmp_path: Path) -> dict[str, str]:
    """What `pip install` would have left: the command, in a folder of its own."""
    command = tmp_path / "gate" / "bin" / "pourwright-gate"
    command.parent.mkdir(parents=True)
    run = "from pourwright_client.gate import main; raise SystemExit(main())"
    command.write_text(f'#!/bin/sh\nexec {shlex.join([sys.executable, "-c", run])} "$@"\n')
    command.chmod(0o755)
    return os.environ | {"POURWRIGHT_GATE_ENVIRONMENT": str(tmp_path / "gate"), "PYTHONPATH": str(PACKAGE)}


def test_the_step_fails_where_a_bait_falls_short(address: str, environment: dict[str, str], tmp_path: Path) -> None:
    (step,) = yaml.safe_load((EXAMPLE / "pipeline.yaml").read_text())["steps"]
    assert set(step["environment"]) == {"POURWRIGHT_URL", "POURWRIGHT_KEY"}
    (tmp_path / "openapi").symlink_to(ROOT / "openapi")
    bodies = folder_of(tmp_path / "bodies", a=GOOD, b=WEAK)
    for expected in (1, 0):
        (command,) = step["commands"]
        ended = subprocess.run(
            ["sh", "-c", command],
            cwd=tmp_path,
            env=environment | {"POURWRIGHT_URL": address},
            capture_output=True,
            text=True,
            timeout=120,
        )
        assert ended.returncode == expected and ended.stderr == "", ended.stdout + ended.stderr
        assert ("/params/core_diameter = " in ended.stdout) == bool(expected)
        (bodies / "b.json").unlink(missing_ok=True)


def test_no_requests_and_no_environment_are_no_success(environment: dict[str, str], tmp_path: Path) -> None:
    def gate(**more: str) -> int:
        ended = subprocess.run(["sh", EXAMPLE / "gate.sh"], cwd=tmp_path, env=environment | more, capture_output=True)
        return ended.returncode

    assert gate() == 2
    assert gate(POURWRIGHT_GATE_ENVIRONMENT=str(tmp_path / "none"), PYTHON="false") == 2
