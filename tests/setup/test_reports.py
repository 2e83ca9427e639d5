"""What the test run itself reports: what did not run, and the table of proofs. Each is seen in a run of its own."""

from __future__ import annotations

import datetime
import subprocess
import sys
from pathlib import Path

import pytest

from tests.proof_table import Row, Run, markdown
from tests.requires import NEEDS, requires
from tests.setup.fakes import ROOT

NEEDY = """
from tests.requires import NEEDS, requires

@requires("browser", "node")
def test_page():
    pass

@requires("node")
def test_script():
    pass

def test_plain():
    pass
"""
PROOFS = """
def test_holds(proof_row):
    proof_row("baits lost", 0, 0)

def test_misses(proof_row):
    proof_row("ratio | to the floor", 1.75, "under 1.5")
    assert False
"""


@pytest.fixture
def run(tmp_path: Path):
    """Runs a test file of its own where no program is to be found; returns its exit code and its lines."""

    def run(text: str, *options: str, **environment: str) -> tuple[int, list[str]]:
        (tmp_path / "test_it.py").write_text(text)
        (tmp_path / "pytest.ini").touch()
        plugins = ["-p", "tests.requires", "-p", "tests.proof_table", "-p", "no:cacheprovider"]
        done = subprocess.run(
            [sys.executable, "-m", "pytest", "-q", *plugins, *options, "test_it.py"],
            cwd=tmp_path,
            env={"PYTHONPATH": str(ROOT), "PATH": str(tmp_path)} | environment,
            capture_output=True,
            text=True,
        )
        return done.returncode, (done.stdout + done.stderr).splitlines()

    return run


IN_PROCESSES = pytest.mark.parametrize("processes", ["0", "2"])


@IN_PROCESSES
def test_what_is_absent_is_reported_in_one_closing_line(run, processes: str) -> None:
    code, lines = run(NEEDY, "-n", processes)
    assert code == 0
    assert lines[-2] == (
        "Not run: 1 for want of Chromium (apt-get install chromium chromium-driver), "
        "1 for want of node (apt-get install nodejs)."
    )
    assert lines[-1].startswith("1 passed, 2 skipped")


def test_what_is_asked_for_must_be_there(run) -> None:
    code, lines = run(NEEDY, POURWRIGHT_REQUIRE="node")
    assert code == 1
    assert any("node is absent, and POURWRIGHT_REQUIRE asks for it" in line for line in lines)
    assert lines[-1].startswith("1 passed, 1 skipped, 1 error")


def test_a_name_that_stands_for_nothing_is_refused(run) -> None:
    code, lines = run(NEEDY, POURWRIGHT_REQUIRE="nodes")
    assert code == 4 and f"nodes is none of {', '.join(NEEDS)}" in "\n".join(lines)
    with pytest.raises(ValueError, match="unknown: nodes"):
        requires("nodes")


@IN_PROCESSES
def test_the_table_tells_what_held_and_what_missed(run, tmp_path: Path, processes: str) -> None:
    code, _ = run(PROOFS, "--proof-table", "PROOF.md", "-n", processes)
    assert code == 1
    lines = (tmp_path / "PROOF.md").read_text().splitlines()
    assert lines[-2:] == ["| baits lost | 0 | 0 | held |", "| ratio \\| to the floor | 1.75 | under 1.5 | **missed** |"]
    assert any(line.endswith(": 1 passed, 1 failed.") for line in lines)
    said = (tmp_path / "PROOF.failed.txt").read_text()
    assert said.startswith("test_it.py::test_misses, call\n") and "assert False" in said and "test_holds" not in said
    assert "- `test_it.py::test_misses`" in lines and not any("test_holds" in line for line in lines)


def test_two_tables_of_the_same_rows_are_the_same() -> None:
    rows = [Row("a", "second", 0.1 + 0.2, 1, True), Row("b", "first", 12, 1, True)]
    date = datetime.date(2026, 1, 2)
    run = Run("commit 0123456789", {"passed": 2})
    assert markdown(rows, date, "a machine", run) == markdown(rows[::-1], date, "a machine", run)
    assert "2026-01-02, a machine." in markdown(rows, date, "a machine", run)
    assert "Of commit 0123456789: 2 passed." in markdown(rows, date, "a machine", run)
