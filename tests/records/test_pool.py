"""The pool: who is there first, while the libraries of a build are loaded."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

from tests.stack import ROOT, eventually

POOL = """
import os, sys, time
from pathlib import Path
from worker.jobs.pool import Pool
folder = Path(sys.argv[1])

def mark(name):
    (folder / name).touch()
    time.sleep(60)

def load():
    while not (folder / "go on").exists():
        time.sleep(0.01)
    os.environ["LOADED"] = "by the parent"

Pool({"steward": lambda: mark("steward")}, load, lambda: mark(os.environ["LOADED"]), 2, 1.0).run()
"""


def test_the_steward_is_at_work_before_a_worker_has_what_it_needs(tmp_path: Path) -> None:
    with subprocess.Popen([sys.executable, "-c", POOL, str(tmp_path)], cwd=ROOT) as pool:
        try:
            eventually(lambda: (tmp_path / "steward").exists())
            assert os.listdir(tmp_path) == ["steward"]
            (tmp_path / "go on").touch()
            eventually(lambda: (tmp_path / "by the parent").exists())
            pool.send_signal(signal.SIGTERM)
            assert pool.wait(20) == 0
        finally:
            pool.kill()


def test_what_the_pool_imports_before_it_loads_is_no_geometry() -> None:
    told = subprocess.run(
        [sys.executable, "-c", "import sys, worker.jobs.start; print(*sys.modules)"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert not {"numpy", "scipy", "shapely", "manifold3d", "trimesh", "worker.build"} & set(told.stdout.split())
