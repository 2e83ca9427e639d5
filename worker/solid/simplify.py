"""Simpler bodies of a closed mesh, as the kernel gives them: candidates, to be proved by whoever uses one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

import manifold3d
import numpy as np
from numpy.typing import NDArray

from worker.errors import GeometryFailed

KernelBody: TypeAlias = manifold3d.Manifold

_FINE, _MIDDLING, _COARSE = 0.25, 0.45, 0.8
"""Shares of the deviation given to the simplification as its tolerance. It moves smooth surfaces by no more than that,
but was seen to move sharp corners where details meet by up to ten times as much; hence the proof of each result."""

Mesh = tuple[NDArray[np.float64], NDArray[np.int64]]


def closed_body(vertices: NDArray[np.float64], triangles: NDArray[np.int64]) -> KernelBody:
    """The kernel's body of a mesh, (n, 3) in mm and (m, 3). Raises GeometryFailed where it does not close."""
    body = manifold3d.Manifold(manifold3d.Mesh64(vertices, triangles.astype(np.uint64)))
    if body.status() != manifold3d.Error.NoError:
        raise GeometryFailed(f"The mesh is no closed surface: {body.status().name}")
    return body


def simplifications(body: KernelBody, deviation_mm: float, enough: int) -> Iterator[Mesh]:
    """Simpler meshes in the order to try them in: coarse ones come first where the fine one has more than `enough`."""
    fine = body.simplify(_FINE * deviation_mm)
    if fine.num_tri() > enough:
        yield _mesh(fine.simplify(_COARSE * deviation_mm))
        yield _mesh(fine.simplify(_MIDDLING * deviation_mm))
    yield _mesh(fine)


def _mesh(body: KernelBody) -> Mesh:
    mesh = body.to_mesh64()
    return np.array(mesh.vert_properties[:, :3]), np.array(mesh.tri_verts, np.int64)
