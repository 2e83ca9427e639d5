"""Where a strand leaves its parent: the station on both, and how the parent's surface falls away there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from worker.strands.path import Path
from worker.strands.roots import Array
from worker.strands.strand import Root, Strand
from worker.strands.vectors import cross, dot

COARSE, FINE = 24, 12
"""Steps of the first look along a line and of each closer one."""


class RootOutside(ValueError):
    """A strand whose root does not lie inside its parent, or that never leaves it."""


def attach(strand: Strand, parent: Strand, blend: float) -> Strand:
    """`strand` with its root: it flares into `parent` as a ball of `blend` mm rolls. Raises RootOutside."""
    leaves = leaves_at(strand.path, parent, strand.name)
    point, left, back = strand.path.frames(np.array([leaves]))
    tangent = cross(left, back)
    half_width, upward, downward = (float(size[0]) for size in strand.body.sizes(np.array([leaves])))
    reach = np.array([half_width, half_width, upward, downward]) + blend
    sides = np.concatenate([left, -left, back, -back])
    drops = _drops(parent, point + reach[:, None] * sides, tangent, reach)
    root = Root(
        parent=parent.name,
        station=float(parent.path.nearest(point)[0]),
        leaves=leaves,
        blend=blend,
        reach=_four(reach),
        drops=_four(drops),
        on=parent,
    )
    return replace(strand, root=root)


def outside(strand: Strand, points: Array, *, relief: bool = False) -> Array:
    """Distance from the path over the section's own reach that way, less 1: below 0 inside.

    Roots are measured from the strand without its relief, so that a rib's edge does not move them.
    """
    station = strand.path.nearest(points)
    centre, left, back = strand.path.frames(station)
    away = points - centre
    sizes = (strand.body if relief else strand.smooth).sizes(station)
    out = strand.section.beyond(*sizes, dot(away, left), dot(away, back))
    beyond = np.abs(dot(away, cross(left, back)))
    return np.asarray(out + np.where(beyond > 1e-6, 1 + beyond, 0.0))


def inside(strand: Strand, points: Array) -> NDArray[np.bool_]:
    """Whether each of many points (n, 3) lies in the strand, relief and all; quicker than `outside`, and as good."""
    at = strand.path.beside(points)
    return np.asarray((strand.section.beyond(*strand.body.sizes(at.station), at.left, at.back) < 0) & (at.past < 1e-6))


def leaves_at(path: Path, parent: Strand, name: str) -> float:
    """Station at which the path of the strand `name` first leaves `parent`. Raises RootOutside."""
    low, high = 0.0, path.length
    for steps in (COARSE, FINE, FINE):
        station = low + (high - low) * np.arange(steps + 1) / steps
        out = outside(parent, path.frames(station)[0])
        after = np.flatnonzero(out > 0)
        if out[0] > 0 or len(after) == 0:
            raise RootOutside(f"the {name} does not grow out of the {parent.name}")
        low, high = float(station[after[0] - 1]), float(station[after[0]])
    before, behind = float(out[after[0] - 1]), float(out[after[0]])
    return low - before / (behind - before) * (high - low) if behind < 1 else (low + high) / 2


def _drops(parent: Strand, points: Array, tangent: Array, reach: Array) -> Array:
    """How far against `tangent` the parent's surface lies below each point; beyond `reach` where it is never met."""
    low, high = -1.5 * reach, 1.5 * reach
    row = np.arange(len(points))
    for steps in (COARSE, FINE, FINE):
        depth = low[:, None] + (high - low)[:, None] * np.arange(steps + 1) / steps
        out = outside(parent, (points[:, None, :] - depth[:, :, None] * tangent).reshape(-1, 3)).reshape(depth.shape)
        first = np.where((out <= 0).any(axis=1), (out <= 0).argmax(axis=1), steps)
        low, high = depth[row, np.maximum(first - 1, 0)], depth[row, first]
    return (low + high) / 2


def _four(values: Array) -> tuple[float, float, float, float]:
    left, right, back, belly = values.tolist()
    return left, right, back, belly
