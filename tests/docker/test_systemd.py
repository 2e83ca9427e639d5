"""The units: that systemd reads them, how much it says they are exposed, and that they name what there is."""

from __future__ import annotations

import ctypes
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from service.prefer import LONGEST_WAIT_S
from tests.requires import requires
from tests.stack import ROOT
from worker.settings import SETTINGS, load

UNITS = ROOT / "docker" / "systemd"
NAMES = ("pourwright-service", "pourwright-worker", "pourwright-courier")
MOST_EXPOSED = 2.0
"""Of 10, by systemd's own table of what a unit may do; a unit that says nothing has 9.6."""


def lines_of(name: str) -> list[tuple[str, str]]:
    """Each `name=value` of a unit, in order."""
    text = (UNITS / f"{name}.service").read_text()
    return [(key, value) for key, _, value in (line.partition("=") for line in text.splitlines() if "=" in line)]


def said(name: str, key: str) -> list[str]:
    return [value for one, value in lines_of(name) if one == key]


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    """A root folder with the units, and with something to be run where they say it is."""
    for program in ("opt/pourwright/bin/python", "bin/kill"):
        place = tmp_path / program
        place.parent.mkdir(parents=True)
        place.write_text("#!/bin/sh\n")
        place.chmod(0o755)
    (tmp_path / "etc/systemd/system").mkdir(parents=True)
    for file in UNITS.glob("pourwright*"):
        shutil.copy(file, tmp_path / "etc/systemd/system")
    return tmp_path


def analyze(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["systemd-analyze", *words], capture_output=True, text=True, timeout=60)


@requires("systemd")
def test_systemd_finds_nothing_wrong_with_them(machine: Path) -> None:
    units = ["pourwright.target", *(f"{name}.service" for name in NAMES)]
    told = analyze("verify", "--man=no", "--recursive-errors=no", f"--root={machine}", *units)
    assert (told.returncode, told.stderr) == (0, "")


@requires("systemd")
def test_it_would_find_what_is_misspelt(machine: Path) -> None:
    unit = machine / "etc/systemd/system/pourwright-worker.service"
    unit.write_text(unit.read_text().replace("MemoryDenyWriteExecute", "MemoryDenyWritesExecute"))
    told = analyze("verify", "--man=no", "--recursive-errors=no", f"--root={machine}", "pourwright-worker.service")
    assert "MemoryDenyWritesExecute" in told.stderr


@requires("systemd")
@pytest.mark.parametrize("name", NAMES)
def test_none_is_exposed_more_than_it_needs(name: str, machine: Path) -> None:
    least = f"--threshold={int(10 * MOST_EXPOSED)}"
    told = analyze("security", "--offline=yes", f"--root={machine}", least, f"{name}.service")
    assert told.returncode == 0, told.stdout
    bare = machine / f"etc/systemd/system/{name}.service"
    bare.write_text("[Service]\nExecStart=/opt/pourwright/bin/python\n")
    assert analyze("security", "--offline=yes", f"--root={machine}", least, f"{name}.service").returncode != 0


def test_they_run_what_the_image_runs() -> None:
    entry = (ROOT / "docker" / "entry.sh").read_text()
    for name in NAMES:
        (command,) = said(name, "ExecStart")
        word = name.removeprefix("pourwright-")
        assert f"    {word}) exec {command.removeprefix('/opt/pourwright/bin/')} ;;" in entry
        assert said(name, "WorkingDirectory") == ["/opt/pourwright/app"]


def test_every_setting_that_is_named_exists_and_can_be_loaded() -> None:
    example = (UNITS / "environment.example").read_text()
    known = {setting.name for setting in SETTINGS}
    assert set(re.findall(r"POURWRIGHT_[A-Z_]+", example)) <= known
    given = dict(re.findall(r"^(?:# )?(POURWRIGHT_[A-Z_]+)=(\S+)$", example, re.MULTILINE))
    assert len(given) == 4
    for name in NAMES:
        own = dict(re.findall(r"(POURWRIGHT_[A-Z_]+)=(\S+)", " ".join(said(name, "Environment"))))
        assert set(own) == {"POURWRIGHT_STATE_DIR"}
        settings = load(given | own)
        assert settings.host == "127.0.0.1" and settings.store_url == "redis://127.0.0.1:6379/0"


def test_they_come_back_and_have_time_to_stop() -> None:
    stop = {name: int(said(name, "TimeoutStopSec")[0]) for name in NAMES}
    assert stop["pourwright-service"] > LONGEST_WAIT_S + 5
    assert stop["pourwright-worker"] > load({}).job_limit_s + 2
    assert stop["pourwright-courier"] > load({}).webhook_limit_s
    for name in NAMES:
        # A worker may end with 0 where the store goes away under a job; and were all of a pool told to end at once, the
        # processes that build would.
        assert said(name, "Restart") == ["always"] and said(name, "KillMode") == ["mixed"]
        assert said(name, "StartLimitIntervalSec") == ["0"]


def test_the_courier_does_not_see_what_the_others_keep() -> None:
    for name in NAMES[:2]:
        assert said(name, "StateDirectory") == ["pourwright"] and said(name, "User") == ["pourwright"]
        assert "POURWRIGHT_STATE_DIR=/var/lib/pourwright" in said(name, "Environment")
    courier = NAMES[2]
    assert said(courier, "DynamicUser") == ["yes"] and said(courier, "User") == []
    assert said(courier, "InaccessiblePaths") == ["-/var/lib/pourwright"]


def test_a_bait_is_built_where_no_memory_may_be_written_and_run() -> None:
    """What `MemoryDenyWriteExecute` denies, Linux 6.3 and later deny by prctl(PR_SET_MDWE) too."""
    if ctypes.CDLL(None).prctl(66, 0, 0, 0, 0) < 0:  # PR_GET_MDWE, linux/prctl.h
        pytest.skip("this kernel has no PR_SET_MDWE")
    code = (
        "import ctypes; assert ctypes.CDLL(None).prctl(65, 1, 0, 0, 0) == 0\n"
        "from worker.build import build\n"
        "from worker.request import read_request\n"
        'print(*sorted(build(read_request({"style": "grub", "outputs": ["stl", "glb", "thumbnail"]})).files))'
    )
    told = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, env=os.environ, capture_output=True, text=True, timeout=120
    )
    assert told.returncode == 0 and "bait.stl" in told.stdout.split(), told.stderr
