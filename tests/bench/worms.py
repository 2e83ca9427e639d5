"""The baits that are measured."""

from __future__ import annotations

from typing import Any

LENGTH, DIAMETER, BEADS, BLEND = 127.0, 9.0, 16, 0.8
TOLERANCE = 0.02

SIXTEEN: dict[str, Any] = {
    "style": "beaded_worm",
    "params": {"length": LENGTH, "bead_diameter": DIAMETER, "bead_count": BEADS, "joint_blend": BLEND},
    "outputs": ["stl"],
}
"""Round, untapered: the only kind that the rivals below are written for, in favour of the rivals."""

ESTIMATED: dict[str, dict[str, Any]] = {
    "default beaded worm": {"style": "beaded_worm"},
    "default jointed worm": {"style": "jointed_worm"},
    "oval, tapered worm": {
        "style": "beaded_worm",
        "params": {"taper": 0.6, "bead_height_ratio": 0.8, "bead_length_ratio": 1.2},
        "require": {"joint_pull_n": 4},
    },
    "oval, tapered worm that is too weak, with remedies": {
        "style": "beaded_worm",
        "params": {"taper": 0.6, "bead_height_ratio": 0.8, "bead_length_ratio": 1.2},
    },
    "worm in pieces, with remedies": {
        "style": "beaded_worm",
        "params": {"bead_count": 14, "bead_diameter": 8.5, "joint_blend": 0},
    },
    "worm with weak joints, with remedies": {
        "style": "beaded_worm",
        "params": {"bead_count": 16, "bead_diameter": 8.5, "joint_blend": 0},
    },
}
"""The first two are what the bar of 5 ms is for."""
