"""The same mesh gives the same bytes, whatever the process, its hash seed, its locale and its processor's level."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]

SCRIPT = """
import hashlib, locale
try:
    locale.setlocale(locale.LC_ALL, "")
except locale.Error:
    pass
from tests.files.shapes import craw, sphere, worm
from worker.files.glb import write_glb
from worker.files.threemf import write_3mf
from worker.picture.finish import Finish
for shape in (sphere(), worm(), craw()):
    solid = write_3mf(shape.vertices, shape.triangles, title="Alder bank", colour="#6b8e23")
    display = write_glb(shape.vertices, shape.triangles, Finish((0.147, 0.27, 0.017)))
    print(hashlib.sha256(solid).hexdigest(), hashlib.sha256(display).hexdigest())
"""

ENVIRONMENTS = (
    {"PYTHONHASHSEED": "0", "LC_ALL": "C"},
    {"PYTHONHASHSEED": "4242", "LC_ALL": "de_DE.UTF-8", "TZ": "Pacific/Apia"},
    {"PYTHONHASHSEED": "1", "NPY_DISABLE_CPU_FEATURES": "X86_V4 AVX512_ICL", "OPENBLAS_CORETYPE": "Haswell"},
)


def test_the_same_bytes_in_every_environment() -> None:
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", SCRIPT],
            cwd=ROOT,
            env={**os.environ, **environment, "PYTHONPATH": str(ROOT)},
            stdout=subprocess.PIPE,
            text=True,
        )
        for environment in ENVIRONMENTS
    ]
    printed = [run.communicate(timeout=240)[0] for run in runs]
    assert [run.returncode for run in runs] == [0] * len(runs)
    assert len(printed[0].split()) == 6
    assert printed[1:] == printed[:1] * (len(runs) - 1)
