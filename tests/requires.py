"""What a test needs that may be absent: the reference kernel, lib3mf, a browser, node.

    pytestmark = requires("kernel")          # a module, a class or one test

Such a test imports what it needs inside its functions. Where that is absent the test is reported as not run, and one
closing line of the run says how many and why. Names in POURWRIGHT_REQUIRE (`browser,node,kernel,3mf`) must be there:
their absence is then a failure.
"""

from __future__ import annotations

import functools
import importlib.util
import os
import shutil
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

import pytest

VARIABLE = "POURWRIGHT_REQUIRE"
NOT_RUN = "not run for want of"
"""Told with the test's report, which reaches the run that sums up from whichever process ran the test."""


@dataclass(frozen=True, slots=True)
class Need:
    """What it is in words, whether it is here, and how to get it."""

    words: str
    is_here: Callable[[], bool]
    remedy: str


def _importable(module: str) -> Callable[[], bool]:
    """Whether the module imports, tried in a process of its own: native parts may lack a system library."""

    def is_here() -> bool:
        if importlib.util.find_spec(module.partition(".")[0]) is None:
            return False
        return subprocess.run([sys.executable, "-c", f"import {module}"], capture_output=True).returncode == 0

    return is_here


def _runnable(*programs: str) -> Callable[[], bool]:
    """Whether one of the programs answers `--version`: a name on PATH alone proves nothing."""

    def is_here() -> bool:
        return any(_answers(program, "--version") for program in programs)

    return is_here


def _answers(program: str, word: str) -> bool:
    path = shutil.which(program)
    try:
        return path is not None and subprocess.run([path, word], capture_output=True, timeout=60).returncode == 0
    except (OSError, subprocess.TimeoutExpired):
        return False


def _may_mount() -> bool:
    with tempfile.TemporaryDirectory() as folder:
        try:
            subprocess.run(["mount", "-t", "tmpfs", "none", folder], capture_output=True, check=True)
        except (OSError, subprocess.CalledProcessError):
            return False
        subprocess.run(["umount", folder], capture_output=True, check=True)
        return True


def _may_part_networks() -> bool:
    name = f"pw-try-{os.getpid()}"
    try:
        subprocess.run(["ip", "netns", "add", name], capture_output=True, check=True)
    except (OSError, subprocess.CalledProcessError):
        return False
    return subprocess.run(["ip", "netns", "delete", name], capture_output=True).returncode == 0


def _recent_node() -> bool:
    try:
        said = subprocess.run(["node", "--version"], capture_output=True, text=True, timeout=60).stdout
        return int(said.strip().lstrip("v").partition(".")[0]) >= 20
    except (OSError, ValueError, subprocess.TimeoutExpired):
        return False


def _bucket_server() -> bool:
    return subprocess.run([bucket_python(), "-c", "import moto.server"], capture_output=True).returncode == 0


def bucket_python() -> str:
    """The interpreter that has the S3 server: what that needs does not go with what we run on."""
    own = Path(__file__).resolve().parents[1] / ".venv-bucket" / "bin" / "python"
    return str(own) if own.exists() else sys.executable


NEEDS: dict[str, Need] = {
    "kernel": Need("the reference kernel", _importable("OCP.gp"), "make kernel; on Debian also libgl1 and libx11-6"),
    "elements": Need("finite elements", lambda: _importable("pyamg")() and _importable("skfem")(), "make kernel"),
    "3mf": Need("lib3mf", _importable("lib3mf"), "Linux on x86-64"),
    "bucket": Need("an S3 server", _bucket_server, "make bucket"),
    "browser": Need(
        "Chromium",
        lambda: _runnable("chromium", "chromium-browser")() and _runnable("chromedriver")(),
        "apt-get install chromium chromium-driver",
    ),
    "curl": Need("curl", _runnable("curl"), "apt-get install curl"),
    "image": Need(
        "a Docker engine, or buildah and a base image",
        lambda: _answers("docker", "info") or (bool(os.environ.get("IMAGE_BASE")) and _runnable("buildah")()),
        "a Docker engine; or apt-get install buildah, and IMAGE_BASE=docker.io/library/python:3.13-slim",
    ),
    "mount": Need("the right to mount a small file system", _may_mount, "root on Linux"),
    "systemd": Need("systemd-analyze", _runnable("systemd-analyze"), "apt-get install systemd"),
    "kubectl": Need("kubectl", lambda: _answers("kubectl", "help"), "a release of kubectl"),
    "namespaces": Need("network namespaces", _may_part_networks, "root on Linux, and iproute2"),
    "compiler": Need("a C compiler", _runnable("gcc", "cc"), "apt-get install gcc"),
    "node": Need("node", _runnable("node", "nodejs"), "apt-get install nodejs"),
    "node20": Need("node 20 or later", _recent_node, "a release of node that is still maintained"),
}


def requires(*names: str) -> pytest.MarkDecorator:
    """Mark a test as needing these. Raises ValueError for a name that stands for nothing."""
    if unknown := set(names) - set(NEEDS):
        raise ValueError(f"unknown: {', '.join(sorted(unknown))}; there are {', '.join(NEEDS)}")
    return pytest.mark.requires(*names)


@functools.cache
def is_here(name: str) -> bool:
    """Whether a need is met on this machine, looked up once a run."""
    return NEEDS[name].is_here()


def must_be_here() -> set[str]:
    """The names in POURWRIGHT_REQUIRE. Raises pytest.UsageError for one that stands for nothing."""
    names = {name.strip() for name in os.environ.get(VARIABLE, "").split(",") if name.strip()}
    if unknown := names - set(NEEDS):
        raise pytest.UsageError(f"{VARIABLE}: {', '.join(sorted(unknown))} is none of {', '.join(NEEDS)}")
    return names


def closing_line(not_run: Counter[str]) -> str:
    """The line that says what did not run and how to have it run."""
    parts = [
        f"{count} for want of {NEEDS[name].words} ({NEEDS[name].remedy})" for name, count in sorted(not_run.items())
    ]
    return f"Not run: {', '.join(parts)}."


# pytest's hooks, brought in by tests/conftest.py ------------------------------------------------------------------


def pytest_configure(config: pytest.Config) -> None:
    must_be_here()
    config.addinivalue_line("markers", "requires(*names): runs only where these are; see tests/requires.py")


def pytest_runtest_setup(item: pytest.Item) -> None:
    names: Iterable[str] = (name for mark in item.iter_markers("requires") for name in mark.args)
    for name in names:
        if is_here(name):
            continue
        need = NEEDS[name]
        if name in must_be_here():
            pytest.fail(f"{need.words} is absent, and {VARIABLE} asks for it ({need.remedy})", pytrace=False)
        item.user_properties.append((NOT_RUN, name))
        raise pytest.skip.Exception(f"not run for want of {need.words}", _use_item_location=True)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    skipped = (report for report in terminalreporter.getreports("skipped") if isinstance(report, pytest.TestReport))
    not_run = Counter(str(name) for report in skipped for told, name in report.user_properties if told == NOT_RUN)
    if not_run:
        terminalreporter.write_line(closing_line(not_run))
