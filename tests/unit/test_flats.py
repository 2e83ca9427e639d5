"""A triangle whose corners lie on one line gives its middle corner to its neighbour, and no point moves."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from worker.solid.flats import flat, without_flats

SQUARE = np.array([[0, 0, 0], [8, 0, 0], [8, 8, 0], [0, 8, 0], [4, 4, 9]])
BASE = [[0, 3, 2], [0, 2, 1], [0, 1, 4], [1, 2, 4], [2, 3, 4], [3, 0, 4]]


def pyramid(*at: int) -> tuple[np.ndarray, np.ndarray]:
    """A pyramid with further corners on one side of its base, and flat triangles from there to the side's ends."""
    steps = np.concatenate([SQUARE, [[x, 0, 0] for x in at]])
    row = [0, *range(5, 5 + len(at)), 1]
    # The face over that side begins and ends at its corners; a fan of flat ones lies between it and the base.
    faces = [face for face in BASE if face != [0, 1, 4]]
    faces += [[row[k], row[k + 1], 4] for k in range(len(row) - 1)]
    faces += [[row[k + 1], row[k], 1] for k in range(len(row) - 2)]
    return steps, np.array(faces)


@pytest.mark.parametrize("at", [(3,), (2, 5), (1, 2, 3, 7)])
def test_the_surface_stays_and_every_triangle_has_an_area(at: tuple[int, ...]) -> None:
    steps, faces = pyramid(*at)
    before = trimesh.Trimesh(steps, faces, process=False)
    assert before.is_watertight and len(flat(steps, faces)) == len(at)
    mended = without_flats(steps, faces)
    after = trimesh.Trimesh(steps, mended, process=False)
    assert len(flat(steps, mended)) == 0 and after.area_faces.min() > 0
    assert after.is_watertight and after.is_winding_consistent and len(mended) == len(faces)
    assert after.volume == pytest.approx(8 * 8 * 9 / 3) and after.area == pytest.approx(before.area)


def test_a_mesh_without_flat_ones_is_the_same_mesh() -> None:
    faces = np.array(BASE)
    assert without_flats(SQUARE, faces) is faces
