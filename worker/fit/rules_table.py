"""The table that turns a maker's terms into a fit. Every line is judgement; change it here and nowhere else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class ForFish:
    """What a fish asks for: a style, a length mm, the pull N that the trunk has to hold, a grade, a rig and a hook.

    `gape`, `shank` and `wire` in mm; `head` is the least that a jig head for it weighs, in g.
    """

    style: str
    length: float
    pull: float
    grade: str
    rig: str
    gape: float
    shank: float
    wire: float
    head: float


FISH: dict[str, ForFish] = {
    "bass": ForFish("beaded_worm", 127, 15, "soft", "texas", 14, 38, 1.2, 3.5),
    "perch": ForFish("beaded_worm", 70, 6, "soft", "jig_head", 7, 16, 0.7, 1.8),
    "panfish": ForFish("beaded_worm", 50, 4, "soft", "jig_head", 6, 12, 0.6, 1),
    "trout": ForFish("beaded_worm", 64, 5, "soft", "nose", 7, 14, 0.6, 1.8),
    "zander": ForFish("paddle_tail", 110, 12, "medium", "jig_head", 18, 38, 1.2, 7),
    "pike": ForFish("paddle_tail", 170, 25, "medium", "jig_head", 24, 60, 1.8, 15),
    "sea_bass": ForFish("stick_worm", 130, 18, "medium", "texas", 15, 42, 1.3, 5),
    "flounder": ForFish("ribbed_worm", 110, 12, "medium", "jig_head", 14, 32, 1.1, 7),
    "cod": ForFish("ribbed_worm", 150, 30, "firm", "jig_head", 22, 48, 1.8, 20),
}


@dataclass(frozen=True)
class ForCover:
    """What cover asks for: how many times the pull, a rig that does not catch in it where none is told, and why."""

    times: float
    rig: str | None
    why: str


COVER: dict[str, ForCover] = {
    "open": ForCover(1.0, None, "In open water a fish tires itself: the fish's own pull is enough."),
    "weed": ForCover(1.2, "texas", "Out of weed a bait is pulled; a buried point does not gather it."),
    "wood": ForCover(1.5, "texas", "Out of wood a fish is dragged at once; a buried point does not catch in it."),
    "rock": ForCover(1.3, None, "Over rock a bait is torn loose now and then."),
}

TEST_PIECES = ("pull_bar", "bend_rod")
"""Styles that no fish takes: maker's terms make nothing of them."""

SALINITY: dict[str, float] = {"fresh": 0.0, "brackish": 15.0, "salt": 35.0}
"""Practical salinity."""

WEIGHTS: tuple[tuple[float, float], ...] = ((1000, 0.0), (3000, 3.5), (6000, 7.0), (12_000, 14.0), (100_000, 28.0))
"""Down to so many mm: the weight in g at the nose of a texas rig, a jig head or a neko rig; less for small fish."""
USUAL_HEAD = 3.5
"""g: of what a fish with a lighter head than this asks for, the weights are so much lighter."""
WEIGHTED = ("texas", "jig_head", "neko")

DOWN_IN_S = 60.0
"""A bait on its rig is to be down at its depth within so many seconds."""
SLOWEST, FASTEST = 10.0, 250.0
"""mm/s: no slower and no faster sinking is asked for, whatever the depth."""

LENGTH_OVER_SHANK = 2.2
"""A bait is at least so many times as long as its hook's shank, so that the hook leaves its tail free."""
CLEAR_OF_GAPE = 0.2
"""Of the gape, what has to stay free of plastic."""
HOOK_OVER_TRUNK, MOST_OF_HOOK = 0.5, 5.0
"""What the hook has to hold, over what the trunk has to; and no more than so many N."""


@dataclass(frozen=True)
class ForStyle:
    """What is looked for in a style: what is free, what is fixed, and the goal."""

    free: Mapping[str, Mapping[str, Any]]
    goal: Mapping[str, str]
    params: Mapping[str, Any]


_BENDS = {"greatest": "flexibility_ratio"}
_SWINGS = {"greatest": "tip_give_side_mm_per_mn"}

STYLE: dict[str, ForStyle] = {
    "beaded_worm": ForStyle(
        {"bead_diameter": {"minimum": 5, "maximum": 12}, "bead_count": {}, "joint_blend": {}}, _BENDS, {}
    ),
    "jointed_worm": ForStyle(
        {
            "bead_diameter": {"minimum": 5, "maximum": 12},
            "bead_count": {"maximum": 30},
            "core_diameter": {"maximum": 10},
        },
        _BENDS,
        {},
    ),
    "ribbed_worm": ForStyle({"width": {}, "height": {}, "rib_depth": {}}, _BENDS, {}),
    "stick_worm": ForStyle({"girth": {"minimum": 6}, "tail_end": {}, "salt_wt_pct": {"maximum": 30}}, _SWINGS, {}),
    "grub": ForStyle({"diameter": {}, "taper": {}, "rib_depth": {}}, _SWINGS, {}),
    "paddle_tail": ForStyle(
        {"width_share": {"minimum": 0.09}, "wrist_height_share": {}, "wrist_width_share": {}}, _SWINGS, {}
    ),
    "craw": ForStyle({"body_width": {}, "core_width": {}, "lobe_overlap": {}}, _BENDS, {}),
}
"""Styles that are not here are looked for by their length alone, for the least plastic."""
OTHER_STYLES = ForStyle({"length": {}}, {"least": "volume_mm3"}, {})
