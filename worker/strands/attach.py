"""Where a strand leaves its parent: the station on both, and how the parent's surface falls away there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from worker.strands.many import Many, frames_of
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
    return attach_all((strand,), parent, blend)[0]


def attach_all(strands: Sequence[Strand], parent: Strand, blend: float) -> tuple[Strand, ...]:
    """As `attach`, many strands at once: the parent is asked about all of them together. Raises RootOutside."""
    if not strands:
        return ()
    leaves = _leaves([strand.path for strand in strands], parent, [strand.name for strand in strands])
    many, at, counts = Many(tuple(strands)), np.array(leaves), [1] * len(strands)
    point, left, back = many.frames(at, counts)
    half_width, upward, downward = many.sizes(at, counts)
    reaches = np.stack([half_width, half_width, upward, downward], axis=1) + blend
    sides = np.stack([left, -left, back, -back], axis=1).reshape(-1, 3)
    reach = reaches.ravel()
    rims = np.repeat(point, 4, axis=0) + reach[:, None] * sides
    drops = _drops(parent, rims, np.repeat(cross(left, back), 4, axis=0), reach).reshape(-1, 4)
    station = parent.path.nearest(point)
    rooted = []
    for row, strand in enumerate(strands):
        root = Root(
            parent=parent.name,
            station=float(station[row]),
            leaves=leaves[row],
            blend=blend,
            reach=_four(reaches[row]),
            drops=_four(drops[row]),
            on=parent,
        )
        rooted.append(replace(strand, root=root))
    return tuple(rooted)


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


def nearly_outside(strand: Strand, points: Array, *, relief: bool = False) -> Array:
    """As `outside`, quicker for many points: on curved paths to a thousandth of their turns' radii."""
    at = strand.path.beside(points)
    sizes = (strand.body if relief else strand.smooth).sizes(at.station)
    return strand.section.beyond(*sizes, at.left, at.back) + np.where(at.past > 1e-6, 1 + at.past, 0.0)


def inside(strand: Strand, points: Array) -> NDArray[np.bool_]:
    """Whether each of many points (n, 3) lies in the strand, relief and all."""
    return np.asarray(nearly_outside(strand, points, relief=True) < 0)


def leaves_at(path: Path, parent: Strand, name: str) -> float:
    """Station at which the path of the strand `name` first leaves `parent`. Raises RootOutside."""
    return _leaves([path], parent, [name])[0]


def _leaves(paths: Sequence[Path], parent: Strand, names: Sequence[str]) -> list[float]:
    """The same of every path."""
    low, high = np.zeros(len(paths)), np.array([path.length for path in paths])
    row = np.arange(len(paths))
    for steps in (COARSE, FINE, FINE):
        station = low[:, None] + (high - low)[:, None] * np.arange(steps + 1) / steps
        places = frames_of(paths, station.ravel(), [steps + 1] * len(paths))[0]
        out = outside(parent, places).reshape(station.shape)
        after = (out > 0).argmax(axis=1)  # 0 where it begins outside, and where it never leaves
        for stays in np.flatnonzero(after == 0).tolist():
            raise RootOutside(f"the {names[stays]} does not grow out of the {parent.name}")
        low, high = station[row, after - 1], station[row, after]
    before, behind = out[row, after - 1], out[row, after]
    # Where the path comes out at the parent's flat end there is nothing to be told from how far it is outside.
    found = np.where(behind < 1, low - before / (behind - before) * (high - low), (low + high) / 2)
    return [float(each) for each in found]


def _drops(parent: Strand, points: Array, tangent: Array, reach: Array) -> Array:
    """How far against its `tangent` the parent's surface lies below each point; beyond `reach` if it is never met."""
    low, high = -1.5 * reach, 1.5 * reach
    row = np.arange(len(points))
    for steps in (COARSE, FINE, FINE):
        depth = low[:, None] + (high - low)[:, None] * np.arange(steps + 1) / steps
        places = points[:, None, :] - depth[:, :, None] * tangent[:, None, :]
        out = outside(parent, places.reshape(-1, 3)).reshape(depth.shape)
        first = np.where((out <= 0).any(axis=1), (out <= 0).argmax(axis=1), steps)
        low, high = depth[row, np.maximum(first - 1, 0)], depth[row, first]
    return (low + high) / 2


def _four(values: Array) -> tuple[float, float, float, float]:
    left, right, back, belly = values.tolist()
    return left, right, back, belly
