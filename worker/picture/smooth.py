"""Blurs over windows of pixels, written as sums so that they come out alike everywhere."""

from __future__ import annotations

import numpy as np

from worker.picture.vector import Floats

_Part = tuple[slice, ...]


def pattern_mean(planes: Floats, cover: Floats, depth: Floats, tolerance: float) -> Floats:
    """Mean of planes (k, rows, columns) over the pattern of four by four pixels, not across steps in depth.

    The weights 1/2, 1, 1, 1, 1/2 in both directions hold each place of a pattern of four exactly once, so that
    what differs between the pattern's pixels vanishes. `cover` is 1 where there is a value; `tolerance` is the
    difference in depth from one pixel to the next, in mm, that still counts as the same surface.
    """
    for axis in (0, 1):
        links = []
        weight = cover.copy()
        for shift, share in ((1, 1.0), (2, 0.5)):
            low = tuple(slice(None, -shift) if i == axis else slice(None) for i in range(2))
            high = tuple(slice(shift, None) if i == axis else slice(None) for i in range(2))
            near = np.abs(depth[high] - depth[low]) < np.float32(tolerance * shift)
            link = near.astype(np.float32) * np.float32(share)
            for to, source in ((high, low), (low, high)):
                part = link * cover[source]
                weight[to] += part
                links.append((to, source, part))
        inverse: Floats = np.divide(np.float32(1), np.maximum(weight, np.float32(1e-6)))
        # Plane by plane, for one plane stays in the cache.
        planes = np.stack([_linked(plane, cover, links) * inverse for plane in planes])
    return planes


def _linked(plane: Floats, cover: Floats, links: list[tuple[_Part, _Part, Floats]]) -> Floats:
    total: Floats = plane * cover
    for to, source, part in links:
        total[to] += plane[source] * part
    return total


def soft(plane: Floats, radius: float, passes: int = 3) -> Floats:
    """A blur of about a bell's shape: `passes` running means of `2 radius + 1` cells in both directions.

    The plane is taken as zero outside.
    """
    half = int(radius + 0.5)
    if half < 1 or plane.size == 0:
        return plane
    for axis in (0, 1):
        for _ in range(passes):
            plane = _running_mean(plane, half, axis)
    return plane


def _running_mean(plane: Floats, half: int, axis: int) -> Floats:
    """Mean over `2 half + 1` cells along an axis, as the difference of two running sums."""
    wide = 2 * half + 1
    padding = [(0, 0), (0, 0)]
    padding[axis] = (half + 1, half)
    sums = np.cumsum(np.pad(plane, padding), axis=axis, dtype=np.float64)
    upper, lower = (sums[wide:], sums[:-wide]) if axis == 0 else (sums[:, wide:], sums[:, :-wide])
    return ((upper - lower) * (1 / wide)).astype(np.float32)
