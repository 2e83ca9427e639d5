"""The two planes that a bait is drawn in: from above and from the side.

A plane has x along the bait and a second axis that counts down the page: -y from above, -z from the side.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from worker.strands.roots import Array

View = Literal["top", "side"]
VIEWS: tuple[View, ...] = ("top", "side")

Box = tuple[float, float, float, float]
"""Least and greatest place across, then down the page, mm."""


def flat(vectors: Array, view: View) -> Array:
    """Points or directions, (n, 3), in a view's plane, (n, 2)."""
    return np.stack([vectors[:, 0], -vectors[:, 1] if view == "top" else -vectors[:, 2]], axis=1)
