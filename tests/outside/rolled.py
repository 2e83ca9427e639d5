"""A beaded or jointed worm's outline by brute force: shapes sampled point by point, a ball rolled over all of them.

Nothing here comes from the product but the request's own parameters. Where beads stand: equal overlap (pitch over mean
bead length) on a straight girth makes the widths a geometric series, and a straight girth puts them where it has those
widths. The rolling ball is the grey-scale closing of mathematical morphology (Serra, Image Analysis and Mathematical
Morphology, 1982; from memory): a dilation by the ball, then an erosion by it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
NOWHERE = -1e9

BARREL_EDGE, CONE_EDGE, CONE_TAIL = 0.25, 0.10, 0.62  # over the bead's diameter: what the segments are declared as


@dataclass(frozen=True)
class Profile:
    """Half-thickness `y` at evenly spaced `x`, mm; 0 where there is nothing. Beads `centres` and `widths`."""

    x: Array
    y: Array
    centres: Array
    widths: Array


def beads(params: Mapping[str, Any]) -> tuple[Array, Array]:
    """Centres and widths of the beads."""
    length, width, taper = params["length"], params["bead_diameter"], params["taper"]
    count, ratio = params["bead_count"], params["bead_length_ratio"]
    widths = width * taper ** (np.arange(count) / (count - 1))
    first, last = ratio * widths[0] / 2, length - ratio * widths[-1] / 2
    if taper == 1:
        return np.linspace(first, last, count), widths
    return first + (last - first) * (widths[0] - widths) / (widths[0] - widths[-1]), widths


def rolled(params: Mapping[str, Any], ratio: float = 1.0, core_ratio: float = 1.0, step: float = 0.01) -> Profile:
    """The outline with beads `ratio` times as thick as their width (and the core `core_ratio` times its width).

    The core runs from the first to the last crest.
    """
    centres, widths = beads(params)
    x = np.linspace(0.0, params["length"], round(params["length"] / step) + 1)
    crests = _crests(centres, widths, params)
    plain = np.full(len(x), NOWHERE)
    for centre, width in zip(centres, widths, strict=True):
        _bead(plain, x, centre, width, ratio, params)
    if "core_diameter" in params:
        share = params["core_diameter"] * core_ratio / params["bead_diameter"]
        along = (x >= crests[0]) & (x <= crests[-1])
        core = np.interp(x, crests, share * widths / 2)
        plain = np.where(along, np.maximum(plain, core), plain)
    closed = _closed(plain, params["joint_blend"], float(x[1]), x, crests)
    return Profile(x, np.maximum(closed, 0.0), centres, widths)


def _bead(plain: Array, x: Array, centre: float, width: float, ratio: float, params: Mapping[str, Any]) -> None:
    half_length, half_height = params["bead_length_ratio"] * width / 2, ratio * width / 2
    inside = np.flatnonzero(np.abs(x - centre) <= half_length)
    away = x[inside] - centre
    segment = params.get("segment", "ball")
    if segment == "ball":
        height = half_height * np.sqrt(1 - (away / half_length) ** 2)
    else:
        share = BARREL_EDGE if segment == "barrel" else CONE_EDGE
        edge = min(share * width, 0.9 * half_height, 0.9 * half_length)
        rear = max(half_height * (CONE_TAIL if segment == "cone" else 1.0) - edge, 0.0)
        height = _hull(away, half_length - edge, half_height - edge, rear, edge)
    plain[inside] = np.maximum(plain[inside], height)


def _hull(away: Array, half_run: float, front: float, rear: float, edge: float) -> Array:
    """Upper outline of the hull of two discs of radius `edge` at (-half_run, front) and (half_run, rear)."""
    slope = (rear - front) / (2 * half_run)
    lean = edge * slope / np.sqrt(1 + slope * slope)
    line = front + slope * (away + half_run) + edge * np.sqrt(1 + slope * slope)
    at_front = front + np.sqrt(np.maximum(edge**2 - (away + half_run) ** 2, 0.0))
    at_rear = rear + np.sqrt(np.maximum(edge**2 - (away - half_run) ** 2, 0.0))
    return np.where(away < -half_run - lean, at_front, np.where(away > half_run - lean, at_rear, line))


def _crests(centres: Array, widths: Array, params: Mapping[str, Any]) -> Array:
    if params.get("segment") != "cone":
        return centres
    half_length, half = params["bead_length_ratio"] * widths / 2, widths / 2
    return centres - half_length + np.minimum(np.minimum(CONE_EDGE * widths, 0.9 * half), 0.9 * half_length)


def _closed(plain: Array, radius: float, step: float, x: Array, crests: Array) -> Array:
    """Between the first and the last crest; a gap that the ball would fall through is left as it is."""
    if radius <= 0:
        return plain
    reach = int(radius / step)
    cap = np.sqrt(np.maximum(radius**2 - (step * np.arange(-reach, reach + 1)) ** 2, 0.0))
    dilated = np.full(len(plain), NOWHERE)
    for shift, rise in zip(range(-reach, reach + 1), cap, strict=True):
        low, high = max(0, -shift), min(len(plain), len(plain) - shift)
        dilated[low:high] = np.maximum(dilated[low:high], plain[low + shift : high + shift] + rise)
    eroded = np.full(len(plain), -NOWHERE)
    for shift, rise in zip(range(-reach, reach + 1), cap, strict=True):
        low, high = max(0, -shift), min(len(plain), len(plain) - shift)
        eroded[low:high] = np.minimum(eroded[low:high], dilated[low + shift : high + shift] - rise)
    closed = plain.copy()
    for begin, end in pairwise(crests):
        gap = (x >= begin) & (x <= end)
        if dilated[gap].min() > radius:
            closed[gap] = np.maximum(plain[gap], eroded[gap])
    return closed
