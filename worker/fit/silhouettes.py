"""Baits of a front drawn one under another at one scale: what the bargain looks like."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

import numpy as np

from worker.drawing.layers import layers
from worker.drawing.model import Shape
from worker.drawing.planes import View
from worker.drawing.svg import words
from worker.fit.trials import Trial, Trials
from worker.strands.roots import Array

LEFT, WIDEST, TALLEST = 170.0, 760.0, 110.0
"""Pixels: where they begin, how long the longest is, and how high the highest may be."""
BETWEEN = 18.0
SAG = 0.05
VIEW: View = "top"


def silhouettes(trials: Trials, shown: Mapping[str, Trial], top: float) -> tuple[list[str], float]:
    """The baits as seen from above, by their words, and the pixels down the page at which they end."""
    shapes = {}
    for name, trial in shown.items():
        bait = trials.bait(trial.values).bait
        shapes[name] = Shape(bait.strands(), bait.hollows())
    boxes = {name: shape.box(VIEW, SAG) for name, shape in shapes.items()}
    scale = min(
        WIDEST / max(box[1] - box[0] for box in boxes.values()),
        TALLEST / max(box[3] - box[2] for box in boxes.values()),
    )
    drawn: list[str] = []
    y = top
    for name, shape in shapes.items():
        begin, _, low, high = boxes[name]  # the second axis counts down the page
        drawn.append(words(24, y + (high - low) * scale / 2 + 4, name.capitalize(), "note"))
        drawn += layers(shape, VIEW, scale, partial(_placed, begin, low, scale, y))
        y += (high - low) * scale + BETWEEN
    return drawn, y


def _placed(begin: float, low: float, scale: float, top: float, points: Array) -> Array:
    """Points of a view, (n, 2) mm, on the page; pixels."""
    return np.asarray((points - np.array([begin, low])) * scale + np.array([LEFT, top]))
