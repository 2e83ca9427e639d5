"""A leech's girth, path and ribs, from its parameters; mm."""

from __future__ import annotations

import math

import numpy as np

from worker.strands.girth import Girth
from worker.strands.hermite import HermitePath, Knot
from worker.strands.path import Path, StraightPath
from worker.strands.plain import Plain
from worker.strands.rings_relief import Rings
from worker.styles.style import Params
from worker.styles.worm_parameters import number

RIBS_FROM, RIBS_TO = 0.12, 0.8
"""Stretch of the body that carries ribs, over its length (judgement)."""
NOSE_THICKNESS = 0.8
"""Thickness of the head over the greatest (judgement)."""
LEAST_SUCKER = 4.0
"""A sucker smaller than this is left out: it would be all tail end."""
SUNK = 0.3
"""Share of a sucker that lies over the tail end (judgement)."""


def girth_of(params: Params) -> Girth:
    """Head, widest place and tail."""
    width, thick, at = (number(params, name) for name in ("width", "thickness", "widest_at"))
    return Girth.oval(
        (0.0, number(params, "head_width"), NOSE_THICKNESS * thick),
        (at, width, thick),
        (1.0, number(params, "tail_width"), number(params, "tail_thickness")),
    )


def end_of(params: Params) -> float:
    """From the nose to the tail end along x, mm."""
    return number(params, "length") - (1 - SUNK) * sucker_of(params)


def sucker_of(params: Params) -> float:
    """Diameter of the sucker, mm; 0 where there is none."""
    return number(params, "sucker") if number(params, "sucker") >= LEAST_SUCKER else 0.0


def path_of(params: Params) -> Path:
    """Straight, or by half waves of one length: level at the nose, at every crest and trough, and at the tail."""
    length, wave, halves = end_of(params), number(params, "wave"), int(params["waves"])
    if wave == 0:
        return StraightPath(length)
    knots = []
    for place in range(halves + 1):
        height = 0.0 if place == 0 else wave / 2 * (1 if place % 2 else -1)
        run = length / halves
        knots.append(Knot((place * run, 0.0, height), (1.0, 0.0, 0.0), run, run))
    return HermitePath(tuple(knots))


def relief_of(params: Params, length: float) -> Rings | Plain:
    """Cross ribs along a path of `length` mm, or none."""
    ends = number(params, "head_width") / 2, number(params, "tail_width") / 2
    pitch, depth = number(params, "rib_pitch"), number(params, "rib_depth")
    count = math.floor((RIBS_TO - RIBS_FROM) * length / pitch + 1e-9)
    return Plain(ends) if depth == 0 else Rings(count, pitch, depth, RIBS_FROM * length + pitch / 2, ends)


def halves_of(params: Params) -> tuple[tuple[float, float], ...]:
    """Half-width and half-height where the edge could be thinnest: at both ends, and in grooves between ribs."""
    girth, depth = girth_of(params), number(params, "rib_depth")
    ribbed = np.array([RIBS_FROM, number(params, "widest_at"), (RIBS_FROM + RIBS_TO) / 2, RIBS_TO])
    at, depths = np.concatenate([[0.0, 1.0], ribbed]), np.array([0.0, 0.0, *[depth] * len(ribbed)])
    width, height = girth.half_widths(1.0).heights(at) - depths, girth.backs(1.0).heights(at) - depths
    return tuple(zip(width.tolist(), height.tolist(), strict=True))
