"""The same picture on every processor, in every process."""

from __future__ import annotations

import ast
import hashlib
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.picture.meshes import Mesh, craw, worm
from worker.picture import finish_from_request, prepare, render, thumbnails, turntable, views
from worker.picture.lie import Laminate
from worker.picture.pose import bend_of
from worker.picture.scene import Prepared
from worker.picture.shares import heights_of_shares

ROOT = Path(__file__).parents[2]
FINISH = finish_from_request({"colour": "#3f6b2a", "glitter": {"colour": "#ffd700", "size_mm": 0.6, "per_cm3": 60}})


def digest() -> str:
    """Over pictures from all sides, on all backgrounds, as pixels and as files."""
    total = hashlib.sha256()
    for mesh in (worm(), craw()):
        for view, background in (
            ("three_quarter", "white"),
            ("front", "transparent"),
            ((20.0, 5.0), "dark"),
            ("top", "white"),
        ):
            image = render(*mesh, finish=FINISH, view=view, width=160, height=120, background=background)
            total.update(np.asarray(image).tobytes())
        prepared = prepare(*mesh, FINISH)
        files = {**thumbnails(prepared, sizes=((128, 96),)), **views(prepared)}
        files |= turntable(posed(mesh), (96, 64), 8, 2.0, "dark")
        for name, content in sorted(files.items()):
            total.update(name.encode() + content)
    return total.hexdigest()


def posed(mesh: Mesh) -> Prepared:
    """A laminate of two fluorescent colours, bent."""
    vertices, triangles = mesh
    heights = heights_of_shares(vertices, triangles, [0.4, 0.6])
    finish = replace(FINISH, fluorescent=True, lie=Laminate(((0.02, 0.03, 0.01), (0.8, 0.6, 0.1)), heights))
    line = np.stack([np.linspace(5, 120, 4 * 12 + 1), np.zeros(49), np.zeros(49)], axis=1)
    bend = bend_of(line, [0.1 * number for number in range(12)])
    return prepare(bend.bent(vertices), triangles, finish, vertices[:, 2], floats=True)


def digest_elsewhere(**environment: str) -> str:
    result = subprocess.run(
        [sys.executable, "-c", "from tests.picture.test_same_bytes import digest; print(digest())"],
        cwd=ROOT,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    assert result.stderr == "", "an instruction set that could not be switched off would prove nothing"
    return result.stdout.strip()


def processor_levels() -> list[str]:
    """The instruction sets beyond the baseline for which NumPy holds code, as far as this processor has them."""
    from numpy._core._multiarray_umath import (  # type: ignore[import-not-found]
        __cpu_dispatch__,
        __cpu_features__,
    )

    return [name for name in __cpu_dispatch__ if __cpu_features__.get(name)]


@pytest.mark.proof
def test_processor_levels_locale_and_hash_seed_change_nothing() -> None:
    here = digest()
    levels = processor_levels()
    assert digest_elsewhere(NPY_DISABLE_CPU_FEATURES=" ".join(levels), PYTHONHASHSEED="1", LC_ALL="C") == here
    if len(levels) > 1:
        newest = " ".join(levels[1:])
        assert digest_elsewhere(NPY_DISABLE_CPU_FEATURES=newest, PYTHONHASHSEED="2") == here


def test_nothing_is_called_whose_last_bit_depends_on_the_processor() -> None:
    """BLAS (matrix products) and NumPy's vector forms of exp, log, power, tan, arccos and their like."""
    barred = {
        "dot", "matmul", "inner", "vdot", "tensordot", "einsum", "linalg", "fft", "exp", "exp2", "expm1", "log",
        "log2", "log10", "log1p", "power", "float_power", "tan", "arccos", "arcsin", "arctan", "sinh", "cosh",
        "tanh", "cbrt", "reciprocal", "sin", "cos",
    }  # fmt: skip
    found = []
    for path in sorted((ROOT / "worker" / "picture").glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.BinOp) and isinstance(node.op, ast.MatMult):
                found.append(f"{path.name}:{node.lineno}: @")
            if isinstance(node, ast.Attribute) and node.attr in barred and _of_numpy(node):
                found.append(f"{path.name}:{node.lineno}: {node.attr}")
    assert found == []


def _of_numpy(node: ast.Attribute) -> bool:
    return isinstance(node.value, ast.Name) and node.value.id == "np"
