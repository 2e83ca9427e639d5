"""What the roots of limbs add to the necks of a trunk that they cover.

A limb that grows out over a groove ties both sides of it together. A tear that comes through the neck has to part the
limb as well, and takes the least way through it: straight on in the neck's plane, or along the trunk to where the root
ends ahead or behind, or aslant. So at every place of the neck's rim the least of those ways counts, not all that the
plane cuts of a leg that stands off sideways and carries no pull out there: over a skin without grooves the root of a
limb 3 mm thick adds no more than 1.5 mm at its middle, however far the limb reaches. A
minimum cut through a creature's solid finds the same to some per cent (tests/strands/test_covered_necks.py): where the
plane cuts 48 % more than the neck, 12 % more has to be torn, and the least ways tell 8 % (flares left out).

The flare of a root is left out, so is what of a limb lies behind a gap, as seen from the path, and the notch factor and
half-sizes stay those of the groove where it is bare: each tells too little rather than too much. Of thirteen covered
necks of three baits with their flares a minimum cut tells 1 % less to 9 % more, 3 % more at the median.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from worker.measures.strand.joints import Joints
from worker.measures.strand.places import Box, boxes_of, least_outside, within
from worker.measures.strand.rims_of_necks import RAY, Rays, necks_at
from worker.strands.roots import Array
from worker.strands.strand import Strand
from worker.values.plastics import Range

STEPS = 6
"""Steps of each way; where it comes out is found between two of them, as the surface lies."""
_SLANT = 0.5**0.5
WAYS = ((0.0, -1.0), (_SLANT, -_SLANT), (_SLANT, _SLANT), (0.0, 1.0))
"""Ways besides the one in the plane: shares outward and towards the tail."""


@dataclass(frozen=True)
class Covered:
    """mm2 that limbs add to each joint, (n,): `least` by the least ways, `plane` all that its plane cuts in reach."""

    least: Array
    plane: Array


def with_roots(joints: Joints, strands: tuple[Strand, ...], hollows: tuple[Strand, ...], strength: Range) -> Joints:
    """A trunk's joints with what limbs add where they cover them, less the hollows in that.

    Area and pull count the least ways; the low pull counts the trunk alone, the high one what the joint's plane cuts of
    the limbs within the neck's own lesser half-size of its rim. Joints that no limb comes near stay as they are.
    """
    trunk, limbs = (tuple(strand for strand in strands if strand.limb == limb) for limb in (False, True))
    if not limbs or len(joints) == 0:
        return joints
    added = over(joints, trunk, limbs, hollows)
    return joints if added is None else joints.more(added.least, added.plane, strength)


def over(
    joints: Joints, trunk: tuple[Strand, ...], limbs: tuple[Strand, ...], hollows: tuple[Strand, ...]
) -> Covered | None:
    """What `limbs` add to the joints of `trunk`, as far out as each one's lesser half-size; None of none."""
    halves = np.minimum(joints.half_width, joints.half_height)
    return covered(trunk, limbs, hollows, tuple(joints.station.tolist()), tuple(halves.tolist()))


@lru_cache(maxsize=64)  # a remedy tries plastics and hooks in one bait
def covered(
    trunk: tuple[Strand, ...],
    limbs: tuple[Strand, ...],
    hollows: tuple[Strand, ...],
    station: tuple[float, ...],
    reach: tuple[float, ...],
) -> Covered | None:
    """What limbs add to a trunk's necks at `station` mm, each looked at to `reach` mm from its rim; None of none."""
    necks = necks_at(trunk, np.array(station))
    boxes = boxes_of((*limbs, *hollows))
    by_limb = [within(necks.points, *boxes[limb.name], necks.around) for limb in limbs]
    near = [limb for limb, touches in zip(limbs, by_limb, strict=True) if touches.any()]
    if not near:
        return None
    rays = necks.rays(np.flatnonzero(np.any(by_limb, axis=0)))
    rays = rays.chosen(np.any([rays.meet(boxes[limb.name], necks.around[rays.neck]) for limb in near], axis=0))
    material, rim = _Material(near, hollows, boxes), necks.rims(rays)
    held = material.beyond(rays.at(rim)) < 0
    if not held.any():
        return None
    rays, rim = rays.chosen(held), rim[held]
    smooth = np.maximum(necks.rims(rays, relief=False), rim)
    strips = _strips(material, rays, rim, smooth, np.array(reach)[rays.neck])
    sums = [np.bincount(rays.neck, strip * RAY, minlength=len(station)).astype(np.float64) for strip in strips]
    return Covered(*sums)


def _strips(material: _Material, rays: Rays, rim: Array, smooth: Array, most: Array) -> tuple[Array, Array]:
    """mm2 a radian of what each ray's limb adds, by its least way and in the plane, at most `most` mm out; (n,)."""
    depth = _way(material, rays.at(rim), rays.out, most)
    whole = depth * (rim + depth / 2)
    strips = whole.copy()
    # What lies over the trunk's skin, groove and all, a tear may also leave ahead, behind or aslant: it then runs
    # straight from the groove's ground to where it comes out.
    beyond = np.flatnonzero(depth > smooth - rim)
    if len(beyond) == 0:
        return strips, whole
    skin, out, ahead = (part[beyond] for part in (rays.at(smooth), rays.out, rays.ahead))
    rim, groove = rim[beyond], (smooth - rim)[beyond]
    ways = np.concatenate([outward * out + along * ahead for outward, along in WAYS])
    runs = _way(material, np.tile(skin, (len(WAYS), 1)), ways, np.tile(most[beyond], len(WAYS)))
    for (outward, along), run in zip(WAYS, np.split(runs, len(WAYS)), strict=True):
        up, past = groove + outward * run, along * run
        strip = np.sqrt(up * up + past * past) * (rim + up / 2)
        strips[beyond] = np.where(run < most[beyond], np.minimum(strips[beyond], strip), strips[beyond])
    return strips, whole


@dataclass(frozen=True)
class _Material:
    """What limbs are made of, less the hollows."""

    limbs: Sequence[Strand]
    hollows: Sequence[Strand]
    boxes: Mapping[str, Box]

    def beyond(self, points: Array, beside: float = 0.0) -> Array:
        """Below 0 in a limb and in no hollow, and nearly linear around 0; 1 over `beside` mm outside of boxes; (n,)."""
        out = least_outside(points, self.limbs, self.boxes, beside=beside)
        held = np.flatnonzero(out < 0)
        if self.hollows and len(held):
            out[held] = np.maximum(out[held], -least_outside(points[held], self.hollows, self.boxes, beside=beside))
        return out


def _way(material: _Material, start: Array, way: Array, most: Array) -> Array:
    """mm from `start` along `way` to where the material ends, at most `most`; (n,)."""
    run = most[:, None] * np.arange(STEPS + 1) / STEPS
    places = (start[:, None, :] + run[:, :, None] * way[:, None, :]).reshape(-1, 3)
    # The first place outside tells how far the surface lies before it, so it has to be asked too.
    out = material.beyond(places, float(most.max()) / STEPS).reshape(run.shape)
    ends = out >= 0
    at = np.where(ends.any(axis=1), ends.argmax(axis=1), STEPS)
    row, last = np.arange(len(run)), np.maximum(at - 1, 0)
    share = np.clip(-out[row, last] / np.maximum(out[row, at] - out[row, last], 1e-12), 0.0, 1.0)
    found = np.where(ends.any(axis=1), (last + share) * most / STEPS, most)
    return np.where(at == 0, 0.0, found)
