"""Which strands and hollows lie where a half is held: what has to change before the bait comes out."""

from __future__ import annotations

import numpy as np
from scipy.spatial import cKDTree

from worker.mould.cavity import Cavity
from worker.strands.roots import Array
from worker.strands.strand import Strand

EVERY = 0.5
"""Distance of the places that are looked at along a strand, mm."""
BESIDE = 0.6
"""How far beside a strand plastic counts as its own, mm: it is joined by a ball at its root (judgement)."""
SHARE = 0.05
"""Of the places where a half is held; a kind with fewer of them is not the cause."""


def blamed(cavity: Cavity, limit: float) -> tuple[str, ...]:
    """Kinds of strands and hollows, those with most places first, at which mould is held or lies behind more than
    `limit` of the width; empty where nothing does.
    """
    columns = cavity.columns
    bad = np.logical_or.reduce([half.behind & (half.held | (half.share > limit)) for half in cavity.undercuts])
    lines = np.argwhere(bad)
    if len(lines) == 0:
        return ()
    at = np.column_stack([columns.x0 + columns.cell * lines[:, 0], columns.y0 + columns.cell * lines[:, 1]])
    counts: dict[str, float] = {}
    for strand in (*cavity.strands, *cavity.hollows):
        share = float(_covered(at, strand, cavity).mean())
        counts[strand.kind] = max(counts.get(strand.kind, 0.0), share)
    ranked = sorted(counts, key=lambda kind: (-round(counts[kind], 6), kind))
    return tuple(kind for kind in ranked if counts[kind] >= SHARE)


def _covered(at: Array, strand: Strand, cavity: Cavity) -> Array:
    """Whether each place of the plan, (n, 2), lies over a strand."""
    length = strand.path.length
    stations = np.linspace(0.0, length, max(2, round(length / EVERY) + 1))
    middles = cavity.frame.to_mould(strand.path.frames(stations)[0])[:, :2]
    reach = np.max(np.stack(strand.body.sizes(stations)), axis=0) + BESIDE
    far, nearest = cKDTree(middles).query(at)
    return np.asarray(far <= reach[nearest])
