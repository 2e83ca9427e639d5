"""Closing a row of humps with a rolling ball: the rounds that fill the creases, exactly, in two dimensions.

A ball rolls over the humps (and over the floor, the core, where there is one). Wherever it touches two of them at once
it stays above what lies between: its own circle is the outline there. Solved gap by gap, all gaps at once.
Exact values of two spheres: half-way plane, neck and touching points of a rolling-ball fillet between circles.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from worker.strands.humps import Curves, Humps, Index
from worker.strands.outline import BLEND, BULGE, CURVE, Gaps, Outline, Pieces
from worker.strands.roots import Array, falling_crossing

SAME_LEVEL = 1e-9
"""Crests nearer in height than this, mm, are level."""


class HumpsHidden(ValueError):
    """A hump lies wholly inside its neighbour, so that there is no gap between the two to speak of."""


@dataclass(frozen=True)
class Floor:
    """A core below the humps, straight from crest to crest: its half-thickness `height` at each."""

    height: Array


def hides_one(humps: Humps, blend: float) -> bool:
    """Whether a hump lies wholly inside its neighbour: over its crest the ball rests on the neighbour.

    Equal level tops that run into one another hide nothing: they are one level top.
    """
    first, then = np.arange(len(humps.crest_x) - 1), np.arange(1, len(humps.crest_x))
    on_crest = humps.crest_y + blend + SAME_LEVEL
    over_first = humps.centre_height(then, humps.crest_x[:-1], blend) < on_crest[:-1]
    over_then = humps.centre_height(first, humps.crest_x[1:], blend) < on_crest[1:]
    return not bool(np.all(over_first & over_then))


def close(humps: Humps, blend: float, floor: Floor | None = None, parted: NDArray[np.bool_] | None = None) -> Outline:
    """The outline of `humps` and `floor`, every inner edge filled with a round of radius `blend` mm (0: left sharp).

    `parted` names gaps that stay open although the ball would bridge them. Raises HumpsHidden.
    """
    left = np.arange(len(humps.crest_x) - 1)
    if hides_one(humps, blend):
        raise HumpsHidden("a bead lies wholly inside its neighbour")
    bridge = _bridges(humps, left, blend)
    core = _cores(humps, floor, bridge, blend)
    over_core = np.zeros(len(left), dtype=bool)
    over_core[core.gap] = True
    bridged = bridge.y - blend > 0
    if parted is not None:
        bridged &= ~parted
    bridged[core.gap] = False
    joined = bridged | over_core
    begin, end = bridge.x.copy(), bridge.x.copy()
    begin[core.gap], end[core.gap] = core.begin, core.end
    void = (humps.right[:-1] + humps.left[1:]) / 2
    station = np.where(bridged, np.clip(bridge.x, bridge.touch_left, bridge.touch_right), void)
    station[core.gap] = core.thinnest_x
    neck = np.where(bridged, bridge.y - blend, 0.0)
    neck[core.gap] = core.thinnest_y

    touch_after, touch_before = humps.right.copy(), humps.left.copy()
    touch_after[:-1][bridged], touch_before[1:][bridged] = (
        bridge.touch_left[bridged],
        bridge.touch_right[bridged],
    )
    touch_after[core.gap], touch_before[core.gap + 1] = core.touch_left, core.touch_right
    pieces = _in_order(
        [
            _own(humps.curves(), touch_before, touch_after),
            _bridge_rounds(bridge, bridged, blend),
            *core.pieces,
        ]
    )
    return Outline(pieces, humps.crest_x, humps.crest_y, Gaps(station, neck, joined, over_core, begin, end), blend)


@dataclass(frozen=True)
class _Keyed:
    """Pieces with the place in the row at which they stand: hump number times 8 plus their turn after it."""

    order: NDArray[np.floating[Any]]
    pieces: Pieces


@dataclass(frozen=True)
class _Bridges:
    """The ball that touches both humps of a gap: its centre, and where it touches the one and the other."""

    x: Array
    y: Array
    touch_left: Array
    touch_right: Array


def _bridges(humps: Humps, left: Index, blend: float) -> _Bridges:
    if len(left) == 0:
        return _Bridges(*(np.zeros(0) for _ in range(4)))
    right = left + 1
    both = np.concatenate([left, right])

    def resting(x: Array) -> tuple[Array, Array]:
        height = humps.centre_height(both, np.concatenate([x, x]), blend)
        return height[: len(left)], height[len(left) :]

    def difference(x: Array) -> Array:
        on_left, on_right = resting(x)
        return on_left - on_right

    x = humps.meeting(blend)
    if x is None:
        # An upright face stops the ball: the crossing is looked for between the faces.
        low, high = humps.crest_x[left], humps.crest_x[right]
        low = np.maximum(low, np.minimum(humps.left[right] - blend, high))
        high = np.maximum(low, np.minimum(high, humps.right[left] + blend))
        x = falling_crossing(difference, low, high)
    y = np.minimum(*resting(x))
    touch = humps.touch(both, np.concatenate([x, x]), np.concatenate([y, y]), blend)
    return _Bridges(x, y, touch[: len(left)], touch[len(left) :])


@dataclass(frozen=True)
class _Cores:
    """Gaps in which the core shows: from `begin` to `end`, thinnest at (`thinnest_x`, `thinnest_y`)."""

    gap: Index
    begin: Array
    end: Array
    thinnest_x: Array
    thinnest_y: Array
    touch_left: Array
    touch_right: Array
    pieces: tuple[_Keyed, ...]


def _cores(humps: Humps, floor: Floor | None, bridge: _Bridges, blend: float) -> _Cores:
    nothing = np.zeros(0)
    if floor is None or len(bridge.x) == 0:
        return _Cores(np.zeros(0, dtype=np.int64), nothing, nothing, nothing, nothing, nothing, nothing, ())
    slope = np.diff(floor.height) / np.diff(humps.crest_x)
    lift = blend * np.sqrt(1 + slope * slope)
    resting = floor.height[:-1] + slope * (bridge.x - humps.crest_x[:-1]) + lift
    gap = np.flatnonzero(resting > bridge.y)
    if len(gap) == 0:
        return _Cores(gap, nothing, nothing, nothing, nothing, nothing, nothing, ())
    slope, lift = slope[gap], lift[gap]
    origin, base = humps.crest_x[gap], floor.height[gap]

    middle, following = bridge.x[gap], gap + 1
    both, rising = np.concatenate([gap, following]), np.repeat([1.0, -1.0], len(gap))
    slopes, origins, bases = np.tile(slope, 2), np.tile(origin, 2), np.tile(base + lift, 2)

    def above(x: Array) -> Array:
        # Down from the left hump to the floor and, turned round, up from the floor to the right one.
        return rising * (humps.centre_height(both, x, blend) - (bases + slopes * (x - origins)))

    face = np.maximum(middle, humps.left[following] - blend)
    low = np.concatenate([origin, face])
    high = np.concatenate([np.minimum(middle, humps.right[gap] + blend), humps.crest_x[following]])
    rests = falling_crossing(above, low, high)
    rests_y = bases + slopes * (rests - origins)
    touch = humps.touch(both, rests, rests_y, blend)
    (down, up), (down_y, up_y), (touch_left, touch_right) = (np.split(part, 2) for part in (rests, rests_y, touch))
    lean = blend * slope / np.sqrt(1 + slope * slope)
    begin, end = down + lean, up + lean
    # A falling core goes on falling into the round behind it, to that ball's lowest point; a rising one the other way.
    thinnest_x = np.where(slope < 0, up, np.where(slope > 0, down, (begin + end) / 2))
    thinnest_y = np.where(slope < 0, up_y, np.where(slope > 0, down_y, base + blend)) - blend
    size, zero = np.full(len(gap), blend), np.zeros(len(gap))
    arc, line = np.full(len(gap), BLEND), np.full(len(gap), CURVE)
    pieces = (
        _Keyed(gap * 8.0 + 3, Pieces(arc, touch_left, begin, down, down_y, size, size, zero, zero, zero)),
        _Keyed(gap * 8.0 + 4, Pieces(line, begin, end, origin, base, zero, zero, slope, zero, zero)),
        _Keyed(gap * 8.0 + 5, Pieces(arc, end, touch_right, up, up_y, size, size, zero, zero, zero)),
    )
    return _Cores(gap, begin, end, thinnest_x, thinnest_y, touch_left, touch_right, pieces)


def _own(curves: Curves, first: Array, last: Array) -> _Keyed:
    """The humps' own curves, from where the ball before leaves each hump to where the ball behind touches it."""
    arc = curves.half_length > 0
    pieces = Pieces(
        np.where(arc, BULGE, CURVE).astype(np.int64),
        np.maximum(curves.begin, first[curves.hump]),
        np.minimum(curves.end, last[curves.hump]),
        curves.centre_x,
        curves.centre_y,
        curves.half_length,
        curves.half_height,
        curves.slope,
        np.zeros(len(curves.slope)),
        np.zeros(len(curves.slope)),
    )
    return _Keyed(curves.hump * 8.0, pieces)


def _bridge_rounds(bridge: _Bridges, bridged: NDArray[np.bool_], blend: float) -> _Keyed:
    gap = np.flatnonzero(bridged)
    count = len(bridge.x)
    size, zero = np.full(count, blend), np.zeros(count)
    pieces = Pieces(
        np.full(count, BLEND), bridge.touch_left, bridge.touch_right, bridge.x, bridge.y, size, size, zero, zero, zero
    )
    return _Keyed(gap * 8.0 + 4, pieces.take(gap))


def _in_order(parts: list[_Keyed]) -> Pieces:
    """The pieces that have a length, from nose to tail."""
    order = np.concatenate([part.order for part in parts])
    together = Pieces(
        *(np.concatenate([getattr(part.pieces, name) for part in parts]) for name in Pieces.__dataclass_fields__)
    )
    inwards = np.lexsort((together.begin, order))
    return together.take(inwards[(together.end - together.begin > 1e-9)[inwards]])
