"""The core of a core shot as a mesh: a round rod with round ends along a line."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from worker.picture.vector import Doubles, normalised

_AROUND, _CAP = 24, 6
"""Corners of a ring, and rings of a round end."""


def core_mesh(line: Doubles, radius: float) -> tuple[Doubles, NDArray[np.int64]]:
    """The closed mesh, (n, 3) mm and (m, 3), of a rod of `radius` mm about a line (k, 3), a ball at either end."""
    along = normalised(np.gradient(line, axis=0))
    side = normalised(np.stack([-along[:, 1], along[:, 0], np.zeros(len(along))], axis=1))
    over = np.stack(
        [along[:, (i + 1) % 3] * side[:, (i + 2) % 3] - along[:, (i + 2) % 3] * side[:, (i + 1) % 3] for i in range(3)],
        axis=1,
    )
    bends = [0.5 * math.pi * i / _CAP for i in range(1, _CAP)]
    nose = [(0, -math.cos(bend), math.sin(bend)) for bend in bends]
    tail = [(len(line) - 1, math.sin(bend), math.cos(bend)) for bend in bends]
    rings = [*nose, *((place, 0.0, 1.0) for place in range(len(line))), *tail]
    turns = [2 * math.pi * i / _AROUND for i in range(_AROUND)]
    points = [line[0] - radius * along[0]]
    for place, ahead, wide in rings:
        middle = line[place] + radius * ahead * along[place]
        for turn in turns:
            points.append(middle + radius * wide * (math.cos(turn) * side[place] + math.sin(turn) * over[place]))
    points.append(line[-1] + radius * along[-1])
    here = np.arange(_AROUND)
    there = (here + 1) % _AROUND
    last = len(points) - 1
    faces = [np.stack([np.zeros(_AROUND, np.int64), 1 + there, 1 + here], axis=1)]
    for ring in range(len(rings) - 1):
        low, high = 1 + ring * _AROUND, 1 + (ring + 1) * _AROUND
        faces.append(np.stack([low + here, low + there, high + there], axis=1))
        faces.append(np.stack([low + here, high + there, high + here], axis=1))
    low = last - _AROUND
    faces.append(np.stack([np.full(_AROUND, last), low + here, low + there], axis=1))
    return np.array(points), np.concatenate(faces).astype(np.int64)
