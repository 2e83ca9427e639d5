"""Where a bait lies in its mould: grown by what the plastic shrinks, turned about its line, on the parting plane."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from worker.strands.roots import Array

_QUARTERS = {0: (1.0, 0.0), 90: (0.0, 1.0), 180: (-1.0, 0.0), 270: (0.0, -1.0)}


@dataclass(frozen=True)
class Frame:
    """`growth`: 1 / (1 - shrinkage). `turn` in degrees about the line from nose to tail, from left towards the back.

    In the mould x runs as in the bait, z to the upper half, and the parting plane is z = 0; `height` is the plane's
    distance from the line from nose to tail, in mm of the bait as it comes out cold.
    """

    growth: float
    turn: float
    height: float

    def to_mould(self, points: Array) -> Array:
        """Places in the mould, (n, 3), of places in the bait."""
        cosine, sine = cosine_sine(self.turn)
        x, y, z = (self.growth * points[:, axis] for axis in range(3))
        return np.stack([x, cosine * y + sine * z, cosine * z - sine * y - self.growth * self.height], axis=1)

    def describe(self) -> dict[str, float]:
        """For an answer."""
        return {"turn_deg": self.turn, "height": round(self.height, 4) + 0.0}


def cosine_sine(degrees: float) -> tuple[float, float]:
    """Of an angle; exact at whole quarters."""
    quarter = _QUARTERS.get(int(degrees % 360)) if degrees == int(degrees) else None
    if quarter is not None:
        return quarter
    return float(np.cos(np.radians(degrees))), float(np.sin(np.radians(degrees)))
