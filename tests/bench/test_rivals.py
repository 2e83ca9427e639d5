"""The benches measure the worm that they say: rivals and floor make the same body, and the load client counts right."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.bench.floor import plain_worm
from tests.bench.measure import Row, as_table, paired
from tests.bench.serving import hello
from tests.bench.worms import LENGTH, SIXTEEN
from tests.requires import requires
from worker.checks.subject import Subject
from worker.request import read_request


def test_the_floor_is_the_same_worm() -> None:
    exact = Subject(read_request(SIXTEEN)).size.volume
    fine = plain_worm(0.001, 120)
    assert fine.num_tri() > 0
    assert fine.volume() == pytest.approx(exact, rel=2e-3)
    assert fine.bounding_box()[3] == pytest.approx(LENGTH)


@requires("kernel")
def test_the_kernel_revolves_the_same_worm_and_its_mesh_comes_to_the_volume_asked(tmp_path: Path) -> None:
    from tests.bench.kernel import KernelWorm, read_back

    kernel = KernelWorm()
    assert kernel.exact_volume == pytest.approx(Subject(read_request(SIXTEEN)).size.volume, rel=1e-6)
    kernel.stl(0.05, tmp_path / "worm.stl")
    coarse = read_back(tmp_path / "worm.stl")
    deflection, meshed = kernel.deflection_for(0.01)
    assert 0.98 < coarse.volume / kernel.exact_volume < 0.99
    assert 0.0005 < deflection < 0.05
    assert 0.99 <= meshed.volume / kernel.exact_volume < 0.992


def test_a_pair_takes_turns_and_the_first_to_go_changes() -> None:
    turns: list[str] = []
    pair = paired(lambda: turns.append("ours"), lambda: turns.append("rival"), rounds=3)
    assert turns == ["ours", "rival", "ours", "rival", "rival", "ours", "ours", "rival"]
    assert pair.times_as_long == pytest.approx(1 / pair.times_faster)


def test_rows_make_a_table() -> None:
    assert as_table([Row("a", "b", "c", "d", "e")]).endswith("\n| a | b | c | d | e |")


def test_the_load_client_asks_as_often_as_planned_and_refuses_another_answer() -> None:
    with hello() as port:
        plan = {"connections": 3, "requests": 20, "rounds": 2}
        fine = {"port": port, "path": "/", "headers": {}, "status": 200}
        told = _load(plan | {"targets": [fine, fine]})
        assert [len(times) for times in json.loads(told.stdout)] == [2, 2]
        assert all(seconds > 0 for times in json.loads(told.stdout) for seconds in times)
        other = _load(plan | {"targets": [fine | {"status": 304}]})
        assert other.returncode != 0
        assert "was answered b'HTTP/1.1 200 OK" in other.stderr


def _load(plan: dict[str, object]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "tests.bench.load"], input=json.dumps(plan), capture_output=True, text=True, timeout=120
    )
