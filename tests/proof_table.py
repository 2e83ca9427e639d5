"""The dated table that `make proof` writes: what was held against which bar, on which machine.

A proof test takes the fixture `proof_row` and states its figures with it, before it asserts:

    proof_row("killed workers, of 100 baits lost", lost, 0)

A row stands as held when its test passed. Above the rows stands what the whole run was: of which commit, how many tests
passed, failed or had no part, and the names of those that failed. What they said is written beside it as it comes.
"""

from __future__ import annotations

import datetime
import os
import platform
import subprocess
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


@dataclass(frozen=True, slots=True)
class Run:
    """A whole run: the commit it was of, how many tests ended how, and which failed."""

    commit: str
    counts: dict[str, int]
    failed: tuple[str, ...] = ()

    def lines(self) -> list[str]:
        """As text."""
        counted = ", ".join(f"{number} {word}" for word, number in self.counts.items())
        told = [f"Of {self.commit}: {counted}."]
        if self.failed:
            told += ["", "Failed:", "", *(f"- `{name}`" for name in self.failed)]
        return [*told, "", "Below stand the figures that tests state; most random sets only hold or fail.", ""]


def commit() -> str:
    """The commit that is checked out, and whether files differ from it; as much as git tells."""
    told = []
    for words in (["rev-parse", "--short=10", "HEAD"], ["status", "--porcelain", "--untracked-files=no"]):
        try:
            done = subprocess.run(["git", *words], cwd=Path(__file__).parent, capture_output=True, text=True)
        except OSError:
            return "a tree without git"
        if done.returncode:
            return "a tree without git"
        told.append(done.stdout.strip())
    return f"commit {told[0]}{', with changes' if told[1] else ''}"


def markdown(rows: list[Row], date: datetime.date, on: str, run: Run) -> str:
    """The whole file. Rows are sorted by name, so that two runs differ in figures alone."""
    lines = ["# What `make proof` held", "", f"{date.isoformat()}, {on}.", "", *run.lines()]
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


_COMMIT = pytest.StashKey[str]()  # as it was when the run began: somebody may commit meanwhile


class Failures:
    """Writes each failure the moment it is known: a run of hours that is stopped prints none of them."""

    def __init__(self, path: Path) -> None:
        self._path = path
        path.write_text("")

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            with self._path.open("a", encoding="utf-8") as file:
                file.write(f"{report.nodeid}, {report.when}\n{report.longreprtext}\n\n")


def pytest_configure(config: pytest.Config) -> None:
    if path := config.getoption(OPTION):
        config.stash[_COMMIT] = commit()
        if not hasattr(config, "workerinput"):
            config.pluginmanager.register(Failures(Path(path).with_suffix(".failed.txt")))


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    if path := config.getoption(OPTION):
        rows = [row for state in ("passed", "failed") for row in _rows(terminalreporter.getreports(state))]
        counts = {state: len(terminalreporter.getreports(state)) for state in ("passed", "failed", "error", "skipped")}
        failed = {one.nodeid for state in ("failed", "error") for one in terminalreporter.getreports(state)}
        counts = {state: number for state, number in counts.items() if number}
        run = Run(config.stash[_COMMIT], counts, tuple(sorted(failed)))
        today = datetime.datetime.now(datetime.UTC).date()
        Path(path).write_text(markdown(rows, today, machine(), run), encoding="utf-8")


def _rows(reports: Iterable[object]) -> Iterator[Row]:
    """The rows told by these reports; a row's test has several reports, of which the call's says whether it held."""
    for report in reports:
        if isinstance(report, pytest.TestReport) and report.when == "call":
            for told, row in report.user_properties:
                if told == ROW:
                    name, figure, bar = row  # type: ignore[misc]
                    yield Row(report.nodeid, name, figure, bar, report.passed)
