"""Vents: a shallow land at every extremity that fills last, and behind it an escape to the outside."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import binary_dilation

from worker.mould.board import Board, Place
from worker.mould.columns import Columns, Mask
from worker.mould.layout import Placed
from worker.solid.shapes import Mesh, along, flat_section, turned
from worker.strands.roots import Array
from worker.strands.strand import Strand

LAND, INTO = 1.5, 0.8
"""Length of the shallow land, mm (0.06 in by a mould maker's published venting standard), and how far it overlaps the
cavity."""
WIDTH, ESCAPE_WIDTH = 3.0, 4.0
"""mm; the same standard has 0.12 to 0.5 in."""
ESCAPE_DEPTH = 0.5
"""Depth of the escape, mm (0.02 in by the same standard), or the vent's own and as much again where that is more."""
HOLE = 3.0
"""Diameter, mm, of an escape drilled through the lower half where no way leads to the edge."""
WAYS = 16
AHEAD = 1.0
"""Where a strand goes on like this, mm, beyond its end, another one has taken it up: that end is no extremity."""
NEAR = 3.0
"""Extremities nearer to each other than this, mm, share a vent; deeper within the plan than this a strand's end is
none."""
MOULD_BESIDE = 1.0
"""Least mould beside an escape, mm."""


@dataclass(frozen=True)
class Tip:
    """An extremity in the cavity's own frame: the strand's name, the place on the outline, the way out of it, whether
    its outline there lies in the parting plane, and the end of the strand itself.
    """

    strand: str
    place: Place
    way: Place
    in_plane: bool
    end: tuple[float, float, float]


@dataclass(frozen=True)
class Vent:
    """One that was found room for; `hole`: its escape goes down through the lower half."""

    begin: Place
    land_end: Place
    end: Place
    hole: bool

    def meshes(self, depth: float, bottom: float) -> list[Mesh]:
        """What it cuts out of the lower half, whose underside lies at z = `bottom`."""
        land = along(self.begin, self.land_end, flat_section(WIDTH, depth))
        if self.hole:
            return [land, self.drilled(bottom, 0.0)]
        return [land, along(self.land_end, self.end, flat_section(ESCAPE_WIDTH, escape_depth(depth)))]

    def drilled(self, bottom: float, top: float) -> Mesh:
        """The hole of its escape, from the lower half's underside up to z = `top`."""
        return turned(self.end, [(bottom - 1, HOLE / 2), (top, HOLE / 2)])


def escape_depth(depth: float) -> float:
    """mm, behind a land of that depth."""
    return max(ESCAPE_DEPTH, 2 * depth)


def tips_of(strands: tuple[Strand, ...], to_frame: Array, columns: Columns, free: Mask) -> list[Tip]:
    """Every end of a strand at the rim of the plan. `to_frame` (k, 2, 3): ends of the strands and points 1 mm before
    them; see `ends_of`. `free`: plan of the lines that lie behind neither half.
    """
    plan = columns.plan
    rim = np.argwhere(~plan & binary_dilation(plan))
    on = np.column_stack([columns.x0 + columns.cell * rim[:, 0], columns.y0 + columns.cell * rim[:, 1]])
    open_ = np.argwhere(free)
    open_at = np.column_stack([columns.x0 + columns.cell * open_[:, 0], columns.y0 + columns.cell * open_[:, 1]])
    tips: list[Tip] = []
    for strand, (last, before_last) in zip(strands, to_frame, strict=True):
        end, before = last[:2], before_last[:2]
        away = on - end
        square = away[:, 0] ** 2 + away[:, 1] ** 2
        nearest = int(np.argmin(square))
        if square[nearest] > NEAR * NEAR:
            continue
        place = (float(on[nearest, 0]), float(on[nearest, 1]))
        if any((tip.place[0] - place[0]) ** 2 + (tip.place[1] - place[1]) ** 2 < NEAR * NEAR for tip in tips):
            continue
        run = end - before
        size = float(np.sqrt(run[0] * run[0] + run[1] * run[1]))
        way = (float(run[0] / size), float(run[1] / size)) if size > 0.2 else (0.0, 0.0)
        ahead = np.rint(
            [
                (end[0] + way[0] * AHEAD - columns.x0) / columns.cell,
                (end[1] + way[1] * AHEAD - columns.y0) / columns.cell,
            ]
        )
        if _within(plan, ahead):
            continue
        beside = (open_at[:, 0] - place[0]) ** 2 + (open_at[:, 1] - place[1]) ** 2
        in_plane = len(beside) > 0 and float(beside.min()) < (INTO + columns.cell) ** 2
        x, y, z = last.tolist()
        tips.append(Tip(strand.name, place, way, in_plane, (x, y, z)))
    return tips


def ends_of(strands: tuple[Strand, ...]) -> tuple[tuple[Strand, ...], Array]:
    """The strands that end somewhere, a trunk's both ends, and each end with a point 1 mm before it, (k, 2, 3)."""
    owners, ends = [], []
    for strand in strands:
        length = strand.path.length
        step = min(1.0, length / 2)
        stations = [(length, length - step)] if strand.limb else [(0.0, step), (length, length - step)]
        for pair in stations:
            owners.append(strand)
            ends.append(strand.path.frames(np.array(pair))[0])
    return tuple(owners), np.stack(ends)


def _within(plan: Mask, place: Array) -> bool:
    i, j = int(place[0]), int(place[1])
    return 0 <= i < plan.shape[0] and 0 <= j < plan.shape[1] and bool(plan[i, j])


def vent_at(tip: Tip, placed: Placed, board: Board) -> Vent | None:
    """The shortest straight way out from a tip that keeps off all else, else a hole beside it; None without room."""
    place = placed.points(np.array([tip.place]))[0]
    turned_way = placed.points(np.array([tip.way]))[0] - placed.points(np.zeros((1, 2)))[0]
    angles = 2 * np.pi * np.arange(WAYS) / WAYS
    ways = np.column_stack([np.cos(angles), np.sin(angles)])
    if tip.way != (0.0, 0.0):
        ways = np.concatenate([turned_way[None], ways])
    best: tuple[float, Vent] | None = None
    for way in ways:
        ahead = float(way[0] * turned_way[0] + way[1] * turned_way[1])
        length = _to_edge(place, way, board)
        if _clear(place, way, length, board, ESCAPE_WIDTH / 2 + MOULD_BESIDE):
            cost = length * (1.3 - 0.3 * ahead)
            found = _vent(place, way, length + 1.0, hole=False)
        elif _clear(place, way, LAND + HOLE, board, HOLE / 2 + MOULD_BESIDE):
            cost = 1e3 * (2 - ahead)
            found = _vent(place, way, LAND + HOLE / 2, hole=True)
        else:
            continue
        if best is None or cost < best[0]:
            best = cost, found
    return None if best is None else best[1]


def _vent(place: Array, way: Array, length: float, *, hole: bool) -> Vent:
    begin, land, end = ((float(at[0]), float(at[1])) for at in (place + step * way for step in (-INTO, LAND, length)))
    return Vent(begin, land, end, hole)


def _to_edge(place: Array, way: Array, board: Board) -> float:
    rooms = []
    for axis in (0, 1):
        if abs(way[axis]) > 1e-9:
            edge = board.high[axis] if way[axis] > 0 else board.low[axis]
            rooms.append((edge - place[axis]) / way[axis])
    return float(min(rooms))


def _clear(place: Array, way: Array, length: float, board: Board, beside: float) -> bool:
    """Whether a way leaves its own cavity steadily and keeps `beside` mm from all else, a board's square forgiven."""
    steps = np.arange(1.0, max(length, 1.5), 0.5)
    points = place + steps[:, None] * way
    if not board.inside(points[: max(1, len(points) - 1)]).all():
        return False
    return bool((board.apart(points) + 0.5 >= np.minimum(0.6 * steps, beside)).all())
