"""Size of a bait of several strands, by arithmetic: the trunk's union, and each limb outside of its parent."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from worker.measures.strand.extent import extent_of
from worker.measures.strand.size import Size, girdle, walls
from worker.measures.strand.trunk_section import hang_together, place_of, trunk_sections
from worker.strands.attach import outside
from worker.strands.path import HandedPath
from worker.strands.roots import Array
from worker.strands.strand import Strand

AROUND, FILL = 32, 16
"""Places around a section, and around each ring that fills it, that are asked whether they lie in another strand."""
NEAR = 2.0
"""How far beyond its root a limb may still lie inside its parent, over its greatest half size."""


def size_of_all(trunk: Sequence[Strand], limbs: Sequence[Strand]) -> Size:
    """Length to surface of the bait. What two limbs of one parent share counts twice: it is little."""
    low, high = _box((*trunk, *limbs))
    by_name = {strand.name: strand for strand in (*trunk, *limbs)}
    volume, surface = _trunk_volume(trunk), _trunk_surface(trunk)
    known: dict[int, tuple[float, float]] = {}
    for limb in limbs:
        if isinstance(limb.path, HandedPath) and id(limb.path.of) in known:
            volume, surface = volume + known[id(limb.path.of)][0], surface + known[id(limb.path.of)][1]
            continue
        parent = by_name[limb.root.parent] if limb.root is not None else limb
        parents = [parent] if parent.limb else trunk
        children = [other for other in limbs if other.root is not None and other.root.parent == limb.name]
        known[id(limb.path)] = _beyond(limb, parents, children)
        volume, surface = volume + known[id(limb.path)][0], surface + known[id(limb.path)][1]
    pieces = max(hang_together(trunk), *(len(strand.body.runs) for strand in trunk))
    length, width, height = (float(part) for part in high - low)
    return Size(length, width, height, volume, surface, pieces)


def _box(strands: Sequence[Strand]) -> tuple[Array, Array]:
    """Least and greatest corner of the box around all; a handed strand's is its counterpart's, turned round."""
    boxes: dict[int, tuple[Array, Array]] = {}
    for strand in strands:
        if isinstance(strand.path, HandedPath) and id(strand.path.of) in boxes:
            low, high = boxes[id(strand.path.of)]
            turned = (np.where(_ASIDE, -high, low), np.where(_ASIDE, -low, high))
            boxes[id(strand.path)] = turned
        else:
            boxes[id(strand.path)] = extent_of(strand)
    return np.min([low for low, _ in boxes.values()], axis=0), np.max([high for _, high in boxes.values()], axis=0)


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
    at, weight = trunk_grid(trunk)
    return float((trunk_sections(trunk, at).area * weight).sum())


def _beyond(limb: Strand, parents: Sequence[Strand], children: Sequence[Strand]) -> tuple[float, float]:
    """Volume and skin of a limb outside of its parents, less the trunk's skin that its root covers.

    Pappus: a bent strand has the volume of the straight one, so each section counts with its share outside.
    """
    body, grid = limb.body, limb.body.grid()
    sizes = body.half_sizes(grid.station)
    area, skin = body.area(grid.station), girdle(body, grid.station, *sizes)
    leaves = 0.0 if limb.root is None else limb.root.leaves
    near = grid.station < leaves + NEAR * float(np.max(sizes))
    out, free = np.ones(len(area)), np.ones(len(area))
    place = (grid.station[near], sizes[0][near], sizes[1][near])
    out[near] = _share_outside(limb, *place, parents)
    free[near] = _free(limb, *place, parents)
    if children:
        free *= _free(limb, grid.station, *sizes, children)
    covered = 0.0 if parents[0].limb else float(body.area(np.array([leaves]))[0])
    return float((grid.weight * area * out).sum()), float((grid.weight * skin * free).sum()) - covered


def _share_outside(
    limb: Strand, station: Array, half_width: Array, half_height: Array, parents: Sequence[Strand]
) -> Array:
    """Share of each section's area that lies in none of `parents`."""
    angle = 2 * np.pi * (np.arange(FILL) + 0.5) / FILL
    radius = np.sqrt((np.arange(FILL // 4) + 0.5) / (FILL // 4))  # rings of one area each
    width, height = (np.outer(radius, turn(angle)).ravel() for turn in (np.cos, np.sin))
    points, left, back = limb.path.frames(station)
    across = (half_width[:, None] * width)[:, :, None] * left[:, None, :]
    upward = (half_height[:, None] * height)[:, :, None] * back[:, None, :]
    filled = (points[:, None, :] + across + upward).reshape(-1, 3)
    free = np.all([outside(parent, filled, relief=True) >= 0 for parent in parents], axis=0)
    return np.asarray(free.reshape(len(station), -1).mean(axis=1))


def _trunk_surface(trunk: Sequence[Strand]) -> float:
    skins: dict[int, float] = {}
    for strand in trunk:
        twin = skins.get(id(strand.path.of)) if isinstance(strand.path, HandedPath) else None
        others = [other for other in trunk if other is not strand]
        skins[id(strand.path)] = _open_surface(strand, others) if twin is None else twin
    return sum(skins.values())


def _open_surface(strand: Strand, others: Sequence[Strand]) -> float:
    """The strand's skin that lies in none of `others`: the share of each ring that is free, times the ring's skin."""
    grid = strand.body.grid()
    half_width, half_height = strand.body.half_sizes(grid.station)
    free = _free(strand, grid.station, half_width, half_height, others)
    skin = float((grid.weight * girdle(strand.body, grid.station, half_width, half_height) * free).sum())
    ends = strand.body.ends
    steps = walls(strand.body)
    at_ends = _free(strand, ends, *strand.body.half_sizes(ends), others)
    return skin + float((steps * at_ends).sum())


def _free(strand: Strand, station: Array, half_width: Array, half_height: Array, others: Sequence[Strand]) -> Array:
    angle = 2 * np.pi * (np.arange(AROUND) + 0.5) / AROUND
    points, left, back = strand.path.frames(station)
    across = (half_width[:, None] * np.cos(angle))[:, :, None] * left[:, None, :]
    upward = (half_height[:, None] * np.sin(angle))[:, :, None] * back[:, None, :]
    rim = (points[:, None, :] + across + upward).reshape(-1, 3)
    free = np.ones(len(rim), dtype=bool)
    for other in others:
        free &= outside(other, rim, relief=True) >= 0
    # A place's share of the ring's length: an ellipse's arc is longer where it is flat.
    arc = np.sqrt((half_width[:, None] * np.sin(angle)) ** 2 + (half_height[:, None] * np.cos(angle)) ** 2)
    return np.asarray((free.reshape(arc.shape) * arc).sum(axis=1) / np.maximum(arc.sum(axis=1), 1e-12))
