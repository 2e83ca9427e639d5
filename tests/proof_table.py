"""The dated table that `make proof` writes: what was held against which bar, on which machine.

A proof test takes the fixture `proof_row` and states its figures with it, before it asserts:

    proof_row("killed workers, of 100 baits lost", lost, 0)

A row stands as held when its test passed.
"""

from __future__ import annotations

import datetime
import os
import platform
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

OPTION = "--proof-table"


@dataclass(slots=True)
class Row:
    """One figure against its bar; `held` is known once its test has ended."""

    test: str
    name: str
    figure: object
    bar: object
    held: bool = False


ROW = "row of the proof table"
"""Told with the test's report, which reaches the run that writes the table from whichever process ran the test."""


def machine() -> str:
    """Processor, cores, system and Python, without a name of the machine."""
    processor = platform.machine()
    try:
        with open("/proc/cpuinfo", encoding="utf-8", errors="replace") as lines:
            models = [line.partition(":")[2].strip() for line in lines if line.startswith("model name")]
        processor = f"{models[0]} ({processor})" if models else processor
    except OSError:
        pass  # no Linux: the architecture alone
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    return f"{processor}, {cores} cores, {platform.system()} {platform.release()}, Python {platform.python_version()}"


def markdown(rows: list[Row], date: datetime.date, on: str) -> str:
    """The whole file. Rows are sorted by name, so that two runs differ in figures alone."""
    lines = ["# What `make proof` held", "", f"{date.isoformat()}, {on}.", ""]
    lines += ["| what | figure | bar | |", "|---|---|---|---|"]
    for row in sorted(rows, key=lambda row: (row.name, row.test)):
        cells = [cell(row.name), cell(row.figure), cell(row.bar), "held" if row.held else "**missed**"]
        lines.append("| " + " | ".join(cells) + " |")
    return "\n".join(lines) + "\n"


def _text(value: object) -> str:
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def cell(value: object) -> str:
    """A value as it may stand in a table."""
    return _text(value).replace("|", "\\|").replace("\n", " ")


@pytest.fixture
def proof_row(request: pytest.FixtureRequest) -> Callable[[str, object, object], None]:
    """State a figure and the bar that it is held against: `proof_row(name, figure, bar)`."""
    told = request.node.user_properties
    return lambda name, figure, bar: told.append((ROW, (name, _text(figure), _text(bar))))


# pytest's hooks, brought in by tests/conftest.py ------------------------------------------------------------------


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(OPTION, metavar="FILE", help="write the rows of the proof tests as a Markdown table")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    if path := config.getoption(OPTION):
        rows = [row for state in ("passed", "failed") for row in _rows(terminalreporter.getreports(state))]
        today = datetime.datetime.now(datetime.UTC).date()
        Path(path).write_text(markdown(rows, today, machine()), encoding="utf-8")


def _rows(reports: Iterable[object]) -> Iterator[Row]:
    """The rows told by these reports; a row's test has several reports, of which the call's says whether it held."""
    for report in reports:
        if isinstance(report, pytest.TestReport) and report.when == "call":
            for told, row in report.user_properties:
                if told == ROW:
                    name, figure, bar = row  # type: ignore[misc]
                    yield Row(report.nodeid, name, figure, bar, report.passed)
