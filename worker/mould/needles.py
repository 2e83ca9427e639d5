"""Holes of a needle's width: the vents of extremities that no vent in the parting face can reach."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.mould.board import Place
from worker.mould.columns import Columns
from worker.mould.face import Face
from worker.mould.layout import Placed
from worker.mould.vents import NEAR, Tip
from worker.solid.shapes import Mesh, turned

HOLE = 0.8
"""Diameter, mm: air passes, and the plastic freezes in it to a nib that is cut off (common practice, no source)."""
INTO = 0.5
"""How far a hole overlaps the plastic that it begins at, mm."""


@dataclass(frozen=True)
class Needle:
    """A hole from `z`, inside the plastic at a place of the mould, straight out through one half along the draw."""

    at: Place
    z: float
    half: str

    def mesh(self, bottom: float, top: float) -> Mesh:
        """What it cuts out of its half; the closed mould reaches from z = `bottom` to `top`."""
        ends = (self.z, top + 1) if self.half == "upper" else (bottom - 1, self.z)
        return turned(self.at, [(each, HOLE / 2) for each in ends])


def needle_at(tip: Tip, columns: Columns, face: Face | None, placed: Placed) -> Needle | None:
    """The hole at an extremity, through the half that its plastic reaches further into; None where other plastic of
    the bait lies in front of it on both sides.

    It stands in the bait's plan, where neither channels nor bolts are: at the nearest line with room for it.
    """
    plan = columns.plan
    lines = np.argwhere(plan)
    off = np.column_stack([columns.x0 + columns.cell * lines[:, 0], columns.y0 + columns.cell * lines[:, 1]])
    away = (off[:, 0] - tip.end[0]) ** 2 + (off[:, 1] - tip.end[1]) ** 2
    room = np.minimum(columns.outward[plan] * columns.cell, HOLE / 2 + columns.cell)
    room[away > NEAR * NEAR] = -1.0
    if float(room.max()) < 0:
        return None
    widest = np.flatnonzero(room >= float(room.max()) - 1e-9)
    nearest = int(widest[np.argmin(away[widest])])
    x, y = float(off[nearest, 0]), float(off[nearest, 1])
    line = int(lines[nearest, 0]) * columns.shape[1] + int(lines[nearest, 1])
    first, last = np.searchsorted(columns.line, [line, line + 1]).tolist()
    low, high = columns.low[first:last], columns.high[first:last]
    own = int(np.argmin(np.maximum(np.maximum(low - tip.end[2], tip.end[2] - high), 0.0)))
    level = 0.0 if face is None else float(face.at(np.array([x]), np.array([y]))[0])
    begin = min(INTO, float(high[own] - low[own]) / 2)
    sides = {"upper": own == len(low) - 1, "lower": own == 0}
    upward = float(high[own]) - level >= level - float(low[own])
    for half in ("upper", "lower") if upward else ("lower", "upper"):
        if sides[half]:
            z = float(high[own]) - begin if half == "upper" else float(low[own]) + begin
            at = placed.points(np.array([[x, y]]))[0]
            return Needle((float(at[0]), float(at[1])), z, half)
    return None
