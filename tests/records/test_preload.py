"""The parent of all workers has loaded what a build needs: a job's process imports nothing."""

from __future__ import annotations

import subprocess
import sys

import pytest

from tests.stack import ROOT

BUILD_EVERY_STYLE_AND_TELL_WHAT_WAS_IMPORTED = """
import os, sys
from worker.jobs.preload import keep_memory, load_libraries
keep_memory()
load_libraries()
before = set(sys.modules)
from worker.build import build
from worker.files.table import OUTPUTS
from worker.request import read_request
from worker.styles import STYLES
assert set(sys.modules) == before
for name, style in STYLES.items():
    # What is for the bench asks a style for nothing of its own, and moulds of all of them take a minute.
    left_out = () if name in ("jointed_worm", "tube") else ("master", "mould", "sheet")
    asked = {"detail": "coarse", "outputs": [each for each in OUTPUTS if each not in left_out]}
    build(read_request({**style.example, **asked}))
print(sorted(set(sys.modules) - before))
"""


@pytest.mark.proof
def test_a_build_of_every_style_and_of_every_output_imports_nothing() -> None:
    told = subprocess.run(
        [sys.executable, "-c", BUILD_EVERY_STYLE_AND_TELL_WHAT_WAS_IMPORTED],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert told.returncode == 0, told.stderr
    assert told.stdout.strip() == "[]"
