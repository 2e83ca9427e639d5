"""An open mould: one part, its cavities open upward in the parting plane, poured level."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from worker.checks.subject import Subject
from worker.mould.block import Block
from worker.mould.cavity import Cavity, cavity_of, given
from worker.mould.frame import Frame
from worker.mould.injected import material_of
from worker.mould.layout import APART, Placed
from worker.mould.marks import size
from worker.mould.mould import Filled, Mould
from worker.mould.numbers import numbers
from worker.mould.parting import NOTHING, Ends
from worker.mould.plan import Plan, numbered, plan_points
from worker.solid.carve import apart, carved, cutter
from worker.solid.shapes import box
from worker.solid.solid import Solid

TURNS = (0, 180, 90, -90)
"""Which side of the bait may lie in the open face: back, belly, left, right."""
HEIGHTS = 49
BEHIND = 10.0
"""How much worse it is that mould lies behind plastic than that plastic stands over the open face (judgement)."""


def open_pour(subject: Subject, solid: Solid, asked: Mapping[str, Any]) -> Mould:
    """The mould of a bait's solid. Raises GeometryFailed."""
    material, wall = material_of(asked)
    cavity = cavity_of(subject, solid, solid, given(asked) or (0.0, 0.0))
    if given(asked) is None:
        cavity = cavity.at(_least_lost(cavity))
    plan = _planned(cavity, asked, wall)
    cavities = apart([(placed.points(cavity.vertices), cavity.triangles) for placed in plan.placed])
    body, plates = cutter([box(plan.block.low, plan.block.high)]), numbers(plan.plates)
    part = carved(body, [cutter([], plates, cavities)])
    filled, lost = cavities.common(body).volume, plates.common(body).volume
    balance = abs(part.volume + filled + lost - body.volume) / body.volume
    return Mould(asked, material, wall, cavity, plan, {"lower": part}, Filled(filled), balance)


def _least_lost(cavity: Cavity) -> Frame:
    """The frame with the least plastic over the open face and mould behind plastic; of equal ones the first."""
    best: tuple[float, Frame] | None = None
    for turn in TURNS:
        columns = cavity.turned.columns(turn)
        ends, enough = Ends(columns), NOTHING * columns.volume
        low, high = float(columns.low.min()), float(columns.high.max())
        for height in (low + (high - low) / (HEIGHTS - 1) * np.arange(HEIGHTS)).tolist():
            cost = ends.over(height) + BEHIND * ends.behind_below(height)
            if best is None or cost < best[0] - enough:
                best = cost, Frame(cavity.frame.growth, turn, round(height, 2))
    if best is None:
        raise ValueError("no turn to try")
    return best[1]


def _planned(cavity: Cavity, asked: Mapping[str, Any], wall: float) -> Plan:
    """Cavities side by side, with walls all round."""
    low, high = cavity.vertices.min(axis=0), cavity.vertices.max(axis=0)
    pitch = float(np.ceil(high[1] - low[1] + max(APART, wall)))
    placed = [Placed(0, 0.0, pitch * number, (0.0, 0.0), (0.0, 0.0)) for number in range(int(asked["cavities"]))]
    x0, y0 = np.floor(low[:2] - wall).tolist()
    # A row for the plates beside the cavities' noses.
    x0 -= np.ceil(size("R99")[0])
    x1, y1 = np.ceil(high[:2] + wall + np.array([0.0, pitch * (len(placed) - 1)])).tolist()
    below = float(np.ceil(-low[2] + wall))
    block = Block((float(x0), y0, -below), (x1, y1, 0.0), (), (), cast=True)
    board = block.plain_board
    for each in placed:
        board.take_points(plan_points(cavity, each))
    noses = [(float(low[0]), pitch * number) for number in range(len(placed))]
    return Plan(placed, None, block, [], numbered(noses, asked, board))
