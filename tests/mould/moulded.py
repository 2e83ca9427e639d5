"""Moulds for the tests, and their files read back."""

from __future__ import annotations

import io
import json
from functools import cache
from typing import Any

import numpy as np
import trimesh

from worker.build import Built, build
from worker.request import read_request

WORM = {"style": "stick_worm", "params": {"length": 60, "girth": 10, "nose": 8, "tail_end": 5}}


@cache
def _built(text: str) -> Built:
    return build(read_request(json.loads(text)))


def built(request: dict[str, Any], **mould: Any) -> Built:
    """The bait of a request with this mould and its files."""
    return _built(json.dumps({**request, "mould": mould, "outputs": ["stl", "mould"]}, sort_keys=True))


def part(bait: Built, name: str) -> trimesh.Trimesh:
    """A part as a reader of its STL file has it, its corners joined by their places."""
    mesh = trimesh.load(io.BytesIO(bait.files[f"{name}.stl"]), file_type="stl")
    assert isinstance(mesh, trimesh.Trimesh)
    mesh.merge_vertices(digits_vertex=6)
    return mesh


def closed_up(upper: trimesh.Trimesh) -> trimesh.Trimesh:
    """The upper half turned back from its bed onto the lower one."""
    turned = upper.copy()
    turned.apply_transform(np.diag([1.0, -1.0, -1.0, 1.0]))
    return turned


def check(bait: Built, name: str) -> dict[str, Any]:
    """The answer to one check."""
    (answer,) = (each for each in bait.checks if each["check"] == name)
    return answer


def shared(one: trimesh.Trimesh, other: trimesh.Trimesh) -> float:
    """mm3 that two closed meshes have in common; where they only touch, the booleans leave flat triangles or none."""
    both = trimesh.boolean.intersection([one, other], engine="manifold")
    a, b, c = np.asarray(both.triangles).reshape(-1, 3, 3).transpose(1, 0, 2)
    return float((a * np.cross(b, c)).sum() / 6)
