"""Which points lie off a surface: the proof that a thinned mesh is as near to the full one as it says."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from worker.files.mesh_arrays import Corners, Points, cross, dot

_STEP_MM = 0.7
"""How close together the places lie by which the triangles near to a point are looked up."""

_MOST_PARTS = 64


def spread(points: Points, corners: Corners, step_mm: float) -> tuple[Points, NDArray[np.int64]]:
    """Places on every triangle about `step_mm` apart, and the triangle that each lies on.

    They stand in rows along the triangle's longest edge, so that a long splinter has one row and not a crowd.
    """
    sides = np.stack([_length(points[corners[:, (k + 1) % 3]] - points[corners[:, k]]) for k in range(3)], axis=1)
    longest = sides.argmax(axis=1)
    row = np.arange(len(corners))
    a, b, apex = (points[corners[row, (longest + slot) % 3]] for slot in range(3))
    base = sides[row, longest]
    height = _length(cross(b - a, apex - a)) / np.maximum(base, 1e-300)
    along, across = (np.clip(np.ceil(size / step_mm), 1, _MOST_PARTS).astype(np.int64) for size in (base, height))
    places, owners = [], []
    for kind in np.unique(along * (_MOST_PARTS + 1) + across).tolist():
        parts, rows = divmod(kind, _MOST_PARTS + 1)
        chosen = np.flatnonzero((along == parts) & (across == rows))
        start, edge, rise = a[chosen], b[chosen] - a[chosen], apex[chosen] - a[chosen]
        for number in range(rows):
            up = (number + (0.5 if rows > 1 else 1 / 3)) / rows
            count = max(1, round(parts * (1 - up)))
            for place in range(count):
                places.append(start + rise * up + edge * ((1 - up) * (place + 0.5) / count))
                owners.append(chosen)
    return np.concatenate(places), np.concatenate(owners)


def beyond(
    tested: Points, points: Points, corners: Corners, limit_mm: float
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """The numbers of the points `tested` (k, 3) that are farther than `limit_mm` from the surface, and how far.

    The triangles looked at for a point are those of the places nearest to it, or nearly so, first one, then more where
    that does not do. So a point left out is near, that is proved; one named, and its distance, may be too strict.
    """
    left = np.arange(len(tested))
    away = np.zeros(0)
    places, owners = spread(points, corners, _STEP_MM)
    tree = cKDTree(places)
    for neighbours in (1, 8, 48):
        if len(left) == 0:
            break
        _, nearest = tree.query(tested[left], k=min(neighbours, len(places)), eps=1.0)
        away = np.full(len(left), np.inf)
        for triangles in owners[nearest.reshape(len(left), -1)].T:
            still = np.flatnonzero(away > limit_mm)
            distance = _distance(tested[left[still]], points, corners[triangles[still]])
            away[still] = np.minimum(away[still], distance)
        left, away = left[away > limit_mm], away[away > limit_mm]
    return left, away


def _distance(tested: Points, points: Points, triangles: Corners) -> NDArray[np.float64]:
    """From each point to its triangle: to its plane where the foot falls inside, else to the nearest edge."""
    a, b, c = (points[triangles[:, slot]] for slot in range(3))
    along, across, away = b - a, c - a, tested - a
    uu, uv, vv = dot(along, along), dot(along, across), dot(across, across)
    du, dv = dot(away, along), dot(away, across)
    scale = uu * vv - uv * uv
    flat = scale <= 1e-12 * uu * vv  # corners all but in one line have edges and no plane
    scale = np.where(flat, 1.0, scale)
    u, v = (vv * du - uv * dv) / scale, (uu * dv - uv * du) / scale
    inside = ~flat & (u >= 0) & (v >= 0) & (u + v <= 1)
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
