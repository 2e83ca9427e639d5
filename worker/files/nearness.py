"""Whether points lie near a surface: the proof that a thinned mesh is as near to the full one as it says."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from worker.files.mesh_arrays import Corners, Points, dot

_STEP_MM = 0.7
"""How close together the places lie by which the triangles near to a point are looked up."""

_MOST_STEPS = 48


def spread(points: Points, corners: Corners, step_mm: float) -> tuple[Points, NDArray[np.int64]]:
    """Places on the triangles `step_mm` apart, and the triangle that each lies on: the middles of equal parts."""
    a, b, c = (points[corners[:, slot]] for slot in range(3))
    longest = np.maximum(np.maximum(_length(b - a), _length(c - b)), _length(a - c))
    parts = np.clip(np.ceil(longest / step_mm), 1, _MOST_STEPS).astype(np.int64)
    places, owners = [], []
    for count in np.unique(parts).tolist():
        chosen = np.flatnonzero(parts == count)
        origin, along, across = a[chosen], b[chosen] - a[chosen], c[chosen] - a[chosen]
        for i in range(count):
            for j in range(count - i):
                places.append(origin + along * ((i + 1 / 3) / count) + across * ((j + 1 / 3) / count))
                owners.append(chosen)
    return np.concatenate(places), np.concatenate(owners)


def all_within(tested: Points, points: Points, corners: Corners, limit_mm: float) -> bool:
    """Whether every one of the points `tested` (k, 3) lies within `limit_mm` of the surface.

    The triangles looked at for a point are those of the places nearest to it, or nearly so, first one, then more where
    that does not do; so true is proved, and false may in rare cases be too strict.
    """
    if len(tested) == 0:
        return True
    places, owners = spread(points, corners, _STEP_MM)
    tree = cKDTree(places, balanced_tree=False, compact_nodes=False)
    for neighbours in (1, 8, 48):
        _, nearest = tree.query(tested, k=min(neighbours, len(places)), eps=1.0)
        nearest = owners[nearest.reshape(len(tested), -1)]
        far = np.ones(len(tested), np.bool_)
        for choice in range(nearest.shape[1]):
            left = np.flatnonzero(far)
            far[left] = _distance(tested[left], points, corners[nearest[left, choice]]) > limit_mm
        tested = tested[far]
        if len(tested) == 0:
            return True
    return False


def _distance(tested: Points, points: Points, triangles: Corners) -> NDArray[np.float64]:
    """From each point to its triangle: to its plane where the foot falls inside, else to the nearest edge."""
    a, b, c = (points[triangles[:, slot]] for slot in range(3))
    along, across, away = b - a, c - a, tested - a
    uu, uv, vv = dot(along, along), dot(along, across), dot(across, across)
    du, dv = dot(away, along), dot(away, across)
    scale = np.maximum(uu * vv - uv * uv, 1e-300)
    u, v = (vv * du - uv * dv) / scale, (uu * dv - uv * du) / scale
    inside = (u >= 0) & (v >= 0) & (u + v <= 1)
    foot = _length(away - along * u[:, None] - across * v[:, None])
    edges = np.minimum(np.minimum(_to_edge(tested, a, b), _to_edge(tested, b, c)), _to_edge(tested, c, a))
    return np.where(inside, foot, edges)


def _to_edge(tested: Points, start: Points, end: Points) -> NDArray[np.float64]:
    along, away = end - start, tested - start
    share = np.clip(dot(away, along) / np.maximum(dot(along, along), 1e-300), 0.0, 1.0)
    return _length(away - along * share[:, None])


def _length(rows: Points) -> NDArray[np.float64]:
    length: NDArray[np.float64] = np.sqrt(dot(rows, rows))
    return length
