"""Programs start in order, start again, stop in the opposite order, and never outlive their supervisor.

That nothing is left holds for each test: `supervised` checks it.
"""

from __future__ import annotations

import os
import signal
import sys
from pathlib import Path

import pytest

from tests.setup.programs import supervised
from tests.stack import eventually

pytestmark = pytest.mark.faults


@pytest.fixture
def notes(tmp_path: Path) -> Path:
    return tmp_path / "notes"


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_each_waits_for_the_one_before_and_stops_before_it(notes: Path, number: signal.Signals) -> None:
    with supervised(notes, "slowly_ready", "until_told-1", "until_told-2") as running:
        eventually(lambda: "all up" in running.notes)
        code, said = running.end(number)
    assert (code, said) == (0, "")
    events = [line.partition(" started")[0] for line in running.notes]
    assert events == [
        "slowly_ready begins",
        "slowly_ready",
        "until_told-1",
        "until_told-2",
        "all up",
        "until_told-2 told to stop",
        "until_told-1 told to stop",
        "slowly_ready told to stop",
    ]


def test_a_killed_program_starts_again_and_the_others_stay(notes: Path) -> None:
    with supervised(notes, "until_told-1", "until_told-2") as running:
        eventually(lambda: "all up" in running.notes)
        for times in (1, 2):
            os.kill(running.pids("until_told-1")[-1], signal.SIGKILL)
            eventually(lambda wanted=times + 1: len(running.pids("until_told-1")) == wanted)
        code, said = running.end(signal.SIGTERM)
    assert code == 0 and said.count("The until_told-1 ended (signal SIGKILL); starting it again.") == 2
    assert len(running.pids("until_told-2")) == 1


def test_what_cannot_be_brought_up_stops_all_and_says_so(notes: Path) -> None:
    with supervised(notes, "until_told", "breaks") as running:
        code, said = running.end()
    assert code == 1
    assert said.splitlines()[-1] == "The breaks ended (exit code 3) 5 times in a row. That is meant."
    assert running.notes.count("breaks broke") == 5
    assert running.notes[-1] == "until_told told to stop"


def test_a_deaf_program_is_killed_with_all_its_children(notes: Path) -> None:
    with supervised(notes, "until_told", "deaf") as running:
        eventually(lambda: "all up" in running.notes and running.pids("child"))
        code, said = running.end(signal.SIGTERM)
    assert code == 0 and said == "The deaf did not stop in time and was killed.\n"
    assert running.notes[-1] == "until_told told to stop"


def test_a_second_ctrl_c_hurries_and_still_leaves_nothing(notes: Path) -> None:
    with supervised(notes, "until_told", "deaf-for-ten-minutes") as running:
        eventually(lambda: "all up" in running.notes and running.pids("child"))
        code, said = running.end(signal.SIGINT, signal.SIGTERM)
    assert code == 0 and said == "The deaf-for-ten-minutes did not stop in time and was killed.\n"
    assert running.notes[-1] == "until_told told to stop"


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells a child of its parent's end")
def test_nothing_outlives_a_killed_supervisor(notes: Path) -> None:
    with supervised(notes, "slowly_ready", "until_told") as running:
        eventually(lambda: "all up" in running.notes)
        assert running.end(signal.SIGKILL)[0] == -signal.SIGKILL
    assert len(running.pids("")) == 2
