"""Random fits of one goal, each of two free values, drawn from what makers ask for."""

from __future__ import annotations

import random
from typing import Any

FREE: dict[str, dict[str, tuple[float, float]]] = {
    "beaded_worm": {"bead_diameter": (6, 12), "bead_count": (10, 26), "joint_blend": (0, 2), "taper": (0.6, 1)},
    "jointed_worm": {"bead_diameter": (7, 12), "bead_count": (5, 14), "core_diameter": (3, 6.5), "joint_blend": (0, 2)},
    "ribbed_worm": {"width": (6, 14), "height": (6, 14), "rib_depth": (0.4, 1.4), "rib_pitch": (2.4, 6)},
    "stick_worm": {"girth": (8, 15), "tail_end": (3, 7), "ring_depth": (0, 0.8), "salt_wt_pct": (0, 30)},
}
WHOLE = ("bead_count",)
GOALS = ("greatest_flexibility", "least_mass", "strongest_joint", "least_plastic", "nearest")
ASKED: dict[str, tuple[float, float]] = {
    "mass_g": (4, 9),
    "pull_over_limit": (0.8, 1.8),
    "thinnest_mm": (2, 6),
    "baits_per_litre": (100, 220),
}


def drawn(number: int) -> dict[str, Any]:
    """The request of a number: the same every time."""
    pick = random.Random(number)
    style = pick.choice(list(FREE))
    free: dict[str, Any] = {}
    for name in sorted(pick.sample(sorted(FREE[style]), 2)):
        low, high = FREE[style][name]
        middle, wide = pick.uniform(low, high), (high - low) * pick.uniform(0.3, 1)
        least, most = max(low, middle - wide / 2), min(high, middle + wide / 2)
        digits = 0 if name in WHOLE else 2
        free[name] = {"minimum": round(least, digits), "maximum": round(most, digits)}
        if name in WHOLE:
            free[name] = {bound: int(value) for bound, value in free[name].items()}
    body: dict[str, Any] = {"style": style, "params": {"length": pick.randint(90, 140)}, "free": free}
    require: dict[str, Any] = {"verdicts": pick.choice(("pass", "caution", "any"))}
    for name in pick.sample(sorted(ASKED), pick.randint(0, 2)):
        low, high = ASKED[name]
        least = name in ("pull_over_limit", "thinnest_mm", "baits_per_litre")
        require[name] = {"at_least" if least else "at_most": round(pick.uniform(low, high), 2)}
    return body | {"require": require, "goal": pick.choice(GOALS)}
