"""Rings along a belly that a floor cuts level, where its edge runs in or out.

A floor leaves the lower half of a section down to an angle of its parameter: a right angle where it cuts nothing. It is
by even steps of that angle that the edge of the level belly is followed: it runs out fastest where the floor begins, as
the water's edge does on a beach.
"""

from __future__ import annotations

import numpy as np

from worker.strands.body import Body
from worker.strands.roots import Array
from worker.strands.section import Section, half_area, raised

LEAST_TURN = 0.02
"""Angle, radians, by which a slice's cut may change and have no ring between: its edge is as good as straight."""


CLOSEST = 1e-4
"""Rings nearer than this, mm, are one: the mesh is rounded to 1e-5 mm."""


STEPS = 16
"""Steps by which the points of two rims are told apart."""


def followed(body: Body, station: Array, fixed: Array, sag: float) -> Array:
    """Sorted `station` (n,), mm, with more between where a floor cuts the belly, none nearer than CLOSEST to another.

    So that no chord of the level belly's edge sags by over `sag` mm. Between two `fixed` ones where the cut changes
    there is one at least: the edge is bent even where every outline is straight.
    """
    section, floor = body.section, body.section.floor
    if floor is None:
        return station
    low, high = body.beside(station[:-1], later=True)[2], body.beside(station[1:], later=False)[2]
    first, last = (section.cut_angle(np.minimum(floor / np.maximum(reach, 1e-12), 1.0)) for reach in (low, high))
    turn, run = np.abs(last - first), np.diff(station)
    share = np.minimum(sag / max(float(outline.crest_y.max()) for outline in body.outlines), 1.0)
    # As of an arc: a circle's chord over an angle t sags by r (1 - cos(t / 2)).
    step = 2 * np.arctan2(np.sqrt(share * (2 - share)), 1 - share)
    bent = (turn > LEAST_TURN) & (run > 4 * CLOSEST)
    held = np.isin(station, fixed)
    least = np.where(held[:-1] & held[1:], 2, 1)
    parts = np.where(bent, np.maximum(least, np.ceil(turn / step - 1e-9)), 1).astype(np.int64)
    of = np.repeat(np.arange(len(parts)), parts - 1)
    inner = np.arange(len(of)) - np.repeat(np.cumsum(parts - 1) - (parts - 1), parts - 1) + 1
    angle = first[of] + (last - first)[of] * (inner / parts[of])
    # Between two stations the reach is a line but for the sag; of a slice that is cut all along both ends are.
    reach = floor / np.maximum(raised(np.sin(angle), 2 / section.lower), 1e-12)
    way = np.clip((reach - low[of]) / (high - low)[of], 0.0, 1.0) * run[of]
    apart = (way >= CLOSEST) & (run[of] - way >= CLOSEST)
    return np.union1d(station, np.round((station[of] + way)[apart], 9))


def apart(section: Section, first: Array, second: Array) -> Array:
    """Area, mm2, (n,), of what lies between the rims of sections of sizes (3, n), taken point from point.

    A mesh runs from each point of one rim to that of the next. Its section half-way has the points' means; a polygon's
    area is quadratic in its points, so it is the mean of both areas less a quarter of this.
    """
    shares = np.arange(STEPS + 1) / STEPS
    rims = []
    for a, _, c in (first, second):
        angle = section.cut_angle(section.below(c) / np.maximum(c, 1e-12))[:, None] * shares
        root = 2 / section.lower
        rims.append((a[:, None] * raised(np.cos(angle), root), c[:, None] * raised(np.sin(angle), root)))
    across, down = (there - here for here, there in zip(*rims, strict=True))
    below = ((across[:, 1:] + across[:, :-1]) * np.diff(down, axis=1)).sum(axis=1)
    wider, higher = second[0] - first[0], second[1] - first[1]
    return np.asarray(half_area(section.upper) * wider * higher + below)
