"""The pool does not begin where it could not keep its word."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from tests.stack import ROOT, Stack, eventually
from worker.records.liveness import alive_workers

pytestmark = pytest.mark.faults


def begin(**environ: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "worker.jobs"],
        cwd=ROOT,
        env=os.environ | environ,
        capture_output=True,
        text=True,
        timeout=30,
        check=False,
    )


def test_without_a_store() -> None:
    ended = begin(POURWRIGHT_STORE_URL="")
    assert ended.returncode == 2
    assert "POURWRIGHT_STORE_URL" in ended.stderr


def test_with_a_store_that_may_forget(idle: Stack) -> None:
    idle.connection.config_set("appendonly", "no")
    ended = begin(**idle.environ)
    assert ended.returncode == 2
    assert "appendonly yes" in ended.stderr
    assert "Traceback" not in ended.stderr


def test_with_settings_that_cannot_be_used(idle: Stack) -> None:
    ended = begin(**idle.environ | {"POURWRIGHT_WORKERS": "none"})
    assert ended.returncode == 2
    assert "POURWRIGHT_WORKERS: 'none' is not a whole number" in ended.stderr


def test_it_says_that_it_is_alive(idle: Stack) -> None:
    assert alive_workers(idle.connection) == 0
    idle.start_pool()
    assert eventually(lambda: alive_workers(idle.connection) == 2)
