"""Is a mesh a sound solid? Asked of the triangles alone, and of readers that are not ours.

Whether a closed surface runs into itself is told by how often it winds around a point: once inside of a solid, not at
all outside. Cut by a plane, the sum of the cut's signed areas counts every place as often as it is wound around; the
fill of the same cut (Clipper2, by the rule that a positive winding is inside) counts it once. The two differ by exactly
the area that is wound around twice, or backwards. So a few dozen cuts in three directions tell any overlap that is not
far thinner than their spacing; what is buried in thin folds is told by points a hair inside and outside of the surface,
whose winding is the sum of the solid angles of all triangles over 4 pi (van Oosterom and Strackee, IEEE Transactions on
Biomedical Engineering 30 (1983) 125). Comparing triangle with triangle for crossings would find the roundings of a
union too, where corners lie within 1e-5 mm of each other's faces without any harm.
"""

from __future__ import annotations

import io
import zipfile
from xml.etree import ElementTree

import numpy as np
import trimesh
from numpy.typing import NDArray

from tests.outside.made import volume
from worker.files.stl import write_stl
from worker.files.threemf import MODEL_PART, write_3mf
from worker.solid.rings import Triangles
from worker.solid.solid import Solid

Array = NDArray[np.float64]
CUTS, POINTS = 16, 48
"""Planes in each direction, and points beside the surface."""
HAIR_MM = 2e-3
"""How far beside the surface the points lie."""


def assert_sound(solid: Solid, pieces: int) -> None:
    """Closed, outward, positive, without overlaps, in so many pieces, and the same to readers of STL and 3MF."""
    assert_closed(solid)
    assert len(solid.parts) == pieces
    assert all(part.volume() > 0 for part in solid.parts)
    assert doubly_wound(solid) < 1e-4
    assert misplaced(solid) == 0
    assert_read_back(solid)


def assert_closed(solid: Solid) -> None:
    """Every edge, corners at one place being one, has one triangle on each side, turned the same way round."""
    _, corner = np.unique(solid.vertices, axis=0, return_inverse=True)
    triangles = corner.ravel()[solid.triangles]
    assert (triangles != np.roll(triangles, 1, axis=1)).all(), "a triangle without area"
    edges = triangles[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2)
    count = len(corner)
    there, back = edges[:, 0] * count + edges[:, 1], edges[:, 1] * count + edges[:, 0]
    assert len(np.unique(there)) == len(there), "two triangles on one side of an edge"
    assert (np.sort(there) == np.sort(back)).all(), "an edge with a triangle on one side alone"
    assert volume(solid) > 0


def doubly_wound(solid: Solid) -> float:
    """Greatest difference between the signed and the filled area of a cut, over the filled area."""
    worst = 0.0
    for turn, turned in (((0.0, -90.0, 0.0), [1, 2, 0]), ((90.0, 0.0, 0.0), [0, 2, 1]), ((0.0, 0.0, 0.0), [0, 1, 2])):
        body = solid.body.rotate(list(turn))
        # Rotations by the kernel, and the same as an order of the axes here: the heights are those of the last axis.
        heights = solid.vertices[:, turned[2]]
        low, high = float(heights.min()), float(heights.max())
        sign = 1.0 if abs(body.bounding_box()[2] - low) < 1e-3 else -1.0
        for share in (np.arange(CUTS) + 0.5137) / CUTS:
            height = low + float(share) * (high - low)
            filled = float(body.slice(sign * height).area())
            signed = signed_area(solid.vertices[:, turned], solid.triangles, height)
            worst = max(worst, abs(abs(signed) - filled) / max(filled, 1e-3))
    return worst


def signed_area(vertices: Array, triangles: Triangles, height: float) -> float:
    """Area of the cut at z = `height`, every place counted as often as the surface winds around it.

    Each triangle that crosses the plane gives one edge of the cut, directed by which corner lies above.
    """
    above = vertices[:, 2] > height
    crossing = triangles[above[triangles].any(axis=1) & ~above[triangles].all(axis=1)]
    # Turned so that the first corner is the one on its own side.
    up = above[crossing]
    alone = np.where(up.sum(axis=1) == 1, up.argmax(axis=1), (~up).argmax(axis=1))
    rows = np.arange(len(crossing))
    a, b, c = (vertices[crossing[rows, (alone + turn) % 3]] for turn in range(3))
    ends = []
    for other in (b, c):
        share = ((height - a[:, 2]) / (other[:, 2] - a[:, 2]))[:, None]
        ends.append(a[:, :2] + share * (other[:, :2] - a[:, :2]))
    one, two = ends
    sign = np.where(up.sum(axis=1) == 1, 1.0, -1.0)
    return float((sign * (one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0])).sum() / 2)


def misplaced(solid: Solid) -> int:
    """How many of some points a hair inside of the surface are not wound around once, or outside of it at all."""
    corners = solid.vertices[solid.triangles]
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    area = np.linalg.norm(normals, axis=1)
    # Even steps through the area; triangles too narrow for the hair are passed over.
    inside = 2 * area / np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).sum(axis=1)
    wide = np.flatnonzero(inside > 4 * HAIR_MM)
    steps = (np.arange(POINTS) + 0.5) / POINTS * area[wide].sum()
    chosen = wide[np.searchsorted(np.cumsum(area[wide]), steps)]
    middle = corners[chosen].mean(axis=1)
    out = normals[chosen] / area[chosen][:, None]
    within, without = (np.round(winding(solid, middle + side * HAIR_MM * out), 3) for side in (-1, 1))
    return int((np.abs(within - 1) > 0.01).sum() + (np.abs(without) > 0.01).sum())


def winding(solid: Solid, points: Array) -> Array:
    """How often the surface winds around each point, (n,).

    Of the formula's products all that does not depend on the point is worked out once: the triple product of the three
    ways to the corners is that of any of them with twice the triangle's area vector, and the product of two of them
    follows from their lengths and the edge between (law of cosines).
    """
    one, two, three = (np.ascontiguousarray(solid.triangles[:, corner]) for corner in range(3))
    first, second, third = (solid.vertices[corner] for corner in (one, two, three))
    areas = np.cross(second - first, third - first)
    reach = np.einsum("ij,ij->i", first, areas)
    edges = [((to - start) ** 2).sum(axis=1) for start, to in ((first, second), (second, third), (third, first))]
    found = []
    for point in points:
        squares = ((solid.vertices - point) ** 2).sum(axis=1)
        lengths = np.sqrt(squares)
        a, b, c = (lengths[corner] for corner in (one, two, three))
        aa, bb, cc = (squares[corner] for corner in (one, two, three))
        ab, bc, ca = ((x + y - edge) / 2 for x, y, edge in zip((aa, bb, cc), (bb, cc, aa), edges, strict=True))
        angles = np.arctan2(reach - areas @ point, a * b * c + ab * c + bc * a + ca * b)
        found.append(2 * angles.sum() / (4 * np.pi))
    return np.array(found)


def assert_read_back(solid: Solid) -> None:
    """What trimesh reads from the STL, and an XML parser from the 3MF, is the solid."""
    read = trimesh.load_mesh(io.BytesIO(write_stl(solid.vertices, solid.triangles)), file_type="stl")
    assert len(read.faces) == len(solid.triangles)
    assert read.is_watertight and read.is_winding_consistent
    assert abs(read.volume / volume(solid) - 1) < 1e-5
    assert np.abs(read.bounds - [solid.vertices.min(axis=0), solid.vertices.max(axis=0)]).max() < 1e-4
    with zipfile.ZipFile(io.BytesIO(write_3mf(solid.vertices, solid.triangles))) as package:
        model = ElementTree.fromstring(package.read(MODEL_PART))
    vertices = np.array([[float(vertex.get(axis, "")) for axis in "xyz"] for vertex in model.iter(f"{_CORE}vertex")])
    corners = ("v1", "v2", "v3")
    triangles = np.array([[int(each.get(corner, "")) for corner in corners] for each in model.iter(f"{_CORE}triangle")])
    assert np.array_equal(vertices, solid.vertices)
    assert np.array_equal(triangles, solid.triangles)


_CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"
