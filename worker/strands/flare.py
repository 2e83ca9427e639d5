"""The flare of a strand into its parent: what a ball leaves that rolls around the root, in the strand's own outline.

Seen from the back and from the side the parent's surface is a circle (or a line) that the strand leaves squarely. The
ball touches that circle and the strand; between the two touching points its own arc is the outline. From there down
the strand stays as wide as it is, inside of its parent.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from worker.strands.outline import BLEND, CURVE, Outline, Pieces
from worker.strands.plain import together
from worker.strands.roots import Array


@dataclass(frozen=True)
class Rolling:
    """A ball of `radius` at rest beside a strand of half-thickness `strand` on a surface of curvature `bend` (1/mm).

    Along the strand from where its path leaves the surface: `centre`, and `touch` where the ball touches the parent;
    `wide` is how far from the path it does so.
    """

    centre: float
    touch: float
    wide: float

    @classmethod
    def beside(cls, strand: float, radius: float, bend: float) -> Rolling | None:
        """None where the surface falls away so fast that no ball comes to rest: the strand is as thick as its parent.

        From (R + r)^2 = (R + centre)^2 + (strand + r)^2, R = 1 / bend, written so that a plane needs no case.
        """
        away = strand + radius
        square = (1 + bend * radius) ** 2 - (bend * away) ** 2
        if square <= 0:
            return None
        centre = (2 * radius + bend * (radius * radius - away * away)) / (math.sqrt(square) + 1)
        share = 1 / (1 + bend * radius)
        return cls(centre, centre - radius * (1 + bend * centre) * share, away * share)


def flared(outline: Outline, leaves: float, radius: float, bend: float) -> Outline:
    """`outline` with the flare of a ball of `radius` mm where the strand leaves its parent, at station `leaves`."""
    end, thick = leaves, _height(outline, leaves)
    ball = None
    for _ in range(4):  # the strand tapers by little over the flare, so this settles at once
        ball = Rolling.beside(thick, radius, bend)
        if ball is None:
            return outline
        end = leaves + ball.centre
        thick = _height(outline, end)
    first, last = float(outline.pieces.begin[0]), float(outline.pieces.end[-1])
    if ball is None or not first < leaves + ball.touch < end < last:
        return outline
    arc = _piece(BLEND, leaves + ball.touch, end, end, thick + radius, radius)
    root = _piece(CURVE, first, leaves + ball.touch, first, ball.wide, 0.0)
    beyond = np.flatnonzero(outline.pieces.end > end + 1e-9)
    rest = outline.pieces.take(beyond)
    parts = {name: getattr(rest, name) for name in Pieces.__dataclass_fields__}
    rest = Pieces(**{**parts, "begin": np.maximum(rest.begin, end)})
    kept = outline.crest_x > end
    crest_x = np.concatenate([[first, end], outline.crest_x[kept]])
    crest_y = np.concatenate([[ball.wide, thick], outline.crest_y[kept]])
    return Outline(together(root, arc, rest), crest_x, crest_y, outline.gaps, outline.blend)


def _height(outline: Outline, at: float) -> float:
    return float(outline.height(np.array([at]))[0])


def _piece(kind: int, begin: float, end: float, centre_x: float, centre_y: float, half: float) -> Pieces:
    def one(value: float) -> Array:
        return np.array([value])

    return Pieces(np.array([kind]), *(one(v) for v in (begin, end, centre_x, centre_y, half, half, 0.0, 0.0, 0.0)))
