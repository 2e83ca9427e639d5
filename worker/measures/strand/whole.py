"""Size of a bait of several strands, by arithmetic: the trunk's union, and each limb outside of its parent."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from worker.measures.strand.extent import extent_of, reaches_of
from worker.measures.strand.flare_size import flare_volume
from worker.measures.strand.size import Size, girdle, volume_of, walls
from worker.measures.strand.trunk_section import hang_together, place_of, trunk_sections
from worker.strands.attach import outside
from worker.strands.path import HandedPath
from worker.strands.roots import Array
from worker.strands.strand import Strand

AROUND, FILL = 24, 12
"""Places around a section, and around each ring that fills it, that are asked whether they lie in another strand."""
ROOT_CUTS = 4
"""Into how many stretches the root of a limb is cut for its integrals."""

OUTER = 33
"""Places along a limb that a box is drawn around."""

Box = tuple[Array, Array]


def size_of_all(trunk: tuple[Strand, ...], limbs: tuple[Strand, ...]) -> Size:
    """Length to surface of the bait. What lies in several strands counts once."""
    boxes = boxes_of((*trunk, *limbs))
    volume, surface = _trunk_volume(trunk), _trunk_surface(trunk, boxes)
    outer = {limb.name: _outer_box(limb) for limb in limbs}
    known: dict[str, tuple[float, float]] = {}
    for number, limb in enumerate(limbs):
        parents = [other for other in limbs if limb.root is not None and other.name == limb.root.parent] or list(trunk)
        touching = [
            o for o in limbs if o is not limb and o not in parents and _overlap(outer[limb.name], outer[o.name])
        ]
        earlier = [other for other in limbs[:number] if other in touching]
        # A right limb is its left one's equal, unless it lies in what the left one does not: the left one, often.
        twin = limb.name.replace("right", "left") if isinstance(limb.path, HandedPath) else ""
        if twin not in known or any(other.name.startswith("left") for other in earlier):
            known[limb.name] = _beyond(limb, parents, earlier, touching, boxes)
        else:
            known[limb.name] = known[twin]
    low, high = (np.stack(corners) for corners in zip(*boxes.values(), strict=True))
    length, width, height = (float(part) for part in high.max(axis=0) - low.min(axis=0))
    volume, surface = (part + sum(each[of] for each in known.values()) for of, part in enumerate((volume, surface)))
    pieces = max(hang_together(trunk), *(len(strand.body.runs) for strand in trunk))
    return Size(length, width, height, volume, surface, pieces)


def boxes_of(strands: Sequence[Strand]) -> dict[str, Box]:
    """Least and greatest corner of each strand; a handed strand's are its counterpart's, turned round."""
    boxes: dict[int, Box] = {}
    for strand in strands:
        if isinstance(strand.path, HandedPath) and id(strand.path.of) in boxes:
            low, high = boxes[id(strand.path.of)]
            boxes[id(strand.path)] = (np.where(_ASIDE, -high, low), np.where(_ASIDE, -low, high))
        else:
            boxes[id(strand.path)] = extent_of(strand)
    return {strand.name: boxes[id(strand.path)] for strand in strands}


def _outer_box(limb: Strand) -> Box:
    """Around what shows of a limb outside of its parent, and a little more: two that are rooted side by side in one
    trunk meet inside of it, where that counts for nothing."""
    begin = 0.0 if limb.root is None else limb.root.leaves
    step = (limb.path.length - begin) / (OUTER - 1)
    low, high = reaches_of(limb, begin + step * np.arange(OUTER, dtype=np.float64))
    return low.min(axis=0) - step / 2, high.max(axis=0) + step / 2


def _overlap(one: Box, other: Box) -> bool:
    return bool(((one[0] < other[1]) & (other[0] < one[1])).all())


def outside_all(points: Array, others: Sequence[Strand], boxes: Mapping[str, Box]) -> NDArray[np.bool_]:
    """Whether each point, (n, 3), lies in none of `others`."""
    free = np.ones(len(points), dtype=bool)
    for other in others:
        low, high = boxes[other.name]
        near = np.flatnonzero(((points > low) & (points < high)).all(axis=1))
        if len(near):
            free[near] &= outside(other, points[near], relief=True) >= 0
    return free


_ASIDE = np.array([False, True, False])


def trunk_grid(trunk: Sequence[Strand], begin: float | None = None) -> tuple[Array, Array]:
    """Stations along x and weights for integrals over a trunk of several strands, from `begin` on."""
    marks = np.unique(np.concatenate([place_of(strand, strand.body.ends) for strand in trunk]))
    marks = marks[np.concatenate([[True], np.diff(marks) > 1e-6])]
    if begin is not None:
        marks = np.concatenate([[begin], marks[marks > begin]])
    half = np.diff(marks)[:, None] / 2
    nodes, weights = np.polynomial.legendre.leggauss(4)
    turn = np.pi / 2 * nodes
    at = (marks[:-1] + marks[1:])[:, None] / 2 + half * np.sin(turn)
    return at.ravel(), (half * (np.pi / 2 * np.cos(turn) * weights)).ravel()


def _trunk_volume(trunk: Sequence[Strand]) -> float:
    if len(trunk) == 1:
        return volume_of(trunk[0])
    at, weight = trunk_grid(trunk)
    return float((trunk_sections(trunk, at).area * weight).sum())


def _beyond(
    limb: Strand,
    parents: Sequence[Strand],
    earlier: Sequence[Strand],
    touching: Sequence[Strand],
    boxes: Mapping[str, Box],
) -> tuple[float, float]:
    """Volume of a limb outside of its parents and of those `earlier` than it, and its skin outside of all it touches.

    Pappus: a bent strand has the volume of the straight one, so each section counts with its share outside. The skin
    of a trunk under a limb's root is taken off here.
    """
    body, leaves = limb.body, 0.0 if limb.root is None else limb.root.leaves
    # The share outside of the parent runs from none to all over the root.
    last = min(leaves + 2 * float(max(outline.crest_y.max() for outline in body.outlines)), float(body.ends[-1]))
    grid = body.grid(extra=last * np.arange(ROOT_CUTS + 1) / ROOT_CUTS)
    area, skin = body.area(grid.station), girdle(body, grid.station)
    out = _share_outside(limb, grid.station, [*parents, *earlier], boxes)
    free = _free(limb, grid.station, [*parents, *touching], boxes)
    covered = 0.0 if parents[0].limb else float(body.area(np.array([leaves]))[0])
    faces = float((walls(body) * _free(limb, body.ends, [*parents, *touching], boxes)).sum())
    volume = float((grid.weight * area * out).sum()) + flare_volume(limb)
    return volume, float((grid.weight * skin * free).sum()) + faces - covered


def _share_outside(limb: Strand, station: Array, others: Sequence[Strand], boxes: Mapping[str, Box]) -> Array:
    """Share of each section's area that lies in none of `others`."""
    filled, weight = filled_sections(limb, station, FILL, FILL // 4)
    return np.asarray((outside_all(filled, others, boxes).reshape(weight.shape) * weight).sum(axis=1))


def filled_sections(strand: Strand, station: Array, around: int, rings: int) -> tuple[Array, Array]:
    """Places (n m, 3) spread over the section at each station, and the share of the section that each stands for.

    m = `around` wedges of `rings` parts, each wedge's parts of one area.
    """
    left, up = strand.section.rim(*strand.body.sizes(station), around)
    next_left, next_up = (np.roll(part, -1, axis=1) for part in (left, up))
    wedge = np.abs(left * next_up - next_left * up)
    wedge = wedge / np.maximum(wedge.sum(axis=1, keepdims=True), 1e-12)
    # A part's own middle lies at the root mean square of its two edges, on the line to the wedge's middle.
    radius = np.sqrt((np.arange(rings) + 0.5) / rings)[:, None]
    middles = (((part + there) / 2)[:, None, :] * radius for part, there in ((left, next_left), (up, next_up)))
    places = places_of(strand, station, *(part.reshape(len(station), -1) for part in middles))
    return places, np.tile(wedge / rings, (1, rings))


def _trunk_surface(trunk: Sequence[Strand], boxes: Mapping[str, Box]) -> float:
    skins: dict[int, float] = {}
    for strand in trunk:
        twin = skins.get(id(strand.path.of)) if isinstance(strand.path, HandedPath) else None
        others = [other for other in trunk if other is not strand]
        skins[id(strand.path)] = _open_surface(strand, others, boxes) if twin is None else twin
    return sum(skins.values())


def _open_surface(strand: Strand, others: Sequence[Strand], boxes: Mapping[str, Box]) -> float:
    """The strand's skin that lies in none of `others`: the share of each ring that is free, times the ring's skin."""
    grid = strand.body.grid()
    free = _free(strand, grid.station, others, boxes)
    skin = float((grid.weight * girdle(strand.body, grid.station) * free).sum())
    ends = strand.body.ends
    steps = walls(strand.body)
    return skin + float((steps * _free(strand, ends, others, boxes)).sum())


def _free(strand: Strand, station: Array, others: Sequence[Strand], boxes: Mapping[str, Box]) -> Array:
    """Share of each section's rim that lies in none of `others`."""
    rim, weight = rims(strand, station, AROUND)
    return np.asarray((outside_all(rim, others, boxes).reshape(weight.shape) * weight).sum(axis=1))


def rims(strand: Strand, station: Array, around: int) -> tuple[Array, Array]:
    """Places (n `around`, 3) on the rim of the section at each station, and the share of the rim each stands for."""
    left, up = strand.section.rim(*strand.body.sizes(station), around)
    y, z = (np.diff(part, axis=1, append=part[:, :1]) for part in (left, up))
    side = np.sqrt(y * y + z * z)
    places = places_of(strand, station, left + y / 2, up + z / 2)
    return places, side / np.maximum(side.sum(axis=1, keepdims=True), 1e-12)


def places_of(strand: Strand, station: Array, aside: Array, upward: Array) -> Array:
    """Points (n m, 3) beside a strand's path: `aside` to the left and `upward` to the back, (n, m), at each station."""
    points, left, back = strand.path.frames(station)
    across = aside[:, :, None] * left[:, None, :]
    return np.asarray((points[:, None, :] + across + upward[:, :, None] * back[:, None, :]).reshape(-1, 3))
