"""The dated table that `make faults` writes: what was done to the running thing, what was seen, how soon it was well.

A fault test takes the fixture `fault_row` and tells what it saw, before it asserts:

    fault_row("worker killed", "SIGKILL to a worker and its job", "built by another, attempt 2", seconds)

The seconds run from the deed to the moment in which all is well again; None where nothing was to mend.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.proof_table import cell, machine

OPTION = "--fault-table"
ROW = "row of the fault table"
RECOVERED_WITHIN_S = 15.0
"""The number to hold: from a worker's death to the end of the bait that it had begun."""

Tell = Callable[[str, str, str, "float | None"], None]


@dataclass(frozen=True, slots=True)
class Row:
    """One fault, and whether its test passed."""

    test: str
    told: tuple[str, str, str, str]
    held: bool


def markdown(rows: list[Row], date: datetime.date, on: str) -> str:
    """The whole file, sorted by fault, so that two runs differ in figures alone."""
    lines = ["# What faults were seen to do", "", f"{date.isoformat()}, {on}. Written by `make faults`.", ""]
    lines += [f"A worker's death is to be mended within {RECOVERED_WITHIN_S:g} s.", ""]
    lines += ["| fault | what was done | what was seen | seconds to recover | |", "|---|---|---|---|---|"]
    for row in sorted(rows, key=lambda row: (row.told, row.test)):
        lines.append("| " + " | ".join([*map(cell, row.told), "held" if row.held else "**missed**"]) + " |")
    return "\n".join(lines) + "\n"


@pytest.fixture
def fault_row(request: pytest.FixtureRequest) -> Tell:
    """State what was done and seen: `fault_row(fault, done, seen, seconds)`."""
    told = request.node.user_properties
    return lambda fault, done, seen, seconds: told.append(
        (ROW, (fault, done, seen, "-" if seconds is None else f"{seconds:.1f}"))
    )


# pytest's hooks, brought in by tests/conftest.py ------------------------------------------------------------------


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(OPTION, metavar="FILE", help="write the rows of the fault tests as a Markdown table")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    if path := config.getoption(OPTION):
        reports = [one for state in ("passed", "failed") for one in terminalreporter.getreports(state)]
        rows = [
            Row(report.nodeid, tuple(row), report.passed)
            for report in reports
            if isinstance(report, pytest.TestReport) and report.when == "call"
            for told, row in report.user_properties
            if told == ROW
        ]
        today = datetime.datetime.now(datetime.UTC).date()
        Path(path).write_text(markdown(rows, today, machine()), encoding="utf-8")
